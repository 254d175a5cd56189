//! The note: the first thing that a person must know, on one short line.
//!
//! Invariants: the order is fixed (no price, does not comply, undetermined, old price, invented
//! prices, at the limit, a caution of this job); it is never cut inside or beside a number, so that
//! no length is read short. Absent: cautions that hold for every pour; the whole answer has them.

use super::{Found, Shown, of_check, of_price};
use crate::estimate::Estimate;
use crate::rules::SetVerdict;

/// Most characters of a note.
const LONGEST: usize = 120;

/// What shows that something was left out.
const ELLIPSIS: &str = "...";

pub(super) fn note(estimate: &Estimate) -> Found {
    let told = not_complete(estimate)
        .or_else(|| does_not_comply(estimate))
        .or_else(|| undetermined(estimate))
        .or_else(|| caution(estimate, "price_age"))
        .or_else(|| caution(estimate, "data"))
        .or_else(|| at_limit(estimate))
        .or_else(|| caution(estimate, "expired_quote"))
        .or_else(|| advice(estimate));
    let told = told.unwrap_or_else(|| "ok".to_owned());
    Ok(Shown::text(shorten(&told)))
}

fn not_complete(estimate: &Estimate) -> Option<String> {
    let lines = of_price::no_price_for(estimate)?;
    Some(format!("Not complete: {lines}."))
}

fn does_not_comply(estimate: &Estimate) -> Option<String> {
    let broken = of_check::first_broken(estimate)?;
    let told = of_check::rule_and_remedy(broken, estimate);
    Some(format!("Does not comply: {told}"))
}

fn undetermined(estimate: &Estimate) -> Option<String> {
    if estimate.check.verdict != SetVerdict::Undetermined {
        return None;
    }
    let told = of_check::first_open(estimate).map_or_else(
        || "no rule set was named; name one in rule_set".to_owned(),
        |open| of_check::rule_and_remedy(open, estimate),
    );
    Some(format!("Undetermined: {told}"))
}

fn at_limit(estimate: &Estimate) -> Option<String> {
    let finding = of_check::first_at_limit(estimate)?;
    Some(format!(
        "At the limit of {}: cast concrete varies and no tolerance is built in; lay out inside it.",
        finding.rule
    ))
}

/// The first caution of a kind.
fn caution(estimate: &Estimate, kind: &str) -> Option<String> {
    let mut cautions = estimate.cautions.iter();
    let found = cautions.find(|caution| caution.kind == kind);
    found.map(|caution| caution.text.clone())
}

/// The first thing to think of about this job's materials or hours.
fn advice(estimate: &Estimate) -> Option<String> {
    let materials = estimate.takeoff.advices.iter();
    let mut all = materials.chain(&estimate.hours.advices);
    all.next().map(|advice| advice.text.clone())
}

/// A text in at most [`LONGEST`] characters: whole, or cut between two words without a digit.
fn shorten(text: &str) -> String {
    let words: Vec<&str> = text.split_whitespace().collect();
    let whole = words.join(" ");
    if whole.chars().count() <= LONGEST {
        return whole;
    }
    let numeric = |word: &str| word.contains(|one: char| one.is_ascii_digit());
    let (mut kept, mut length, mut best) = (String::new(), 0, String::new());
    for (at, word) in words.iter().enumerate() {
        length += word.chars().count() + usize::from(at > 0);
        if length + ELLIPSIS.len() > LONGEST {
            break;
        }
        if at > 0 {
            kept.push(' ');
        }
        kept.push_str(word);
        let next = words.get(at + 1).copied().unwrap_or_default();
        if !numeric(word) && !numeric(next) {
            best.clone_from(&kept);
        }
    }
    best.trim_end_matches([',', ';', ':', '.']).to_owned() + ELLIPSIS
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_short_text_is_left_alone() {
        assert_eq!(shorten("Read\n this."), "Read this.");
        let longest = "a".repeat(LONGEST);
        assert_eq!(shorten(&longest), longest);
    }

    #[test]
    fn no_number_is_cut_and_none_loses_its_unit() {
        let lengths = "lengthen the second run by 27 ft 4 1/2 in to 31 ft on plan and also";
        for pad in 40..130 {
            let text = format!("{} {lengths} {}", "x".repeat(pad), "the rest ".repeat(20));
            let cut = shorten(&text);
            assert!(cut.chars().count() <= LONGEST, "{cut}");
            assert!(cut.ends_with(ELLIPSIS), "{cut}");
            let kept = cut.trim_end_matches(ELLIPSIS);
            assert!(text.starts_with(kept), "{cut}");
            let last = kept.split(' ').next_back().unwrap_or_default();
            let rest = text[kept.len()..].trim_start();
            assert!(!last.contains(|one: char| one.is_ascii_digit()), "{cut}");
            assert!(!rest.starts_with(|one: char| one.is_ascii_digit()), "{cut}");
        }
    }
}
