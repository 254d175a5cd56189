//! Sections 10 to 13: payment, changes and warranty, safety, and who signs.
//!
//! Invariant: nobody is asked to sign a budget.

use super::basis::papers;
use super::text::say;
use super::work::counted;
use super::{Offer, ProposalSection};
use crate::job::Scope;

pub(super) fn payment(offer: &Offer<'_>) -> ProposalSection {
    let mut section = ProposalSection::new(10);
    let terms = offer.terms;
    let net = counted(terms.net_days as usize, "day", "days");
    let say = say();
    match terms.scope {
        Scope::Sub => {
            section.say(&say.sub_progress, &[("day", terms.billing_day.to_string())]);
            let release = counted(terms.release_days as usize, "day", "days");
            let facts = [("percent", terms.retained.clone()), ("release", release)];
            section.say(&say.sub_retained, &facts);
            section.say(&say.sub_net, &[("net", net)]);
            section.say(&say.sub_waivers, &[]);
        }
        Scope::Prime => {
            section.say(&say.prime_deposit, &[("percent", terms.deposit.clone())]);
            section.say(&say.prime_progress, &[("net", net)]);
            section.say(&say.prime_cancel, &[]);
        }
    }
    section
}

pub(super) fn changes(offer: &Offer<'_>) -> ProposalSection {
    let mut section = ProposalSection::new(11);
    let say = say();
    for sentence in [&say.changes, &say.hidden, &say.delay, &say.damage] {
        section.say(sentence, &[]);
    }
    let years = counted(offer.terms.warranty_years as usize, "year", "years");
    if offer.terms.warranty_years > 0 {
        section.say(&say.warranty, &[("years", years)]);
        section.say(&say.warranty_leaves, &[]);
    }
    section
}

pub(super) fn safety(offer: &Offer<'_>) -> ProposalSection {
    let mut section = ProposalSection::new(12);
    let say = say();
    for sentence in [&say.safety, &say.barricades, &say.papers] {
        section.say(sentence, &[]);
    }
    if let Some(licence) = &offer.request.seller.licence {
        section.say(&say.licence, &[("licence", licence.clone())]);
    }
    section.say(&say.professional, &[]);
    section.points = offer.request.terms.iter().flatten().cloned().collect();
    section
}

pub(super) fn agreement(offer: &Offer<'_>) -> ProposalSection {
    let mut section = ProposalSection::new(13);
    let say = say();
    if offer.budget {
        section.say(&say.budget_unsigned, &[]);
        if !offer.checked.complete() {
            section.say(&say.budget_open, &[]);
        }
        return section;
    }
    section.say(&say.acceptance, &[]);
    let papers = papers(offer);
    if !papers.is_empty() {
        section.say(&say.second_place, &[("documents", papers.join("; "))]);
    }
    if let Some(name) = &offer.request.may_order_extras {
        section.say(&say.ordering, &[("name", name.clone())]);
    }
    section
}
