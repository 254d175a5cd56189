//! Laws that hold for any cells: what is written is what is read.

use super::bench::LIMITS;
use crate::config;
use chrono::NaiveDate;
use crossfall::sheet::{
    Cell, CsvWriter, Delimiter, Dialect, Row, plain_number, read_csv, read_xlsx, write_xlsx,
};
use proptest::prelude::*;
use std::io::Read;

const HEADING: [&str; 3] = ["one", "two", "three"];

/// A cell that owns what it shows.
#[derive(Clone, Debug)]
enum Owned {
    Text(String),
    Number(String),
    Empty,
}

impl Owned {
    fn cell(&self) -> Cell<'_> {
        match self {
            Self::Text(text) => Cell::Text(text),
            Self::Number(number) => Cell::Number(number),
            Self::Empty => Cell::Empty,
        }
    }
}

fn text() -> impl Strategy<Value = String> {
    let marks = "['=+@\\-\t\r\n\",;_xa01. \u{a0}]{0,8}";
    prop_oneof![
        any::<String>(),
        marks.prop_map(|text| text),
        "_x00[0-9A-F]{2}_"
    ]
    .prop_map(|text| text.trim().to_owned())
}

/// A number of at most four places, as it is written when nothing is needless.
fn number() -> impl Strategy<Value = String> {
    (-99_999_999_i64..99_999_999, 0..=4_u32).prop_map(|(digits, places)| {
        let value = digits as f64 / 10_f64.powi(places as i32);
        if value == 0.0 {
            "0".to_owned()
        } else {
            value.to_string()
        }
    })
}

fn cells() -> impl Strategy<Value = Vec<Vec<Owned>>> {
    let cell = prop_oneof![
        4 => text().prop_map(Owned::Text),
        2 => number().prop_map(Owned::Number),
        1 => Just(Owned::Empty),
    ];
    prop::collection::vec(prop::collection::vec(cell, 3), 0..6)
}

fn delimiter() -> impl Strategy<Value = Delimiter> {
    prop_oneof![
        Just(Delimiter::Comma),
        Just(Delimiter::Semicolon),
        Just(Delimiter::Tab)
    ]
}

/// The rows that a reader has to give: blank ones are skipped and counted.
fn wanted(cells: &[Vec<Owned>], mark: &str) -> Vec<Row> {
    let shown = |cell: &Owned| match cell {
        Owned::Text(text) => text.clone(),
        Owned::Number(number) => number.replace('.', mark),
        Owned::Empty => String::new(),
    };
    let rows = (2..).zip(cells).map(|(number, cells)| Row {
        number,
        cells: cells.iter().map(shown).collect(),
    });
    rows.filter(|row| row.cells.iter().any(|cell| !cell.is_empty()))
        .collect()
}

fn in_csv(cells: &[Vec<Owned>], dialect: Dialect) -> Vec<u8> {
    let mut writer = CsvWriter::new(Vec::new(), dialect);
    writer
        .write(&HEADING.map(Cell::Text))
        .expect("memory takes it");
    for row in cells {
        let row: Vec<Cell<'_>> = row.iter().map(Owned::cell).collect();
        writer.write(&row).expect("memory takes it");
    }
    writer.finish().expect("memory takes it")
}

fn in_xlsx(cells: &[Vec<Owned>], made_on: NaiveDate) -> Vec<u8> {
    let rows = cells
        .iter()
        .map(|row| row.iter().map(Owned::cell).collect());
    write_xlsx("Prices", made_on, &HEADING, rows).expect("it is small")
}

fn day(day: u32) -> NaiveDate {
    NaiveDate::from_ymd_opt(2026, 3, day).expect("a day")
}

