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

/// Puts a drawing on its page.
pub(super) fn framed(canvas: Canvas, title: &Title, view: View<'_>) -> Page {
    let (width, height) = title.paper.size();
    let mut note = view.note;
    if canvas.left_out() > 0 {
        note = format!(
            "{note} {} labels found no room: ask for larger paper.",
            canvas.left_out()
        );
    }
    let mut items = canvas.items;
    items.extend(title_block(
        title,
        &view.title.to_owned(),
        (view.scale, note.trim()),
    ));
    Page {
        width,
        height,
        title: format!("{}: {}", view.title, drawable(&title.job)),
        description: view.description,
        items,
    }
}

fn title_block(title: &Title, view: &str, (scale, note): (&Scale, &str)) -> Vec<Item> {
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
    let job = shortened(&drawable(job), (5.0, true), (right - left) * 0.42);
    items.push(text(
        Spot::new(left, top + 7.0),
        job,
        (5.0, true),
        Anchor::Start,
    ));
    let view = format!("{view}, {}", scale.name);
    items.push(text(
        Spot::new(right, top + 7.0),
        view,
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
    let note = shortened(note, (LETTERS, false), right - left - made_width - 6.0);
    items.push(text(
        Spot::new(left, top + 12.5),
        note,
        (LETTERS, false),
        Anchor::Start,
    ));
    for (line, words) in CAUTIONS.iter().enumerate() {
        let at = Spot::new(left, top + 17.5 + 4.2 * line as f64);
        let words = shortened(words, (2.9, false), right - left);
        items.push(text(at, words, (2.9, false), Anchor::Start));
    }
    items.extend(scale_bar(
        title,
        scale,
        Spot::new(f64::midpoint(left, right) + 4.0, top + 3.0),
    ));
    items
}

/// Alternating boxes of a round length, so that a copy of another size can still be measured.
fn scale_bar(title: &Title, scale: &Scale, from: Spot) -> Vec<Item> {
    const BOXES: usize = 4;
    let round: &[f64] = &[1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0];
    let unit = |n: f64| match title.system {
        System::Us => Length::from_feet(n),
        System::Metric => Length::from_metres(n * 0.1),
    };
    let fits = |n: &&f64| scale.on_paper(unit(**n)) * BOXES as f64 >= 16.0;
    let step = unit(*round.iter().find(fits).unwrap_or(&200.0));
    let wide = scale.on_paper(step);
    let mut items = Vec::new();
    for n in 0..BOXES {
        let (a, b) = (from.x + wide * n as f64, from.x + wide * (n as f64 + 1.0));
        items.push(Item::Area {
            corners: vec![
                Spot::new(a, from.y),
                Spot::new(b, from.y),
                Spot::new(b, from.y + 1.4),
                Spot::new(a, from.y + 1.4),
            ],
            pen: Some(Pen::Thin),
            tone: (n % 2 == 0).then_some(Tone::Ink),
        });
    }
    let whole = (step * BOXES as f64).tape(title.system);
    let middle = Spot::new(from.x + wide * BOXES as f64 / 2.0, from.y + 4.8);
    items.push(text(middle, whole, (LETTERS, false), Anchor::Middle));
    items
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
pub(super) fn shortened(words: &str, (size, bold): (f64, bool), width: f64) -> String {
    if width_of(words, size, bold) <= width {
        return words.to_owned();
    }
    let mut kept: String = words.to_owned();
    while !kept.is_empty() && width_of(&format!("{kept}…"), size, bold) > width {
        kept.pop();
    }
    format!("{kept}…")
}
