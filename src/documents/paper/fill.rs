//! Strips set into columns and pages.
//!
//! Invariants: strips keep their order and do not lie on one another; none that has to stay with the next
//! ends a column, unless more stay together than a page holds; the work is bounded by the strips. Absent:
//! what stands on them.

use super::atom::Atom;
use super::part::Part;
use super::strips::{GUTTER, strips};
use crate::documents::drawing::Item;

/// The part of every page that is filled.
#[derive(Clone, Copy, Debug)]
pub(super) struct Frame {
    pub(super) left: f64,
    pub(super) right: f64,
    pub(super) top: f64,
    pub(super) bottom: f64,
}

/// What stands on each page, and where the last one ends.
#[derive(Debug)]
pub(super) struct Filled {
    pub(super) pages: Vec<Vec<Item>>,
    pub(super) bottom: f64,
}

/// Free paper above two columns that follow something.
const CLEAR: f64 = 3.0;
/// Rounds of halving by which two columns are made equally long, to a hundredth of a page and less.
const ROUNDS: u32 = 12;

/// Every part, page by page.
pub(super) fn fill(parts: &[Part], frame: Frame) -> Filled {
    let mut filler = Filler {
        frame,
        pages: vec![Vec::new()],
        y: frame.top,
    };
    let mut waiting: Vec<Atom> = Vec::new();
    let width = frame.right - frame.left;
    for part in parts {
        match part {
            Part::Columns(parts) => {
                filler.one_column(std::mem::take(&mut waiting));
                let each = (width - GUTTER) / 2.0;
                let atoms = parts.iter().flat_map(|part| strips(part, each)).collect();
                filler.two_columns(atoms, each);
            }
            Part::NewPage => {
                filler.one_column(std::mem::take(&mut waiting));
                filler.new_page();
            }
            part => waiting.extend(strips(part, width)),
        }
    }
    filler.one_column(waiting);
    Filled {
        pages: filler.pages,
        bottom: filler.y,
    }
}

struct Filler {
    frame: Frame,
    pages: Vec<Vec<Item>>,
    y: f64,
}

impl Filler {
    fn new_page(&mut self) {
        self.pages.push(Vec::new());
        self.y = self.frame.top;
    }

    fn is_fresh(&self) -> bool {
        self.y <= self.frame.top
    }

    fn one_column(&mut self, atoms: Vec<Atom>) {
        let mut rest = atoms.as_slice();
        while !rest.is_empty() {
            let room = self.frame.bottom - self.y;
            let count = taken(rest, (room, self.is_fresh()), self.is_fresh());
            if count == 0 {
                self.new_page();
                continue;
            }
            let is_fresh = self.is_fresh();
            let (set, after) = rest.split_at(count);
            self.y = self.set(set, self.frame.left, is_fresh);
            rest = after;
            if !rest.is_empty() {
                self.new_page();
            }
        }
    }

    fn two_columns(&mut self, atoms: Vec<Atom>, width: f64) {
        let mut rest = atoms.as_slice();
        if !self.is_fresh() {
            self.y += CLEAR;
        }
        while !rest.is_empty() {
            let room = self.frame.bottom - self.y;
            let (first, second) = halves(rest, room, self.is_fresh());
            if first + second == 0 {
                self.new_page();
                continue;
            }
            let left = self.set(&rest[..first], self.frame.left, true);
            let x = self.frame.left + width + GUTTER;
            let right = self.set(&rest[first..first + second], x, true);
            rest = &rest[first + second..];
            if rest.is_empty() {
                self.y = left.max(right);
            } else {
                self.new_page();
            }
        }
    }

    /// Sets strips under each other from where the page has got to, and says where they end.
    fn set(&mut self, atoms: &[Atom], x: f64, is_top: bool) -> f64 {
        let mut y = self.y;
        let page = self
            .pages
            .last_mut()
            .expect("there is a page from the start");
        for (n, atom) in atoms.iter().enumerate() {
            let begins = n == 0;
            if let Some(head) = atom.head.as_ref().filter(|_| begins && is_top) {
                page.extend(head.placed(x, y));
                y += head.height;
            }
            if !(begins && is_top) {
                y += atom.above;
            }
            page.extend(atom.placed(x, y));
            y += atom.height;
        }
        y
    }
}

/// How many strips come into the first column and into the second: equally high if all find room.
fn halves(atoms: &[Atom], room: f64, is_fresh: bool) -> (usize, usize) {
    let split = |height: f64| {
        let first = taken(atoms, (height, true), is_fresh);
        let second = taken(&atoms[first..], (height, true), is_fresh && first > 0);
        (first, second)
    };
    let all = |(first, second): (usize, usize)| first + second == atoms.len();
    let whole = split(room);
    if !all(whole) {
        return whole;
    }
    let (mut low, mut high) = (0.0, room);
    for _ in 0..ROUNDS {
        let middle = f64::midpoint(low, high);
        let first = taken(atoms, (middle, true), false);
        if all((first, taken(&atoms[first..], (middle, true), false))) {
            high = middle;
        } else {
            low = middle;
        }
    }
    split(high)
}

/// How many of the first strips find room in a height; at least one where the column is as high as any.
fn taken(atoms: &[Atom], (room, is_top): (f64, bool), must: bool) -> usize {
    let mut y = 0.0;
    let mut count = 0;
    for (n, atom) in atoms.iter().enumerate() {
        let head = atom.head.as_ref().filter(|_| n == 0 && is_top);
        let above = if n == 0 && is_top { 0.0 } else { atom.above };
        y += head.map_or(0.0, |head| head.height) + above + atom.height;
        if y > room {
            break;
        }
        count = n + 1;
    }
    if count == atoms.len() {
        return count;
    }
    let whole = count;
    while count > 0 && atoms[count - 1].stays {
        count -= 1;
    }
    match (count, must) {
        (0, true) => whole.max(1),
        (count, _) => count,
    }
}
