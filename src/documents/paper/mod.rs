//! Documents for the office on paper: parts that flow over pages, and the same as HTML.
//!
//! Invariants: no word of a part is left out; what the font lacks is drawn as a sign and told at the end;
//! every page says which of how many it is. Absent: the clock, figures, and what any document says.
//!
//! | file | holds |
//! | --- | --- |
//! | `part` | what a document holds, however it is written |
//! | `words`, `table`, `strips`, `atom` | parts as strips that are never cut |
//! | `fill`, `page` | strips in columns on pages, with head and foot |
//! | `html` | the document as HTML |

mod atom;
mod fill;
mod html;
mod page;
mod part;
mod strips;
mod table;
mod words;

pub use html::write_document;
pub use page::{Room, lay_out_document, room_left};
pub use part::{Document, Letterhead, Panel, Part, Prose, Row, Side, Signature, Span, Sum, Table};
