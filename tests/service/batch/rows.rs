//! Every row is answered, in its place, beside what was sent.

use super::{CSV, JSON, LINES, answered, batch, cell, cells};
use crate::launched::Launched;
use crossfall::sheet::{Cell, write_xlsx};
use serde_json::Value;
use std::io::{Cursor, Write as _};

#[actix_web::test]
async fn the_columns_sent_come_back_first_and_unknown_ones_are_carried_through() {
    let service = Launched::start().await;
    let sent = "Our room,rise_in,LENGTH_ft,note\n4B,28,28,by the gate\n\n,14,15,\n";
    let answer = answered(batch(&service, "", CSV).body(sent)).await;
    let rows = cells(&answer, b',');
    assert_eq!(rows.len(), 3, "a blank line is no row");
    let first: Vec<&str> = rows[0].iter().take(6).map(String::as_str).collect();
    // The figure keeps its name, so that whoever reads it finds it.
    let expected = [
        "Our room",
        "rise_in",
        "LENGTH_ft",
        "sent_note",
        "status",
        "verdict",
    ];
    assert_eq!(first, expected);
    assert_eq!(rows[0].last().map(String::as_str), Some("note"));
    assert_eq!(rows[1][..5], ["4B", "28", "28", "by the gate", "ok"]);
    assert_eq!(rows[2][..5], ["", "14", "15", "", "ok"]);
    let total = |row| cell(&rows, row, "total").parse::<f64>().expect("a number");
    assert!(total(1) > total(2) && total(2) > 1_000.0);
}

#[actix_web::test]
async fn the_money_of_a_row_adds_up_to_the_cent() {
    let service = Launched::start().await;
    let sent = "rise_in,tax_base,tax_pct\n28,,\n14,price,8.25\n7,none,\n33,materials,6.25\n";
    let rows = cells(&answered(batch(&service, "", CSV).body(sent)).await, b',');
    for row in 1..rows.len() {
        let cents = |name: &str| {
            let amount: rust_decimal::Decimal = cell(&rows, row, name).parse().expect("money");
            amount
        };
        let sum = |names: &[&str]| {
            names
                .iter()
                .map(|name| cents(name))
                .sum::<rust_decimal::Decimal>()
        };
        let direct = ["material", "labour", "equipment", "fees", "subs"];
        assert_eq!(sum(&direct), cents("direct"), "row {row}");
        let steps = [
            "direct",
            "tax_paid",
            "contingency",
            "overhead",
            "profit",
            "tax_charged",
        ];
        assert_eq!(sum(&steps), cents("total"), "row {row}");
    }
}

#[actix_web::test]
async fn a_bad_row_says_why_and_the_others_go_on() {
    let service = Launched::start().await;
    let sent = "job,rise_in,width_in\na,28,60\nb,tall,2\nc,14,60,more\nd,14,60\n";
    let rows = cells(
        &answered(batch(&service, "?figures=total", CSV).body(sent)).await,
        b',',
    );
    let status: Vec<&str> = (1..5).map(|row| cell(&rows, row, "status")).collect();
    assert_eq!(status, ["ok", "error", "error", "ok"]);
    let why = cell(&rows, 2, "note");
    // Both faults, each with its column as written.
    assert!(why.contains("rise_in: found \"tall\""), "{why}");
    assert!(
        why.contains("width_in: found \"2\"") || why.contains("width_in: found 2"),
        "{why}"
    );
    assert_eq!(cell(&rows, 2, "total"), "");
    assert!(cell(&rows, 3, "note").contains("more cells than the heading's 3"));
    assert_eq!(cell(&rows, 3, "job"), "c");
    assert_ne!(cell(&rows, 4, "total"), "");
}

