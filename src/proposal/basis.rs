//! Section 1: what the price rests on, and what of it nobody measured.

use super::text::say;
use super::{Offer, ProposalSection};
use crate::job::Basis;

/// So many points that were taken as usual are named.
const NAMED: usize = 5;
/// So many points that were told are named.
const TOLD: usize = 12;
/// What is the crew's own business is no point of the customer's.
const OURS: [&str; 3] = ["/crew", "/price", "/book"];

pub(super) fn basis(offer: &Offer<'_>) -> ProposalSection {
    let mut section = ProposalSection::new(1);
    let documents = papers(offer);
    if documents.is_empty() {
        let date = ("date", offer.checked.as_of.to_string());
        section.say(&say().from_measures, &[date]);
    } else {
        section.say(
            &say().from_documents,
            &[("documents", documents.join("; "))],
        );
    }
    let told = told(offer);
    let facts = [
        ("count", told.len().to_string()),
        (
            "list",
            told.iter()
                .take(TOLD)
                .cloned()
                .collect::<Vec<_>>()
                .join(", "),
        ),
    ];
    match told.len() {
        // How the points are known stands in the job alone.
        0 if offer.answer.job.is_none() => {}
        0 => section.say(&say().told_none, &facts),
        1 => section.say(&say().told_one, &facts),
        _ => section.say(&say().told_many, &facts),
    }
    let usual = taken_as_usual(offer);
    if !usual.is_empty() {
        section.say(&say().assumed, &[("list", usual.join(", "))]);
    }
    section
}

/// The papers, each with its date.
pub(super) fn papers(offer: &Offer<'_>) -> Vec<String> {
    let papers = offer.request.documents.iter().flatten();
    papers
        .map(|paper| match paper.date {
            Some(date) => format!("{} of {date}", paper.name),
            None => paper.name.clone(),
        })
        .collect()
}

fn told(offer: &Offer<'_>) -> Vec<String> {
    let basis = offer
        .answer
        .job
        .iter()
        .flat_map(|job| job.basis.iter().flatten());
    let told = basis.filter(|(_, basis)| **basis == Basis::Told);
    told.map(|(pointer, _)| name_of(pointer)).collect()
}

/// Inputs that move the price and that nobody stated, without what is the crew's own business.
fn taken_as_usual(offer: &Offer<'_>) -> Vec<String> {
    let headline = offer.answer.headline.iter();
    let unknowns = headline.flat_map(|headline| headline.unknowns.iter().flatten());
    let theirs = unknowns.filter(|unknown| {
        unknown.basis.as_deref() == Some("assumed")
            && !OURS.iter().any(|ours| unknown.pointer.starts_with(ours))
    });
    let named = theirs.map(|unknown| format!("{} {}", name_of(&unknown.pointer), unknown.value));
    named.take(NAMED).collect()
}

/// A place in a job in words: `/ramp/path/1/rise` is `rise of piece 1 of the path`.
fn name_of(pointer: &str) -> String {
    let parts: Vec<&str> = pointer.split('/').filter(|part| !part.is_empty()).collect();
    let words = |part: &str| part.replace('_', " ");
    match parts.as_slice() {
        // As the drawings count them.
        ["ramp", "path", piece, field] => format!("{} of piece {piece} of the path", words(field)),
        [.., section, field] => format!("{} of the {}", words(field), words(section)),
        [field] => words(field),
        [] => "the job".to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::name_of;

    #[test]
    fn places_read_as_words() {
        assert_eq!(name_of("/ramp/path/1/rise"), "rise of piece 1 of the path");
        assert_eq!(name_of("/base/beyond_edge"), "beyond edge of the base");
        assert_eq!(name_of("/name"), "name");
        assert_eq!(name_of(""), "the job");
    }
}
