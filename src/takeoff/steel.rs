//! Bars: how many, how long, with which laps, by mark.
//!
//! Invariants: bars along run through creases and lap into the next straight at a turn, never
//! through a joint to what exists; a bar longer than the stock is lapped within. Absent here: stock
//! bars and wire.

use super::lap::find_lap;
use super::part::Part;
use super::steel_around::lay_around;
use crate::catalog::{BarRow, StockRow};
use crate::job::{Bar, BarCount, Piece, Reinforcement, Turn};
use crate::quantity::{Length, Mass, ceil, floor};

/// Bars that are alike.
#[derive(Clone, Debug, PartialEq)]
pub struct BarMark {
    /// A, B, C …
    pub mark: String,
    /// Size.
    pub bar: Bar,
    /// How many.
    pub count: u32,
    /// Length of each, its laps included.
    pub length: Length,
    /// Laps in each.
    pub laps: u32,
    /// Weight of all.
    pub weight: Mass,
    /// JSON Pointer of the first piece that they lie in.
    pub of: String,
    /// The first and the last piece of the path that they lie in; none around the ramp.
    pub pieces: Option<(usize, usize)>,
    /// Which way.
    pub way: BarWay,
}

/// Which way a bar lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BarWay {
    /// Along the path.
    Along,
    /// Across it.
    Across,
}

/// A width or length across which bars are spaced.
#[derive(Clone, Copy, Debug)]
pub struct Spaced {
    /// Slab edge to slab edge.
    pub length: Length,
    /// Edge to first bar.
    pub cover: Length,
    /// Between bars.
    pub spacing: Length,
    /// Rule.
    pub count: BarCount,
}

/// Bars across a length.
///
/// Net, the default, spaces them between the edge covers and rounds up, so that the spacing is
/// never exceeded and a bar lies at each cover; gross is the count of teaching examples, spacings of
/// the whole length rounded down and one.
pub fn count_bars(spaced: &Spaced) -> u32 {
    let spaces = match spaced.count {
        BarCount::Net => {
            let clear = (spaced.length - spaced.cover * 2.0).max(Length::ZERO);
            ceil(clear / spaced.spacing)
        }
        BarCount::Gross => floor(spaced.length / spaced.spacing),
    };
    // The cast saturates; bounds rows keep counts to a few thousand.
    spaces as u32 + 1
}

/// Length of a bar with the laps that the stock length asks for, and their number.
pub fn add_laps(net: Length, stock: Length, lap: Length) -> (Length, u32) {
    if net.at_most(stock) || lap >= stock {
        return (net, 0);
    }
    let pieces = ceil((net - lap) / (stock - lap));
    let laps = (pieces - 1.0).max(0.0);
    (net + lap * laps, laps as u32)
}

/// Weight of a length of bar.
pub fn weigh_bar(row: &BarRow, length: Length) -> Mass {
    Mass::from_pounds(row.lb_per_ft * length.feet())
}

/// Stock lengths that the job allows, shortest first.
pub(super) fn allowed_stock<'a>(
    part: &Part<'a>,
    steel: &'a Reinforcement,
) -> impl Iterator<Item = &'a StockRow> {
    let rows = part.catalog.steel.stock.iter();
    rows.filter(|row| steel.stock.iter().any(|stock| stock.as_str() == row.stock))
}

/// The longest of them, within which a bar needs no lap.
pub(super) fn longest_stock(part: &Part, steel: &Reinforcement) -> Length {
    let lengths = allowed_stock(part, steel).map(|row| row.length);
    lengths.fold(Length::ZERO, Length::max)
}

/// Bars of a mat.
#[derive(Clone, Debug, Default)]
pub(super) struct Mat {
    pub(super) marks: Vec<BarMark>,
    pub(super) crossings: f64,
}

/// Pieces in one line, and whether the bars along lap back into the landing that turns.
struct Straight {
    pieces: Vec<usize>,
    laps_back: bool,
}

pub(super) fn measure_mat(part: &Part, steel: &Reinforcement, row: &BarRow) -> Mat {
    let mut maker = Maker {
        part,
        steel,
        row,
        mat: Mat::default(),
    };
    if steel.wire.is_none() {
        for straight in find_straights(part) {
            maker.lay(&straight);
        }
    }
    lay_around(part, (steel, row), &mut maker.mat);
    maker.mat
}

fn find_straights(part: &Part) -> Vec<Straight> {
    let mut straights: Vec<Straight> = Vec::new();
    // The piece before, when it is of this part, and whether the way goes straight on from it.
    let mut before: Option<bool> = None;
    for (index, piece) in part.job.ramp.path.iter().enumerate() {
        if !part.has(index) {
            before = None;
            continue;
        }
        match (before, straights.last_mut()) {
            (Some(true), Some(straight)) => straight.pieces.push(index),
            _ => straights.push(Straight {
                pieces: vec![index],
                laps_back: before.is_some(),
            }),
        }
        before = Some(match piece {
            Piece::Run(_) => true,
            Piece::Landing(landing) => landing.turn == Turn::Straight,
        });
    }
    straights
}

struct Maker<'a, 'b> {
    part: &'b Part<'a>,
    steel: &'b Reinforcement,
    row: &'b BarRow,
    mat: Mat,
}

