//! The short form: one ramp job on one line of plain columns.
//!
//! Invariants: one table of columns (`columns.toml`) makes the reader, the expansion and the
//! description; what the short form fills in is listed as an assumption that points into the full
//! form; a fault names the column as the caller wrote it. Absent: rows and files, figures, prices.

use super::day::Day;
use super::fill::Assumption;
use super::sent::JobRequest;
use crate::quantity::{Fault, Faults};

/// The names of a table's columns or of a query, each bound to what it means.
#[derive(Clone, Debug)]
pub struct ShortHeading {
    names: Vec<String>,
}

/// One line of the short form, expanded into a job as it would be sent.
#[derive(Clone, Debug)]
pub struct ShortJob {
    /// The job in the full form.
    pub sent: JobRequest,
    /// What the short form filled in by itself, pointing into the full form.
    pub assumed: Vec<Assumption>,
    /// Day of the pour, where the line names one.
    pub day: Option<Day>,
    /// Area of the pour, where the line names one.
    pub zone: Option<String>,
}

impl ShortHeading {
    /// Binds names as written; capitals are the same as small letters.
    pub fn bind<T: AsRef<str>>(names: &[T]) -> Self {
        let names = names.iter().map(|name| name.as_ref().to_owned()).collect();
        Self { names }
    }

    /// Places of the names that are no column of the short form, from 0.
    pub fn unknown(&self) -> Vec<usize> {
        (0..self.names.len()).collect()
    }

    /// Reads one line; a blank cell means the default. `decimal_mark` is that of plain numbers.
    ///
    /// # Errors
    /// Every fault, each with the column as it was written.
    pub fn read(&self, cells: &[&str], decimal_mark: char) -> Result<ShortJob, Faults> {
        let _ = (cells, decimal_mark);
        Err(Faults(vec![Fault::new(
            "",
            "a line",
            "not built yet",
            None,
        )]))
    }

    /// Turns faults that point into the full form into faults of the columns they came from.
    pub fn point_back(&self, faults: Faults) -> Faults {
        faults
    }
}
