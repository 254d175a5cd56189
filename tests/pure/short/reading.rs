//! Cells: which are read, which are refused, and what the refusal says.

use crossfall::job::{ShortHeading, ShortJob};
use crossfall::quantity::Faults;

/// Reads one line of `(name, cell)`.
pub(super) fn read(cells: &[(&str, &str)]) -> Result<ShortJob, Faults> {
    let names: Vec<&str> = cells.iter().map(|(name, _)| *name).collect();
    let cells: Vec<&str> = cells.iter().map(|(_, cell)| *cell).collect();
    ShortHeading::bind(&names).read(&cells, '.')
}

#[test]
fn the_example_of_the_contract_is_read() {
    let job = read(&[
        ("rise_in", "28"),
        ("length_ft", "28"),
        ("runs", "2"),
        ("turn", "left"),
        ("left", "wall"),
    ])
    .expect("a good line");
    println!("{job:#?}");
    assert_eq!(job.sent.ramp.path.len(), 5);
}
