//! Numbers as people write them into cells.

use crossfall::sheet::{Delimiter, Dialect, plain_number};

fn read(cell: &str, delimiter: Delimiter) -> Result<String, String> {
    plain_number(cell, Dialect { delimiter }).map_err(|fault| fault.to_string())
}

#[test]
fn a_number_has_the_decimal_mark_of_its_dialect() {
    let cases = [
        ("12.5", Delimiter::Comma, "12.5"),
        ("12.5", Delimiter::Tab, "12.5"),
        ("12,5", Delimiter::Semicolon, "12.5"),
        ("-0,25", Delimiter::Semicolon, "-0.25"),
        ("+7", Delimiter::Comma, "7"),
        (".5", Delimiter::Comma, "0.5"),
        ("-.5", Delimiter::Comma, "-0.5"),
        (" 12.50\u{a0}", Delimiter::Comma, "12.50"),
        ("0012", Delimiter::Comma, "0012"),
    ];
    for (cell, delimiter, wanted) in cases {
        assert_eq!(read(cell, delimiter).as_deref(), Ok(wanted), "{cell}");
    }
}

#[test]
fn everything_else_is_refused_with_what_to_write() {
    let thousands = "without thousands marks";
    let alone = "a number alone";
    let cases = [
        ("1.234,56", Delimiter::Semicolon, thousands),
        ("1,234.56", Delimiter::Comma, thousands),
        ("1,234,567", Delimiter::Comma, thousands),
        ("1.2.3", Delimiter::Comma, thousands),
        ("12,5", Delimiter::Comma, "a number with “.”"),
        ("12,5", Delimiter::Tab, "a number with “.”"),
        ("12.5", Delimiter::Semicolon, "a number with “,”"),
        ("1.234", Delimiter::Semicolon, "a number with “,”"),
        ("$12.50", Delimiter::Comma, alone),
        ("12,50 €", Delimiter::Semicolon, alone),
        ("1 234", Delimiter::Comma, alone),
        ("1\u{a0}234", Delimiter::Comma, alone),
        ("1e3", Delimiter::Comma, alone),
        ("12-", Delimiter::Comma, alone),
        ("--1", Delimiter::Comma, alone),
        ("−5", Delimiter::Comma, alone),
        ("٣", Delimiter::Comma, alone),
        ("-", Delimiter::Comma, alone),
        ("NaN", Delimiter::Comma, alone),
        ("", Delimiter::Comma, "empty"),
        (" ", Delimiter::Comma, "empty"),
    ];
    for (cell, delimiter, wanted) in cases {
        let said = read(cell, delimiter).expect_err(cell);
        assert!(said.contains(wanted), "{cell}: {said}");
    }
    for cell in ["5.", ".", "-."] {
        assert!(read(cell, Delimiter::Comma).is_err(), "{cell}");
    }
}

#[test]
fn an_example_would_be_accepted() {
    for delimiter in [Delimiter::Comma, Delimiter::Semicolon, Delimiter::Tab] {
        let fault = plain_number("x", Dialect { delimiter }).expect_err("no number");
        assert_eq!(read(&fault.example, delimiter).as_deref(), Ok("1234.56"));
    }
}
