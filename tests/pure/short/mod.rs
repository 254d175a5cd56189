//! The short form: what its columns promise, and what a line becomes in the full form.

mod bounds;
mod examples;
mod expanding;
mod laws;
mod reading;
mod refusing;

use crossfall::job::{Day, Expanded, JobRequest, ShortHeading, ShortJob, expand};
use crossfall::quantity::Faults;
use serde_json::Value;

/// Reads one line of `(name, cell)`.
fn read(cells: &[(&str, &str)]) -> Result<ShortJob, Faults> {
    read_with(cells, '.')
}

fn read_with(cells: &[(&str, &str)], mark: char) -> Result<ShortJob, Faults> {
    let names: Vec<&str> = cells.iter().map(|(name, _)| *name).collect();
    let cells: Vec<&str> = cells.iter().map(|(_, cell)| *cell).collect();
    ShortHeading::bind(&names).read(&cells, mark)
}

/// The columns at fault, as they were written.
fn refused(cells: &[(&str, &str)]) -> Vec<String> {
    let faults = read(cells).expect_err("a line with faults");
    let columns = faults.0.iter();
    columns
        .map(|fault| fault.column.as_deref().unwrap_or("no column").to_owned())
        .collect()
}

/// The whole job of a good line.
fn expanded(cells: &[(&str, &str)]) -> Expanded {
    let short = read(cells).unwrap_or_else(|faults| panic!("{cells:?}: {faults}"));
    let day = Day::parse("2026-05-04").expect("a day");
    expand(short.sent, day).unwrap_or_else(|faults| panic!("{cells:?}: {faults}"))
}

/// The same as JSON.
fn job(cells: &[(&str, &str)]) -> Value {
    serde_json::to_value(expanded(cells).job).expect("a job can be written")
}

/// The same job in the full form, as a person would write it.
fn full(text: &str) -> Value {
    let sent: JobRequest = serde_json::from_str(text).expect("a job");
    let day = Day::parse("2026-05-04").expect("a day");
    let expanded = expand(sent, day).expect("a good job");
    serde_json::to_value(expanded.job).expect("it can be written")
}
