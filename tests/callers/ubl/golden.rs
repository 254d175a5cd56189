//! Two bills and a quotation written out by hand, what the checker says when they are spoiled, and the lists of codes.
//!
//! Invariant: each spoiled document differs from a right one in one place.

use super::{faults, judge, says_what_the_bill_says};
use crossfall::billing::Bill;
use crossfall::catalog::SaleUnit;
use crossfall::documents::ubl::{
    accepts_country, accepts_currency, unit_code, write_bill, write_quotation,
};
use serde_json::Value;

const BILLS: [&str; 2] = [
    include_str!("../../data/ubl/invoice.json"),
    include_str!("../../data/ubl/credit-note.json"),
];

fn bills() -> Vec<Bill> {
    let read = |text: &&str| serde_json::from_str(text).expect("a bill");
    BILLS.iter().map(read).collect()
}

/// A place of the invoice, what is put there instead, and what must be said of it.
const SPOILED: &[(&str, &str, &str)] = &[
    (
        ">1637.93</cbc:PayableAmount>",
        ">1637.94</cbc:PayableAmount>",
        "BR-CO-16",
    ),
    (
        ">1737.93</cbc:TaxInclusiveAmount>",
        ">1737.92</cbc:TaxInclusiveAmount>",
        "BR-CO-15",
    ),
    (
        ">1853.58</cbc:LineExtensionAmount>",
        ">1853.59</cbc:LineExtensionAmount>",
        "BR-CO-10",
    ),
    (
        ">217.88</cbc:AllowanceTotalAmount>",
        ">217.87</cbc:AllowanceTotalAmount>",
        "BR-CO-11",
    ),
    (
        "<cbc:IdentificationCode>US</cbc:IdentificationCode>",
        "",
        "BR-09",
    ),
    (
        "<cbc:IdentificationCode>US</",
        "<cbc:IdentificationCode>ZZ</",
        "BR-CL-14",
    ),
    ("unitCode=\"YDQ\"", "unitCode=\"yd3\"", "BR-CL-23"),
    ("<cbc:CompanyID>MA-004411</cbc:CompanyID>", "", "BR-CO-26"),
    (
        "<cbc:Percent>6.25</cbc:Percent>",
        "<cbc:Percent>0</cbc:Percent>",
        "BR-S-06",
    ),
    ("<cbc:ID>INV-2026-014</cbc:ID>", "", "BR-02"),
    (
        ">845.50</cbc:PriceAmount>",
        ">-845.50</cbc:PriceAmount>",
        "BR-27",
    ),
    (
        ">845.50</cbc:LineExtensionAmount>",
        ">845.500</cbc:LineExtensionAmount>",
        "BR-DEC-23",
    ),
    (
        "<cbc:Note>Lot #12, south side</cbc:Note>",
        "<cbc:Note>Lot #12 #</cbc:Note>",
        "BR-CL-08",
    ),
    (
        "<cbc:AllowanceChargeReason>Retainage</cbc:AllowanceChargeReason>",
        "",
        "BR-33",
    ),
    ("<cbc:IssueDate>2026-06-12</cbc:IssueDate>", "", "IssueDate"),
    (
        "<cbc:IssueDate>2026-06-12<",
        "<cbc:IssueDate>12 June<",
        "IssueDate",
    ),
];

#[test]
fn the_checker_passes_what_is_right_and_catches_what_is_spoiled() {
    let bills = bills();
    let written = bills
        .iter()
        .map(|bill| write_bill(bill, "").expect("no fault"));
    let written: Vec<String> = written.collect();
    let spoil = |(right, wrong, _): &(&str, &str, &str)| {
        assert!(written[0].contains(right), "{right} does not stand there");
        written[0].replacen(right, wrong, 1)
    };
    let documents: Vec<String> = written
        .iter()
        .cloned()
        .chain(SPOILED.iter().map(spoil))
        .collect();
    let told = judge(&documents);
    let told = told["documents"].as_array().expect("one each");
    for (told, bill) in told.iter().zip(&bills) {
        assert_eq!(faults(told), Vec::<String>::new(), "{}", bill.number);
        says_what_the_bill_says(told, bill);
    }
    for (told, (_, wrong, rule)) in told[bills.len()..].iter().zip(SPOILED) {
        let said = faults(told);
        let caught = said.iter().any(|fault| fault.contains(rule));
        assert!(caught, "{wrong}: {said:?} and not {rule}");
    }
}

/// A place of the quotation, what is put there instead, and what its schema must say.
const SPOILED_QUOTATION: &[(&str, &str, &str)] = &[
    ("<cbc:IssueDate>2026-05-04</cbc:IssueDate>", "", "IssueDate"),
    (
        ">1800.000</cbc:PayableAmount>",
        ">a lot</cbc:PayableAmount>",
        "PayableAmount",
    ),
    (
        "QuotedMonetaryTotal",
        "LegalMonetaryTotal",
        "LegalMonetaryTotal",
    ),
    ("<cbc:ID>RFQ 7</cbc:ID>", "", "DocumentType"),
];

/// EN 16931 has no quotations, so that only the schema speaks.
#[test]
fn a_quotation_fits_its_schema_until_it_is_spoiled() {
    let text = include_str!("../../data/ubl/quotation.json");
    let quotation = serde_json::from_str(text).expect("a quotation");
    let written = write_quotation(&quotation);
    let spoil = |(right, wrong, _): &(&str, &str, &str)| {
        assert!(written.contains(right), "{right} does not stand there");
        written.replace(right, wrong)
    };
    let documents = std::iter::once(written.clone()).chain(SPOILED_QUOTATION.iter().map(spoil));
    let told = judge(&documents.collect::<Vec<_>>());
    let told = told["documents"].as_array().expect("one each");
    assert_eq!(faults(&told[0]), Vec::<String>::new());
    assert_eq!(told[0]["products"], true);
    assert_eq!(told[0]["totals"]["PayableAmount"], "1800.000");
    for (told, (_, wrong, name)) in told[1..].iter().zip(SPOILED_QUOTATION) {
        let said = faults(told);
        let caught = said.iter().any(|fault| fault.contains(name));
        assert!(caught, "{wrong}: {said:?} and not {name}");
    }
}

#[test]
fn our_codes_are_on_the_published_lists() {
    let told = judge(&[]);
    let list = |name: &str| -> Vec<String> {
        let list = told["lists"][name].as_array().expect("a list");
        let text = |code: &Value| code.as_str().expect("a code").to_owned();
        list.iter().map(text).collect()
    };
    let (countries, currencies, units) = (list("countries"), list("currencies"), list("units"));
    let letters = || (b'A'..=b'Z').map(char::from);
    let pairs = || letters().flat_map(move |a| letters().map(move |b| format!("{a}{b}")));
    let ours: Vec<String> = pairs().filter(|code| accepts_country(code)).collect();
    assert!(ours.len() > 240, "{} countries", ours.len());
    assert!(ours.iter().all(|code| countries.contains(code)));
    let triples = pairs().flat_map(|pair| letters().map(move |c| format!("{pair}{c}")));
    let ours: Vec<String> = triples.filter(|code| accepts_currency(code)).collect();
    assert!(ours.len() > 140, "{} currencies", ours.len());
    let strange: Vec<&String> = ours
        .iter()
        .filter(|code| !currencies.contains(code))
        .collect();
    assert!(strange.is_empty(), "{strange:?}");
    for word in SaleUnit::WORDS.iter().chain(&[""]) {
        let code = unit_code(word).expect("a code");
        assert!(units.iter().any(|unit| unit == code), "{word}: {code}");
    }
}
