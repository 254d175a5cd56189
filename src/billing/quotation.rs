//! A quotation: what a priced answer is offered for, as software of the buyer reads it.
//!
//! Invariants: nothing is offered while a line has no price; the lines add up to the price before tax and the total is
//! the price, to the minor unit, unless a tax is asked for that the estimate does not charge. Absent: how it is
//! written.

use super::bill::{BillTax, References, TaxCategory};
use super::bill_sums::name_of;
use super::head::{check_notes, check_references, notes};
use super::invoice::check_complete;
use super::party::Party;
use super::request::TaxRequest;
use super::schedule::{ScheduleItem, ScheduleRequest, divide};
use super::terms::TaxTerms;
use crate::answered::check_number;
use crate::answered::{Answered, AnsweredStepName, Checked};
use crate::job::{Day, sent};
use crate::quantity::money::{Amount, Currency, Decimal4};
use crate::quantity::{Fault, Faults};

sent! {
    /// A quotation that is asked for.
    QuotationRequest {
        required {
            /// Number of the quotation.
            number: String,
            /// Its date.
            issue_date: Day,
            /// Who sells.
            seller: Party,
            /// Who may buy.
            buyer: Party,
            /// The answer of `POST /v1/estimates`, as it came.
            estimate: Answered,
        }
        optional {
            /// Last day on which it can be taken.
            valid_until: Day,
            /// The tax; that which the estimate charges where left out.
            tax: TaxRequest,
            /// How the price is divided into lines; one for the whole job where left out.
            schedule: ScheduleRequest,
            /// Papers that it refers to.
            references: References,
            /// Sentences for the reader.
            notes: Vec<String>,
            /// The seller's mark as base64, for paper: a PNG or JPEG of at most 200 kB.
            logo: String,
        }
    }
}

kept! {
    /// A quotation: an offer, line by line.
    Quotation {
        required {
            /// The same for the same quotation.
            id: String,
            /// Its number.
            number: String,
            /// Its date.
            issue_date: Day,
            /// Currency of every amount (ISO 4217).
            currency: Currency,
            /// Who sells.
            seller: Party,
            /// Who may buy.
            buyer: Party,
            /// Name of the job.
            job: String,
            /// Fingerprint of the estimate that it rests on.
            fingerprint: String,
            /// What is offered.
            lines: Vec<QuotationLine>,
            /// Tax on it.
            tax: BillTax,
            /// The sums.
            totals: QuotationTotals,
        }
        optional {
            /// Last day on which it can be taken.
            valid_until: Day,
            /// Papers that it refers to.
            references: References,
            /// Sentences for the reader.
            notes: Vec<String>,
        }
    }

    /// One line of a quotation.
    QuotationLine {
        required {
            /// Its name: that of the item of the schedule of values.
            id: String,
            /// In words.
            description: String,
            /// Without tax, with its share of overhead and profit.
            amount: Amount,
        }
        optional {
            /// How much, where the line is one price line.
            quantity: Decimal4,
            /// The unit of it, as the price book has it.
            unit: String,
            /// A code of cost for the bookkeeper.
            cost_code: String,
        }
    }

    /// The sums of a quotation.
    QuotationTotals {
        required {
            /// The lines.
            before_tax: Amount,
            /// The tax.
            tax: Amount,
            /// The price.
            total: Amount,
        }
        optional {}
    }
}

/// The quotation that is asked for.
///
/// # Errors
/// Everything that is wrong with what was sent.
pub fn make_quotation(sent: &QuotationRequest) -> Result<Quotation, Faults> {
    let mut faults = Faults::default();
    check_head(sent, &mut faults);
    let checked = match sent.estimate.check("/estimate") {
        Ok(checked) => checked,
        Err(more) => {
            faults.0.extend(more.0);
            return Err(faults);
        }
    };
    check_complete(&checked, "/estimate", &mut faults);
    let before_tax = checked.before_tax();
    let tax = tax_on(sent, (&checked, before_tax), &mut faults);
    let lines = lines(sent, (&checked, before_tax), &mut faults);
    let quotation = quotation(sent, &checked, (lines, tax));
    faults.or(quotation)
}

fn check_head(sent: &QuotationRequest, faults: &mut Faults) {
    check_number(&sent.number, ("/number", faults));
    sent.seller.check("/seller", faults);
    sent.buyer.check("/buyer", faults);
    if let Some(last) = sent.valid_until.filter(|last| *last < sent.issue_date) {
        let accepted = format!("{} or later", sent.issue_date);
        let fault = Fault::new("/valid_until", last.to_string(), accepted, None);
        faults.push(fault);
    }
    check_references(sent.references.as_ref(), faults);
    check_notes(sent.notes.as_deref(), faults);
}

fn tax_on(
    sent: &QuotationRequest,
    (checked, taxable): (&Checked, Amount),
    faults: &mut Faults,
) -> BillTax {
    let terms = TaxTerms::of(sent.tax.as_ref(), checked, ("/tax", faults));
    let charged = checked.step(AnsweredStepName::TaxCharged);
    let amount = if charged.is_zero() {
        taxable.percent(terms.rate)
    } else {
        charged
    };
    if terms.category == TaxCategory::OutOfScope && !amount.is_zero() {
        let accepted = "a rate beside the tax that is charged; an answer is sent back as it came";
        let at = "/estimate/price/build_up";
        faults.push(Fault::new(at, amount.to_string(), accepted, None));
    }
    BillTax {
        category: terms.category,
        rate: terms.rate,
        taxable,
        amount,
        reason: terms.reason,
    }
}

fn lines(
    sent: &QuotationRequest,
    of: (&Checked, Amount),
    faults: &mut Faults,
) -> Vec<QuotationLine> {
    let items = divide(of, sent.schedule.as_ref(), "/schedule");
    let items = items.unwrap_or_else(|more| {
        faults.0.extend(more.0);
        Vec::new()
    });
    if items.is_empty() && faults.is_empty() {
        let accepted = "at least one line, or there is nothing to offer";
        faults.push(Fault::new("/estimate/price/lines", "none", accepted, None));
    }
    items.into_iter().map(line).collect()
}

fn line(item: ScheduleItem) -> QuotationLine {
    let (quantity, unit) = item.quantity.unzip();
    QuotationLine {
        id: item.id,
        description: item.description,
        amount: item.amount,
        quantity,
        unit,
        cost_code: item.cost_code,
    }
}

fn quotation(
    sent: &QuotationRequest,
    checked: &Checked,
    (lines, tax): (Vec<QuotationLine>, BillTax),
) -> Quotation {
    let totals = QuotationTotals {
        before_tax: tax.taxable,
        tax: tax.amount,
        total: tax.taxable + tax.amount,
    };
    let mut quotation = Quotation {
        id: String::new(),
        number: sent.number.clone(),
        issue_date: sent.issue_date,
        currency: checked.currency,
        seller: sent.seller.clone(),
        buyer: sent.buyer.clone(),
        job: checked.name.clone(),
        fingerprint: checked.fingerprint.clone(),
        lines,
        tax,
        totals,
        valid_until: sent.valid_until,
        references: sent.references.clone(),
        notes: notes(sent.notes.as_deref(), checked.demo),
    };
    quotation.id = name_of("quotation", &quotation);
    quotation
}