impl Maker<'_, '_> {
    fn width(&self, piece: usize) -> Length {
        self.part.geometry.surfaces[piece].width
    }

    fn length(&self, piece: usize) -> Length {
        self.part.geometry.surfaces[piece].surface_length
    }

    fn lap(&self) -> Length {
        find_lap(self.part, self.steel, self.row)
    }

    fn count(&self, length: Length, spacing: Length) -> u32 {
        let (cover, count) = (self.steel.edge_cover, self.steel.count);
        count_bars(&Spaced {
            length,
            cover,
            spacing,
            count,
        })
    }

    fn lay(&mut self, straight: &Straight) {
        let Some(first) = straight.pieces.first().copied() else {
            return;
        };
        let cover = self.steel.edge_cover;
        let narrowest = straight.pieces.iter().map(|piece| self.width(*piece));
        let narrowest = narrowest.fold(self.width(first), Length::min);
        let whole: Length = straight
            .pieces
            .iter()
            .map(|piece| self.length(*piece))
            .sum();
        let along = self.count(narrowest, self.steel.spacing_across);
        let net = if straight.laps_back {
            whole - cover + self.lap()
        } else {
            whole - cover * 2.0
        };
        let last = straight.pieces.last().copied().unwrap_or(first);
        self.add_mark(((first, last), BarWay::Along), along, net);
        let across = self.place_across(straight, whole);
        self.mat.crossings +=
            f64::from(along) * across.iter().map(|(_, n)| f64::from(*n)).sum::<f64>();
        self.add_across(&across);
        // Where a landing is wider than the run, more bars lie along in it alone.
        for (piece, bars_across) in &across {
            let width = self.width(*piece);
            let more = self
                .count(width, self.steel.spacing_across)
                .saturating_sub(along);
            let within = ((*piece, *piece), BarWay::Along);
            self.add_mark(within, more, self.length(*piece) - cover * 2.0);
            self.mat.crossings += f64::from(more) * f64::from(*bars_across);
        }
    }

    /// How many of the bars across lie in each piece of a straight.
    fn place_across(&self, straight: &Straight, whole: Length) -> Vec<(usize, u32)> {
        let cover = self.steel.edge_cover;
        let count = self.count(whole, self.steel.spacing_along);
        let clear = (whole - cover * 2.0).max(Length::ZERO);
        let gap = clear / f64::from(count.saturating_sub(1).max(1));
        let (mut placed, mut from, mut done) = (Vec::new(), Length::ZERO, 0);
        for (place, piece) in straight.pieces.iter().enumerate() {
            let end = from + self.length(*piece);
            let last = place + 1 == straight.pieces.len();
            // Bars up to this piece's end; the last piece takes the rest.
            let upto = if last || gap.is_zero() {
                count
            } else {
                let spaces = floor((end - cover).max(Length::ZERO) / gap);
                (spaces as u32 + 1).min(count)
            };
            placed.push((*piece, upto.saturating_sub(done)));
            done = done.max(upto);
            from = end;
        }
        placed
    }

    /// One mark for neighbouring pieces of one width.
    fn add_across(&mut self, across: &[(usize, u32)]) {
        let widths: Vec<(Length, usize, u32)> = across
            .iter()
            .map(|(piece, count)| (self.width(*piece), *piece, *count))
            .collect();
        for same in widths.chunk_by(|a, b| a.0 == b.0) {
            let count = same.iter().map(|(_, _, count)| count).sum();
            let pieces = (same[0].1, same[same.len() - 1].1);
            let net = same[0].0 - self.steel.edge_cover * 2.0;
            self.add_mark((pieces, BarWay::Across), count, net);
        }
    }

    fn add_mark(&mut self, (pieces, way): ((usize, usize), BarWay), count: u32, net: Length) {
        let of = crate::geometry::piece_pointer(pieces.0);
        let bars = (self.part, self.steel, self.row);
        let mark = make_mark(bars, (way, count, net), (of, Some(pieces)));
        self.mat.marks.extend(mark);
    }
}

/// Bars that are alike, lapped where they are longer than the stock; none of no length. Their letter comes
/// when all marks of the job are known.
pub(super) fn make_mark(
    (part, steel, row): (&Part, &Reinforcement, &BarRow),
    (way, count, net): (BarWay, u32, Length),
    (of, pieces): (String, Option<(usize, usize)>),
) -> Option<BarMark> {
    if count == 0 || net <= Length::ZERO {
        return None;
    }
    let stock = longest_stock(part, steel);
    let (length, laps) = add_laps(net, stock, find_lap(part, steel, row));
    Some(BarMark {
        mark: String::new(),
        bar: steel.bar,
        count,
        length,
        laps,
        weight: weigh_bar(row, length * f64::from(count)),
        of,
        pieces,
        way,
    })
}

/// A to Z, then AA, AB …
pub(super) fn name_mark(index: usize) -> String {
    let mut name = String::new();
    let mut left = index + 1;
    while left > 0 {
        let letter = (left - 1) % 26;
        // A letter is below 26.
        name.insert(0, char::from(b'A' + letter as u8));
        left = (left - 1) / 26;
    }
    name
}
