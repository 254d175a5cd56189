//! The foreman sheet: one page to take to the site.
//!
//! Invariants: one page, whatever the job; what finds no room is told with where to find it; no price
//! stands on it. Absent: the clock, and figures that no room above has given.
//!
//! | file | holds |
//! | --- | --- |
//! | `block` | what stands on the sheet, however it is written |
//! | `content` | the blocks of a job |
//! | `grade_table` | the whole grade sheet, as a sheet of its own |
//! | `paper`, `html` | the sheet as a page, and as HTML |

mod block;
mod content;
mod grade_table;
mod html;
mod paper;

pub use block::{Block, Body, Sheet};
pub use content::{Told, write_sheet};
pub use grade_table::write_grade_sheet;
pub use html::write_html;
pub use paper::{lay_out, lay_out_long};

use crate::documents::drawing::{Page, Paper};

/// The sheet with as much of its tables as one page holds, and that page.
pub fn fit(paper: Paper, sheet: impl Fn(Told) -> Sheet) -> (Sheet, Page) {
    let mut least = None;
    for told in Told::ALL {
        let written = sheet(told);
        let (page, fits) = lay_out(&written, paper);
        if fits {
            return (written, page);
        }
        least = Some((written, page));
    }
    least.expect("there is a least that is told")
}
