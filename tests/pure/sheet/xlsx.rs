//! Workbooks that other programs made, and the cells that they can hold.

use super::bench::{LIMITS, all, file, rows, sheet, workbook, xlsx_file};
use crossfall::sheet::{CellFault, Limits, SheetError, read_xlsx};

#[test]
fn values_come_as_they_are_meant() {
    for name in ["values.xlsx", "values-calc.xlsx"] {
        let wanted = [
            "Code|Unit price|Effective|Noted at|Counted",
            "2 SLAB-4|12.5|2026-03-02|2026-03-02T07:30:00|TRUE",
            "3 CURB|0.3|1900-02-28|07:30:00|FALSE",
            "5 =2+3|1234567|1900-03-01||",
            "6 two\nlines|-0.25||<&>\"'|A",
        ];
        assert_eq!(xlsx_file(name), wanted, "{name}");
    }
}

#[test]
fn days_may_count_from_1904() {
    let wanted = ["Effective", "2 2026-03-02", "3 1904-01-02T12:00:00"];
    assert_eq!(xlsx_file("dates-1904.xlsx"), wanted);
}

#[test]
fn a_formula_gives_its_saved_value() {
    let wanted = [
        "Code|Bags|Price|Total|Word",
        "2 MIX-60|3|4.35|13.05|MIX-60/3",
        "cell D3 holds the error #DIV/0!",
        "4 WIRE|2|7|14|TRUE",
        "5 DAY|||2026-03-02|",
    ];
    assert_eq!(xlsx_file("formulas-calc.xlsx"), wanted);
}

#[test]
fn a_formula_without_one_is_named_with_all_its_like() {
    let why = "a formula without a saved value; open the file in a spreadsheet and save it again";
    let told = xlsx_file("formulas-unsaved.xlsx");
    assert_eq!(told.len(), 5);
    assert_eq!(told[1], format!("cell D2 holds {why}; cell E2 holds {why}"));
    let table = read_xlsx(&file("formulas-unsaved.xlsx"), &LIMITS).expect("a heading");
    let fault = table.rows().next().expect("a row").expect_err("no value");
    assert_eq!(fault.row(), Some(2));
    assert!(!fault.ends());
}

#[test]
fn merged_cells_have_their_value_in_the_first() {
    let wanted = [
        "Group|Code|Price",
        "2 Forms|PLY-18|31.2",
        "3 |STAKE|1.05",
        "4 Steel|BAR-4|0.92",
    ];
    assert_eq!(xlsx_file("merged.xlsx"), wanted);
}

#[test]
fn what_a_file_keeps_under_merged_cells_is_not_there() {
    let under = r#"<row r="2"><c r="A2"><v>1</v></c><c r="B2"><v>2</v></c><c r="C2"><v>3</v></c></row>
        <row r="3"><c r="A3"><v>4</v></c><c r="B3"><v>5</v></c></row><row r="4"><c><v>6</v></c></row>"#;
    let merged = r#"<mergeCells><mergeCell ref="B2:C3"/><mergeCell ref="A4:A4"/></mergeCells>"#;
    let bytes = workbook(&sheet(under, merged), "<sst/>");
    let told = all(read_xlsx(&bytes, &LIMITS));
    assert_eq!(told, ["code|price", "2 1|2", "3 4|", "4 6|"]);
}

#[test]
fn a_merged_heading_is_refused_by_name() {
    let said = "the heading “Price” is merged with other cells (B1:C1): unmerge it";
    assert_eq!(xlsx_file("merged-heading.xlsx"), [said]);
}

#[test]
fn the_first_visible_sheet_with_a_heading_is_read() {
    let wanted = ["|Code|Price", "4 |BAR-4|0.92"];
    assert_eq!(xlsx_file("hidden-first.xlsx"), wanted);
}

#[test]
fn the_noise_of_floats_is_taken_off() {
    let told = |value: &str| {
        let row = format!("<row><c><v>{value}</v></c></row>");
        rows(&row).remove(0)
    };
    let cases = [
        ("0.30000000000000004", "2 0.3|"),
        ("13.049999999999999", "2 13.05|"),
        ("1E2", "2 100|"),
        ("-0", "2 0|"),
        ("0.00001", "2 0.00001|"),
        ("0.12345", "2 0.12345|"),
        ("1e-7", "2 0.0000001|"),
        ("123456789012", "2 123456789012|"),
    ];
    for (value, wanted) in cases {
        assert_eq!(told(value), wanted, "{value}");
    }
    for value in ["x", "inf", "NaN", "1e999"] {
        assert_eq!(
            told(value),
            "cell A2 holds a number that cannot be read",
            "{value}"
        );
    }
}

