//! Sections 8 and 9: the price in figures and words, what stands beside it, and rates for extras.
//!
//! Invariants: amounts are those of the answer, checked; an allowance is inside the price; only what is
//! charged is told, never what it costs us.

use super::in_words::{grouped, money_in_figures, money_in_words};
use super::request::{ProposalRequest, ProposalSum};
use super::text::say;
use super::work::counted;
use super::{Offer, ProposalAmount, ProposalPrice, ProposalRate, ProposalSection, ProposalTable};
use crate::answered::{AnsweredStepName, Checked};
use crate::job::Day;
use crate::quantity::money::{Amount, Currency};
use crate::quantity::{Fault, Faults};

/// Beginnings of the codes whose quotes are named: what a plant and a steel yard change most often. A number
/// or a size follows, and no screw, pump or chair.
const QUOTED: [(&str, &[&str]); 2] = [
    ("concrete", &["concrete-"]),
    ("steel", &["bar-no", "bar-", "wire-", "mesh-"]),
];

/// Adds a fault where a lump sum would leave something out, an allowance is more than the price, or an
/// alternate takes off more than there is.
pub(super) fn check_whole(request: &ProposalRequest, checked: &Checked, faults: &mut Faults) {
    check_complete(request, checked, faults);
    // What a budget leaves out may be the greater part.
    if checked.complete() {
        check_alternates(request, checked, faults);
    }
    let zero = Amount::zero(&checked.currency);
    let allowed = zero
        + request
            .allowances()
            .iter()
            .map(|sum| sum.amount)
            .sum::<Amount>();
    if allowed > checked.total() {
        let accepted = format!("allowances inside the price, {}", checked.total());
        faults.push(Fault::new(
            "/allowances",
            allowed.to_string(),
            accepted,
            None,
        ));
    }
}

/// One by one, since one may be ordered in place of another.
fn check_alternates(request: &ProposalRequest, checked: &Checked, faults: &mut Faults) {
    let (zero, total) = (Amount::zero(&checked.currency), checked.total());
    for (n, sum) in request.alternates().iter().enumerate() {
        if total + sum.amount < zero {
            let accepted = format!("an alternate that takes off no more than the price, {total}");
            faults.push(Fault::new(
                format!("/alternates/{n}/amount"),
                sum.amount.to_string(),
                accepted,
                Some(&format!("-{total}")),
            ));
        }
    }
}

fn check_complete(request: &ProposalRequest, checked: &Checked, faults: &mut Faults) {
    let is_budget = request.budget.unwrap_or(false);
    if !checked.complete() && !is_budget {
        let lines: Vec<&str> = checked
            .unpriced
            .iter()
            .map(|(code, ..)| code.as_str())
            .collect();
        let found = format!(
            "{} without a price: {}",
            counted(lines.len(), "line", "lines"),
            lines.join(", ")
        );
        let accepted = "an estimate whose every line has a price; or `budget` true, for a budget that says what it leaves out";
        faults.push(Fault::new(
            "/estimate/price/unpriced",
            found,
            accepted,
            None,
        ));
    }
}

pub(super) fn price(offer: &Offer<'_>) -> ProposalPrice {
    let currency = offer.checked.currency;
    let amount = offer.checked.total();
    ProposalPrice {
        currency: currency.code().to_owned(),
        amount,
        figures: money_in_figures(amount, &currency),
        words: money_in_words(amount, &currency),
        before_tax: offer.checked.before_tax(),
        tax: offer.checked.step(AnsweredStepName::TaxCharged),
    }
}

pub(super) fn amounts(sums: &[ProposalSum], currency: &Currency) -> Vec<ProposalAmount> {
    let each = |sum: &ProposalSum| {
        let amount = sum.amount.in_currency(currency);
        ProposalAmount {
            description: sum.description.clone(),
            amount,
            figures: grouped(amount),
        }
    };
    sums.iter().map(each).collect()
}

pub(super) fn rates(offer: &Offer<'_>) -> Vec<ProposalRate> {
    let extras = offer.answer.price.extras.iter().flatten();
    extras
        .map(|extra| ProposalRate {
            code: extra.code.clone(),
            what: extra.what.clone(),
            unit: extra.unit.clone(),
            amount: extra.charged,
            figures: extra.charged.map_or_else(
                || "not priced".to_owned(),
                |amount| grouped(amount.in_currency(&offer.checked.currency)),
            ),
        })
        .collect()
}

pub(super) fn price_section(offer: &Offer<'_>) -> ProposalSection {
    let mut section = ProposalSection::new(8);
    let price = price(offer);
    let facts = [("figures", price.figures), ("words", price.words)];
    let sentence = match (offer.budget, offer.checked.complete()) {
        (false, _) => &say().lump_sum,
        (true, true) => &say().budget_sum,
        (true, false) => &say().budget_part,
    };
    section.say(sentence, &facts);
    if !offer.checked.complete() {
        let missing = offer
            .checked
            .unpriced
            .iter()
            .map(|(_, what, _)| what.as_str());
        let list = missing.collect::<Vec<_>>().join("; ");
        section.say(&say().not_priced, &[("list", list)]);
    }
    say_tax(offer, &mut section);
    say_validity(offer, &mut section);
    section.table = beside(offer);
    section
}

