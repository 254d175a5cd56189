//! Legs of walls and footings: the centre line that they have together, corners once.
//!
//! Invariant: all corners are square.

use crate::job::LegsAlong;
use crate::quantity::Length;

/// Corners of so many legs.
fn count_corners(legs: usize, closed: bool) -> u32 {
    let corners = if closed { legs } else { legs.saturating_sub(1) };
    // A job has a hundred legs at most.
    corners as u32
}

/// Length of the centre line, so that section times length counts each corner once.
pub(super) fn centre_line(
    legs: &[Length],
    (along, closed): (LegsAlong, bool),
    width: Length,
) -> Length {
    let corners = f64::from(count_corners(legs.len(), closed));
    let taped: Length = legs.iter().sum();
    match along {
        LegsAlong::CentreLine => taped,
        LegsAlong::Outside => taped - width * corners,
        LegsAlong::Inside => taped + width * corners,
    }
}
