//! Bills, quotations and journals whose texts are anybody's: as XML, CSV, HTML, PDF and plain ledgers.
//!
//! Invariants: what is written as XML has the elements of the same paper with plain texts, and gives
//! every text back; what is refused is refused before anything is written. The input is texts parted by
//! zeros, each after a byte that says where it goes.

use super::papers::{check_html, check_markup, leaves};
use crossfall::billing::{Bill, Quotation};
use crossfall::documents::drawing::{Paper, write_pdf};
use crossfall::documents::ledger::write_bill_lines;
use crossfall::documents::paper::{Document, lay_out_document, write_document};
use crossfall::documents::ubl::{write_bill, write_quotation};
use crossfall::documents::{compose_bill, compose_quotation, write_quotation_lines};
use crossfall::sheet::{Limits, read_csv};
use serde_json::Value;

const PAPERS: [&str; 3] = [
    include_str!("../../../data/ubl/invoice.json"),
    include_str!("../../../data/ubl/credit-note.json"),
    include_str!("../../../data/ubl/quotation.json"),
];

const LIMITS: Limits = Limits {
    rows: 100,
    row_bytes: 65_536,
    columns: 100,
    unfolded_bytes: 1_000_000,
};

/// Fields that a text may be put into without the paper having other elements.
const FREE: &[&str] = &[
    "name",
    "street",
    "city",
    "region",
    "postcode",
    "licence",
    "phone",
    "email",
    "description",
    "notes",
    "reason",
    "order",
    "contract",
    "project",
    "quotation",
    "buyer_reference",
    "account",
    "account_name",
    "bank",
    "terms",
    "number",
    "id",
    "item",
    "job",
    "exclusions",
    "inclusions",
    "registration",
    "reference",
];

/// Texts, put into a paper.
pub fn bill(bytes: &[u8]) {
    let Ok(text) = std::str::from_utf8(bytes) else {
        return;
    };
    let Some(which) = text.as_bytes().first() else {
        return;
    };
    let at = usize::from(*which) % PAPERS.len();
    let plain: Value = serde_json::from_str(PAPERS[at]).expect("a paper");
    let mut paper = plain.clone();
    for piece in text.get(1..).unwrap_or_default().split('\0').take(40) {
        let mut letters = piece.chars();
        let Some(place) = letters.next() else {
            continue;
        };
        put_text(&mut paper, place, letters.as_str());
    }
    match at {
        2 => quotation(paper),
        _ => invoice(plain, paper),
    }
}

fn put_text(paper: &mut Value, place: char, text: &str) {
    let places: Vec<String> = leaves(paper)
        .into_iter()
        .filter(|at| at.split('/').any(|part| FREE.contains(&part)))
        .collect();
    let at = &places[place as usize % places.len()];
    if let Some(place) = paper.pointer_mut(at) {
        *place = Value::from(text);
    }
}

fn invoice(plain: Value, paper: Value) {
    let plain: Bill = serde_json::from_value(plain).expect("a bill");
    let texts = paper.clone();
    let Ok(bill) = serde_json::from_value::<Bill>(paper) else {
        return;
    };
    match write_bill(&bill, "/bill") {
        Ok(xml) => {
            let wanted = write_bill(&plain, "/bill").expect("a good bill");
            same_elements(&xml, &wanted);
            gives_back(&xml, &texts);
        }
        Err(faults) => assert!(!faults.is_empty(), "a refusal without a fault"),
    }
    let rows = write_bill_lines(&bill).expect("memory takes it");
    read_csv(&rows, None, &LIMITS)
        .expect("our own")
        .rows()
        .for_each(drop);
    on_paper(&compose_bill(&bill, None));
}

fn quotation(paper: Value) {
    let Ok(quotation) = serde_json::from_value::<Quotation>(paper) else {
        return;
    };
    // Its texts were checked when it was made; what no XML can hold does not get so far.
    let clean = format!("{quotation:?}");
    if !clean.contains("\\u{") {
        check_markup(&write_quotation(&quotation));
    }
    let rows = write_quotation_lines(&quotation).expect("memory takes it");
    read_csv(&rows, None, &LIMITS)
        .expect("our own")
        .rows()
        .for_each(drop);
    on_paper(&compose_quotation(&quotation, None));
}

pub(super) fn on_paper(document: &Document) {
    check_html(&write_document(document));
    let pages = lay_out_document(document, Paper::Letter);
    write_pdf(&pages, &document.title).expect("a file");
}

fn same_elements(xml: &str, wanted: &str) {
    let (found, wanted) = (check_markup(xml), check_markup(wanted));
    assert_eq!(found.names, wanted.names, "the elements differ: {xml}");
}

/// Every text of the paper that its XML has a place for.
fn gives_back(xml: &str, paper: &Value) {
    let texts = check_markup(xml).texts;
    let lines = paper["lines"].as_array().into_iter().flatten();
    for line in lines {
        let said = line["description"].as_str().unwrap_or_default();
        assert!(
            texts.iter().any(|text| text == said),
            "{said:?} is not in {xml}"
        );
    }
    for at in ["/seller/name", "/buyer/name", "/number"] {
        let said = paper
            .pointer(at)
            .and_then(Value::as_str)
            .unwrap_or_default();
        assert!(
            texts.iter().any(|text| text == said),
            "{said:?} is not in {xml}"
        );
    }
}