proptest! {
    #![proptest_config(config())]

    #[test]
    fn what_is_written_as_csv_is_what_is_read(cells in cells(), delimiter in delimiter()) {
        let dialect = Dialect { delimiter };
        let bytes = in_csv(&cells, dialect);
        let table = read_csv(&bytes, None, &LIMITS).expect("it is our own");
        prop_assert_eq!(table.dialect, dialect);
        let rows: Vec<Row> = table.rows().collect::<Result<_, _>>().expect("our own rows");
        let mark = dialect.decimal_mark().to_string();
        prop_assert_eq!(&rows, &wanted(&cells, &mark));
        for row in rows {
            for (cell, written) in row.cells.iter().zip(&cells[row.number as usize - 2]) {
                if let Owned::Number(number) = written {
                    prop_assert_eq!(&plain_number(cell, dialect).expect("a number"), number);
                }
            }
        }
    }

    #[test]
    fn what_is_written_as_xlsx_is_what_is_read(cells in cells()) {
        let bytes = in_xlsx(&cells, day(2));
        let table = read_xlsx(&bytes, &LIMITS).expect("it is our own");
        let rows: Vec<Row> = table.rows().collect::<Result<_, _>>().expect("our own rows");
        prop_assert_eq!(rows, wanted(&cells, "."));
    }

    #[test]
    fn any_bytes_are_read_or_refused(bytes in prop::collection::vec(any::<u8>(), 0..200)) {
        for charset in [None, Some("windows-1252"), Some("utf-16le"), Some("gb18030")] {
            if let Ok(table) = read_csv(&bytes, charset, &LIMITS) {
                let columns = table.heading.names().len();
                for row in table.rows().flatten() {
                    prop_assert_eq!(row.cells.len(), columns);
                }
            }
        }
    }

    #[test]
    fn any_text_is_read_or_refused(text in "[a\",;\t\r\n' =]{0,60}") {
        if let Ok(table) = read_csv(text.as_bytes(), None, &LIMITS) {
            let mut last = 0;
            for row in table.rows().flatten() {
                prop_assert!(row.number > last);
                last = row.number;
            }
        }
    }
}

fn part(bytes: &[u8], path: &str) -> String {
    let mut archive = zip::ZipArchive::new(std::io::Cursor::new(bytes)).expect("an archive");
    let mut text = String::new();
    let mut file = archive.by_name(path).expect("the part is there");
    file.read_to_string(&mut text).expect("it is text");
    text
}

#[test]
fn equal_content_gives_equal_bytes_and_the_day_is_an_argument() {
    let number = Owned::Number("12.50".to_owned());
    let cells = vec![vec![Owned::Text("=1+1".to_owned()), number, Owned::Empty]];
    let bytes = in_xlsx(&cells, day(2));
    assert_eq!(bytes, in_xlsx(&cells, day(2)));
    assert_ne!(bytes, in_xlsx(&cells, day(3)));
    let made = part(&bytes, "docProps/core.xml");
    assert_eq!(made.matches("2026-03-02T00:00:00Z").count(), 2, "{made}");
    let sheet = part(&bytes, "xl/worksheets/sheet1.xml");
    assert!(!sheet.contains("<f>"), "a text is no formula: {sheet}");
    assert!(
        sheet.contains("<v>12.5</v>"),
        "a number is a number: {sheet}"
    );
    assert!(
        part(&bytes, "xl/styles.xml").contains("\"0.00\""),
        "its places are shown"
    );
}

#[test]
fn a_number_that_no_float_holds_is_written_as_it_stands() {
    let long = "1234567890.123456789";
    let rows = [vec![
        Cell::Number(long),
        Cell::Number("x"),
        Cell::Number("+07.10"),
    ]];
    let bytes = write_xlsx("A", day(2), &HEADING, rows.into_iter()).expect("it is small");
    let table = read_xlsx(&bytes, &LIMITS).expect("our own");
    let rows: Vec<Row> = table.rows().flatten().collect();
    assert_eq!(rows[0].cells, [long, "x", "7.1"]);
}

#[test]
fn what_a_workbook_cannot_hold_is_refused() {
    let fault = |name: &str, text: &str| {
        let rows = [vec![Cell::Text(text)]];
        let written = write_xlsx(name, day(2), &HEADING, rows.into_iter());
        written.expect_err("it is refused").to_string()
    };
    assert!(fault("a/b", "x").contains("a sheet's name"));
    assert!(fault("", "x").contains("a sheet's name"));
    assert!(fault("A", &"x".repeat(32_768)).contains("32767"));
    let early = NaiveDate::from_ymd_opt(1700, 1, 1).expect("a day");
    let written = write_xlsx("A", early, &HEADING, std::iter::empty());
    assert!(
        written
            .expect_err("it is refused")
            .to_string()
            .contains("1899")
    );
}
