//! Steel, and the stock lengths that it and form boards are cut from.
//!
//! Invariants: a stock length is allowed once; a lap keeps its bounds. Absent: what is bought.

use super::sections::section;
use crate::job::choice::{Bar, BarCount, BarStock, By, LapRule};
use crate::job::fill::{Fill, Place};
use crate::job::full::Reinforcement;
use crate::job::or_none::OrNone;
use crate::job::sent::ReinforcementRequest;
use crate::quantity::Length;

pub(super) fn expand_reinforcement(
    fill: &mut Fill,
    place: &Place<'_>,
    sent: Option<OrNone<ReinforcementRequest>>,
    thickness: Length,
) -> OrNone<Reinforcement> {
    let sent = section(fill, place, sent);
    sent.map(|sent| {
        let lap = fill.choice(&place.field("lap_diameters"), sent.lap_diameters, 40);
        if !(20..=100).contains(&lap) {
            let found = lap.to_string();
            fill.fault(
                &place.field("lap_diameters"),
                &found,
                "20 to 100 bar diameters",
                "40",
            );
        }
        let at = place.field("cover");
        let usual = fill.fields.cover(thickness, fill.system);
        let cover = fill.quantity_else(&at, sent.cover, usual);
        if sent.cover.is_some() && !cover.at_most(thickness / 2.0) {
            let accepted = format!("half of the slab at most, {}", (thickness / 2.0).print());
            fill.fault(&at, &cover.print(), &accepted, "2 in");
        }
        Reinforcement {
            by: fill.choice(&place.field("by"), sent.by, By::Us),
            bar: fill.choice(&place.field("bar"), sent.bar, Bar::No4),
            spacing_along: fill.quantity(&place.field("spacing_along"), sent.spacing_along),
            spacing_across: fill.quantity(&place.field("spacing_across"), sent.spacing_across),
            edge_cover: fill.quantity(&place.field("edge_cover"), sent.edge_cover),
            cover,
            lap_rule: fill.choice(&place.field("lap_rule"), sent.lap_rule, LapRule::Diameters),
            lap_diameters: lap,
            wire: sent.wire,
            count: fill.choice(&place.field("count"), sent.count, BarCount::Net),
            stock: expand_stock(fill, &place.field("stock"), sent.stock, &[BarStock::Ft20]),
        }
    })
    .into()
}

/// Stock lengths, shortest first; at least one, and each once.
pub(super) fn expand_stock<T: Copy + Ord + std::fmt::Display>(
    fill: &mut Fill,
    place: &Place<'_>,
    sent: Option<Vec<T>>,
    usual: &[T],
) -> Vec<T> {
    let Some(mut sent) = sent else {
        fill.assume_whole(place);
        return usual.to_vec();
    };
    let given = sent.len();
    sent.sort_unstable();
    sent.dedup();
    if sent.is_empty() || sent.len() < given {
        let found = format!("{given} lengths, {} different", sent.len());
        let example = usual
            .first()
            .map_or(String::new(), |one| format!("[\"{one}\"]"));
        fill.fault(
            place,
            &found,
            "at least one stock length, each once",
            &example,
        );
    }
    sent
}
