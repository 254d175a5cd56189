//! What to think of before a price is given: prices that are old, quotes that have run out.
//!
//! Invariant: what is said here changes no figure; an expired price is never used, only told of.

use super::{PriceLine, Priced};
use crate::catalog::PriceList;

/// Something to think of.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PriceAdvice {
    /// `price_age` or `expired_quote`.
    pub kind: &'static str,
    /// What, and what to do.
    pub text: String,
}

/// Most items that one sentence names.
const NAMED_AT_MOST: usize = 5;

/// What to think of about the prices that were used.
pub fn advise_prices(priced: &Priced, list: &PriceList) -> Vec<PriceAdvice> {
    let mut advices: Vec<PriceAdvice> = priced.lines.iter().filter_map(expired).collect();
    advices.dedup();
    advices.extend(old(priced, i64::from(list.settings().price_age_days)));
    advices
}

fn expired(line: &PriceLine) -> Option<PriceAdvice> {
    let expired = line.expired.as_ref()?;
    let job = match &expired.quoted_for {
        Some(_) => " for this job",
        None => "",
    };
    Some(PriceAdvice {
        kind: "expired_quote",
        text: format!(
            "{}: the price of {}{job} was valid until {} and is not used; the next one in the book is. Ask for a new one.",
            line.code, expired.supplier, expired.valid_until
        ),
    })
}

fn old(priced: &Priced, most: i64) -> Option<PriceAdvice> {
    let mut old: Vec<(i64, &str)> = priced
        .lines
        .iter()
        .filter_map(|line| Some((line.from.as_ref()?.age_days, line.code.as_str())))
        .filter(|(age, _)| *age > most)
        .collect();
    old.sort_by(|one, other| other.0.cmp(&one.0).then(one.1.cmp(other.1)));
    let named: Vec<String> = old
        .iter()
        .take(NAMED_AT_MOST)
        .map(|(age, code)| format!("{code} ({age} d)"))
        .collect();
    let more = match old.len().saturating_sub(NAMED_AT_MOST) {
        0 => String::new(),
        more => format!(" and {more} more"),
    };
    (!old.is_empty()).then(|| PriceAdvice {
        kind: "price_age",
        text: format!(
            "Older than {most} days: {}{more}. Ask whether these prices still hold.",
            named.join(", ")
        ),
    })
}
