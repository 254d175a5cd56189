//! The page around a drawing: margins, title, scale bar, and what every drawing says.
//!
//! Invariant: every page names its job, its view, its scale, its day, and who decides.

use super::canvas::{Canvas, Field, LETTERS};
use super::font::{drawable, width_of};
use super::scale::Scale;
use super::scene::{Anchor, Item, Page, Pen, Spot, Text, Tone};
use crate::quantity::{Length, System};

/// Sizes of paper, laid on their long side.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Paper {
    /// 11 in by 8 1/2 in.
    Letter,
    /// 297 mm by 210 mm (ISO 216).
    A4,
}

/// What stands in the title of every page.
#[derive(Clone, Debug, PartialEq)]
pub struct Title {
    /// Name of the job, as sent.
    pub job: String,
    /// The day of the job's prices, as the only day that a drawing may know.
    pub day: String,
    /// Version of the program.
    pub version: String,
    /// Units.
    pub system: System,
    /// The paper.
    pub paper: Paper,
}

/// Free paper around everything, in millimetres.
const MARGIN: f64 = 12.0;
/// Height of the title, in millimetres.
const TITLE: f64 = 24.0;

/// What every drawing says beneath it.
const CAUTIONS: [&str; 2] = [
    "A reading of the job as sent: measure on site before cutting or ordering. The local code, the official in charge and a licensed designer decide.",
    "Have buried lines located before a stake is driven. Arrows point up the slope. Elevations are above the foot of the path, on its centre line.",
];

impl Paper {
    /// Width and height, in millimetres.
    pub const fn size(self) -> (f64, f64) {
        match self {
            Self::Letter => (279.4, 215.9),
            Self::A4 => (297.0, 210.0),
        }
    }

    /// The part that a drawing may use.
    pub(super) const fn field(self) -> Field {
        let (width, height) = self.size();
        Field {
            left: MARGIN,
            top: MARGIN,
            right: width - MARGIN,
            bottom: height - MARGIN - TITLE - 2.0,
        }
    }
}

/// What one view is called and how it is drawn.
pub(super) struct View<'a> {
    pub(super) title: &'a str,
    pub(super) description: String,
    pub(super) scale: &'a Scale,
    /// What else the reader must know: an exaggeration, a note.
    pub(super) note: String,
}

/// What is written around a picture that has no scale.
pub(super) struct Sheet<'a> {
    pub(super) title: &'a str,
    pub(super) description: String,
    /// What stands on the right of the job's name.
    pub(super) heading: String,
    /// How it is to be read.
    pub(super) note: String,
    /// What it does not know.
    pub(super) cautions: [&'a str; 2],
}

/// Puts a drawing on its page.
pub(super) fn framed(canvas: Canvas, title: &Title, view: View<'_>) -> Page {
    let sheet = Sheet {
        heading: format!("{}, {}", view.title, view.scale.name),
        title: view.title,
        description: view.description,
        note: view.note,
        cautions: CAUTIONS,
    };
    framed_sheet(canvas, title, sheet)
}

/// Puts a picture on its page.
pub(super) fn framed_sheet(canvas: Canvas, title: &Title, mut sheet: Sheet<'_>) -> Page {
    let (width, height) = title.paper.size();
    if canvas.left_out() > 0 {
        sheet.note = format!(
            "{} {} labels found no room: ask for larger paper.",
            sheet.note,
            canvas.left_out()
        );
    }
    let mut items = canvas.items;
    items.extend(title_block(title, &sheet));
    Page {
        width,
        height,
        title: format!("{}: {}", sheet.title, drawable(&title.job)),
        description: sheet.description,
        items,
    }
}

