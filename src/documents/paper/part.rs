//! What a document for the office holds, before anybody decides how it is written down.
//!
//! Invariant: every word arrives as it is to be read. Absent: places, sizes, pages.

use crate::documents::drawing::{Bitmap, Page};

/// Some words in one weight.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Span {
    /// The words.
    pub words: String,
    /// Heavier than usual.
    pub bold: bool,
}

/// Words that follow each other and are broken into lines.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Prose(pub Vec<Span>);

/// On which side of its column a cell stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// Words.
    Left,
    /// Money and counts.
    Right,
}

/// A row of a table.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Row {
    /// As many as the table has columns.
    pub cells: Vec<String>,
    /// A sum: under a line, and heavier.
    pub is_sum: bool,
}

/// Rows under heads, repeated where the table goes on elsewhere.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Table {
    /// A head and the side of its column.
    pub columns: Vec<(String, Side)>,
    /// The rows.
    pub rows: Vec<Row>,
}

/// Who writes, and what.
#[derive(Clone, Debug, PartialEq)]
pub struct Letterhead {
    /// The mark of who writes.
    pub logo: Option<Bitmap>,
    /// Who writes.
    pub name: String,
    /// Address, telephone, licence.
    pub lines: Vec<String>,
    /// What kind of paper it is.
    pub kind: String,
    /// Number, day and the like, each with its name.
    pub facts: Vec<(String, String)>,
}

/// A few lines under a small heading.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Panel {
    /// The heading.
    pub heading: String,
    /// The lines.
    pub lines: Vec<Prose>,
}

/// The sum that everything leads to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Sum {
    /// What it is.
    pub name: String,
    /// In figures.
    pub figures: String,
    /// In words and what else is to be said of it.
    pub words: Vec<Prose>,
}

/// Who signs.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Signature {
    /// For whom.
    pub party: String,
    /// What is written on each line.
    pub lines: Vec<String>,
}

/// One part of a document.
#[derive(Clone, Debug, PartialEq)]
pub enum Part {
    /// Who writes, and what.
    Letterhead(Letterhead),
    /// Few lines beside each other.
    Beside(Vec<Panel>),
    /// The sum.
    Sum(Sum),
    /// A heading, which never ends a column.
    Heading(String),
    /// A paragraph.
    Paragraph(Prose),
    /// Points of a list.
    List(Vec<Prose>),
    /// A table.
    Table(Table),
    /// Parts that run down two columns.
    Columns(Vec<Part>),
    /// A drawing with what stands under it.
    Picture(Box<Page>, String),
    /// Signatures beside each other.
    Signatures(Vec<Signature>),
    /// What follows begins a page.
    NewPage,
}

/// A document.
#[derive(Clone, Debug, PartialEq)]
pub struct Document {
    /// What it is, for a list of files.
    pub title: String,
    /// What stands at the foot of every page.
    pub foot: String,
    /// What nobody may overlook on any page.
    pub stamp: Option<String>,
    /// From the top down.
    pub parts: Vec<Part>,
}

impl Prose {
    /// Words after a heavier beginning.
    pub fn led(lead: &str, words: &str) -> Self {
        Self(vec![Span::new(lead, true), Span::new(words, false)])
    }

    /// Heavier words.
    pub fn bold(words: &str) -> Self {
        Self(vec![Span::new(words, true)])
    }

    /// All its words, without their weight.
    pub fn words(&self) -> String {
        let words: Vec<&str> = self.0.iter().map(|span| span.words.as_str()).collect();
        words.join(" ")
    }
}

impl From<&str> for Prose {
    fn from(words: &str) -> Self {
        Self(vec![Span::new(words, false)])
    }
}

impl From<String> for Prose {
    fn from(words: String) -> Self {
        Self(vec![Span { words, bold: false }])
    }
}

impl Span {
    fn new(words: &str, bold: bool) -> Self {
        Self {
            words: words.to_owned(),
            bold,
        }
    }
}

impl Row {
    /// A row like any other.
    pub const fn plain(cells: Vec<String>) -> Self {
        Self {
            cells,
            is_sum: false,
        }
    }

    /// A sum.
    pub const fn sum(cells: Vec<String>) -> Self {
        Self {
            cells,
            is_sum: true,
        }
    }
}

impl Part {
    /// Hands over every text of the part, from the top down.
    pub(super) fn each_text(&self, see: &mut impl FnMut(&str)) {
        match self {
            Self::Letterhead(head) => head.each_text(see),
            Self::Beside(panels) => {
                for panel in panels {
                    see(&panel.heading);
                    each_span(&panel.lines, see);
                }
            }
            Self::Sum(sum) => {
                see(&sum.name);
                see(&sum.figures);
                each_span(&sum.words, see);
            }
            Self::Heading(words) | Self::Picture(_, words) => see(words),
            Self::Paragraph(prose) => each_span(std::slice::from_ref(prose), see),
            Self::List(points) => each_span(points, see),
            Self::Table(table) => {
                table.columns.iter().for_each(|(head, _)| see(head));
                let cells = table.rows.iter().flat_map(|row| &row.cells);
                cells.for_each(|cell| see(cell));
            }
            Self::Columns(parts) => parts.iter().for_each(|part| part.each_text(see)),
            Self::Signatures(parties) => {
                for party in parties {
                    see(&party.party);
                    party.lines.iter().for_each(|line| see(line));
                }
            }
            Self::NewPage => {}
        }
    }
}

impl Letterhead {
    fn each_text(&self, see: &mut impl FnMut(&str)) {
        see(&self.name);
        self.lines.iter().for_each(|line| see(line));
        see(&self.kind);
        for (name, fact) in &self.facts {
            see(name);
            see(fact);
        }
    }
}

fn each_span(prose: &[Prose], see: &mut impl FnMut(&str)) {
    let spans = prose.iter().flat_map(|prose| &prose.0);
    spans.for_each(|span| see(&span.words));
}
