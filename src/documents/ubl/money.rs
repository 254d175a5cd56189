//! Tax, what is held back, and the sums.
//!
//! Invariant: nothing is added up here that the bill has not added up; what is held back below zero stands as a
//! charge, since readers take an allowance for something that lowers the bill. Absent: the lines.

use super::xml::Xml;
use crate::billing::{Bill, BillAllowance, BillTax, TaxCategory};
use crate::quantity::money::{Amount, Decimal4, Percentage};

/// The scheme of every category: EN 16931 has no other.
const SCHEME: (&str, Option<&str>) = ("ID", Some("VAT"));

/// A rate as it is written: percent, with no more decimals than it has.
fn percent(rate: Percentage) -> String {
    Decimal4::from_ten_thousandths(rate.millionths()).to_string()
}

/// The category of a line or of an allowance, under the name of the element it stands in.
pub(super) fn write_category(xml: &mut Xml, name: &str, tax: &BillTax) {
    xml.part(name, |xml| {
        write_rate(xml, tax);
        xml.holding("TaxScheme", SCHEME);
    });
}

fn write_rate(xml: &mut Xml, tax: &BillTax) {
    xml.text("ID", tax.category.word());
    // What is no tax has no rate, not even one of zero.
    if tax.category != TaxCategory::OutOfScope {
        xml.text("Percent", &percent(tax.rate));
    }
}

/// The tax, and what it is reckoned on.
pub(super) fn write_tax(xml: &mut Xml, tax: &BillTax) {
    xml.part("TaxTotal", |xml| {
        xml.amount("TaxAmount", tax.amount);
        xml.part("TaxSubtotal", |xml| {
            xml.amount("TaxableAmount", tax.taxable);
            xml.amount("TaxAmount", tax.amount);
            xml.part("TaxCategory", |xml| {
                write_rate(xml, tax);
                xml.maybe("TaxExemptionReason", tax.reason.as_deref());
                xml.holding("TaxScheme", SCHEME);
            });
        });
    });
}

/// What is held back, each with its reason.
pub(super) fn write_allowances(xml: &mut Xml, bill: &Bill) {
    for held in &bill.allowances {
        write_allowance(xml, held, &bill.tax);
    }
}

fn write_allowance(xml: &mut Xml, held: &BillAllowance, tax: &BillTax) {
    let charged = held.amount < Amount::ZERO;
    let sign = |amount: Amount| if charged { -amount } else { amount };
    xml.part("AllowanceCharge", |xml| {
        xml.text("ChargeIndicator", if charged { "true" } else { "false" });
        xml.text("AllowanceChargeReason", &held.reason);
        // A product stands there only where it comes out.
        let multiplies = held.base.percent(held.rate) == held.amount;
        if multiplies {
            xml.text("MultiplierFactorNumeric", &percent(held.rate));
        }
        xml.amount("Amount", sign(held.amount));
        if multiplies {
            xml.amount("BaseAmount", sign(held.base));
        }
        write_category(xml, "TaxCategory", tax);
    });
}

/// The sums of a bill.
pub(super) fn write_totals(xml: &mut Xml, bill: &Bill) {
    let totals = &bill.totals;
    let amounts = || bill.allowances.iter().map(|held| held.amount);
    let (charged, held): (Vec<_>, Vec<_>) = amounts().partition(|amount| *amount < Amount::ZERO);
    xml.part("LegalMonetaryTotal", |xml| {
        xml.amount("LineExtensionAmount", totals.lines);
        xml.amount("TaxExclusiveAmount", totals.before_tax);
        xml.amount("TaxInclusiveAmount", totals.with_tax);
        if !held.is_empty() {
            xml.amount("AllowanceTotalAmount", held.iter().sum());
        }
        if !charged.is_empty() {
            xml.amount("ChargeTotalAmount", -charged.iter().sum::<Amount>());
        }
        if !totals.paid.is_zero() {
            xml.amount("PrepaidAmount", totals.paid);
        }
        xml.amount("PayableAmount", totals.payable);
    });
}
