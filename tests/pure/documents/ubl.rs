//! Bills as XML: what is refused before it is written, and how what is written looks.
//!
//! Invariant: the bills are those which a test of the callers holds to the published schemas and rules, so that what is refused
//! here is known to be right but for one thing.

use crossfall::billing::Bill;
use crossfall::documents::ubl::{write_bill, write_quotation};
use serde_json::{Value, json};

const INVOICE: &str = include_str!("../../data/ubl/invoice.json");
const QUOTATION: &str = include_str!("../../data/ubl/quotation.json");
const CREDIT_NOTE: &str = include_str!("../../data/ubl/credit-note.json");

/// A bill with some places changed; `null` takes a place away.
fn changed(text: &str, places: &[(&str, Value)]) -> Bill {
    let mut bill: Value = serde_json::from_str(text).expect("JSON");
    for (at, value) in places {
        let (above, field) = at.rsplit_once('/').expect("a pointer");
        let above = bill.pointer_mut(above).expect("a place");
        match (above, value) {
            (Value::Object(all), Value::Null) => drop(all.shift_remove(field)),
            (Value::Object(all), _) => drop(all.insert(field.to_owned(), value.clone())),
            (other, _) => other[field.parse::<usize>().expect("an index")] = value.clone(),
        }
    }
    serde_json::from_value(bill).expect("a bill")
}

/// A bill without tax, in a category that charges none.
fn untaxed(category: &str, more: &[(&str, Value)]) -> Bill {
    let tax = json!({"category": category, "rate": "0 %", "taxable": "171.00", "amount": "0.00", "reason": "Told"});
    let mut places = vec![
        ("/tax", tax),
        ("/totals/tax", json!("0.00")),
        ("/totals/with_tax", json!("171.00")),
        ("/totals/payable", json!("171.00")),
        ("/period", json!({"from": "2026-06-01", "to": "2026-06-30"})),
        ("/buyer/tax_id", json!("DE111111111")),
    ];
    places.extend_from_slice(more);
    changed(CREDIT_NOTE, &places)
}

#[track_caller]
fn refused(bill: &Bill) -> Vec<String> {
    let faults = write_bill(bill, "/bill").expect_err("a fault");
    faults.0.into_iter().map(|fault| fault.pointer).collect()
}

/// One thing of the invoice, what is put there, and where the fault is told.
#[test]
fn what_breaks_a_rule_of_the_standard_is_refused_at_its_place() {
    for (at, value, told) in [
        ("/seller/country", json!(null), "seller/country"),
        ("/seller/country", json!("ZZ"), "seller/country"),
        ("/buyer/country", json!(null), "buyer/country"),
        ("/buyer/country", json!("us"), "buyer/country"),
        ("/seller/registration", json!(null), "seller/registration"),
        ("/seller/tax_id", json!(null), "seller/tax_id"),
        ("/seller/name", json!("a\u{1}b"), "seller/name"),
        ("/tax/reason", json!("Told"), "tax/reason"),
        ("/tax/rate", json!("5 %"), "tax/amount"),
        ("/tax/rate", json!("0 %"), "tax/rate"),
        ("/period/to", json!("2026-05-14"), "period/to"),
        ("/lines/0/unit", json!("furlong"), "lines/0/unit"),
        ("/lines/1/description", json!(" "), "lines/1/description"),
        ("/lines/2/id", json!(""), "lines/2/id"),
        ("/allowances/0/reason", json!(""), "allowances/0/reason"),
        ("/pay_to/account", json!(null), "pay_to/account"),
        ("/notes/0", json!("Lots #12 #13"), "notes/0"),
        ("/references/order", json!("\u{2028}"), "references/order"),
        ("/totals/payable", json!("1637.94"), "totals/payable"),
    ] {
        let bill = changed(INVOICE, &[(at, value.clone())]);
        let told = format!("/bill/{told}");
        let pointers = refused(&bill);
        assert!(pointers.contains(&told), "{at} {value}: {pointers:?}");
    }
}

