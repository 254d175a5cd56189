//! What EN 16931 asks of a bill beyond what a bill has: checked before anything is written.
//!
//! Invariants: every fault is found, each at its place in the bill, with the rule it would break; a bill that passes
//! breaks no rule of the standard. Absent: what a country or a receiver asks beyond it.

use super::check_tax::check_tax;
use super::codes::{accepts_country, accepts_currency, unit_code};
use super::party::vat_number;
use crate::billing::{Bill, Party, PayTo, References, check_text};
use crate::quantity::money::Amount;
use crate::quantity::{Fault, Faults};

/// Most characters of a text in a bill.
const TEXT_AT_MOST: usize = 2_000;
/// Most decimals of an amount (EN 16931, BR-DEC).
const DECIMALS: u8 = 2;

/// Faults as they are found, each below one place.
pub(super) struct Found {
    at: String,
    faults: Faults,
}

impl Found {
    pub(super) fn push(&mut self, field: &str, found: &str, accepted: &str) {
        self.with_example(field, found, (accepted, None));
    }

    fn with_example(
        &mut self,
        field: &str,
        found: &str,
        (accepted, example): (&str, Option<&str>),
    ) {
        let at = format!("{}/{field}", self.at);
        self.faults.push(Fault::new(at, found, accepted, example));
    }

    fn text(&mut self, field: &str, text: &str) {
        let at = format!("{}/{field}", self.at);
        check_text(text, TEXT_AT_MOST, (&at, &mut self.faults));
    }

    fn maybe(&mut self, field: &str, text: Option<&String>) {
        if let Some(text) = text {
            self.text(field, text);
        }
    }
}

/// Whether a bill can be written as XML; `at` is where it stands in the request.
///
/// # Errors
/// Everything that does not add up or that a rule of EN 16931 refuses.
pub fn check_for_xml(bill: &Bill, at: &str) -> Result<(), Faults> {
    let sums = bill.check(at).err().unwrap_or_default();
    let mut found = Found {
        at: at.to_owned(),
        faults: sums,
    };
    check_currency(bill, &mut found);
    check_parties(bill, &mut found);
    check_tax(bill, &mut found);
    check_dates(bill, &mut found);
    check_lines(bill, &mut found);
    check_texts(bill, &mut found);
    found.faults.or(())
}

fn check_currency(bill: &Bill, found: &mut Found) {
    let code = bill.currency.code();
    if bill.currency.exponent() > DECIMALS {
        let accepted =
            "a currency of at most two decimals as XML (EN 16931, BR-DEC); other formats take any";
        found.push("currency", code, accepted);
    } else if !accepts_currency(code) {
        found.push("currency", code, "a currency in use (ISO 4217; BR-CL-04)");
    }
}

fn check_parties(bill: &Bill, found: &mut Found) {
    for (field, party, rule) in [
        ("seller", &bill.seller, "BR-9"),
        ("buyer", &bill.buyer, "BR-11"),
    ] {
        let at = format!("{}/{field}", found.at);
        party.check(&at, &mut found.faults);
        check_country(party, (field, rule), found);
    }
    let seller = &bill.seller;
    if seller.registration.is_none() && vat_number(seller).is_none() {
        let accepted = "a number in a register, or a `tax_id` that begins with the letters of the seller's country (EN 16931, BR-CO-26)";
        found.push("seller/registration", "nothing", accepted);
    }
}

fn check_country(party: &Party, (field, rule): (&str, &str), found: &mut Found) {
    let country = party.country.as_deref();
    if country.is_some_and(accepts_country) {
        return;
    }
    let accepted = format!("the two letters of a country (ISO 3166-1; EN 16931, {rule})");
    let said = country.unwrap_or("nothing");
    let field = format!("{field}/country");
    found.with_example(&field, said, (&accepted, Some("US")));
}

