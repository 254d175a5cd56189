//! A proposal on paper: two pages for a usual job, the text in two columns, the drawing last.
//!
//! Invariants: every figure is one of the proposal; a budget says so on each page. Absent: what the
//! sections say.

use super::drawing::{Bitmap, Page, Paper, Subject, draw_small_plan, draw_small_section};
use super::paper::{
    Document, Letterhead, Panel, Part, Prose, Room, Row, Side, Signature, Sum, Table, room_left,
};
use crate::billing::Party;
use crate::proposal::{Proposal, ProposalSection, ProposalTable};
use crate::quantity::System;

/// What stands on every page of a budget.
const STAMP: &str = "BUDGET, NOT AN OFFER";
/// Said at the foot where a price comes from a book that is invented.
const DEMO: &str = "Prices from the invented demo book";
/// Lines of a signature.
const SIGNED: [&str; 2] = ["Signature and date", "Name and title"];
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
        parts.push(Part::Signatures(vec![
            signature(&proposal.seller.name),
            signature(&proposal.customer.name),
        ]));
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
    let seller = &proposal.seller;
    let mut facts = Vec::new();
    if let Some(number) = &proposal.number {
        facts.push(("Number".to_owned(), number.clone()));
    }
    facts.push(("Date".to_owned(), proposal.date.to_string()));
    facts.push(("Good until".to_owned(), proposal.valid_until.to_string()));
    let letterhead = Letterhead {
        logo,
        name: seller.name.clone(),
        lines: under_name(seller),
        kind: kind.to_owned(),
        facts,
    };
    let customer = &proposal.customer;
    let mut lines = vec![Prose::bold(&customer.name)];
    lines.extend(under_name(customer).into_iter().map(Prose::from));
    let mut about = vec![Prose::bold(&proposal.job)];
    let ramp = proposal
        .sections
        .get(1)
        .and_then(|work| work.paragraphs.first());
    about.extend(ramp.map(|ramp| Prose::from(ramp.replace(':', "."))));
    let panel = |heading: &str, lines| Panel {
        heading: heading.to_owned(),
        lines,
    };
    vec![
        Part::Letterhead(letterhead),
        Part::Beside(vec![panel("FOR", lines), panel("JOB", about)]),
        Part::Sum(sum(proposal)),
    ]
}

/// Address, whom to reach and licence of a party, a line each.
pub(super) fn under_name(party: &Party) -> Vec<String> {
    let mut lines = vec![party.address().join(", ")];
    let contact = party.contact.as_ref();
    let reach = contact.map(|contact| [&contact.name, &contact.phone, &contact.email]);
    let reach = reach.into_iter().flatten().flatten();
    lines.push(reach.cloned().collect::<Vec<_>>().join(", "));
    lines.extend(
        party
            .licence
            .as_ref()
            .map(|licence| format!("Licence {licence}")),
    );
    lines.retain(|line| !line.is_empty());
    lines
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
    Sum {
        name: if proposal.budget {
            "Budget so far"
        } else {
            "Price"
        }
        .to_owned(),
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

fn signature(name: &str) -> Signature {
    Signature {
        party: format!("For {name}"),
        lines: SIGNED.map(str::to_owned).to_vec(),
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
