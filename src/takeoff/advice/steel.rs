//! Advices on steel: spacing.
//!
//! Invariant: bars are priced as drawn. Absent here: any design.

use super::super::line::Advice;
use super::super::part::Given;
use super::super::words::Words;
use super::advice;

pub(super) fn advise(drawn: Given<'_>) -> impl Iterator<Item = Advice> {
    [check_spacing(drawn)].into_iter().flatten()
}

fn check_spacing(drawn: Given<'_>) -> Option<Advice> {
    let steel = drawn.job.reinforcement.as_option()?;
    let row = &drawn.catalog.steel.shrinkage;
    let most = row.most.min(drawn.job.slab.thickness * row.thicknesses);
    let widest = steel.spacing_along.max(steel.spacing_across);
    if widest.at_most(most) {
        return None;
    }
    let words = Words(drawn.job.units);
    let text = format!(
        "bars at {} are wider apart than the {} of shrinkage steel in structural slabs; a slab on the \
         ground is outside that rule, this is only a note",
        words.tape(widest),
        words.tape(most)
    );
    advice("/reinforcement", "bar_spacing", text, &row.source)
}
