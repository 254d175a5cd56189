//! A proposal on paper: two pages for a usual job, the text in two columns, the drawing last.
//!
//! Invariants: every figure is one of the proposal; a budget says so on each page. Absent: what the
//! sections say.

use super::drawing::{Bitmap, Page, Paper, Subject, draw_small_plan, draw_small_section};
use super::paper::{Document, Part, Prose, Room, Row, Side, Sum, Table, room_left};
use super::parties::{Kind, addressee, letterhead, panel, signatures};
use crate::proposal::{Proposal, ProposalSection, ProposalTable};
use crate::quantity::System;

/// What stands on every page of a budget.
const STAMP: &str = "BUDGET, NOT AN OFFER";
/// Said at the foot where a price comes from a book that is invented.
const DEMO: &str = "Prices from the invented demo book";
/// The plan is no lower than this, in millimetres, and no higher than that.
const PLAN: (f64, f64) = (46.0, 120.0);
/// Height of the section, in millimetres.
const SECTION: f64 = 40.0;
/// Captions and gaps under a drawing, in millimetres.
const CAPTION: f64 = 7.0;

/// What is drawn, and in which units.
#[derive(Clone, Copy)]
pub struct Drawn<'a> {
    /// The ramp; none for a proposal without drawings.
    pub subject: Option<&'a Subject<'a>>,
    /// Units of its dimensions.
    pub system: System,
    /// The paper.
    pub paper: Paper,
}

/// A proposal as a document.
pub fn compose_proposal(proposal: &Proposal, logo: Option<Bitmap>, drawn: Drawn<'_>) -> Document {
    let kind = if proposal.budget {
        "Budget"
    } else {
        "Proposal"
    };
    let mut parts = head(proposal, (kind, logo));
    let sections = proposal.sections.iter().flat_map(section).collect();
    parts.push(Part::Columns(sections));
    if !proposal.budget {
        parts.push(signatures([&proposal.seller, &proposal.buyer]));
    }
    if let Some(subject) = drawn.subject {
        parts.extend(drawings(
            subject,
            drawn.system,
            room_left(&parts, drawn.paper),
        ));
    }
    Document {
        title: format!("{kind}: {}", proposal.job),
        foot: foot(proposal, kind),
        stamp: proposal.budget.then(|| STAMP.to_owned()),
        parts,
    }
}

fn foot(proposal: &Proposal, kind: &str) -> String {
    let number = proposal
        .number
        .as_ref()
        .map_or_else(String::new, |number| format!(" {number}"));
    let demo = if proposal.demo {
        format!(". {DEMO}")
    } else {
        String::new()
    };
    format!(
        "{kind}{number} of {}, {}{demo}",
        proposal.date, proposal.seller.name
    )
}

fn head(proposal: &Proposal, (kind, logo): (&str, Option<Bitmap>)) -> Vec<Part> {
    let mut facts = Vec::new();
    facts.extend(proposal.number.clone().map(|number| ("Number", number)));
    facts.push(("Date", proposal.date.to_string()));
    let until = proposal.valid_until.map(|until| until.to_string());
    facts.extend(until.map(|until| ("Good until", until)));
    let kind = Kind { name: kind, facts };
    let mut about = vec![Prose::bold(&proposal.job)];
    let ramp = proposal
        .sections
        .get(1)
        .and_then(|work| work.paragraphs.first());
    about.extend(ramp.map(|ramp| Prose::from(ramp.replace(':', "."))));
    vec![
        Part::Letterhead(letterhead(&proposal.seller, kind, logo)),
        Part::Beside(vec![addressee("FOR", &proposal.buyer), panel("JOB", about)]),
        Part::Sum(sum(proposal)),
    ]
}

fn sum(proposal: &Proposal) -> Sum {
    let price = &proposal.price;
    let mut letters = price.words.chars();
    let first = letters.next().map(|first| first.to_uppercase().to_string());
    let words = format!("{}{}", first.unwrap_or_default(), letters.as_str());
    let mut said = vec![Prose::from(words)];
    if !proposal.unpriced.is_empty() {
        let missing = format!("{}.", proposal.unpriced.join("; "));
        said.push(Prose::led("Not priced yet, and not in this sum:", &missing));
    }
    let name = match (proposal.budget, proposal.unpriced.is_empty()) {
        (false, _) => "Price",
        (true, true) => "Budget",
        (true, false) => "Budget so far",
    };
    Sum {
        name: name.to_owned(),
        figures: price.figures.clone(),
        words: said,
    }
}

fn section(section: &ProposalSection) -> Vec<Part> {
    let mut parts = vec![Part::Heading(format!(
        "{}. {}",
        section.number, section.heading
    ))];
    let paragraph = |sentences: &[String]| {
        let words = sentences.join(" ");
        (!words.is_empty()).then(|| Part::Paragraph(words.into()))
    };
    parts.extend(paragraph(&section.paragraphs));
    parts.extend(section.table.as_ref().map(|rows| Part::Table(table(rows))));
    parts.extend(paragraph(&section.after));
    if !section.points.is_empty() {
        let points = section.points.iter().cloned().map(Prose::from);
        parts.push(Part::List(points.collect()));
    }
    parts
}

fn table(rows: &ProposalTable) -> Table {
    let words = rows.heads.len().saturating_sub(rows.figures);
    let column = |(n, head): (usize, &String)| {
        let side = if n < words { Side::Left } else { Side::Right };
        (head.clone(), side)
    };
    Table {
        columns: rows.heads.iter().enumerate().map(column).collect(),
        rows: rows.rows.iter().cloned().map(Row::plain).collect(),
    }
}

/// Plan and section where the last page has room for them, else on a page of their own.
fn drawings(subject: &Subject<'_>, system: System, room: Room) -> Vec<Part> {
    let starts = room.height < PLAN.0 + CAPTION;
    let height = if starts { room.whole } else { room.height };
    let high = (height - CAPTION).clamp(PLAN.0, PLAN.1);
    let plan = trimmed(draw_small_plan(subject, (room.width, high), system));
    let rest = height - plan.height - CAPTION;
    let section = (rest >= SECTION + CAPTION)
        .then(|| draw_small_section(subject, (room.width, SECTION), system))
        .flatten()
        .map(trimmed);
    let mut parts: Vec<Part> = starts.then_some(Part::NewPage).into_iter().collect();
    parts.push(captioned(plan));
    parts.extend(section.map(captioned));
    parts
}

/// A drawing without the empty paper above and below it.
fn trimmed(page: Page) -> Page {
    let (mut top, mut bottom) = (page.height, 0.0_f64);
    for item in &page.items {
        let (above, below) = item.reach();
        (top, bottom) = (top.min(above), bottom.max(below));
    }
    if top >= bottom {
        return page;
    }
    Page {
        height: bottom - top,
        items: page
            .items
            .iter()
            .map(|item| item.moved(0.0, -top))
            .collect(),
        ..page
    }
}

fn captioned(page: Page) -> Part {
    let words = format!("{}: {}", page.title, page.description);
    Part::Picture(Box::new(page), words)
}