#[test]
fn something_due_needs_a_day_or_terms() {
    let neither = [("/due_date", json!(null)), ("/pay_to", json!(null))];
    assert_eq!(refused(&changed(INVOICE, &neither)), ["/bill/due_date"]);
    for one in neither {
        assert!(write_bill(&changed(INVOICE, &[one]), "").is_ok());
    }
}

/// EN 16931-1, the rules of each category (BR-Z, BR-E, BR-AE, BR-IC, BR-G, BR-O), as published with their tests.
#[test]
fn each_category_of_tax_asks_its_own() {
    let none = json!(null);
    for category in ["E", "AE", "K", "G"] {
        assert!(
            write_bill(&untaxed(category, &[]), "").is_ok(),
            "{category}"
        );
        let bare = untaxed(category, &[("/tax/reason", none.clone())]);
        assert_eq!(refused(&bare), ["/bill/tax/reason"], "{category}");
        let rated = untaxed(category, &[("/tax/rate", json!("7 %"))]);
        assert_eq!(refused(&rated), ["/bill/tax/rate"], "{category}");
        let seller = [
            ("/seller/tax_id", none.clone()),
            ("/seller/registration", json!("R-1")),
        ];
        let nameless = untaxed(category, &seller);
        assert_eq!(refused(&nameless), ["/bill/seller/tax_id"], "{category}");
    }
    for category in ["AE", "K"] {
        let stranger = untaxed(category, &[("/buyer/tax_id", none.clone())]);
        assert_eq!(refused(&stranger), ["/bill/buyer/tax_id"], "{category}");
    }
    assert_eq!(
        refused(&untaxed("K", &[("/period", none.clone())])),
        ["/bill/period"]
    );
    assert_eq!(refused(&untaxed("Z", &[])), ["/bill/tax/reason"]);
    assert!(write_bill(&untaxed("Z", &[("/tax/reason", none)]), "").is_ok());
    let outside = ["/bill/seller/tax_id", "/bill/buyer/tax_id"];
    assert_eq!(refused(&untaxed("O", &[])), outside);
}

#[test]
fn a_currency_of_three_decimals_is_refused_once_and_one_of_none_has_none() {
    let dinar = changed(INVOICE, &[("/currency", json!("KWD"))]);
    assert_eq!(refused(&dinar), ["/bill/currency"]);
    let strange = changed(INVOICE, &[("/currency", json!("XXX"))]);
    assert_eq!(refused(&strange), ["/bill/currency"]);
    let yen = json!({
        "lines": "180", "allowances": "0", "before_tax": "180", "tax": "18", "with_tax": "198", "paid": "0", "payable": "198"
    });
    let tax = json!({"category": "S", "rate": "10 %", "taxable": "180", "amount": "18"});
    let places = [
        ("/currency", json!("JPY")),
        ("/allowances", json!([])),
        ("/tax", tax),
        ("/totals", yen),
        ("/lines/0/amount", json!("180")),
    ];
    let xml = write_bill(&changed(CREDIT_NOTE, &places), "").expect("no fault");
    assert!(xml.contains("<cbc:PayableAmount currencyID=\"JPY\">198</cbc:PayableAmount>"));
}

/// Whole files, kept to be looked at: `UPDATE=1` in the environment writes them anew.
#[test]
fn the_golden_papers_are_written_as_they_were() {
    let bill = |text| write_bill(&changed(text, &[]), "").expect("no fault");
    let quotation = serde_json::from_str(QUOTATION).expect("a quotation");
    for (name, xml) in [
        ("invoice", bill(INVOICE)),
        ("credit-note", bill(CREDIT_NOTE)),
        ("quotation", write_quotation(&quotation)),
    ] {
        let path = format!("{}/tests/data/ubl/{name}.xml", env!("CARGO_MANIFEST_DIR"));
        if std::env::var_os("UPDATE").is_some() {
            std::fs::write(&path, &xml).expect("it can be written");
        }
        let kept = std::fs::read_to_string(&path).expect("it was kept");
        assert_eq!(xml, kept, "{name}");
    }
}
