//! Section 7: how long it takes, when it may begin, and what has to be there first.
//!
//! Invariant: no hours and no people are told, which are our own business.

use super::text::say;
use super::work::counted;
use super::{Offer, ProposalSection, ProposalTable};
use crate::answered::{AnsweredHold, AnsweredVisit};

/// Holds whose days stand in section 3.
const IN_SECTION_3: [&str; 3] = ["permit", "access", "locate"];

pub(super) fn time(offer: &Offer<'_>) -> ProposalSection {
    let mut section = ProposalSection::new(7);
    let headline = offer.answer.headline.as_ref();
    if let Some(visits) = headline.and_then(|headline| headline.visits.as_ref()) {
        let facts = [
            ("visits", counted(visits.count as usize, "visit", "visits")),
            (
                "days",
                counted(
                    visits.calendar_days as usize,
                    "calendar day",
                    "calendar days",
                ),
            ),
        ];
        section.say(&say().visits, &facts);
        if let Some(closed) = visits.days_entrance_closed.filter(|days| *days > 0) {
            let closed = counted(closed as usize, "day", "days");
            section.say(&say().closed, &[("closed", closed)]);
        }
    }
    let notice = counted(
        offer.terms.notice_days as usize,
        "working day",
        "working days",
    );
    section.say(&say().notice, &[("notice", notice)]);
    section.say(&say().weather, &[]);
    section.say(&say().trip, &[]);
    let hours = offer.answer.crew_hours.as_ref();
    let holds = hours.iter().flat_map(|hours| hours.holds.iter().flatten());
    let others = holds.filter(|hold| !IN_SECTION_3.contains(&hold.code.as_str()));
    section.points = others.map(hold).collect();
    if !section.points.is_empty() {
        section.after = vec![say().not_before.clone()];
    }
    let visits = hours.iter().flat_map(|hours| hours.visits.iter().flatten());
    let rows: Vec<Vec<String>> = visits.map(visit).collect();
    section.table = (!rows.is_empty()).then(|| ProposalTable {
        heads: vec!["Day".to_owned(), "Work".to_owned()],
        rows,
        figures: 0,
    });
    section
}

fn hold(hold: &AnsweredHold) -> String {
    let from = hold
        .from
        .as_ref()
        .map_or_else(String::new, |from| format!(", from {from}"));
    let day = hold.needed_by.as_ref().map(|needed| match needed.date {
        Some(date) => format!(", by {date}"),
        None => format!(", by day {}", needed.day),
    });
    format!("{}{from}{}", hold.what, day.unwrap_or_default())
}

fn visit(visit: &AnsweredVisit) -> Vec<String> {
    let day = visit
        .date
        .map_or_else(|| format!("Day {}", visit.day), |date| date.to_string());
    vec![day, visit.description.clone()]
}
