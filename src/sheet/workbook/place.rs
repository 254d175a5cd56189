//! Where cells stand: `C7`, `B1:C1`.
//!
//! Invariant: no row and no column is larger than a sheet can have; both count from 0 inside.
//!
//! # Source
//! ECMA-376 part 1, section 18.18.62 (ST_Ref), from memory; the bounds are those of the format in
//! common use, from memory.

use super::package::damaged;
use crate::sheet::SheetError;

const ROWS: u32 = 1_048_576;
const COLUMNS: u32 = 16_384;

/// A cell's place.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Place {
    pub(super) row: u32,
    pub(super) column: u32,
}

/// A rectangle of cells, both ends in it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Range {
    pub(super) first: Place,
    pub(super) last: Place,
}

impl Place {
    /// A place on the sheet.
    pub(super) fn new(row: u32, column: u32) -> Result<Self, SheetError> {
        if row < ROWS && column < COLUMNS {
            Ok(Self { row, column })
        } else {
            Err(damaged("a cell stands outside of its sheet"))
        }
    }

    pub(super) fn read(text: &str) -> Result<Self, SheetError> {
        const WHY: &str = "a cell's place cannot be read";
        let digits = text
            .find(|one: char| one.is_ascii_digit())
            .ok_or(damaged(WHY))?;
        let (letters, digits) = text.split_at(digits);
        if letters.is_empty() || letters.len() > 3 {
            return Err(damaged(WHY));
        }
        let mut column = 0;
        for letter in letters.bytes().map(|one| one.to_ascii_uppercase()) {
            if !letter.is_ascii_uppercase() {
                return Err(damaged(WHY));
            }
            column = column * 26 + u32::from(letter - b'A') + 1;
        }
        Self::new(row(digits)?, column - 1)
    }
}

/// A row's number as written, counted from 0.
pub(super) fn row(digits: &str) -> Result<u32, SheetError> {
    let number: Option<u32> = digits.parse().ok();
    let from_zero = number.and_then(|number| number.checked_sub(1));
    from_zero.ok_or(damaged("a row's number cannot be read"))
}

impl Range {
    pub(super) fn read(text: &str) -> Result<Self, SheetError> {
        let (first, last) = text.split_once(':').unwrap_or((text, text));
        let (first, last) = (Place::read(first)?, Place::read(last)?);
        if first.row > last.row || first.column > last.column {
            return Err(damaged("merged cells end before they begin"));
        }
        Ok(Self { first, last })
    }

    pub(super) fn has_row(&self, row: u32) -> bool {
        (self.first.row..=self.last.row).contains(&row)
    }

    /// Whether it is more than one cell.
    pub(super) fn is_merged(&self) -> bool {
        self.first != self.last
    }
}

impl std::fmt::Display for Place {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let mut letters = Vec::new();
        let mut left = self.column + 1;
        while left > 0 {
            let (rest, letter) = ((left - 1) / 26, (left - 1) % 26);
            letters.push(char::from(b'A' + letter as u8));
            left = rest;
        }
        let letters: String = letters.iter().rev().collect();
        write!(f, "{letters}{}", self.row + 1)
    }
}

impl std::fmt::Display for Range {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}:{}", self.first, self.last)
    }
}
