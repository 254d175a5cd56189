//! Pages around what they hold: margins, the stamp, and which page of how many it is.
//!
//! Invariants: pages stand upright, all of one size; the stamp stands on each. Absent: what flows.

use super::atom::{anchored, text};
use super::fill::{Filled, Frame, fill};
use super::part::{Document, Part};
use crate::documents::drawing::{
    Anchor, Item, Page, Paper, Pen, Spot, Tone, drawable, shortened, width_of,
};

/// Free paper on both sides, in millimetres.
const MARGIN: f64 = 15.0;
/// Free paper above, where the stamp stands.
const TOP: f64 = 14.0;
/// Free paper below, where the foot stands.
const BOTTOM: f64 = 17.0;
/// Height of the letters of the foot.
const SMALL: f64 = 2.5;

/// What is said where the font lacks letters.
const LACKING: &str = "Letters that the font of this page lacks are shown as a question mark; \
    the same document as HTML shows them.";

/// What is left of a document's last page.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Room {
    /// Pages so far.
    pub pages: usize,
    /// Width of a column over the whole page, in millimetres.
    pub width: f64,
    /// Height left on the last page, in millimetres.
    pub height: f64,
    /// Height of an empty page, in millimetres.
    pub whole: f64,
}

fn frame(paper: Paper) -> Frame {
    let (long, short) = paper.size();
    Frame {
        left: MARGIN,
        right: short - MARGIN,
        top: TOP,
        bottom: long - BOTTOM,
    }
}

/// What parts leave of their last page.
pub fn room_left(parts: &[Part], paper: Paper) -> Room {
    let frame = frame(paper);
    let filled = fill(parts, frame);
    Room {
        pages: filled.pages.len(),
        width: frame.right - frame.left,
        height: (frame.bottom - filled.bottom).max(0.0),
        whole: frame.bottom - frame.top,
    }
}

/// A document as pages.
pub fn lay_out_document(document: &Document, paper: Paper) -> Vec<Page> {
    let (long, short) = paper.size();
    let frame = frame(paper);
    let Filled { pages, .. } = match lacking(document) {
        None => fill(&document.parts, frame),
        Some(note) => {
            let parts: Vec<Part> = document.parts.iter().cloned().chain([note]).collect();
            fill(&parts, frame)
        }
    };
    let count = pages.len();
    let around = |(n, mut items): (usize, Vec<Item>)| {
        items.extend(foot(document, frame, (n + 1, count)));
        items.extend(stamp(document, frame));
        Page {
            width: short,
            height: long,
            title: drawable(&document.title).into_owned(),
            description: format!("Page {} of {count}.", n + 1),
            items,
        }
    };
    pages.into_iter().enumerate().map(around).collect()
}

/// What is said where the font lacks letters, so that nobody takes their sign for what was written.
fn lacking(document: &Document) -> Option<Part> {
    let mut lacks = false;
    let mut see = |words: &str| lacks |= drawable(words) != words;
    document
        .parts
        .iter()
        .for_each(|part| part.each_text(&mut see));
    see(&document.foot);
    lacks.then(|| Part::Paragraph(LACKING.into()))
}

fn foot(document: &Document, frame: Frame, (page, count): (usize, usize)) -> Vec<Item> {
    let y = frame.bottom + 7.5;
    let through = vec![
        Spot::new(frame.left, y - 3.6),
        Spot::new(frame.right, y - 3.6),
    ];
    let pages = format!("Page {page} of {count}");
    let room = frame.right - frame.left - width_of(&pages, SMALL, false) - 6.0;
    let words = shortened(&drawable(&document.foot), (SMALL, false), room);
    let end = Spot::new(frame.right, y);
    vec![
        Item::Line {
            through,
            pen: Pen::Thin,
        },
        text(Spot::new(frame.left, y), &words, (SMALL, false)),
        anchored(end, &pages, (SMALL, false), Anchor::End),
    ]
}

fn stamp(document: &Document, frame: Frame) -> Vec<Item> {
    let Some(words) = &document.stamp else {
        return Vec::new();
    };
    let words = shortened(
        &drawable(words),
        (3.6, true),
        frame.right - frame.left - 8.0,
    );
    let half = width_of(&words, 3.6, true) / 2.0 + 3.0;
    let middle = f64::midpoint(frame.left, frame.right);
    let (top, bottom) = (frame.top - 9.0, frame.top - 3.0);
    let corners = vec![
        Spot::new(middle - half, top),
        Spot::new(middle + half, top),
        Spot::new(middle + half, bottom),
        Spot::new(middle - half, bottom),
    ];
    let (pen, tone) = (Some(Pen::Outline), Some(Tone::Paper));
    let at = Spot::new(middle, bottom - 1.8);
    vec![
        Item::Area { corners, pen, tone },
        anchored(at, &words, (3.6, true), Anchor::Middle),
    ]
}
