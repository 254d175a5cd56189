//! Workbooks that are damaged, or made to cost more than they weigh: each is refused, none panics.

use super::bench::{LIMITS, all, archive, file, rows, sheet, workbook};
use crossfall::sheet::{Limits, SheetError, read_xlsx};
use proptest::{prelude::*, test_runner::TestRunner};

fn fault(bytes: &[u8]) -> SheetError {
    let read = read_xlsx(bytes, &LIMITS).map(|_| ());
    read.expect_err("it is refused")
}

#[test]
fn what_is_no_workbook_is_refused() {
    for bytes in [&b""[..], b"a,b\n1,2\n", b"PK\x03\x04", b"PK\x05\x06"] {
        assert!(
            matches!(fault(bytes), SheetError::NotXlsx { .. }),
            "{bytes:?}"
        );
    }
    let other = archive(&[("content.xml", "<a/>"), ("mimetype", "x")]);
    let said = "this is not a readable XLSX workbook: no workbook is in it";
    assert_eq!(fault(&other).to_string(), said);
}

/// [MS-CFB], section 2.2: the signature of a compound file, in which passwords and old files come.
#[test]
fn a_workbook_with_a_password_says_so() {
    assert_eq!(
        fault(b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1 and more"),
        SheetError::Locked
    );
}

#[test]
fn what_unfolds_is_counted_wherever_it_stands() {
    let limits = Limits {
        unfolded_bytes: 100_000,
        ..LIMITS
    };
    let large = SheetError::TooLarge { limit: 100_000 };
    let blank = " ".repeat(200_000);
    let texts = format!("<sst><si><t>{blank}</t></si></sst>");
    let cases = [
        workbook(&sheet("", ""), &texts),
        workbook(&sheet(&blank, ""), "<sst/>"),
        workbook(&sheet("", &format!("<!--{blank}-->")), "<sst/>"),
    ];
    for bytes in cases {
        assert!(bytes.len() < 10_000, "it is small before it is unfolded");
        assert_eq!(read_xlsx(&bytes, &limits).map(|_| ()), Err(large.clone()));
        assert!(read_xlsx(&bytes, &LIMITS).is_ok());
    }
}

#[test]
fn one_text_in_many_cells_is_counted_each_time() {
    let texts = format!("<sst><si><t>{}</t></si></sst>", "x".repeat(30_000));
    let row = r#"<row><c t="s"><v>0</v></c></row>"#.repeat(200);
    let bytes = workbook(&sheet(&row, ""), &texts);
    assert_eq!(
        fault(&bytes),
        SheetError::TooLarge {
            limit: LIMITS.unfolded_bytes / 4
        }
    );
}

/// The reader of XML holds one text and the names of all open elements whole, so both are bounded.
#[test]
fn no_piece_of_xml_and_no_nesting_is_held_at_any_size() {
    let long = "9".repeat(300_000);
    let parted = format!("{0}<!---->{0}", "9".repeat(200_000));
    let too_long =
        "this is not a readable XLSX workbook: a text in it is longer than a cell can hold";
    for text in [&long, &parted] {
        let shared = format!("<sst><si><t>{text}</t></si></sst>");
        for bytes in [
            workbook(
                &sheet(&format!("<row><c><v>{text}</v></c></row>"), ""),
                "<sst/>",
            ),
            workbook(
                &sheet(
                    &format!(r#"<row><c t="inlineStr"><is><t>{text}</t></is></c></row>"#),
                    "",
                ),
                "<sst/>",
            ),
            workbook(&sheet("", ""), &shared),
        ] {
            assert_eq!(fault(&bytes).to_string(), too_long);
        }
    }
    let mark = format!(r#"<row><c><v a="{long}">1</v></c></row>"#);
    assert_eq!(
        fault(&workbook(&sheet(&mark, ""), "<sst/>")).to_string(),
        too_long
    );
    let deep = workbook(&sheet(&"<a>".repeat(1000), ""), "<sst/>");
    let too_deep = "this is not a readable XLSX workbook: its elements are nested too deep";
    assert_eq!(fault(&deep).to_string(), too_deep);
}

#[test]
fn no_text_grows_by_entities() {
    let bomb = r#"<!DOCTYPE a [<!ENTITY b "xxxxxxxx"><!ENTITY c "&b;&b;&b;">]><sst><si><t>&c;</t></si></sst>"#;
    let said = "this is not a readable XLSX workbook: an entity in it is not defined";
    assert_eq!(fault(&workbook(&sheet("", ""), bomb)).to_string(), said);
}

#[test]
fn numbers_that_a_file_gives_about_itself_are_not_believed() {
    let huge = "99999999999999999999";
    let shared = format!(r#"<row><c t="s"><v>{huge}</v></c></row>"#);
    assert_eq!(
        rows(&shared),
        ["cell A2 holds a text that the workbook does not have"]
    );
    let style = format!(r#"<row><c s="{huge}"><v>1</v></c></row>"#);
    assert_eq!(rows(&style), ["2 1|"]);
    let formula = r#"<row><c><f t="shared" si="4294967295" ref="A1:ZZZZ9">1</f><v>2</v></c></row>"#;
    assert_eq!(rows(formula), ["2 2|"]);
}

#[test]
fn cells_outside_of_the_sheet_or_out_of_order_are_refused() {
    let damaged = [
        r#"<row r="0"/>"#,
        r#"<row r="4294967295"/>"#,
        r#"<row r="1048577"/>"#,
        r#"<row r="1048576"></row><row><c><v>1</v></c></row>"#,
        r#"<row><c r="XFE2"><v>1</v></c></row>"#,
        r#"<row><c r="XFD2"><v>1</v></c><c><v>1</v></c></row>"#,
        r#"<row><c r="ZZZZZZZZZZ2"><v>1</v></c></row>"#,
        r#"<row><c r="A99999999999"><v>1</v></c></row>"#,
        r#"<row><c r="2"><v>1</v></c></row>"#,
        r#"<row><c r="Ä2"><v>1</v></c></row>"#,
        r#"<row><c r="A2"><v>1</v></c><c r="A2"><v>1</v></c></row>"#,
        r#"<row r="9"><c><v>1</v></c></row><row r="3"><c><v>1</v></c></row>"#,
        r#"<row><c t="odd"><v>1</v></c></row>"#,
        r#"<row><c></row>"#,
    ];
    for text in damaged {
        let fault = fault(&workbook(&sheet(text, ""), "<sst/>"));
        assert!(
            matches!(fault, SheetError::NotXlsx { .. }),
            "{text}: {fault}"
        );
    }
    let backwards = sheet("", r#"<mergeCell ref="C3:A1"/>"#);
    let fault = fault(&workbook(&backwards, "<sst/>"));
    assert!(matches!(fault, SheetError::NotXlsx { .. }), "{fault}");
}

#[test]
fn a_sheet_that_breaks_off_is_refused() {
    let whole = sheet("<row><c><v>1</v></c></row>", "");
    for end in (0..whole.len()).step_by(7) {
        let told = all(read_xlsx(&workbook(&whole[..end], "<sst/>"), &LIMITS));
        assert!(told[0].starts_with("this is not"), "{end}: {told:?}");
    }
}

/// A list of sheets, each of which is the one part at `target`.
fn of_sheets(target: &str, count: usize) -> Vec<u8> {
    let top = r#"<Relationships><Relationship Id="a" Type="x/officeDocument" Target="/xl/workbook.xml"/></Relationships>"#;
    let beside = format!(
        r#"<Relationships><Relationship Id="r1" Type="x/worksheet" Target="{target}"/></Relationships>"#
    );
    let sheets = r#"<sheet r:id="r1"/>"#.repeat(count);
    archive(&[
        ("_rels/.rels", top),
        ("xl/_rels/workbook.xml.rels", &beside),
        (
            "xl/workbook.xml",
            &format!("<workbook><sheets>{sheets}</sheets></workbook>"),
        ),
        ("xl/one.xml", &sheet("<row><c><v>1</v></c></row>", "")),
    ])
}

/// A file of ten kilobytes took gigabytes: a path of megabytes, kept once for each of many sheets.
#[test]
fn what_is_kept_of_parts_is_bounded() {
    assert!(read_xlsx(&of_sheets("one.xml", 10_000), &LIMITS).is_ok());
    let many = fault(&of_sheets("one.xml", 10_001));
    assert!(many.to_string().ends_with("too many parts"), "{many}");
    assert!(
        read_xlsx(
            &of_sheets(&format!("{}one.xml", "./".repeat(900)), 2),
            &LIMITS
        )
        .is_ok()
    );
    let long = fault(&of_sheets(&"x".repeat(2_000), 2));
    assert!(long.to_string().ends_with("too long"), "{long}");
}

/// Cells with a fault have no text, and take a hundred bytes each: of what unfolds a quarter may be kept.
#[test]
fn faults_of_cells_are_counted_as_what_is_kept() {
    let limits = Limits {
        unfolded_bytes: 440_000,
        ..LIMITS
    };
    let of = |cells: usize| {
        let row = format!("<row>{}</row>", r#"<c t="e"><v>x</v></c>"#.repeat(cells));
        read_xlsx(&workbook(&sheet(&row, ""), "<sst/>"), &limits).map(|_| ())
    };
    assert_eq!(of(700), Ok(()));
    assert_eq!(of(900), Err(SheetError::TooLarge { limit: 110_000 }));
}

/// Millions of ranges fit into a small file, and each may lie over thousands of columns: that took minutes.
#[test]
fn wide_ranges_take_no_longer_than_narrow_ones() {
    let seconds = |range: &str| {
        let merged = format!(r#"<mergeCell ref="{range}"/>"#).repeat(50_000);
        let bytes = workbook(&sheet("<row><c><v>1</v></c></row>", &merged), "<sst/>");
        let began = std::time::Instant::now();
        assert!(read_xlsx(&bytes, &LIMITS).is_ok(), "{range}");
        began.elapsed().as_secs_f64()
    };
    let narrow = seconds("D1:E1").max(seconds("D1:E1"));
    let wide = seconds("D1:XFD1").min(seconds("D1:XFD1"));
    assert!(wide < 8.0 * narrow, "{wide} s and {narrow} s");
}

/// Any bytes of a real workbook may be turned.
#[test]
fn a_turned_byte_never_panics() {
    let whole = file("values-calc.xlsx");
    let mut runner = TestRunner::new(crate::config());
    let turned = (0..whole.len(), any::<u8>(), 0..whole.len());
    let run = runner.run(&turned, |(at, byte, end)| {
        let mut bytes = whole.clone();
        bytes[at] = byte;
        let _ = all(read_xlsx(&bytes, &LIMITS));
        let _ = all(read_xlsx(&bytes[..end], &LIMITS));
        Ok(())
    });
    run.expect("nothing panics");
}