#[actix_web::test]
async fn an_open_quote_costs_its_own_row_alone() {
    let service = Launched::start().await;
    let sent = "job,rise_in\n\"a,28\nb,14\nc,7\n";
    let rows = cells(
        &answered(batch(&service, "?figures=total", CSV).body(sent)).await,
        b',',
    );
    let status: Vec<&str> = (1..4).map(|row| cell(&rows, row, "status")).collect();
    assert_eq!(status, ["error", "ok", "ok"]);
    assert!(cell(&rows, 1, "note").contains("never closed"));
}

fn lines(text: &str) -> Vec<Value> {
    let lines = text
        .lines()
        .map(|line| serde_json::from_str(line).expect("one JSON value a line"));
    lines.collect()
}

#[actix_web::test]
async fn lines_are_answered_in_order_with_their_numbers_and_end_in_a_summary() {
    let service = Launched::start().await;
    let sent = (1..=200)
        .map(|number| match number % 50 {
            7 => "{\"rise_in\":\"tall\"}\n".to_owned(),
            8 => "nothing\n".to_owned(),
            _ => format!("{{\"job\":\"{number}\",\"rise_in\":{}}}\n", 6 + number % 20),
        })
        .collect::<String>();
    let answer = answered(batch(&service, "?figures=total", LINES).body(sent)).await;
    let rows = lines(&answer);
    assert_eq!(rows.len(), 201);
    for (row, number) in rows[..200].iter().zip(1_u64..) {
        assert_eq!(row["row"], number);
        match number % 50 {
            7 => assert_eq!(row["errors"][0]["column"], "rise_in", "{row}"),
            8 => assert_eq!(row["status"], "error", "{row}"),
            _ => assert_eq!(row["input"]["job"], number.to_string(), "{row}"),
        }
    }
    let summary = &rows[200]["summary"];
    assert_eq!(summary["rows"], 200);
    assert_eq!(summary["ok"], 192);
    assert_eq!(summary["errors"], 8);
}

#[actix_web::test]
async fn an_array_is_answered_as_one_document() {
    let service = Launched::start().await;
    let full = include_str!("../../../examples/straight.json");
    let sent = format!("[{{\"rise_in\":28}},{full},{{\"rise_in\":null}},3]");
    let answer = answered(batch(&service, "?job=true", JSON).body(sent)).await;
    let answer: Value = serde_json::from_str(&answer).expect("one JSON document");
    let rows = answer["rows"].as_array().expect("rows");
    assert_eq!(rows.len(), 4);
    assert_eq!(rows[0]["status"], "ok");
    assert_eq!(rows[0]["job"]["ramp"]["path"][1]["rise"], "2 ft 4 in");
    assert!(
        rows[0]["assumptions"]
            .as_array()
            .is_some_and(|list| list.len() > 10)
    );
    assert_eq!(rows[1]["status"], "ok", "{}", rows[1]);
    assert_eq!(rows[2]["status"], "error");
    assert_eq!(rows[3]["status"], "error");
    assert_eq!(answer["summary"]["rows"], 4);
}

#[actix_web::test]
async fn a_workbook_is_answered_as_a_table() {
    let service = Launched::start().await;
    let day = chrono::NaiveDate::from_ymd_opt(2026, 5, 4).expect("a day");
    let row = vec![Cell::Text("a"), Cell::Number("28")];
    let book = write_xlsx("Jobs", day, &["job", "rise_in"], std::iter::once(row));
    let book = book.expect("a workbook");
    let kind = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet";
    let answer = answered(batch(&service, "?figures=total", kind).body(book)).await;
    let rows = cells(&answer, b',');
    assert_eq!(rows[0], ["job", "rise_in", "status", "total", "note"]);
    assert_eq!(rows[1][..3], ["a", "28", "ok"]);
}

