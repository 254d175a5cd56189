//! What a job really cost beside its estimate: line by line, by cause, by class, by visit.
//!
//! Invariants: nothing is priced again, the estimate is an answer that was sent back and checked; a
//! difference is split into quantity at the estimated price and price at the actual quantity, and
//! the causes add up to the variance to the last minor unit; a bill without a line is told apart and
//! never lost; a line of which nothing is known yet is open, never saved. Absent: I/O, forecasts of
//! what is still to come.
//!
//! | file | holds |
//! | --- | --- |
//! | `sent` | what is asked, as it is sent |
//! | `read` | from what was sent to what happened, with every fault |
//! | `line` | one line of the estimate beside what happened |
//! | `visit`, `earned` | hours by visit; what is earned and not yet billed |
//! | `told` | the whole |

mod earned;
mod line;
mod read;
mod sent;
mod told;
mod visit;

pub use earned::Earned;
pub use line::{AmountFrom, CostLine, OpenLine, QuantityFrom};
pub use read::NotEstimated;
pub use sent::{ActualRequest, BillRequest, JobCostRequest, UsedRequest, WorkedRequest};
pub use told::{CauseOfCost, ClassCost, CostCause, JobCost, TotalCost, tell_cost};
pub use visit::VisitCost;
