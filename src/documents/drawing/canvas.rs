//! A canvas: lines, labels that keep clear of each other, and dimensions.
//!
//! Invariants: no two labels overlap, and none leaves the field; a label that finds no room near its place
//! is led to, and one that finds none at all is counted. Absent: what is drawn.

use super::font::{drawable, width_of};
use super::frame::{Title, scale_bar};
use super::raster::Raster;
use super::scale::Scale;
use super::scene::{Anchor, Item, Pen, Spot, Text, Tone};

/// Height of the letters of a label, in millimetres: legible on a page held at arm's length.
pub(super) const LETTERS: f64 = 3.0;

/// Room between two labels, in millimetres.
const CLEAR: f64 = 0.5;

/// A box on the paper.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Field {
    pub(super) left: f64,
    pub(super) top: f64,
    pub(super) right: f64,
    pub(super) bottom: f64,
}

impl Field {
    pub(super) const fn width(&self) -> f64 {
        self.right - self.left
    }

    pub(super) const fn height(&self) -> f64 {
        self.bottom - self.top
    }

    pub(super) const fn overlaps(&self, other: &Self) -> bool {
        self.left < other.right
            && other.left < self.right
            && self.top < other.bottom
            && other.top < self.bottom
    }

    const fn corners(&self) -> [Spot; 4] {
        [
            Spot::new(self.left, self.top),
            Spot::new(self.right, self.top),
            Spot::new(self.right, self.bottom),
            Spot::new(self.left, self.bottom),
        ]
    }

    const fn holds(&self, other: &Self) -> bool {
        self.left <= other.left
            && other.right <= self.right
            && self.top <= other.top
            && other.bottom <= self.bottom
    }
}

/// What is drawn, and what has been taken by labels.
#[derive(Debug)]
pub(super) struct Canvas {
    pub(super) items: Vec<Item>,
    field: Field,
    labels: Raster,
    lines: Raster,
    left_out: usize,
}

impl Canvas {
    pub(super) fn new(field: Field) -> Self {
        Self {
            items: Vec::new(),
            field,
            labels: Raster::new(&field),
            lines: Raster::new(&field),
            left_out: 0,
        }
    }

    /// How many labels found no room.
    pub(super) const fn left_out(&self) -> usize {
        self.left_out
    }

    /// Draws the scale bar, and keeps labels off it.
    pub(super) fn measured(&mut self, title: &Title, scale: &Scale) {
        let (items, taken) = scale_bar(title, scale);
        self.items.extend(items);
        self.labels.take_box(&taken);
    }

    pub(super) fn line(&mut self, from: Spot, to: Spot, pen: Pen) {
        self.lines.take_line(from, to);
        let through = vec![from, to];
        self.items.push(Item::Line { through, pen });
    }

    pub(super) fn area(&mut self, corners: Vec<Spot>, pen: Option<Pen>, tone: Option<Tone>) {
        if pen.is_some() || tone == Some(Tone::Ink) {
            let closed = corners.iter().zip(corners.iter().cycle().skip(1));
            for (from, to) in closed {
                self.lines.take_line(*from, *to);
            }
        }
        self.items.push(Item::Area { corners, pen, tone });
    }

    pub(super) fn dot(&mut self, at: Spot, radius: f64) {
        let tone = Tone::Ink;
        self.items.push(Item::Dot { at, radius, tone });
    }

    /// An arrow with a filled head.
    pub(super) fn arrow(&mut self, from: Spot, to: Spot) {
        let (x, y) = (to.x - from.x, to.y - from.y);
        let far = libm::hypot(x, y);
        if far < 1e-9 {
            return;
        }
        let (x, y) = (x / far, y / far);
        let (long, half) = (2.4_f64.min(far), 0.7);
        let back = to.moved(-x * long, -y * long);
        self.line(from, back, Pen::Thin);
        let corners = vec![
            to,
            back.moved(-y * half, x * half),
            back.moved(y * half, -x * half),
        ];
        self.area(corners, None, Some(Tone::Ink));
    }

    /// A label in the first of some spots that has room, else as near to `about` as there is room.
    pub(super) fn label_near(&mut self, about: Spot, spots: &[Spot], words: &str) {
        let words = drawable(words);
        let half = half_width(&words);
        let preferred = |canvas: &Self, clear: bool| {
            let mut spots = spots.iter().copied();
            spots.find(|spot| canvas.is_free(&box_at(*spot, half), clear))
        };
        let near = |canvas: &Self, clear: bool| canvas.search(about, half, clear);
        if let Some(spot) = preferred(self, true) {
            self.write(spot, &words);
        } else if let Some(spot) = near(self, true).or_else(|| near(self, false)) {
            self.lead(about, &box_at(spot, half));
            self.write(spot, &words);
        } else {
            self.left_out += 1;
        }
    }

    /// Words that begin at a place half way up them, on room that the caller keeps for them.
    pub(super) fn words_from(&mut self, at: Spot, words: &str) {
        let half = half_width(words);
        self.labels.take_box(&box_at(at.moved(half, 0.0), half));
        self.items.push(Item::Text(Text {
            at: at.moved(0.0, LETTERS * 0.36),
            words: words.to_owned(),
            size: LETTERS,
            anchor: Anchor::Start,
            turned: 0.0,
            bold: false,
        }));
    }

