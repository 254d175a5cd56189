//! What the tests of tables share: files, limits, rows in a short form, workbooks made by hand.

use crossfall::sheet::{Limits, Rows, SheetError, Table, read_csv, read_xlsx};
use std::io::{Cursor, Write};
use zip::{ZipWriter, write::SimpleFileOptions};

pub(super) const LIMITS: Limits = Limits {
    rows: 1000,
    row_bytes: 65_536,
    columns: 50,
    unfolded_bytes: 4_000_000,
};

/// A file of `tests/data/sheet`.
pub(super) fn file(name: &str) -> Vec<u8> {
    let path = format!("{}/tests/data/sheet/{name}", env!("CARGO_MANIFEST_DIR"));
    std::fs::read(path).expect("the file is checked in")
}

/// A row: its number, and its cells between bars; or the sentence of its error.
pub(super) fn told(rows: Rows<'_>) -> Vec<String> {
    let say = |row: Result<crossfall::sheet::Row, SheetError>| match row {
        Ok(row) => format!("{} {}", row.number, row.cells.join("|")),
        Err(error) => error.to_string(),
    };
    rows.map(say).collect()
}

/// A whole table in that form, its heading first.
pub(super) fn all(table: Result<Table<'_>, SheetError>) -> Vec<String> {
    let table = match table {
        Ok(table) => table,
        Err(error) => return vec![error.to_string()],
    };
    let mut lines = vec![table.heading.names().join("|")];
    lines.extend(told(table.rows()));
    lines
}

pub(super) fn csv(text: &str) -> Vec<String> {
    all(read_csv(text.as_bytes(), None, &LIMITS))
}

pub(super) fn csv_file(name: &str) -> Vec<String> {
    all(read_csv(&file(name), None, &LIMITS))
}

pub(super) fn xlsx_file(name: &str) -> Vec<String> {
    all(read_xlsx(&file(name), &LIMITS))
}

const TOP: &str = r#"<Relationships><Relationship Id="a" Type="x/officeDocument" Target="/xl/workbook.xml"/></Relationships>"#;
const BESIDE: &str = r#"<Relationships>
<Relationship Id="r1" Type="x/worksheet" Target="worksheets/one.xml"/>
<Relationship Id="r2" Type="x/sharedStrings" Target="strings.xml"/>
<Relationship Id="r3" Type="x/styles" Target="../xl/styles.xml"/></Relationships>"#;
const WORKBOOK: &str =
    r#"<workbook><sheets><sheet name="A" sheetId="1" r:id="r1"/></sheets></workbook>"#;
const STYLES: &str = r#"<styleSheet><cellStyleXfs><xf numFmtId="14"/></cellStyleXfs>
<cellXfs><xf numFmtId="0"/><xf numFmtId="14"/><xf numFmtId="46"/></cellXfs></styleSheet>"#;

/// A workbook of these parts.
pub(super) fn archive(parts: &[(&str, &str)]) -> Vec<u8> {
    let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
    for (path, text) in parts {
        zip.start_file(*path, SimpleFileOptions::default())
            .expect("a part begins");
        zip.write_all(text.as_bytes()).expect("a part is written");
    }
    zip.finish().expect("the archive is whole").into_inner()
}

/// A workbook of one sheet and its shared texts.
pub(super) fn workbook(sheet: &str, texts: &str) -> Vec<u8> {
    archive(&[
        ("_rels/.rels", TOP),
        ("xl/_rels/workbook.xml.rels", BESIDE),
        ("xl/workbook.xml", WORKBOOK),
        ("xl/styles.xml", STYLES),
        ("xl/strings.xml", texts),
        ("xl/worksheets/one.xml", sheet),
    ])
}

/// A sheet with a heading of two names, rows below it as they stand, and what follows them.
pub(super) fn sheet(rows: &str, after: &str) -> String {
    let name = |name: &str| format!(r#"<c t="inlineStr"><is><t>{name}</t></is></c>"#);
    let heading = format!("<row>{}{}</row>", name("code"), name("price"));
    format!("<worksheet><sheetData>{heading}{rows}</sheetData>{after}</worksheet>")
}

/// The rows of such a workbook, without the heading.
pub(super) fn rows(rows: &str) -> Vec<String> {
    let bytes = workbook(&sheet(rows, ""), "<sst/>");
    all(read_xlsx(&bytes, &LIMITS)).split_off(1)
}
