//! A job on paper: drawings, the foreman sheet, tables; and what any markup that is written must be.
//!
//! Invariants: what is written as markup is well-formed, holds no character that XML forbids, and no
//! element that only a caller's text could have brought.

use super::flow::{read, today, with};
use crossfall::documents::drawing::{
    DrawnView, Paper, Subject, Title, draw, draw_small_section, write_pdf, write_svg,
};
use crossfall::documents::foreman::{fit, write_html, write_sheet};
use crossfall::documents::{write_grades, write_price_lines, write_takeoff_lines, write_tasks};
use crossfall::estimate::{Brief, Estimate, estimate, set_out};
use crossfall::job::{GradeSheetRequest, JobRequest, expand_grade_sheet};
use crossfall::sheet::{Limits, read_csv};
use quick_xml::{Reader, events::Event};
use serde_json::Value;

const LIMITS: Limits = Limits {
    rows: 100_000,
    row_bytes: 1_000_000,
    columns: 100,
    unfolded_bytes: 100_000_000,
};

/// A job, and all that is drawn and written of it.
pub fn papers(bytes: &[u8]) {
    let Some(sent) = read::<JobRequest>(bytes) else {
        return;
    };
    let asked = sent.grade_sheet.clone();
    let mut brief = Brief::from(sent);
    brief.unknowns = false;
    let Ok(answer) = estimate(brief, today(), with()) else {
        return;
    };
    for text in [
        write_price_lines(&answer.priced),
        write_takeoff_lines(&answer.takeoff),
        write_tasks(&answer.hours),
    ] {
        check_table(&text);
    }
    drawn(&answer, asked);
}

fn drawn(answer: &Estimate, asked: Option<GradeSheetRequest>) {
    let job = &answer.job;
    let Ok((wanted, _)) = expand_grade_sheet(asked, job) else {
        return;
    };
    let Ok(laid) = set_out(job, &answer.geometry, &wanted) else {
        return;
    };
    check_table(&write_grades(&answer.geometry, &laid.grades, job.units));
    let subject = Subject {
        job,
        geometry: &answer.geometry,
        places: &laid.places,
        grades: &laid.grades,
        takeoff: &answer.takeoff,
    };
    let title = Title {
        job: job.name.clone(),
        day: "2026-05-04".to_owned(),
        version: "0".to_owned(),
        system: job.units,
        paper: Paper::Letter,
    };
    let views = DrawnView::ALL.into_iter();
    let mut pages: Vec<_> = views
        .filter_map(|view| draw(view, &subject, &title))
        .collect();
    for page in &pages {
        check_markup(&write_svg(page));
    }
    let section = draw_small_section(&subject, (190.0, 38.0), job.units);
    let (sheet, page) = fit(Paper::Letter, |told| {
        write_sheet(answer, (&subject, section.as_ref()), (&title, told))
    });
    check_html(&write_html(&sheet));
    pages.push(page);
    write_pdf(&pages, &title.job).expect("a file");
}

/// A table of ours is read by our own reader.
fn check_table(text: &str) {
    let Ok(table) = read_csv(text.as_bytes(), None, &LIMITS) else {
        panic!("our own table is not read: {text}");
    };
    for row in table.rows() {
        row.unwrap_or_else(|error| panic!("{error}: {text}"));
    }
}

/// What stands in some markup.
pub(super) struct Markup {
    /// Elements in their order.
    pub(super) names: Vec<String>,
    /// The text of each, unescaped.
    pub(super) texts: Vec<String>,
}

/// Reads markup that must be well-formed.
pub(super) fn check_markup(text: &str) -> Markup {
    let bad = |c: char| {
        let control = c < ' ' && !matches!(c, '\t' | '\n' | '\r');
        control || matches!(c, '\u{FFFE}' | '\u{FFFF}')
    };
    assert!(
        !text.contains(bad),
        "a character that XML forbids: {text:?}"
    );
    let mut reader = Reader::from_str(text);
    let (mut names, mut texts, mut open) = (Vec::new(), Vec::new(), Vec::<String>::new());
    loop {
        match reader
            .read_event()
            .unwrap_or_else(|error| panic!("{error}: {text}"))
        {
            Event::Start(element) => {
                names.push(element.name().as_ref().to_owned());
                check_attributes(element.attributes(), text);
                open.push(String::new());
            }
            Event::Empty(element) => {
                names.push(element.name().as_ref().to_owned());
                check_attributes(element.attributes(), text);
            }
            Event::Text(words) => {
                if let Some(last) = open.last_mut() {
                    last.push_str(&words.xml10_content());
                }
            }
            Event::GeneralRef(entity) => {
                let name = entity.xml10_content();
                let said = quick_xml::escape::unescape(&format!("&{name};"))
                    .unwrap_or_else(|error| panic!("{error}: {text}"))
                    .into_owned();
                if let Some(last) = open.last_mut() {
                    last.push_str(&said);
                }
            }
            Event::End(_) => texts.extend(open.pop()),
            Event::PI(_) | Event::CData(_) | Event::Comment(_) => {
                panic!("something strange stands in {text}")
            }
            Event::Eof => break,
            Event::Decl(_) | Event::DocType(_) => {}
        }
    }
    assert!(open.is_empty(), "{} elements stay open: {text}", open.len());
    Markup { names, texts }
}

fn check_attributes(all: quick_xml::events::attributes::Attributes<'_>, text: &str) {
    for attribute in all {
        let attribute = attribute.unwrap_or_else(|error| panic!("{error}: {text}"));
        let name = attribute.key.as_ref().to_owned();
        assert!(!name.starts_with("on"), "{name} in {text}");
    }
}

/// Elements of our own HTML; a script is none of them.
pub(super) fn check_html(text: &str) {
    let lower = text.to_ascii_lowercase();
    for strange in ["<script", "<iframe", "<object", "<embed"] {
        assert!(!lower.contains(strange), "{strange} stands in {text}");
    }
    let opened = lower.matches("<div").count();
    assert_eq!(opened, lower.matches("</div>").count(), "{text}");
}

/// Pointers of every text in a value.
pub(super) fn leaves(value: &Value) -> Vec<String> {
    fn walk(value: &Value, at: &str, found: &mut Vec<String>) {
        match value {
            Value::String(_) => found.push(at.to_owned()),
            Value::Array(items) => {
                for (index, item) in items.iter().enumerate() {
                    walk(item, &format!("{at}/{index}"), found);
                }
            }
            Value::Object(fields) => {
                for (name, field) in fields {
                    walk(field, &format!("{at}/{name}"), found);
                }
            }
            _ => {}
        }
    }
    let mut found = Vec::new();
    walk(value, "", &mut found);
    found
}
