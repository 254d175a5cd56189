//! What a page is filled with: strips that are never cut.
//!
//! Invariant: a strip knows its height, and whether it may end a column. Absent: where it comes to stand.

use super::words::Line;
use crate::documents::drawing::{Anchor, Item, Pen, Spot, Text, Tone};
use std::rc::Rc;

/// Height of the letters, in millimetres: 8 points of a font whose small letters are tall.
pub(super) const LETTERS: f64 = 2.82;
/// From one line to the next, in millimetres.
pub(super) const LINE: f64 = 3.55;
/// From the foot of a line up to the foot of its letters.
pub(super) const FOOT: f64 = 0.9;

/// A strip as wide as its column.
#[derive(Clone, Debug, Default)]
pub(super) struct Atom {
    pub(super) height: f64,
    /// From its upper left corner.
    pub(super) items: Vec<Item>,
    /// Free paper above it, but at the top of a column.
    pub(super) above: f64,
    /// May not end a column.
    pub(super) stays: bool,
    /// What is repeated above it where it begins a column.
    pub(super) head: Option<Rc<Atom>>,
}

/// How many first and last lines of a paragraph stay together: common practice of typesetting.
const TOGETHER: usize = 2;

impl Atom {
    /// One line of words, from `x` on.
    pub(super) fn line(line: &Line, x: f64) -> Self {
        let mut atom = Self {
            height: LINE,
            ..Self::default()
        };
        atom.add_line(line, x, LINE);
        atom
    }

    /// Words whose line ends at `bottom`.
    pub(super) fn add_line(&mut self, line: &Line, x: f64, bottom: f64) {
        for piece in line {
            let at = Spot::new(x + piece.x, bottom - FOOT);
            self.items
                .push(text(at, &piece.words, (LETTERS, piece.bold)));
        }
    }

    pub(super) fn rule(&mut self, y: f64, width: f64, pen: Pen) {
        let through = vec![Spot::new(0.0, y), Spot::new(width, y)];
        self.items.push(Item::Line { through, pen });
    }

    pub(super) fn shade(&mut self, width: f64, tone: Tone) {
        let corners = vec![
            Spot::new(0.0, 0.0),
            Spot::new(width, 0.0),
            Spot::new(width, self.height),
            Spot::new(0.0, self.height),
        ];
        let (pen, tone) = (None, Some(tone));
        let area = Item::Area { corners, pen, tone };
        self.items.insert(0, area);
    }

    /// What stands at a place of the page.
    pub(super) fn placed(&self, x: f64, y: f64) -> impl Iterator<Item = Item> + '_ {
        self.items.iter().map(move |item| item.moved(x, y))
    }
}

/// Lines as strips that leave no single line behind.
pub(super) fn paragraph(lines: &[Line], x: f64, above: f64) -> Vec<Atom> {
    let count = lines.len();
    let strip = |(n, line)| Atom {
        above: if n == 0 { above } else { 0.0 },
        stays: n + 1 < count && (n + 1 < TOGETHER || n + TOGETHER >= count),
        ..Atom::line(line, x)
    };
    lines.iter().enumerate().map(strip).collect()
}

/// Letters that begin at a place.
pub(super) fn text(at: Spot, words: &str, style: (f64, bool)) -> Item {
    anchored(at, words, style, Anchor::Start)
}

/// Letters at a place.
pub(super) fn anchored(at: Spot, words: &str, (size, bold): (f64, bool), anchor: Anchor) -> Item {
    Item::Text(Text {
        at,
        words: words.to_owned(),
        size,
        anchor,
        turned: 0.0,
        bold,
    })
}
