//! Quantities of the trade: lengths, volumes, slopes, money; how they are read and printed.
//!
//! Invariants: a stored number is SI and finite; the field is private, so a bare number cannot
//! become a quantity without naming its unit. Absent here: any other room, any I/O.
//!
//! | file | holds |
//! | --- | --- |
//! | `units`, `factors`, `notation` | the rows: units with sizes and sources, marks that mean the same |
//! | `scalar`, `algebra` | the quantities and the laws between them |
//! | `slack` | comparing and rounding |
//! | `parse`, `print`, `error`, `wire`, `schema` | reading and writing |
//! | `tape`, `shown` | rounded for a person, rounded for an answer |
//! | `bounds` | least and most, with the fault they give |
//! | `citation`, `fault` | where a value comes from, what was wrong with an input |
//! | `line` | what may stand in a line of words |
//! | `money` | exact money |

mod algebra;
mod bounds;
mod citation;
mod error;
mod factors;
mod fault;
mod line;
pub mod money;
mod notation;
mod parse;
mod pattern;
mod print;
mod scalar;
#[cfg(feature = "service")]
mod schema;
pub mod shown;
pub mod slack;
mod tape;
mod units;
mod wire;

pub use bounds::{Bounds, CountBounds};
pub use citation::{Citation, Verified};
pub use error::{Problem, QuantityError};
pub use factors::{Factor, Scale};
pub use fault::{Fault, Faults, LISTED_AT_MOST, pointer_part};
pub use line::{is_line, may_stand};
pub use notation::TEXT_AT_MOST;
pub use parse::parse_quantity;
pub use pattern::pattern;
pub use print::print_quantity;
pub use scalar::{
    Area, Coverage, Density, Length, Mass, Percent, Quantity, Slope, Span, Speed, Stress,
    Temperature, Volume,
};
pub use slack::{Compared, ceil, ceil_to, floor, floor_to, round_to};
pub use units::{Dimension, System, UnitRow};
