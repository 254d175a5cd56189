//! Tables into a price book: CSV as it stands, XLSX as a file or as the XML of its parts.
//!
//! Invariants: the streaming reader of CSV says what the other says; what was read is written and read
//! again as the same; what an import makes of the book goes out and comes in without a change.
//! Absent: the query that maps columns.

use super::flow::demo_list;
use chrono::{DateTime, NaiveDate};
use crossfall::book::table::{Kind, Known, Layout, Mapping, Plan, Written, plan, write_rows};
use crossfall::catalog::{Change, PriceList, Revision};
use crossfall::sheet::{
    Cell, CsvStream, CsvWriter, Dialect, Heading, Limits, Row, SheetError, Table, read_csv,
    read_xlsx, write_xlsx,
};
use std::io::{Cursor, Write as _};
use std::sync::Arc;
use zip::{ZipWriter, write::SimpleFileOptions};

/// Smaller than the service's, in the same proportions: what is too much has to be met by short inputs.
const LIMITS: Limits = Limits {
    rows: 500,
    row_bytes: 4_096,
    columns: 60,
    unfolded_bytes: 1_000_000,
};

/// A byte that names the table of the book, and a CSV file.
pub fn csv_table(bytes: &[u8]) {
    let Some((kind, bytes)) = kind_of(bytes) else {
        return;
    };
    let Ok(table) = read_csv(bytes, None, &LIMITS) else {
        // The streaming reader may come further: it looks at one record after the other.
        if let Ok(mut stream) = CsvStream::open(bytes, None, LIMITS) {
            while let Ok(Some(_)) = stream.next_record() {}
        }
        return;
    };
    let heading = table.heading.clone();
    let names = heading.names().to_vec();
    let rows: Vec<Result<Row, SheetError>> = table.rows().collect();
    check_stream(bytes, &heading, &rows);
    for row in rows.iter().flatten() {
        assert_eq!(row.cells.len(), names.len());
    }
    import(kind, || {
        read_csv(bytes, None, &LIMITS).expect("it was read")
    });
    in_csv_again(names.len(), &rows);
}

/// A byte that names the table of the book and the shape of the rest: a workbook, or, parted by zeros,
/// the sheet, the shared texts, the styles, the workbook's list of sheets and its relations.
pub fn xlsx_table(bytes: &[u8]) {
    let Some((kind, rest)) = kind_of(bytes) else {
        return;
    };
    let whole = bytes[0] & 0x80 != 0;
    let file = if whole { rest.to_vec() } else { workbook(rest) };
    let Ok(table) = read_xlsx(&file, &LIMITS) else {
        return;
    };
    let names = table.heading.names().to_vec();
    let rows: Vec<Result<Row, SheetError>> = table.rows().collect();
    for row in rows.iter().flatten() {
        assert_eq!(row.cells.len(), names.len());
    }
    import(kind, || read_xlsx(&file, &LIMITS).expect("it was read"));
    in_xlsx_again(names.len(), &rows);
}

fn kind_of(bytes: &[u8]) -> Option<(Kind, &[u8])> {
    let (first, rest) = bytes.split_first()?;
    let kind = Kind::ALL[usize::from(first & 0x0f) % Kind::ALL.len()];
    Some((kind, rest))
}

/// The streaming reader gives the same rows, or an error where the other gives one.
fn check_stream(bytes: &[u8], read: &Heading, rows: &[Result<Row, SheetError>]) {
    let mut stream = CsvStream::open(bytes, None, LIMITS)
        .unwrap_or_else(|error| panic!("only the streaming reader refuses it: {error:?}"));
    let (heading, dialect) = (stream.heading().clone(), stream.style().dialect);
    assert_eq!(heading, *read, "the names of the columns");
    let mut wanted = rows.iter();
    loop {
        let record = match stream.next_record() {
            Ok(Some(record)) => record,
            Ok(None) => break,
            Err(_) => {
                assert!(wanted.any(|row| row.is_err()), "only streaming it fails");
                return;
            }
        };
        let number = record.number;
        match (record.cells(&heading, dialect), wanted.next()) {
            (Ok(cells), Some(Ok(other))) => assert_eq!(Row { number, cells }, *other),
            // After these the streaming reader goes on at the next line, the other does not.
            (Err(_), Some(Err(SheetError::QuoteOpen { .. } | SheetError::RowTooLong { .. }))) => {
                return;
            }
            (Err(_), Some(Err(_))) => {}
            (row, other) => panic!("streamed {row:?}, read {other:?}"),
        }
    }
    let left = wanted.next();
    assert!(left.is_none(), "streaming lost {left:?}");
}

fn laid_out(kind: Kind, list: &PriceList, table: Table<'_>) -> Option<Plan> {
    let (heading, dialect) = (table.heading.clone(), table.dialect);
    let find = |name: &str| heading.find(name);
    let layout = Layout::of(kind, heading.names(), &Mapping::default(), find).ok()?;
    let known = Known {
        list,
        tasks: &["finish", "layout"],
        classes: &["finisher", "labourer"],
    };
    match plan(table.rows(), (&layout, dialect), known) {
        Ok(plan) => Some(plan),
        Err(faults) => {
            assert!(!faults.is_empty(), "a refusal without a fault");
            None
        }
    }
}

