//! Finished results on paper and in files.
//!
//! Invariant: nothing is computed here that a room above should have given; a document shows the
//! figures it is handed. Absent: the clock, the store, wire types.

mod bill;
mod change_order;
mod change_rows;
mod cost_rows;
mod csv;
pub mod drawing;
pub mod foreman;
mod grade_rows;
mod handover;
pub mod ledger;
pub mod paper;
mod parties;
mod proposal;
mod quotation;
mod quotation_rows;
mod survey_rows;
pub mod ubl;

pub use self::bill::compose_bill;
pub use self::change_order::{ChangeTold, compose_change_order};
pub use self::change_rows::write_changes;
pub use self::cost_rows::write_job_cost;
pub use self::csv::{write_price_lines, write_takeoff_lines, write_tasks};
pub use grade_rows::write_grades;
pub use handover::compose_handover;
pub use proposal::{Drawn, compose_proposal};
pub use quotation::compose_quotation;
pub use quotation_rows::write_quotation_lines;
pub use survey_rows::write_survey_readings;
