//! One worksheet into cells that are kept in one piece of memory.
//!
//! Invariants: only cells in which something stands are kept, in the order of reading; a sheet whose
//! cells are out of that order is refused; the text of all cells together is bounded, since many
//! cells can share one long text, and so is what is wrong with them. Absent: how a row is made of them.
//!
//! # Source
//! ECMA-376 part 1, sections 18.3.1.80 (sheetData) and 18.3.1.55 (mergeCells), from memory.

use super::{
    cell::{OpenCell, Reference},
    package::{Part, TEXT_BYTES, TOO_LONG, attribute, damaged, text},
    place::{self, Place, Range},
    texts::Rich,
};
use crate::sheet::{CellFault, SheetError};
use quick_xml::events::{BytesStart, Event};
use std::collections::BTreeMap;

/// A cell that is kept.
#[derive(Clone, Copy, Debug)]
struct Kept {
    place: Place,
    /// Where its text ends; it begins where the one before ends.
    end: usize,
}

/// What a cell that cannot be read weighs among the texts: more than what it takes of the file.
const FAULT_BYTES: usize = 128;

/// What stands on a sheet.
#[derive(Debug, Default)]
pub(super) struct Grid {
    text: String,
    cells: Vec<Kept>,
    faults: BTreeMap<usize, CellFault>,
    /// Merged cells, in no order.
    pub(super) merged: Vec<Range>,
}

impl Grid {
    /// Where the cell of a number stands, counted in the order of reading.
    pub(super) fn place(&self, number: usize) -> Option<Place> {
        self.cells.get(number).map(|kept| kept.place)
    }

    /// Its text, or why it has none.
    pub(super) fn cell(&self, number: usize) -> Result<&str, &CellFault> {
        if let Some(fault) = self.faults.get(&number) {
            return Err(fault);
        }
        let end = self.cells.get(number).map_or(0, |kept| kept.end);
        let before = number.checked_sub(1).and_then(|one| self.cells.get(one));
        let begin = before.map_or(0, |kept| kept.end);
        Ok(self.text.get(begin..end).unwrap_or_default())
    }

    /// How many bytes it takes.
    fn weight(&self) -> u64 {
        let kept = self.cells.len() * size_of::<Kept>() + self.merged.len() * size_of::<Range>();
        (self.text.len() + self.faults.len() * FAULT_BYTES + kept) as u64
    }

    fn keep(&mut self, place: Place, read: Result<String, CellFault>) -> Result<(), SheetError> {
        if self.cells.last().is_some_and(|last| last.place >= place) {
            return Err(damaged("its cells are out of order"));
        }
        match read {
            Ok(text) if text.is_empty() => return Ok(()),
            Ok(text) => self.text.push_str(&text),
            Err(fault) => drop(self.faults.insert(self.cells.len(), fault)),
        }
        let end = self.text.len();
        self.cells.push(Kept { place, end });
        Ok(())
    }
}

/// Reads a sheet; `limit` is how many bytes may be kept of it.
pub(super) fn read(
    part: &mut Part<'_, '_>,
    reference: &Reference,
    limit: u64,
) -> Result<Grid, SheetError> {
    let mut reading = Reading {
        reference,
        grid: Grid::default(),
        next: Place { row: 0, column: 0 },
        cell: None,
        rich: Rich::default(),
        in_value: false,
    };
    let mut whole = false;
    loop {
        match part.next()? {
            Event::Start(element) => reading.opens(&element)?,
            Event::End(element) => {
                let name = element.local_name();
                whole |= name.as_ref() == "worksheet";
                reading.closes(name.as_ref())?;
            }
            Event::Eof if whole => return Ok(reading.grid),
            Event::Eof => return Err(damaged("a sheet in it breaks off")),
            other => reading.says(&other)?,
        }
        if reading.grid.weight() > limit {
            return Err(SheetError::TooLarge { limit });
        }
    }
}

struct Reading<'r> {
    reference: &'r Reference,
    grid: Grid,
    /// Where the next cell stands if it does not say so.
    next: Place,
    cell: Option<OpenCell>,
    rich: Rich,
    in_value: bool,
}

impl Reading<'_> {
    fn opens(&mut self, element: &BytesStart<'_>) -> Result<(), SheetError> {
        let name = element.local_name();
        match (name.as_ref(), &mut self.cell) {
            ("row", _) => {
                let row = attribute(element, "r")?;
                let row = row.map_or(Ok(self.next.row), |row| place::row(&row))?;
                self.next = Place::new(row, 0)?;
            }
            ("c", _) => self.cell = Some(OpenCell::new(element, self.next)?),
            ("f", Some(cell)) => cell.formula = true,
            ("v", Some(_)) => self.in_value = true,
            ("is", Some(cell)) => cell.own_text = true,
            ("mergeCell", _) => {
                let range = attribute(element, "ref")?.unwrap_or_default();
                self.grid.merged.push(Range::read(&range)?);
            }
            (name, Some(_)) => self.rich.opens(name),
            _ => {}
        }
        Ok(())
    }

    fn says(&mut self, event: &Event<'_>) -> Result<(), SheetError> {
        let Some(cell) = &mut self.cell else {
            return Ok(());
        };
        if cell.own_text {
            return self.rich.says(event);
        }
        if let Some(said) = text(event)?.filter(|_| self.in_value) {
            cell.value.push_str(&said);
            if cell.value.len() > TEXT_BYTES {
                return Err(damaged(TOO_LONG));
            }
        }
        Ok(())
    }

    fn closes(&mut self, name: &str) -> Result<(), SheetError> {
        match name {
            "row" => {
                let row = self.next.row + 1;
                self.next = Place { row, column: 0 };
            }
            "c" => self.close_cell()?,
            "v" => self.in_value = false,
            name => self.rich.closes(name),
        }
        Ok(())
    }

    fn close_cell(&mut self) -> Result<(), SheetError> {
        let Some(mut cell) = self.cell.take() else {
            return Ok(());
        };
        if cell.own_text {
            cell.value = self.rich.take();
        }
        let Place { row, column } = cell.place;
        let place = Place::new(row, column)?;
        self.next = Place {
            row,
            column: column + 1,
        };
        self.grid.keep(place, cell.text(self.reference))
    }
}