fn title_block(title: &Title, sheet: &Sheet<'_>) -> Vec<Item> {
    let (width, height) = title.paper.size();
    let (left, right) = (MARGIN, width - MARGIN);
    let top = height - MARGIN - TITLE;
    let mut items = vec![Item::Line {
        through: vec![Spot::new(left, top), Spot::new(right, top)],
        pen: Pen::Outline,
    }];
    let job = if title.job.is_empty() {
        "Ramp without a name"
    } else {
        &title.job
    };
    let job = shortened(&drawable(job), (5.0, true), (right - left) * 0.62);
    items.push(text(
        Spot::new(left, top + 7.0),
        job,
        (5.0, true),
        Anchor::Start,
    ));
    items.push(text(
        Spot::new(right, top + 7.0),
        sheet.heading.clone(),
        (4.2, true),
        Anchor::End,
    ));
    let made = format!("{}, crossfall {}", title.day, title.version);
    let made_width = width_of(&made, LETTERS, false);
    items.push(text(
        Spot::new(right, top + 12.5),
        made,
        (LETTERS, false),
        Anchor::End,
    ));
    let room = right - left - made_width - 6.0;
    let note = shortened(sheet.note.trim(), (LETTERS, false), room);
    items.push(text(
        Spot::new(left, top + 12.5),
        note,
        (LETTERS, false),
        Anchor::Start,
    ));
    for (line, words) in sheet.cautions.iter().enumerate() {
        let at = Spot::new(left, top + 17.5 + 4.2 * line as f64);
        let words = shortened(words, (2.9, false), right - left);
        items.push(text(at, words, (2.9, false), Anchor::Start));
    }
    items
}

/// The scale bar in the lower right corner of the field, and the box that it takes.
pub(super) fn scale_bar(title: &Title, scale: &Scale) -> (Vec<Item>, Field) {
    let field = title.paper.field();
    let step = bar_step(title.system, scale);
    let whole = scale.on_paper(step) * BOXES as f64;
    let from = Spot::new(field.right - whole, field.bottom - 3.0);
    let mut items = bar(scale.on_paper(step), from);
    let words = (step * BOXES as f64).tape(title.system);
    let words_end = from.moved(-2.0, 1.8);
    let left = words_end.x - width_of(&words, LETTERS, false) - 1.0;
    items.push(text(words_end, words, (LETTERS, false), Anchor::End));
    let taken = Field {
        left,
        top: from.y - 2.0,
        right: field.right,
        bottom: field.bottom,
    };
    (items, taken)
}

/// How many boxes a scale bar has.
const BOXES: usize = 4;

/// The round length of a box, so that the bar is neither too small to measure nor in the way.
fn bar_step(system: System, scale: &Scale) -> Length {
    let steps: Vec<Length> = match system {
        System::Us => [
            3.0, 6.0, 12.0, 24.0, 60.0, 120.0, 240.0, 600.0, 1200.0, 2400.0,
        ]
        .map(Length::from_inches)
        .to_vec(),
        System::Metric => [
            50.0, 100.0, 200.0, 500.0, 1000.0, 2000.0, 5000.0, 10000.0, 20000.0, 50000.0,
        ]
        .map(Length::from_millimetres)
        .to_vec(),
    };
    let wide = |step: &&Length| scale.on_paper(**step) * BOXES as f64 >= 24.0;
    let longest = steps[steps.len() - 1];
    steps.iter().find(wide).copied().unwrap_or(longest)
}

/// Alternating boxes, so that a copy of another size can still be measured.
fn bar(wide: f64, from: Spot) -> Vec<Item> {
    let each = |n: usize| {
        let (a, b) = (from.x + wide * n as f64, from.x + wide * (n as f64 + 1.0));
        Item::Area {
            corners: vec![
                Spot::new(a, from.y),
                Spot::new(b, from.y),
                Spot::new(b, from.y + 1.6),
                Spot::new(a, from.y + 1.6),
            ],
            pen: Some(Pen::Thin),
            tone: n.is_multiple_of(2).then_some(Tone::Ink),
        }
    };
    (0..BOXES).map(each).collect()
}

pub(super) fn text(at: Spot, words: String, (size, bold): (f64, bool), anchor: Anchor) -> Item {
    Item::Text(Text {
        at,
        words,
        size,
        anchor,
        turned: 0.0,
        bold,
    })
}

/// As many of the words as fit, with a sign where some were left off.
pub(in crate::documents) fn shortened(
    words: &str,
    (size, bold): (f64, bool),
    width: f64,
) -> String {
    if width_of(words, size, bold) <= width {
        return words.to_owned();
    }
    let mut kept: String = words.to_owned();
    while !kept.is_empty() && width_of(&format!("{kept}…"), size, bold) > width {
        kept.pop();
    }
    format!("{kept}…")
}
