//! Quotations.
//!
//! Invariants: elements stand in the order of the schema; EN 16931 has no quotations, so that only the schema binds, and
//! currencies of three decimals are fine. Absent: the buyer's answer.

use super::line::Line;
use super::money::write_tax;
use super::party::{Side, write_party};
use super::xml::{Xml, write_document};
use crate::billing::{Quotation, QuotationLine, References};

/// The quotation as UBL 2.1.
///
/// # Source
/// OASIS Universal Business Language 2.1 (4 November 2013), its schema of a `Quotation`, which a test of the callers
/// holds random quotations to.
pub fn write_quotation(quotation: &Quotation) -> String {
    write_document("Quotation", quotation.currency, |xml| {
        write_head(xml, quotation);
        for (name, party, side) in [
            ("SellerSupplierParty", &quotation.seller, Side::Seller),
            ("BuyerCustomerParty", &quotation.buyer, Side::Buyer),
        ] {
            xml.part(name, |xml| write_party(xml, party, side));
        }
        write_tax(xml, &quotation.tax);
        let totals = &quotation.totals;
        xml.part("QuotedMonetaryTotal", |xml| {
            xml.amount("LineExtensionAmount", totals.before_tax);
            xml.amount("TaxExclusiveAmount", totals.before_tax);
            xml.amount("TaxInclusiveAmount", totals.total);
            xml.amount("PayableAmount", totals.total);
        });
        for line in &quotation.lines {
            write_line(xml, line, quotation);
        }
    })
}

fn write_head(xml: &mut Xml, quotation: &Quotation) {
    xml.text("UBLVersionID", "2.1");
    xml.text("ID", &quotation.number);
    xml.text("IssueDate", &quotation.issue_date.to_string());
    for note in quotation.notes.iter().flatten() {
        xml.text("Note", note);
    }
    xml.text("PricingCurrencyCode", quotation.currency.code());
    xml.text("LineCountNumeric", &quotation.lines.len().to_string());
    if let Some(last) = quotation.valid_until {
        xml.part("ValidityPeriod", |xml| {
            xml.text("StartDate", &quotation.issue_date.to_string());
            xml.text("EndDate", &last.to_string());
        });
    }
    if let Some(references) = &quotation.references {
        write_references(xml, references);
    }
}

/// A quotation has no places of their own for most papers, so each says what it is.
fn write_references(xml: &mut Xml, references: &References) {
    for (text, what) in [
        (&references.order, "Order"),
        (&references.project, "Project"),
        (&references.quotation, "Quotation"),
        (&references.buyer_reference, "Buyer reference"),
    ] {
        if let Some(text) = text {
            xml.part("AdditionalDocumentReference", |xml| {
                xml.text("ID", text);
                xml.text("DocumentType", what);
            });
        }
    }
    xml.holding("Contract", ("ID", references.contract.as_deref()));
}

fn write_line(xml: &mut Xml, line: &QuotationLine, quotation: &Quotation) {
    let unit = line.unit.as_deref().unwrap_or_default();
    let line = Line {
        id: &line.id,
        description: &line.description,
        amount: line.amount,
        quantity: line.quantity.map(|quantity| (quantity, unit)),
        item: line.cost_code.as_deref(),
    };
    xml.part("QuotationLine", |xml| {
        xml.text("ID", line.id);
        xml.part("LineItem", |xml| {
            xml.text("ID", line.id);
            line.write_quantity(xml, "Quantity");
            line.write_price(xml);
            line.write_item(xml, &quotation.tax);
        });
    });
}