    /// A label that begins at `at` and leads to a spot; lower where something stands there already.
    pub(super) fn call_out(&mut self, to: Spot, at: Spot, words: &str) {
        const ROWS: u32 = 30;
        let words = drawable(words);
        let half = half_width(&words);
        let row = |n: u32| at.moved(half, f64::from(n) * 2.0);
        let free = (0..ROWS)
            .map(row)
            .find(|spot| self.is_free(&box_at(*spot, half), false));
        let Some(middle) = free else {
            self.left_out += 1;
            return;
        };
        let elbow = middle.moved(-half - 1.0, 0.0);
        let items = vec![to, elbow.moved(-3.0, 0.0), elbow];
        self.items.push(Item::Line {
            through: items,
            pen: Pen::Thin,
        });
        self.dot(to, 0.5);
        self.write(middle, &words);
    }

    /// Rings about a place, each a little wider, eight and then sixteen directions round.
    fn search(&self, about: Spot, half: f64, clear: bool) -> Option<Spot> {
        const RINGS: u32 = 40;
        (1..=RINGS).find_map(|ring| {
            let far = f64::from(ring) * 2.5;
            let ways = if ring < 4 { 8 } else { 24 };
            (0..ways).find_map(|way| {
                let angle = f64::from(way) / f64::from(ways) * std::f64::consts::TAU;
                let spot = about.moved(far * 1.6 * libm::cos(angle), far * libm::sin(angle));
                self.is_free(&box_at(spot, half), clear).then_some(spot)
            })
        })
    }

    /// Within the field and off every label; `clear` asks that no line runs there either.
    fn is_free(&self, field: &Field, clear: bool) -> bool {
        let off_labels = self.field.holds(field) && self.labels.is_free(field);
        off_labels && (!clear || self.lines.is_free(field))
    }

    fn lead(&mut self, to: Spot, from: &Field) {
        let x = to.x.clamp(from.left, from.right);
        let y = to.y.clamp(from.top, from.bottom);
        self.line(Spot::new(x, y), to, Pen::Thin);
        self.dot(to, 0.4);
    }

    fn write(&mut self, middle: Spot, words: &str) {
        let behind = box_at(middle, half_width(words));
        // Paper behind the words, so that a line that must run there does not cross them out.
        self.area(behind.corners().to_vec(), None, Some(Tone::Paper));
        self.labels.take_box(&behind);
        self.items.push(Item::Text(Text {
            at: middle.moved(0.0, LETTERS * 0.36),
            words: words.to_owned(),
            size: LETTERS,
            anchor: Anchor::Middle,
            turned: 0.0,
            bold: false,
        }));
    }

    /// The length from one place to another, measured `off` to the right of the way there (to the left
    /// where it is below zero), in millimetres on the paper.
    pub(super) fn dimension(&mut self, (from, to): (Spot, Spot), off: f64, words: &str) {
        let (x, y) = (to.x - from.x, to.y - from.y);
        let far = libm::hypot(x, y);
        if far < 1e-9 {
            return;
        }
        let (x, y) = (x / far, y / far);
        let (right, side) = ((-y, x), if off < 0.0 { -1.0 } else { 1.0 });
        let shifted = |spot: Spot, by: f64| spot.moved(right.0 * by, right.1 * by);
        let (a, b) = (shifted(from, off), shifted(to, off));
        for (end, at) in [(from, a), (to, b)] {
            self.line(shifted(end, side), shifted(at, side), Pen::Thin);
            // An oblique stroke ends a dimension line, as is common in building drawings.
            let (dx, dy) = ((x + right.0) * 0.9, (y + right.1) * 0.9);
            self.line(at.moved(-dx, -dy), at.moved(dx, dy), Pen::Outline);
        }
        self.line(a, b, Pen::Thin);
        let middle = Spot::new(f64::midpoint(a.x, b.x), f64::midpoint(a.y, b.y));
        let room = reach((x, y), words);
        let beside = |by: f64| shifted(middle, by * side);
        self.label_near(
            middle,
            &[beside(room), beside(-room), beside(room + LETTERS)],
            words,
        );
    }
}

/// How far beside a line of a direction the middle of a text keeps clear of it.
fn reach((x, y): (f64, f64), words: &str) -> f64 {
    let (wide, high) = (width_of(words, LETTERS, false), LETTERS);
    (wide * y.abs() + high * x.abs()) / 2.0 + 0.8
}

fn half_width(words: &str) -> f64 {
    width_of(words, LETTERS, false) / 2.0
}

/// The box of a label about its middle.
fn box_at(middle: Spot, half: f64) -> Field {
    let wide = half + CLEAR;
    let high = LETTERS / 2.0 + CLEAR;
    Field {
        left: middle.x - wide,
        top: middle.y - high,
        right: middle.x + wide,
        bottom: middle.y + high,
    }
}
