//! Which part of a job moves a price for which cause: one table.
//!
//! Invariants: the longest row that a pointer stands under decides; what no row names moves no
//! price. Absent: by how much.

use crate::catalog::words;

words! {
    /// Why a price moved.
    Cause as "ChangeCause" {
        /// What is built, of what, and by whom.
        Geometry = "geometry",
        /// How much of it is bought: waste, coverage, stock, orders; between two answers every quantity but hours.
        Quantity = "quantity",
        /// Who works, how, and what the site asks of them; between two answers paid hours.
        Rate = "rate",
        /// What one of it costs: book, revision, date, supplier.
        Price = "price",
        /// What the build-up adds because the lines above it moved, at rates that stay.
        BuildUp = "build_up",
        /// Percentages of the price.
        Settings = "settings",
    }
}

/// The causes of a comparison of two jobs, in the order in which their sections are replaced.
pub(super) const ORDER: [Cause; 5] = [
    Cause::Geometry,
    Cause::Quantity,
    Cause::Rate,
    Cause::Price,
    Cause::Settings,
];

/// Parts of an expanded job.
const ROWS: &[(&str, Cause)] = &[
    ("/name", Cause::Price),
    ("/units", Cause::Geometry),
    ("/scope", Cause::Geometry),
    ("/site", Cause::Geometry),
    ("/site/truck_to_pour", Cause::Rate),
    ("/site/access", Cause::Rate),
    ("/site/occupied", Cause::Rate),
    ("/site/air", Cause::Rate),
    ("/site/start", Cause::Rate),
    ("/site/only_accessible_entrance", Cause::Rate),
    ("/site/zone", Cause::Price),
    ("/ramp", Cause::Geometry),
    ("/elements", Cause::Geometry),
    ("/earthwork", Cause::Geometry),
    ("/slab", Cause::Geometry),
    ("/slab/waste", Cause::Quantity),
    ("/slab/waste_rule", Cause::Quantity),
    ("/base", Cause::Geometry),
    ("/base/waste", Cause::Quantity),
    ("/insulation", Cause::Geometry),
    ("/reinforcement", Cause::Geometry),
    ("/reinforcement/count", Cause::Quantity),
    ("/reinforcement/stock", Cause::Quantity),
    ("/joints", Cause::Geometry),
    ("/curing", Cause::Geometry),
    ("/curing/coverage", Cause::Quantity),
    ("/sealer", Cause::Geometry),
    ("/sealer/coverage", Cause::Quantity),
    ("/sealer/waste", Cause::Quantity),
    ("/forms", Cause::Quantity),
    ("/forms/curved", Cause::Geometry),
    ("/crew", Cause::Rate),
    ("/requirements", Cause::Rate),
    ("/site_work", Cause::Geometry),
    ("/book", Cause::Price),
    ("/price", Cause::Settings),
];

fn stands_under(pointer: &str, row: &str) -> bool {
    let rest = pointer.strip_prefix(row);
    rest.is_some_and(|rest| rest.is_empty() || rest.starts_with('/'))
}

/// The cause for which a value of an expanded job moves the price; none where it moves nothing.
pub(super) fn cause_of(pointer: &str) -> Option<Cause> {
    let rows = ROWS.iter().filter(|(row, _)| stands_under(pointer, row));
    let longest = rows.max_by_key(|(row, _)| row.len());
    longest.map(|(_, cause)| *cause)
}

/// True where parts of what stands at a pointer have causes of their own.
pub(super) fn is_divided(pointer: &str) -> bool {
    let mut rows = ROWS.iter();
    rows.any(|(row, _)| *row != pointer && stands_under(row, pointer))
}
