//! Invoices and credit notes.
//!
//! Invariants: nothing is written that [`check_for_xml`](super::check_for_xml) refuses; elements stand in the order of the schema, and both
//! documents differ only where it makes them differ. Absent: the checks.

use super::check::check_for_xml;
use super::line::Line;
use super::money::{write_allowances, write_tax, write_totals};
use super::party::{Side, write_party};
use super::xml::{Xml, write_document};
use crate::billing::{Bill, BillKind, BillLine, PayTo, References, TaxCategory};
use crate::quantity::Faults;

/// The rules that a bill follows (EN 16931-1, BT-24).
const CUSTOMIZATION: &str = "urn:cen.eu:en16931:2017";
/// An invoice for work (UNTDID 1001).
const INVOICE: &str = "380";
/// A request to pay before the work (UNTDID 1001).
const PREPAYMENT: &str = "386";
/// A credit note (UNTDID 1001).
const CREDIT_NOTE: &str = "381";
/// A credit transfer (UNTDID 4461).
const TRANSFER: &str = "30";
/// How a credit note says that a reference is the project (UNTDID 1001).
const PROJECT: &str = "50";

/// The bill as UBL 2.1 by EN 16931: an `Invoice` or a `CreditNote`.
///
/// # Errors
/// Everything that [`check_for_xml`] finds; `at` is where the bill stands in the request.
///
/// # Source
/// OASIS Universal Business Language 2.1 (4 November 2013), its schemas; EN 16931-1:2017 and its syntax binding,
/// by the published validation rules 1.3.16. A test of the callers holds random bills to both.
pub fn write_bill(bill: &Bill, at: &str) -> Result<String, Faults> {
    check_for_xml(bill, at)?;
    let name = if bill.is_credit() {
        "CreditNote"
    } else {
        "Invoice"
    };
    Ok(write_document(name, bill.currency, |xml| {
        write_head(xml, bill);
        write_references(xml, bill);
        for (name, party, side) in [
            ("AccountingSupplierParty", &bill.seller, Side::Seller),
            ("AccountingCustomerParty", &bill.buyer, Side::Buyer),
        ] {
            xml.part(name, |xml| write_party(xml, party, side));
        }
        write_delivery(xml, bill);
        write_payment(xml, bill);
        write_allowances(xml, bill);
        write_tax(xml, &bill.tax);
        write_totals(xml, bill);
        for line in &bill.lines {
            write_line(xml, line, bill);
        }
    }))
}

fn write_head(xml: &mut Xml, bill: &Bill) {
    xml.text("CustomizationID", CUSTOMIZATION);
    xml.text("ID", &bill.number);
    xml.text("IssueDate", &bill.issue_date.to_string());
    match bill.kind {
        BillKind::CreditNote => xml.text("CreditNoteTypeCode", CREDIT_NOTE),
        kind => {
            let due = bill.due_date.map(|day| day.to_string());
            xml.maybe("DueDate", due.as_deref());
            let deposit = kind == BillKind::Deposit;
            xml.text(
                "InvoiceTypeCode",
                if deposit { PREPAYMENT } else { INVOICE },
            );
        }
    }
    for note in bill.reason.iter().chain(bill.notes.iter().flatten()) {
        xml.text("Note", note);
    }
    xml.text("DocumentCurrencyCode", bill.currency.code());
    let references = bill.references.as_ref();
    let asked = references.and_then(|references| references.buyer_reference.as_deref());
    xml.maybe("BuyerReference", asked);
    if let Some(period) = &bill.period {
        xml.part("InvoicePeriod", |xml| {
            xml.text("StartDate", &period.from.to_string());
            xml.text("EndDate", &period.to.to_string());
        });
    }
}

fn write_references(xml: &mut Xml, bill: &Bill) {
    let of = |pick: fn(&References) -> &Option<String>| {
        let references = bill.references.as_ref();
        references.and_then(|references| pick(references).as_deref())
    };
    xml.holding("OrderReference", ("ID", of(|all| &all.order)));
    if let Some(corrected) = &bill.corrects {
        xml.part("BillingReference", |xml| {
            xml.part("InvoiceDocumentReference", |xml| {
                xml.text("ID", &corrected.number);
                xml.text("IssueDate", &corrected.issue_date.to_string());
            });
        });
    }
    xml.holding("ContractDocumentReference", ("ID", of(|all| &all.contract)));
    if let Some(quotation) = of(|all| &all.quotation) {
        xml.part("AdditionalDocumentReference", |xml| {
            xml.text("ID", quotation);
            xml.text("DocumentDescription", "Quotation");
        });
    }
    match of(|all| &all.project) {
        Some(project) if bill.is_credit() => xml.part("AdditionalDocumentReference", |xml| {
            xml.text("ID", project);
            xml.text("DocumentTypeCode", PROJECT);
        }),
        project => xml.holding("ProjectReference", ("ID", project)),
    }
}

/// Goods that leave for another country of the area say where to (EN 16931, BR-IC-12): to the buyer.
fn write_delivery(xml: &mut Xml, bill: &Bill) {
    if bill.tax.category != TaxCategory::WithinArea {
        return;
    }
    let country = bill.buyer.country.as_deref();
    xml.part("Delivery", |xml| {
        xml.part("DeliveryLocation", |xml| {
            xml.part("Address", |xml| {
                xml.holding("Country", ("IdentificationCode", country));
            });
        });
    });
}

fn write_payment(xml: &mut Xml, bill: &Bill) {
    let Some(pay_to) = &bill.pay_to else {
        return;
    };
    if let Some(account) = pay_to.account.as_deref() {
        xml.part("PaymentMeans", |xml| {
            xml.text("PaymentMeansCode", TRANSFER);
            // Only here has a credit note a place for it.
            let due = bill.due_date.filter(|_| bill.is_credit());
            xml.maybe("PaymentDueDate", due.map(|day| day.to_string()).as_deref());
            write_account(xml, account, pay_to);
        });
    }
    xml.holding("PaymentTerms", ("Note", pay_to.terms.as_deref()));
}

fn write_account(xml: &mut Xml, account: &str, pay_to: &PayTo) {
    xml.part("PayeeFinancialAccount", |xml| {
        xml.text("ID", account);
        xml.maybe("Name", pay_to.account_name.as_deref());
        xml.holding("FinancialInstitutionBranch", ("ID", pay_to.bank.as_deref()));
    });
}

fn write_line(xml: &mut Xml, line: &BillLine, bill: &Bill) {
    let (name, quantity) = if bill.is_credit() {
        ("CreditNoteLine", "CreditedQuantity")
    } else {
        ("InvoiceLine", "InvoicedQuantity")
    };
    let unit = line.unit.as_deref().unwrap_or_default();
    let line = Line {
        id: &line.id,
        description: &line.description,
        amount: line.amount,
        quantity: line.quantity.map(|quantity| (quantity, unit)),
        item: line.item.as_deref(),
    };
    xml.part(name, |xml| {
        xml.text("ID", line.id);
        line.write_quantity(xml, quantity);
        line.write_item(xml, &bill.tax);
        line.write_price(xml);
    });
}
