//! What is taken on the paper, in cells of half a millimetre, so that looking for room costs little however
//! much is drawn.
//!
//! Invariant: a box takes every cell that it touches, so that two boxes that share no cell do not overlap.

use super::canvas::Field;
use super::scene::Spot;
use crate::quantity::{ceil, floor};

/// Cells in a millimetre.
const FINE: f64 = 2.0;
/// Cells in a word.
const BITS: usize = 64;

/// Cells taken.
#[derive(Debug)]
pub(super) struct Raster {
    /// Words in a row.
    wide: usize,
    high: usize,
    words: Vec<u64>,
}

impl Raster {
    /// Nothing taken on a paper that reaches to the field's right and bottom.
    pub(super) fn new(field: &Field) -> Self {
        let cells = |millimetres: f64| ceil(millimetres.max(0.0) * FINE) as usize + 2;
        let wide = cells(field.right).div_ceil(BITS);
        let high = cells(field.bottom);
        Self {
            wide,
            high,
            words: vec![0; wide * high],
        }
    }

    pub(super) fn take_box(&mut self, field: &Field) {
        let (columns, rows) = self.cells(field);
        for row in rows {
            for word in columns.0 / BITS..=columns.1 / BITS {
                self.words[row * self.wide + word] |= mask(columns, word);
            }
        }
    }

    pub(super) fn take_line(&mut self, from: Spot, to: Spot) {
        let (x, y) = (to.x - from.x, to.y - from.y);
        // Four samples a cell, so that none is jumped over.
        let steps = ceil(libm::hypot(x, y) * FINE * 4.0).clamp(1.0, 1e5) as u32;
        for step in 0..=steps {
            let share = f64::from(step) / f64::from(steps);
            self.take_spot(from.moved(x * share, y * share));
        }
    }

    pub(super) fn is_free(&self, field: &Field) -> bool {
        let (columns, mut rows) = self.cells(field);
        !rows.any(|row| {
            let mut words = columns.0 / BITS..=columns.1 / BITS;
            words.any(|word| self.words[row * self.wide + word] & mask(columns, word) != 0)
        })
    }

    fn take_spot(&mut self, spot: Spot) {
        let (column, row) = (floor(spot.x * FINE), floor(spot.y * FINE));
        let inside = column >= 0.0 && row >= 0.0;
        let (column, row) = (column as usize, row as usize);
        if inside && column < self.wide * BITS && row < self.high {
            self.words[row * self.wide + column / BITS] |= 1 << (column % BITS);
        }
    }

    /// First and last column, and the rows, that a box touches on the paper.
    fn cells(&self, field: &Field) -> ((usize, usize), std::ops::RangeInclusive<usize>) {
        let cell = |millimetres: f64, most: usize| {
            let cell = floor(millimetres.max(0.0) * FINE) as usize;
            cell.min(most - 1)
        };
        let columns = (
            cell(field.left, self.wide * BITS),
            cell(field.right, self.wide * BITS),
        );
        (
            columns,
            cell(field.top, self.high)..=cell(field.bottom, self.high),
        )
    }
}

/// The cells of a word that lie between two columns, both counted.
const fn mask((first, last): (usize, usize), word: usize) -> u64 {
    let start = if word == first / BITS {
        first % BITS
    } else {
        0
    };
    let end = if word == last / BITS {
        last % BITS
    } else {
        BITS - 1
    };
    (u64::MAX << start) & (u64::MAX >> (BITS - 1 - end))
}
