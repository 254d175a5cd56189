//! Advices on steel: spacing.
//!
//! Invariant: bars are priced as drawn. Absent here: any design.

use super::super::line::Advice;
use super::super::part::Given;
use super::super::words::Words;
use super::advice;

pub(super) fn advise(drawn: Given<'_>) -> impl Iterator<Item = Advice> {
    [check_spacing(drawn), check_cover(drawn)]
        .into_iter()
        .flatten()
}

/// The least cover that this bar has anywhere, held to the table for faces in the weather.
fn check_cover(drawn: Given<'_>) -> Option<Advice> {
    let steel = drawn.job.reinforcement.as_option()?;
    let bars = &drawn.catalog.steel.bar;
    let bar = bars.iter().find(|row| row.bar == steel.bar.as_str())?;
    let rows = drawn.catalog.steel.cover.iter();
    let row = rows.rev().find(|row| bar.diameter.at_least(row.from))?;
    let least = steel.cover.min(steel.edge_cover);
    if least.at_least(row.cover) {
        return None;
    }
    let words = Words(drawn.job.units);
    let text = format!(
        "cover {} to {}: concrete in the weather asks {}; salt and frost reach bars that lie nearer",
        words.tape(least),
        steel.bar.as_str(),
        words.tape(row.cover)
    );
    let of = if steel.cover.at_most(steel.edge_cover) {
        "/reinforcement/cover"
    } else {
        "/reinforcement/edge_cover"
    };
    advice(of, "bar_cover", text, &row.source)
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
