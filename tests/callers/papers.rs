//! The example that goes from a price to the ledger, against the real binary, and what its papers say outside of it.

use crate::batch::example;
use crate::binary::Binary;
use crate::ubl::{faults, judge};
use std::fs;
use std::process::Command;

/// Words of a PDF, by poppler.
fn words_of(file: &std::path::Path) -> String {
    let read = Command::new("pdftotext")
        .arg("-layout")
        .arg(file)
        .arg("-")
        .output();
    let read = read.expect("pdftotext (Debian: apt-get install poppler-utils)");
    assert!(read.status.success(), "{}", file.display());
    String::from_utf8(read.stdout).expect("text")
}

#[test]
fn the_switchback_goes_from_its_price_to_the_ledger_to_the_cent() {
    let service = Binary::start();
    let folder = service.folder.join("papers");
    let mut ran = Command::new("python3");
    ran.arg("-B")
        .arg(example("price_to_ledger.py"))
        .arg(&folder);
    let ran = ran
        .env("SERVICE_URL", &service.base)
        .output()
        .expect("python3 runs");
    let (told, wrong) = (
        String::from_utf8_lossy(&ran.stdout),
        String::from_utf8_lossy(&ran.stderr),
    );
    assert!(ran.status.success(), "{told}{wrong}");
    let held = told.lines().filter(|line| line.starts_with("holds: "));
    assert_eq!(held.count(), 7, "{told}");
    let read = |name: &str| fs::read_to_string(folder.join(name)).expect("it was written");
    let numbers = ["D-1", "INV-1", "INV-2", "C-1", "INV-3", "INV-4"];
    let documents: Vec<String> = numbers
        .iter()
        .map(|number| read(&format!("{number}.xml")))
        .chain([read("quotation.xml")])
        .collect();
    let judged = judge(&documents);
    for (told, document) in judged["documents"]
        .as_array()
        .expect("one each")
        .iter()
        .zip(&documents)
    {
        assert_eq!(faults(told), [""; 0], "{document}");
    }
    // What the table says of each bill stands on its paper, with thousands apart.
    for number in numbers {
        let row = told
            .lines()
            .find(|line| line.contains(&format!(" {number} ")))
            .expect("a row");
        let total = row
            .split_whitespace()
            .nth(number_of_total(row))
            .expect("a total");
        let words = words_of(&folder.join(format!("{number}.pdf"))).replace(',', "");
        assert!(
            words.contains(total.trim_start_matches('-')),
            "{number}: {total} in {words}"
        );
    }
}

/// Where the sum with tax stands in a row: behind its name, the sum before tax and the tax.
fn number_of_total(row: &str) -> usize {
    let is_amount = |word: &str| {
        word.trim_start_matches('-')
            .bytes()
            .all(|b| b.is_ascii_digit() || b == b'.')
    };
    let first = row
        .split_whitespace()
        .position(|word| word.contains('.') && is_amount(word));
    first.expect("amounts") + 2
}
