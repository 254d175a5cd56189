//! The foreman sheet: one page, whatever the job, and the figures of the rooms above.

use super::drawings::{box_of, check_xml, texts};
use crate::worked::{DEMO_JOBS, priced};
use crossfall::documents::drawing::{Page, Paper, Subject, Title, draw_small_section};
use crossfall::documents::foreman::{Body, Sheet, fit, write_html, write_sheet};
use crossfall::estimate::set_out;
use crossfall::job::expand_grade_sheet;
use crossfall::quantity::System;

fn sheet(text: &str, paper: Paper) -> (Sheet, Page) {
    let estimate = priced(text);
    let asked = serde_json::from_str(r#"{"benchmark": {"rod": "5 ft 2 in"}}"#).expect("a section");
    let (wanted, _) =
        expand_grade_sheet(Some(asked), &estimate.job).unwrap_or_else(|faults| panic!("{faults}"));
    let laid = set_out(&estimate.job, &estimate.geometry, &wanted)
        .unwrap_or_else(|faults| panic!("{faults}"));
    let subject = Subject {
        job: &estimate.job,
        geometry: &estimate.geometry,
        places: &laid.places,
        grades: &laid.grades,
        takeoff: &estimate.takeoff,
    };
    let title = Title {
        job: estimate.job.name.clone(),
        day: "2026-05-04".to_owned(),
        version: "0".to_owned(),
        system: System::Us,
        paper,
    };
    let section = draw_small_section(&subject, (190.0, 38.0), System::Us);
    fit(paper, |told| {
        write_sheet(&estimate, (&subject, section.as_ref()), (&title, told))
    })
}

fn check_one_page(page: &Page) {
    let boxes: Vec<[f64; 4]> = texts(page).map(box_of).collect();
    for (n, (a, text)) in boxes.iter().zip(texts(page)).enumerate() {
        let inside =
            a[0] >= 9.9 && a[1] >= 9.9 && a[2] <= page.width - 9.9 && a[3] <= page.height - 9.9;
        assert!(inside, "{} leaves the page", text.words);
        for (b, other) in boxes[..n].iter().zip(texts(page)) {
            let apart = a[0] >= b[2] || b[0] >= a[2] || a[1] >= b[3] || b[1] >= a[3];
            assert!(apart, "{} lies on {}", text.words, other.words);
        }
    }
}

#[test]
fn the_demo_sheets_are_one_page_each_with_every_crease_on_it() {
    for (name, text) in &DEMO_JOBS[..3] {
        for paper in [Paper::Letter, Paper::A4] {
            let (sheet, page) = sheet(text, paper);
            check_one_page(&page);
            let grades = sheet
                .blocks
                .iter()
                .find(|block| block.heading == "Grades")
                .expect("grades");
            let Body::Table { rows, .. } = &grades.body else {
                panic!("a table")
            };
            let pieces = priced(text).geometry.surfaces.len();
            assert!(rows.len() >= 2 * pieces, "{name}: {} rows", rows.len());
        }
    }
}

#[test]
fn a_long_ramp_is_still_one_page_and_says_what_it_leaves_out() {
    let run = r#"{"kind": "run", "rise": "20 in", "length": "28 ft"}, {"kind": "landing", "turn": "left", "length": "30 ft"}, {"kind": "run", "rise": "20 in", "length": "28 ft"}, {"kind": "landing", "turn": "right", "length": "30 ft"}"#;
    let path = [run; 12].join(", ");
    let job = format!(
        r#"{{"name": "A hill (invented)", "ramp": {{"path": [{{"kind": "landing"}}, {path}]}}}}"#
    );
    let (sheet, page) = sheet(&job, Paper::Letter);
    check_one_page(&page);
    let told = sheet.blocks.iter().any(|block| match &block.body {
        Body::Table { rows, .. } => rows.iter().any(|row| row[0].starts_with("+ ")),
        _ => false,
    });
    assert!(told);
}

#[test]
fn no_price_stands_on_the_sheet_and_the_days_are_those_of_the_plan() {
    let (sheet, page) = sheet(DEMO_JOBS[0].1, Paper::Letter);
    assert!(texts(&page).all(|text| !text.words.contains('$') && !text.words.contains("USD")));
    let estimate = priced(DEMO_JOBS[0].1);
    let days = sheet
        .blocks
        .iter()
        .find(|block| block.heading == "Who does what")
        .expect("days");
    let Body::Table { rows, .. } = &days.body else {
        panic!("a table")
    };
    assert_eq!(rows.len(), estimate.hours.visits.len());
    for (row, visit) in rows.iter().zip(&estimate.hours.visits) {
        assert_eq!(row[1], visit.people.to_string());
        assert_eq!(row[3], visit.description);
    }
}

#[test]
fn the_page_for_a_browser_is_sound_and_runs_nothing() {
    let hostile = DEMO_JOBS[1]
        .1
        .replacen("Larkfield", "<script>x</script> & Larkfield", 1);
    let (sheet, _) = sheet(&hostile, Paper::A4);
    let html = write_html(&sheet);
    assert!(!html.contains("<script"));
    assert!(html.contains("&lt;script&gt;"));
    assert!(
        !html.contains("http://")
            || html.matches("http://").count() == html.matches("xmlns=\"http://").count()
    );
    let body = html.split_once("<body>").map_or("", |(_, rest)| rest);
    check_xml(&format!(
        "<body>{}",
        body.split_once("</html>").map_or("", |(body, _)| body)
    ));
}
