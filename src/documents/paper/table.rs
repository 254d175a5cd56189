//! A table as strips, its head repeated where it goes on.
//!
//! Invariants: a column of money is as wide as its figures, which end under each other; what is wider than
//! its column is broken into lines, never cut. Absent: sums.

use super::atom::{Atom, FOOT, LETTERS, LINE, anchored, text};
use super::part::{Side, Table};
use super::words::broken_plain;
use crate::documents::drawing::{Anchor, Item, Pen, Spot, drawable, width_of};
use std::rc::Rc;

/// Between two columns, in millimetres.
const GAP: f64 = 3.0;
/// Free paper above and below the words of a row.
const PAD: f64 = 0.45;
/// A row of so many lines is not torn.
const WHOLE: usize = 8;
/// No column is narrower.
const LEAST: f64 = 8.0;

/// A table across a width.
pub(super) fn table(table: &Table, width: f64) -> Vec<Atom> {
    let setter = Setter {
        widths: widths(table, width),
        sides: table.columns.iter().map(|(_, side)| *side).collect(),
        width,
    };
    let heads: Vec<String> = table.columns.iter().map(|(head, _)| head.clone()).collect();
    let mut atoms = Vec::new();
    let mut head = None;
    if heads.iter().any(|head| !head.is_empty()) {
        let mut lines = setter.row(&heads, true);
        let mut whole = lines.remove(0);
        for line in lines {
            let items: Vec<_> = line.placed(0.0, whole.height).collect();
            whole.items.extend(items);
            whole.height += line.height;
        }
        whole.rule(whole.height, width, Pen::Outline);
        whole.stays = true;
        head = Some(Rc::new(whole.clone()));
        whole.above = 1.2;
        atoms.push(whole);
    }
    let count = table.rows.len();
    for (n, row) in table.rows.iter().enumerate() {
        let mut lines = setter.row(&row.cells, row.is_sum);
        if let Some(first) = lines.first_mut().filter(|_| row.is_sum) {
            first.rule(0.0, width, Pen::Outline);
        } else if let Some(last) = lines.last_mut() {
            last.rule(last.height, width, Pen::Thin);
        }
        // Neither the first row nor the last stands alone.
        if let Some(last) = lines.last_mut() {
            last.stays = n + 1 < count && (n == 0 || n + 2 == count);
        }
        atoms.extend(lines.into_iter().map(|line| Atom {
            head: head.clone(),
            ..line
        }));
    }
    atoms
}

struct Setter {
    widths: Vec<f64>,
    sides: Vec<Side>,
    width: f64,
}

impl Setter {
    /// A row, one strip a line.
    fn row(&self, cells: &[String], bold: bool) -> Vec<Atom> {
        let columns = cells.iter().zip(&self.widths);
        let broken: Vec<Vec<String>> = columns
            .map(|(cell, width)| broken_plain(cell, (LETTERS, bold), width - GAP))
            .collect();
        let count = broken.iter().map(Vec::len).max().unwrap_or(1);
        let strip = |n: usize| {
            let above = if n == 0 { PAD } else { 0.0 };
            let below = if n + 1 == count { PAD } else { 0.0 };
            let mut atom = Atom {
                height: above + LINE + below,
                stays: n + 1 < count && count <= WHOLE,
                ..Atom::default()
            };
            self.fill(&mut atom, (&broken, n), (above + LINE - FOOT, bold));
            atom
        };
        (0..count).map(strip).collect()
    }

    fn fill(&self, atom: &mut Atom, (cells, n): (&[Vec<String>], usize), (y, bold): (f64, bool)) {
        let mut x = 0.0;
        for ((cell, width), side) in cells.iter().zip(&self.widths).zip(&self.sides) {
            let words = cell.get(n).filter(|words| !words.is_empty());
            let reach = (x, (x + width).min(self.width));
            atom.items
                .extend(words.map(|words| self.cell(words, (*side, reach), (y, bold))));
            x += width;
        }
    }

    /// Words on their side of a column.
    fn cell(
        &self,
        words: &str,
        (side, (from, to)): (Side, (f64, f64)),
        (y, bold): (f64, bool),
    ) -> Item {
        // The last column ends where the table does.
        let inset = if to >= self.width - 0.01 { 0.0 } else { GAP };
        match side {
            Side::Left => text(Spot::new(from, y), words, (LETTERS, bold)),
            Side::Right => anchored(
                Spot::new(to - inset, y),
                words,
                (LETTERS, bold),
                Anchor::End,
            ),
        }
    }
}

/// How wide each column is: figures as they ask for, words share the rest by what they ask for.
fn widths(table: &Table, room: f64) -> Vec<f64> {
    let natural = |(n, (head, _)): (usize, &(String, Side))| {
        let heavy = width_of(&drawable(head), LETTERS, true);
        let cells = table
            .rows
            .iter()
            .filter_map(|row| row.cells.get(n).map(|cell| (cell, row.is_sum)));
        let widest = cells.map(|(cell, bold)| width_of(&drawable(cell), LETTERS, bold));
        widest.fold(heavy, f64::max) + GAP + 0.1
    };
    let asked: Vec<f64> = table.columns.iter().enumerate().map(natural).collect();
    let is_words = |n: usize| table.columns[n].1 == Side::Left;
    let sum_of = |words: bool| -> f64 {
        let those = asked
            .iter()
            .enumerate()
            .filter(|(n, _)| is_words(*n) == words);
        those.map(|(_, width)| *width).sum()
    };
    let (words, figures) = (sum_of(true), sum_of(false));
    let rest = room - figures;
    let least = LEAST * table.columns.len() as f64;
    if words <= 0.0 || rest < least {
        let whole = words + figures;
        return asked.iter().map(|width| width * room / whole).collect();
    }
    if words <= rest {
        return stretched(asked, is_words, rest - words);
    }
    // A short column of words keeps its width where the long one can give way.
    let widest = (0..asked.len())
        .filter(|n| is_words(*n))
        .max_by(|a, b| asked[*a].total_cmp(&asked[*b]));
    let others: f64 = words - widest.map_or(0.0, |n| asked[n]);
    let share = |(n, width): (usize, &f64)| match (is_words(n), others < rest * 0.5) {
        (false, _) => *width,
        (true, true) if Some(n) == widest => rest - others,
        (true, true) => *width,
        (true, false) => width * rest / words,
    };
    asked.iter().enumerate().map(share).collect()
}

/// The first column of words takes what is left.
fn stretched(mut widths: Vec<f64>, is_words: impl Fn(usize) -> bool, spare: f64) -> Vec<f64> {
    let first = (0..widths.len()).find(|n| is_words(*n));
    if let Some(width) = first.and_then(|n| widths.get_mut(n)) {
        *width += spare;
    }
    widths
}
