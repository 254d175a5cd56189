//! Charsets: by mark, by name, by default, and refused.

use super::bench::{LIMITS, all, csv_file, file};
use crossfall::sheet::{Delimiter, Dialect, Limits, SheetError, plain_number, read_csv};

#[test]
fn a_mark_tells_the_charset() {
    let wanted = [
        "Code|Preis|Notiz",
        "2 GRÖSSE|12,5|zwei\r\nZeilen, \"so\"",
        "4 REST|-3|",
    ];
    for name in ["utf-8-mark.csv", "utf-16-le.csv", "utf-16-be.csv"] {
        assert_eq!(csv_file(name), wanted, "{name}");
        // The mark is believed before the caller.
        let bytes = file(name);
        assert_eq!(
            all(read_csv(&bytes, Some("windows-1252"), &LIMITS)),
            wanted,
            "{name}"
        );
    }
}

#[test]
fn a_file_of_an_office_with_german_habits_is_read() {
    let wanted = [
        "Artikel|Preis|Menge|Gültig ab|Notiz",
        "2 Größe 6″ „lang“|12,5|1|2026-03-02|a;b",
        "3 Straßenbeton|0,875|2,25|2026-03-03|sagt \"nein\"",
        "4 -Rest|-3|0||zwei\nZeilen",
    ];
    assert_eq!(csv_file("german-calc.csv"), wanted);
    let delimiter = Delimiter::Semicolon;
    assert_eq!(
        plain_number("0,875", Dialect { delimiter }).as_deref(),
        Ok("0.875")
    );
}

#[test]
fn another_charset_is_refused_until_it_is_named() {
    let bytes = file("german-calc-1252.csv");
    let refusal = "row 1 is not text in UTF-8: save the file as CSV UTF-8, or name its charset, as \
                   in Content-Type: text/csv; charset=windows-1252";
    assert_eq!(all(read_csv(&bytes, None, &LIMITS)), [refusal]);
    let told = all(read_csv(&bytes, Some("Windows-1252"), &LIMITS));
    assert_eq!(told[0], "Artikel|Preis|Menge|Gültig ab|Notiz");
    assert_eq!(told[1], "2 Größe 6\" „lang“|12,5|1|2026-03-02|a;b");
    // RFC 4180, section 3, names the parameter; its label is another name of the same here.
    assert_eq!(all(read_csv(&bytes, Some("iso-8859-1"), &LIMITS)), told);
}

#[test]
fn a_refusal_names_the_row() {
    let fault = |bytes: &[u8], charset| {
        let read = read_csv(bytes, charset, &LIMITS).map(|_| ());
        read.expect_err("it is no text")
    };
    let row = |error: SheetError| error.row();
    assert_eq!(row(fault(b"a,b\n1,2\n\"x\ny\",\xff\n", None)), Some(3));
    assert_eq!(row(fault(b"a;b\n\"1;\n\"\n\xff", None)), Some(3));
    assert_eq!(row(fault(b"\xff\xfea\0\n\0\x00\xd8b\0", None)), Some(2));
    let named = fault(b"a\n\x81\x20", Some("shift_jis"));
    assert_eq!(
        named.to_string(),
        "row 2 is not text in Shift_JIS: save the file as CSV UTF-8"
    );
    // UTF-16 without its mark would pass for UTF-8.
    assert_eq!(row(fault(b"a\0;\0b\0\n\0", None)), Some(1));
    assert_eq!(row(fault(b"\n\na\0;\0b\0\n\0", None)), Some(3));
    // One reader refused such a heading, the other took it.
    assert_eq!(row(fault(b"\xff\xfea\0\0\0;\0b\0\n\0", None)), Some(1));
    let unknown = fault(b"a", Some("klingon")).to_string();
    assert_eq!(
        unknown,
        "the charset “klingon” is not known: save the file as CSV UTF-8"
    );
}

#[test]
fn a_text_that_grows_is_bounded() {
    let mut bytes = b"a\n".to_vec();
    bytes.extend(std::iter::repeat_n(0x80, 1000));
    let limits = Limits {
        unfolded_bytes: 2000,
        ..LIMITS
    };
    let fault = read_csv(&bytes, Some("windows-1252"), &limits).map(|_| ());
    assert_eq!(fault, Err(SheetError::TooLarge { limit: 2000 }));
    let limits = Limits {
        unfolded_bytes: 3002,
        ..LIMITS
    };
    assert!(read_csv(&bytes, Some("windows-1252"), &limits).is_ok());
}