fn say_tax(offer: &Offer<'_>, section: &mut ProposalSection) {
    let currency = &offer.checked.currency;
    let tax = offer.checked.step(AnsweredStepName::TaxCharged);
    if !tax.is_zero() {
        let facts = [
            ("tax", money_in_figures(tax, currency)),
            (
                "before",
                money_in_figures(offer.checked.before_tax(), currency),
            ),
        ];
        section.say(&say().tax_charged, &facts);
    } else if !offer.checked.step(AnsweredStepName::TaxPaid).is_zero() {
        section.say(&say().tax_materials, &[]);
    } else {
        section.say(&say().tax_none, &[]);
    }
}

/// Until when it is good, and of what day its prices are; a budget is good until no day.
fn say_validity(offer: &Offer<'_>, section: &mut ProposalSection) {
    let terms = offer.terms;
    let mut facts = vec![("date", terms.date.to_string())];
    if let Some(until) = terms.valid_until {
        facts.push(("until", until.to_string()));
        let days = counted(terms.valid_days as usize, "day", "days");
        facts.push(("days", days));
    }
    section.say(&say().validity, &facts);
    let quoted = QUOTED.iter().filter_map(|(what, codes)| {
        let named = |code: &str| codes.iter().any(|begin| is_size(code, begin));
        let day = oldest(offer, named)?;
        Some(format!("{what} as quoted on {day}"))
    });
    let quoted: Vec<String> = quoted.collect();
    if !quoted.is_empty() {
        facts.push(("quoted", quoted.join(" and ")));
        let sentence = if offer.budget {
            &say().budget_quoted
        } else {
            &say().quoted
        };
        section.say(sentence, &facts);
    }
    if let Some(oldest) = oldest(offer, |_| true) {
        section.say(&say().oldest, &[("oldest", oldest.to_string())]);
    }
}

/// Whether a code is of a kind, and what follows is a number.
fn is_size(code: &str, begin: &str) -> bool {
    let size = code.strip_prefix(begin);
    size.is_some_and(|size| size.starts_with(|c: char| c.is_ascii_digit()))
}

/// The oldest price of some lines.
fn oldest(offer: &Offer<'_>, of: impl Fn(&str) -> bool) -> Option<Day> {
    let lines = offer.answer.price.lines.iter();
    let of = lines.filter(|line| of(&line.code));
    of.filter_map(|line| Some(line.price_from.as_ref()?.effective))
        .min()
}

/// Alternates and allowances, under what each kind means.
fn beside(offer: &Offer<'_>) -> Option<ProposalTable> {
    let currency = &offer.checked.currency;
    let alternates = amounts(offer.request.alternates(), currency);
    let allowances = amounts(offer.request.allowances(), currency);
    if alternates.is_empty() && allowances.is_empty() {
        return None;
    }
    let of_kind =
        |kind: &str, sum: ProposalAmount| vec![format!("{kind}: {}", sum.description), sum.figures];
    let alternates = alternates.into_iter().map(|sum| {
        let kind = if sum.amount.minor() < 0 {
            &say().deducted
        } else {
            &say().added
        };
        of_kind(kind, sum)
    });
    let allowances = allowances
        .into_iter()
        .map(|sum| of_kind(&say().allowance, sum));
    let rows = alternates.chain(allowances).collect();
    Some(ProposalTable {
        heads: vec!["Beside the price".to_owned(), currency.code().to_owned()],
        rows,
        figures: 1,
    })
}

pub(super) fn extras_section(offer: &Offer<'_>) -> ProposalSection {
    let mut section = ProposalSection::new(9);
    match &offer.request.may_order_extras {
        Some(name) => section.say(&say().extras_start, &[("name", name.clone())]),
        None => section.say(&say().extras_nobody, &[]),
    }
    section.say(&say().extras_tax, &[]);
    let rates = rates(offer);
    let (priced, missing): (Vec<_>, Vec<_>) =
        rates.into_iter().partition(|rate| rate.amount.is_some());
    if !missing.is_empty() {
        let list: Vec<String> = missing.into_iter().map(|rate| rate.what).collect();
        section.say(&say().extras_missing, &[("list", list.join("; "))]);
    }
    let rows: Vec<Vec<String>> = priced
        .into_iter()
        .map(|rate| vec![rate.what, rate.unit, rate.figures])
        .collect();
    let code = offer.checked.currency.code().to_owned();
    section.table = (!rows.is_empty()).then(|| ProposalTable {
        heads: vec!["What".to_owned(), "For each".to_owned(), code],
        rows,
        figures: 1,
    });
    section
}