fn check_dates(bill: &Bill, found: &mut Found) {
    if let Some(period) = bill
        .period
        .as_ref()
        .filter(|period| period.to < period.from)
    {
        let accepted = format!("a day not before {} (EN 16931, BR-29)", period.from);
        found.push("period/to", &period.to.to_string(), &accepted);
    }
    let terms = bill
        .pay_to
        .as_ref()
        .and_then(|pay_to| pay_to.terms.as_ref());
    let due = bill.due_date.is_some() || terms.is_some() || bill.is_credit();
    if bill.totals.payable > Amount::ZERO && !due {
        let accepted = "a day, or `pay_to/terms`, where something is due (EN 16931, BR-CO-25)";
        found.with_example("due_date", "nothing", (accepted, Some("2026-06-30")));
    }
}

fn check_lines(bill: &Bill, found: &mut Found) {
    if bill.lines.is_empty() {
        found.push("lines", "none", "at least one line (EN 16931, BR-16)");
    }
    for (index, line) in bill.lines.iter().enumerate() {
        let at = format!("lines/{index}");
        found.text(&format!("{at}/id"), &line.id);
        found.text(&format!("{at}/description"), &line.description);
        found.maybe(&format!("{at}/item"), line.item.as_ref());
        let unit = line.unit.as_deref().unwrap_or_default();
        if line.quantity.is_some() && unit_code(unit).is_none() {
            let accepted = "a unit of the price book, which has a code in UN/ECE Recommendation 20";
            found.with_example(&format!("{at}/unit"), unit, (accepted, Some("yd3")));
        }
    }
    for (index, held) in bill.allowances.iter().enumerate() {
        found.text(&format!("allowances/{index}/reason"), &held.reason);
    }
}

fn check_texts(bill: &Bill, found: &mut Found) {
    found.text("number", &bill.number);
    if let Some(reason) = &bill.reason {
        check_note("reason", reason, found);
    }
    for (index, note) in bill.notes.iter().flatten().enumerate() {
        check_note(&format!("notes/{index}"), note, found);
    }
    if let Some(references) = &bill.references {
        for (field, text) in references_of(references) {
            found.maybe(&format!("references/{field}"), text);
        }
    }
    if let Some(corrected) = &bill.corrects {
        found.text("corrects/number", &corrected.number);
    }
    found.maybe("tax/reason", bill.tax.reason.as_ref());
    if let Some(pay_to) = &bill.pay_to {
        check_payment(pay_to, found);
    }
}

/// A note between whose number signs stand three characters is read as one with a code for its subject.
fn check_note(field: &str, note: &str, found: &mut Found) {
    found.text(field, note);
    let mut parts = note.splitn(3, '#').skip(1);
    let between = parts.next().filter(|_| parts.next().is_some());
    if between.is_some_and(|between| between.chars().count() == 3) {
        let accepted = "no three characters between two number signs, which software reads as a code (EN 16931, BR-CL-08)";
        found.push(field, note, accepted);
    }
}

pub(super) fn references_of(all: &References) -> [(&'static str, Option<&String>); 5] {
    [
        ("order", all.order.as_ref()),
        ("contract", all.contract.as_ref()),
        ("project", all.project.as_ref()),
        ("quotation", all.quotation.as_ref()),
        ("buyer_reference", all.buyer_reference.as_ref()),
    ]
}

fn check_payment(pay_to: &PayTo, found: &mut Found) {
    for (field, text) in [
        ("account", pay_to.account.as_ref()),
        ("account_name", pay_to.account_name.as_ref()),
        ("bank", pay_to.bank.as_ref()),
        ("terms", pay_to.terms.as_ref()),
    ] {
        found.maybe(&format!("pay_to/{field}"), text);
    }
    let bank = pay_to.account_name.is_some() || pay_to.bank.is_some();
    if bank && pay_to.account.is_none() {
        let accepted = "the account that the name and the bank belong to (EN 16931, BR-50)";
        found.push("pay_to/account", "nothing", accepted);
    }
}
