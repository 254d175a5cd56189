//! A line of the short form, as `name=value` lines after one for the decimal mark.
//!
//! Invariants: a line that is read is a job; a fault names a column of the line.

use super::flow::{check_estimate, check_expansion, today};
use crossfall::job::{ShortHeading, expand};

/// Most columns, as the service has it.
const COLUMNS: usize = 300;

/// One line of cells.
pub fn short_row(bytes: &[u8]) {
    let Ok(text) = std::str::from_utf8(bytes) else {
        return;
    };
    let (mark, text) = text
        .strip_prefix(',')
        .map_or(('.', text), |rest| (',', rest));
    let cells = text.split('\n').take(COLUMNS);
    let cells = cells.filter_map(|line| line.split_once('='));
    let (names, cells): (Vec<&str>, Vec<&str>) = cells.unzip();
    let heading = ShortHeading::bind(&names);
    match heading.read(&cells, mark) {
        Ok(short) => {
            let expanded = expand(short.sent.clone(), today());
            let faults = expanded.err().unwrap_or_default();
            assert!(faults.is_empty(), "a line that is read is no job: {faults}");
            check_expansion(short.sent.clone());
            check_estimate(short.sent, bytes.len().is_multiple_of(8));
        }
        Err(faults) => {
            assert!(!faults.is_empty(), "a refusal without a fault");
            for fault in &faults.0 {
                let column = fault.column.as_deref();
                assert!(column.is_some(), "a fault without a column: {fault:?}");
            }
        }
    }
}