/// Takes the table into the demo book; what the book then holds goes out and comes in without a change.
fn import<'a>(kind: Kind, table: impl Fn() -> Table<'a>) {
    let Some(made) = laid_out(kind, demo_list(), table()) else {
        return;
    };
    let list = written(&made.change);
    let again = laid_out(kind, &list, table()).expect("the same table is sound again");
    assert!(
        again.change.is_empty(),
        "taken twice: {:?}",
        again.difference
    );
    for kind in Kind::ALL {
        let heading: Vec<&str> = kind.columns().iter().map(|column| column.name).collect();
        let rows = write_rows(*kind, &list);
        let file = csv_of(
            &heading,
            rows.iter().map(|row| row.iter().map(cell_of).collect()),
        );
        let limits = Limits {
            rows: 10_000,
            ..LIMITS
        };
        let out = read_csv(&file, None, &limits).expect("our own");
        let back = laid_out(*kind, &list, out).unwrap_or_else(|| {
            panic!(
                "{kind} comes back refused: {}",
                String::from_utf8_lossy(&file)
            )
        });
        assert!(
            back.change.is_empty(),
            "{kind} goes round: {:?}",
            back.difference
        );
    }
}

fn written(change: &Change) -> PriceList {
    let history = crossfall::book::demo_history().expect("the demo book");
    let revision = Revision {
        number: 2,
        made_at: DateTime::UNIX_EPOCH,
        note: String::new(),
    };
    let as_of = demo_list().as_of();
    PriceList::new(Arc::new(history.with(revision, change)), None, as_of).expect("two revisions")
}

fn cell_of(cell: &Written) -> Cell<'_> {
    match cell {
        Written::Text(text) => Cell::Text(text),
        Written::Number(number) => Cell::Number(number),
        Written::Blank => Cell::Empty,
    }
}

fn csv_of<'a>(heading: &[&str], rows: impl Iterator<Item = Vec<Cell<'a>>>) -> Vec<u8> {
    let mut writer = CsvWriter::new(Vec::new(), Dialect::default());
    let heading: Vec<Cell<'_>> = heading.iter().map(|name| Cell::Text(name)).collect();
    writer.write(&heading).expect("memory takes it");
    for row in rows {
        writer.write(&row).expect("memory takes it");
    }
    writer.finish().expect("memory takes it")
}

fn texts(rows: &[Result<Row, SheetError>]) -> impl Iterator<Item = Vec<Cell<'_>>> {
    let rows = rows.iter().flatten();
    rows.map(|row| row.cells.iter().map(|cell| Cell::Text(cell)).collect())
}

/// Names for so many columns.
fn heading(columns: usize) -> Vec<String> {
    (0..columns).map(|at| format!("c{at}")).collect()
}

fn in_csv_again(columns: usize, rows: &[Result<Row, SheetError>]) {
    let heading = heading(columns);
    let heading: Vec<&str> = heading.iter().map(String::as_str).collect();
    let file = csv_of(&heading, texts(rows));
    // Guards and quotes make a row longer.
    let limits = Limits {
        row_bytes: 3 * LIMITS.row_bytes,
        ..LIMITS
    };
    let table = read_csv(&file, None, &limits).expect("our own");
    assert_eq!(table.dialect, Dialect::default());
    same_cells(table.rows(), rows);
}

fn in_xlsx_again(columns: usize, rows: &[Result<Row, SheetError>]) {
    let heading = heading(columns);
    let heading: Vec<&str> = heading.iter().map(String::as_str).collect();
    let day = NaiveDate::from_ymd_opt(2026, 5, 4).expect("a day");
    let file = write_xlsx("Again", day, &heading, texts(rows)).expect("it is small");
    let limits = Limits {
        unfolded_bytes: 10 * LIMITS.unfolded_bytes,
        ..LIMITS
    };
    same_cells(read_xlsx(&file, &limits).expect("our own").rows(), rows);
}

fn same_cells(
    again: impl Iterator<Item = Result<Row, SheetError>>,
    rows: &[Result<Row, SheetError>],
) {
    let again: Vec<Vec<String>> = again.map(|row| row.expect("our own").cells).collect();
    let wanted = rows.iter().flatten().map(|row| row.cells.clone());
    assert_eq!(again, wanted.collect::<Vec<_>>());
}

const RELATIONS: &str = r#"<Relationships><Relationship Id="a" Type="x/officeDocument" Target="/xl/workbook.xml"/></Relationships>"#;
const BESIDE: &str = r#"<Relationships><Relationship Id="r1" Type="x/worksheet" Target="worksheets/one.xml"/><Relationship Id="r2" Type="x/sharedStrings" Target="strings.xml"/><Relationship Id="r3" Type="x/styles" Target="styles.xml"/></Relationships>"#;
const SHEETS: &str =
    r#"<workbook><sheets><sheet name="A" sheetId="1" r:id="r1"/></sheets></workbook>"#;
const STYLES: &str =
    r#"<styleSheet><cellXfs><xf numFmtId="0"/><xf numFmtId="14"/></cellXfs></styleSheet>"#;

/// A workbook of these parts; usual ones for those that are not given.
fn workbook(bytes: &[u8]) -> Vec<u8> {
    let mut given = bytes.split(|byte| *byte == 0);
    let mut part = |usual: &'static str| {
        let part = given.next().unwrap_or_default();
        if part.is_empty() {
            usual.as_bytes()
        } else {
            part
        }
    };
    let parts = [
        ("xl/worksheets/one.xml", part("<worksheet/>")),
        ("xl/strings.xml", part("<sst/>")),
        ("xl/styles.xml", part(STYLES)),
        ("xl/workbook.xml", part(SHEETS)),
        ("xl/_rels/workbook.xml.rels", part(BESIDE)),
        ("_rels/.rels", RELATIONS.as_bytes()),
    ];
    let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
    let stored = SimpleFileOptions::default().compression_method(zip::CompressionMethod::Stored);
    for (path, bytes) in parts {
        zip.start_file(path, stored).expect("a part begins");
        zip.write_all(bytes).expect("a part is written");
    }
    zip.finish().expect("the archive is whole").into_inner()
}