#[test]
fn a_day_that_no_calendar_has_is_refused() {
    let told = |cell: &str| rows(&format!("<row>{cell}</row>")).remove(0);
    let cases = [
        ("1", "2 1900-01-01|"),
        ("59", "2 1900-02-28|"),
        ("61", "2 1900-03-01|"),
        ("46083", "2 2026-03-02|"),
        ("46083.9999999999", "2 2026-03-03|"),
        ("46083.5", "2 2026-03-02T12:00:00|"),
        ("2958465", "2 9999-12-31|"),
    ];
    for (serial, wanted) in cases {
        assert_eq!(
            told(&format!(r#"<c s="1"><v>{serial}</v></c>"#)),
            wanted,
            "{serial}"
        );
    }
    for serial in ["0", "60", "-1", "2958466", "1e300", "2958465.999999999"] {
        let said = told(&format!(r#"<c s="1"><v>{serial}</v></c>"#));
        assert_eq!(
            said, "cell A2 holds a date that no calendar has",
            "{serial}"
        );
    }
    assert_eq!(told(r#"<c s="2"><v>1.5</v></c>"#), "2 36:00:00|");
    assert_eq!(
        told(r#"<c t="d"><v>2026-03-02T00:00:00Z</v></c>"#),
        "2 2026-03-02|"
    );
    assert_eq!(
        told(r#"<c t="d"><v>2026-03-02T07:30:00</v></c>"#),
        "2 2026-03-02T07:30:00|"
    );
    assert_eq!(
        told(r#"<c t="d"><v>soon</v></c>"#),
        "cell A2 holds a date that no calendar has"
    );
}

#[test]
fn texts_come_as_written() {
    let texts = r#"<sst uniqueCount="99999999999999999"><si><t>one</t></si><si><r><t>t</t></r>
        <r><t xml:space="preserve">w o</t></r><rPh><t>no</t></rPh></si>
        <si><t>a_x000A_b_x005F_x0041__xZZ_</t></si><si><t>&#228;&amp;<![CDATA[<x>]]></t></si></sst>"#;
    let cells = r#"<row><c t="s"><v>0</v></c><c t="s"><v>1</v></c></row>
        <row><c t="s"><v>2</v></c><c t="s"><v>3</v></c></row><row><c t="s"><v>4</v></c></row>
        <row><c t="str"><f>A1</f><v></v></c><c t="str"><v> x&lt; </v></c></row>"#;
    let bytes = workbook(&sheet(cells, ""), texts);
    let wanted = [
        "code|price",
        "2 one|tw o",
        "3 a\nb_x0041__xZZ_|ä&<x>",
        "cell A4 holds a text that the workbook does not have",
        "5 |x<",
    ];
    assert_eq!(all(read_xlsx(&bytes, &LIMITS)), wanted);
}

#[test]
fn a_row_keeps_its_bounds() {
    let text = r#"<row><c><v>1</v></c></row><row r="9"><c r="C9"><v>3</v></c></row>
        <row><c><f>A1</f></c><c r="C10"><v>3</v></c></row>"#;
    let told = rows(text);
    assert_eq!(told[0], "2 1|");
    let said = "row 9 has more cells than the heading's 2: is a mark unquoted in it?";
    assert_eq!(told[1], said);
    assert!(told[2].starts_with("cell A10 holds a formula"), "{told:?}");
    let bytes = workbook(&sheet(text, ""), "<sst/>");
    let limited = |limits: Limits| all(read_xlsx(&bytes, &limits));
    let told = limited(Limits { rows: 1, ..LIMITS });
    assert_eq!(told[2], "there are more than 1 rows: send them in parts");
    let told = limited(Limits {
        columns: 1,
        ..LIMITS
    });
    assert_eq!(told, ["the heading has 2 columns, and 1 is the most"]);
    let told = limited(Limits {
        row_bytes: 8,
        ..LIMITS
    });
    assert!(
        told[0].starts_with("row 1 is longer than 8 bytes"),
        "{told:?}"
    );
}

#[test]
fn a_faulty_heading_names_its_cell() {
    let sheet =
        r#"<worksheet><sheetData><row><c t="e"><v>#REF!</v></c></row></sheetData></worksheet>"#;
    let fault = read_xlsx(&workbook(sheet, "<sst/>"), &LIMITS).map(|_| ());
    let Err(SheetError::BadCells { row: 1, cells }) = fault else {
        panic!("{fault:?}");
    };
    assert_eq!(cells[0].fault, CellFault::Error("#REF!".to_owned()));
}
