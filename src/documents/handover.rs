//! A handover on paper: how the ramp was measured first, then what was built and how to care for it.
//!
//! Invariants: every word is one of the handover; where a rule is broken each page says so. Absent: what the
//! parts say.

use super::paper::{Document, Part, Prose, Row, Side, Table};
use super::parties::{Kind, addressee, letterhead, list, panel, signatures};
use crate::handover::{Care, Delivered, Handover, SurveyInShort, Ticket, Warranty};
use crate::quantity::shown::Yd3M3;

/// What stands on every page of a ramp that breaks a rule.
const STAMP: &str = "DOES NOT COMPLY AS MEASURED";

/// A handover as a document.
pub fn compose_handover(handover: &Handover) -> Document {
    let breaks = handover
        .survey
        .as_ref()
        .is_some_and(SurveyInShort::breaks_a_rule);
    let mut parts = head(handover);
    parts.push(Part::Paragraph(Prose::bold(&handover.headline)));
    parts.extend(handover.survey.iter().flat_map(survey));
    parts.extend(concrete(&handover.concrete));
    let mut texts: Vec<String> = handover.mix.iter().map(|mix| mix.text.clone()).collect();
    texts.extend(handover.sealer.text.iter().cloned());
    parts.extend(list("Mix and sealer", texts));
    let care = handover.care.iter().map(Care::sentence).collect();
    parts.extend(list("Care", care));
    parts.extend(handover.warranty.iter().flat_map(warranty));
    parts.extend(list("To know", handover.cautions.clone()));
    parts.push(Part::Paragraph(
        "A signature says that these pages were handed over, and nothing of the ramp.".into(),
    ));
    parts.push(signatures([&handover.seller, &handover.buyer]));
    Document {
        title: format!("Handover: {}", handover.name),
        foot: format!(
            "Handover of {}, {}, {}",
            handover.handed_over_on, handover.seller.name, handover.name
        ),
        stamp: breaks.then(|| STAMP.to_owned()),
        parts,
    }
}

fn head(handover: &Handover) -> Vec<Part> {
    let mut facts = Vec::new();
    facts.extend(handover.number.clone().map(|number| ("Number", number)));
    facts.push(("Date", handover.handed_over_on.to_string()));
    let kind = Kind {
        name: "Handover",
        facts,
    };
    let mut about = vec![Prose::bold(&handover.name)];
    about.extend(handover.dates.iter().map(|done| {
        let what = done.what.replace('_', " ");
        Prose::from(format!("{what} {} (day {})", done.on, done.age_days))
    }));
    vec![
        Part::Letterhead(letterhead(&handover.seller, kind, None)),
        Part::Beside(vec![addressee("TO", &handover.buyer), panel("JOB", about)]),
    ]
}

fn table(heads: &[(&str, Side)], rows: Vec<Row>) -> Part {
    let columns = heads.iter();
    Part::Table(Table {
        columns: columns
            .map(|(head, side)| ((*head).to_owned(), *side))
            .collect(),
        rows,
    })
}

fn survey(survey: &SurveyInShort) -> Vec<Part> {
    let rows = survey.findings.iter().map(|finding| {
        Row::plain(vec![
            finding.rule.clone(),
            finding.verdict.replace('_', " "),
            finding.measured.clone().unwrap_or_default(),
            finding.limit.clone().unwrap_or_default(),
            finding.places.to_string(),
        ])
    });
    let heads = [
        ("Rule", Side::Left),
        ("At the worst place", Side::Left),
        ("Measured", Side::Right),
        ("Limit", Side::Right),
        ("Places", Side::Right),
    ];
    let mut parts = vec![
        Part::Heading("As measured".to_owned()),
        table(&heads, rows.collect()),
    ];
    parts.extend(list("To mend", survey.to_mend.clone()));
    parts
}

fn concrete(concrete: &Delivered) -> Vec<Part> {
    let mut parts = vec![Part::Heading("Concrete as delivered".to_owned())];
    if !concrete.tickets.is_empty() {
        let heads = [
            ("Ticket", Side::Left),
            ("Plant", Side::Left),
            ("Volume", Side::Right),
            ("Minutes", Side::Right),
            ("Slump", Side::Right),
            ("Air", Side::Right),
            ("Temperature", Side::Right),
        ];
        let mut rows: Vec<Row> = concrete.tickets.iter().map(ticket).collect();
        let mut sum = vec![String::new(); heads.len()];
        sum[0] = "Together".to_owned();
        sum[2] = shown(concrete.delivered);
        rows.push(Row::sum(sum));
        parts.push(table(&heads, rows));
    }
    parts.push(Part::Paragraph(Prose::from(format!(
        "The order was {}; the drawing needs {}.",
        concrete.ordered, concrete.net
    ))));
    if !concrete.remarks.is_empty() {
        let remarks = concrete.remarks.iter().cloned().map(Prose::from);
        parts.push(Part::List(remarks.collect()));
    }
    parts
}

fn shown(volume: Option<Yd3M3>) -> String {
    volume.map_or_else(String::new, |volume| volume.to_string())
}

fn ticket(ticket: &Ticket) -> Row {
    let text = |value: Option<String>| value.unwrap_or_default();
    Row::plain(vec![
        ticket.number.clone(),
        text(ticket.plant.clone()),
        ticket.volume.to_string(),
        text(ticket.minutes.map(|minutes| minutes.to_string())),
        text(ticket.slump.map(|slump| slump.to_string())),
        text(ticket.air.map(|air| air.to_string())),
        text(ticket.temperature.map(|at| at.to_string())),
    ])
}

fn warranty(warranty: &Warranty) -> Vec<Part> {
    let years = match warranty.years {
        1 => "one year".to_owned(),
        years => format!("{years} years"),
    };
    vec![
        Part::Heading("Warranty".to_owned()),
        Part::Paragraph(Prose::from(format!(
            "On our workmanship for {years}, from {} through {}, leaving out: {}.",
            warranty.from,
            warranty.through,
            warranty.leaves_out.join("; ")
        ))),
    ]
}