/// A workbook of one sheet, part by part (ECMA-376, from memory).
fn workbook(rows: &str) -> Vec<u8> {
    const TOP: &str = r#"<Relationships><Relationship Id="a" Type="x/officeDocument" Target="xl/workbook.xml"/></Relationships>"#;
    const BESIDE: &str = r#"<Relationships><Relationship Id="r1" Type="x/worksheet" Target="one.xml"/></Relationships>"#;
    const BOOK: &str =
        r#"<workbook><sheets><sheet name="A" sheetId="1" r:id="r1"/></sheets></workbook>"#;
    let sheet = format!("<worksheet><sheetData>{rows}</sheetData></worksheet>");
    let mut zip = zip::ZipWriter::new(Cursor::new(Vec::new()));
    for (path, text) in [
        ("_rels/.rels", TOP),
        ("xl/_rels/workbook.xml.rels", BESIDE),
        ("xl/workbook.xml", BOOK),
        ("xl/one.xml", &sheet),
    ] {
        let options = zip::write::SimpleFileOptions::default();
        zip.start_file(path, options).expect("a part begins");
        zip.write_all(text.as_bytes()).expect("a part is written");
    }
    zip.finish().expect("the archive is whole").into_inner()
}

#[actix_web::test]
async fn a_bad_row_of_a_workbook_is_an_answer_and_the_others_go_on() {
    let service = Launched::start().await;
    let text = |text: &str| format!(r#"<c t="inlineStr"><is><t>{text}</t></is></c>"#);
    let row = |job: &str, rise: &str| format!("<row>{}{rise}</row>", text(job));
    let rows = [
        row("job", &text("rise_in")),
        row("a", "<c><v>28</v></c>"),
        row("b", r##"<c t="e"><v>#DIV/0!</v></c>"##),
        row("c", "<c><v>28</v></c><c><v>1</v></c>"),
        row("d", "<c><v>28</v></c>"),
    ];
    let kind = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet";
    let sent = batch(&service, "?figures=total", kind).body(workbook(&rows.concat()));
    let rows = cells(&answered(sent).await, b',');
    let told: Vec<[&str; 2]> = (1..rows.len())
        .map(|number| [cell(&rows, number, "job"), cell(&rows, number, "status")])
        .collect();
    assert_eq!(
        told,
        [["a", "ok"], ["b", "error"], ["c", "error"], ["d", "ok"]]
    );
    let note = cell(&rows, 2, "note");
    assert!(note.contains("cell B3 holds the error #DIV/0!"), "{note}");
}

#[actix_web::test]
async fn a_key_that_is_written_twice_is_refused_in_every_form() {
    let service = Launched::start().await;
    let short = r#"{"rise_in": 28, "rise_in": 3}"#;
    let full = r#"{"ramp": {"path": [{"kind": "landing"}, {"kind": "run", "rise": "28 in", "rise": "3 in", "length": "28 ft"}, {"kind": "landing"}]}}"#;
    for job in [short, full] {
        for (kind, body) in [(LINES, job.to_owned()), (JSON, format!("[{job}]"))] {
            let answer = answered(batch(&service, "?format=json", kind).body(body)).await;
            let answer: Value = serde_json::from_str(&answer).expect("JSON");
            let row = &answer["rows"][0];
            assert_eq!(row["status"], "error", "{kind}: {row}");
            assert_eq!(row["errors"][0]["found"], "the same field twice");
        }
    }
}

/// An answer can be sent again as it is: nothing in it is lost, and no two columns are called the same.
#[actix_web::test]
async fn an_answer_is_a_table_that_can_be_sent_again() {
    let service = Launched::start().await;
    let mut table = "job,rise_in,note\na,28,mine\n".to_owned();
    for round in 0..3 {
        table = answered(batch(&service, "?figures=total", CSV).body(table)).await;
        let rows = cells(&table, b',');
        let mut names = rows[0].clone();
        names.sort();
        names.dedup();
        assert_eq!(names.len(), rows[0].len(), "round {round}: {:?}", rows[0]);
        assert!(rows[1].iter().any(|cell| cell == "mine"), "{:?}", rows[1]);
        assert_eq!(cell(&rows, 1, "status"), "ok");
    }
}
