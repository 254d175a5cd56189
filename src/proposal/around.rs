//! Sections 3 and 4: what others do and by when, and what is not in the price.
//!
//! Invariant: what others bring stands in 3 with its day and not a second time in 4.

use super::text::left_out as usual;
use super::{Offer, ProposalSection, ProposalTable};
use crate::answered::AnsweredNeed;

pub(super) fn by_others(offer: &Offer<'_>) -> ProposalSection {
    let mut section = ProposalSection::new(3);
    let needs = offer.answer.needed_from_others.iter().flatten();
    let row = |need: &AnsweredNeed| vec![need.what.clone(), when(offer, need)];
    let rows: Vec<Vec<String>> = needs.map(row).collect();
    section.table = Some(ProposalTable {
        heads: vec!["What".to_owned(), "When".to_owned()],
        rows,
        figures: 0,
    });
    section
}

fn when(offer: &Offer<'_>, need: &AnsweredNeed) -> String {
    let hours = offer.answer.crew_hours.iter();
    let visits = hours.flat_map(|hours| hours.visits.iter().flatten());
    let day = visits
        .clone()
        .find(|visit| visit.visit == need.visit)
        .map(|visit| visit.day);
    let day = match (need.date, day) {
        (Some(date), _) => date.to_string(),
        (None, Some(day)) => format!("day {day}"),
        (None, None) => format!("visit {}", need.visit),
    };
    match need.when.as_str() {
        "after" => format!("after {day}"),
        _ => format!("before {day}"),
    }
}

pub(super) fn left_out(offer: &Offer<'_>) -> ProposalSection {
    let mut section = ProposalSection::new(4);
    let needs = || offer.answer.needed_from_others.iter().flatten();
    let answered = offer.answer.exclusions.iter().flatten();
    let others = answered.filter(|text| !needs().any(|need| need.what == **text));
    let added = offer.request.exclusions.iter().flatten();
    let all = others.chain(usual()).chain(added).cloned();
    section.points = all.collect();
    section
}
