//! Kept cells into rows, one at a time.
//!
//! Invariants: of merged cells only the first has a value, whatever the file keeps under it; a row
//! with faulty cells is one error that names them all. Absent: how cells are read.

use super::{
    grid::Grid,
    place::{Place, Range},
};
use crate::sheet::{BadCell, Heading, Limits, Row, SheetError, Untold};
use std::collections::BTreeMap;

/// The rows below a heading.
#[derive(Debug)]
pub(in crate::sheet) struct Rows {
    grid: Grid,
    at: usize,
    columns: usize,
    row_bytes: usize,
    left: usize,
    limit: usize,
    covers: Covers,
}

/// Which cells lie under merged ones, as rows go by.
#[derive(Debug)]
struct Covers {
    /// Those whose first row is still to come, the next one last.
    waiting: Vec<Range>,
    /// Those in the present row, by their first column.
    open: BTreeMap<u32, Range>,
}

impl Covers {
    fn new(mut merged: Vec<Range>, columns: usize) -> Self {
        // What begins right of the heading covers nothing of it.
        merged.retain(|range| range.is_merged() && (range.first.column as usize) < columns);
        merged.sort_by_key(|range| std::cmp::Reverse(range.first.row));
        Self {
            waiting: merged,
            open: BTreeMap::new(),
        }
    }

    fn go_to(&mut self, row: u32) {
        while let Some(range) = self.waiting.pop_if(|range| range.first.row <= row) {
            self.open.insert(range.first.column, range);
        }
        self.open.retain(|_, range| range.last.row >= row);
    }

    fn cover(&self, place: Place) -> bool {
        let before = self.open.range(..=place.column).next_back();
        before.is_some_and(|(_, range)| range.last.column >= place.column && range.first != place)
    }
}

impl Rows {
    /// The heading of a sheet and the rows below it; none where nothing stands on the sheet.
    pub(super) fn new(grid: Grid, limits: &Limits) -> Result<Option<(Heading, Self)>, SheetError> {
        let Some(first) = grid.place(0) else {
            return Ok(None);
        };
        let (names, at) = names(&grid, first.row, limits)?;
        refuse_merged(&grid, first.row, &names)?;
        let heading = Heading::new(names, limits)?;
        let mut grid = grid;
        let columns = heading.names().len();
        let covers = Covers::new(std::mem::take(&mut grid.merged), columns);
        let rows = Self {
            grid,
            at,
            columns,
            row_bytes: limits.row_bytes,
            left: limits.rows,
            limit: limits.rows,
            covers,
        };
        Ok(Some((heading, rows)))
    }

    pub(in crate::sheet) fn next(&mut self) -> Option<Result<Row, Untold>> {
        loop {
            let row = self.grid.place(self.at)?.row;
            let read = self.row(row);
            let blank = |row: &Row| row.cells.iter().all(String::is_empty);
            if read.as_ref().is_ok_and(blank) {
                continue;
            }
            if self.left == 0 {
                let fault = SheetError::TooManyRows { limit: self.limit };
                return Some(Err((fault, Vec::new())));
            }
            self.left -= 1;
            return Some(read);
        }
    }

    /// The row that begins with the present cell; the present cell is then the next row's first.
    fn row(&mut self, row: u32) -> Result<Row, Untold> {
        let number = u64::from(row) + 1;
        let mut cells = vec![String::new(); self.columns];
        let (mut bad, mut bytes, mut outside) = (Vec::new(), 0, false);
        self.covers.go_to(row);
        while let Some(place) = self.grid.place(self.at).filter(|place| place.row == row) {
            let read = self.grid.cell(self.at);
            self.at += 1;
            match (cells.get_mut(place.column as usize), read) {
                _ if self.covers.cover(place) => {}
                (None, _) => outside = true,
                (Some(cell), Ok(text)) => {
                    bytes += text.len();
                    text.clone_into(cell);
                }
                (Some(_), Err(fault)) => bad.push(BadCell {
                    cell: place.to_string(),
                    fault: fault.clone(),
                }),
            }
        }
        let (row, columns, limit) = (number, self.columns, self.row_bytes);
        if bytes > limit {
            return Err((SheetError::RowTooLong { row, limit }, Vec::new()));
        }
        if !bad.is_empty() {
            return Err((SheetError::BadCells { row, cells: bad }, cells));
        }
        if outside {
            return Err((SheetError::TooManyCells { row, columns }, cells));
        }
        Ok(Row { number, cells })
    }
}

/// The names in the heading's row, and the number of the first cell below it.
fn names(grid: &Grid, row: u32, limits: &Limits) -> Result<(Vec<String>, usize), SheetError> {
    let mut names = Vec::new();
    let (mut at, mut bad, mut bytes) = (0, Vec::new(), 0);
    while let Some(place) = grid.place(at).filter(|place| place.row == row) {
        let column = place.column as usize;
        if column >= limits.columns {
            return Err(SheetError::TooManyColumns {
                found: column + 1,
                limit: limits.columns,
            });
        }
        names.resize(column + 1, String::new());
        match grid.cell(at) {
            Ok(text) => {
                bytes += text.len();
                text.clone_into(&mut names[column]);
            }
            Err(fault) => bad.push(BadCell {
                cell: place.to_string(),
                fault: fault.clone(),
            }),
        }
        at += 1;
    }
    let (row, limit) = (u64::from(row) + 1, limits.row_bytes);
    if !bad.is_empty() {
        return Err(SheetError::BadCells { row, cells: bad });
    }
    if bytes > limit {
        return Err(SheetError::RowTooLong { row, limit });
    }
    Ok((names, at))
}

fn refuse_merged(grid: &Grid, row: u32, names: &[String]) -> Result<(), SheetError> {
    let in_heading = |range: &&Range| range.is_merged() && range.has_row(row);
    // There may be millions of ranges over thousands of columns, so none is gone through.
    let named = names.iter().enumerate();
    let named: Vec<(usize, &String)> = named.filter(|(_, name)| !name.is_empty()).collect();
    for range in grid.merged.iter().filter(in_heading) {
        let (first, last) = (range.first.column as usize, range.last.column as usize);
        let next = named.partition_point(|(column, _)| *column < first);
        if let Some((_, name)) = named.get(next).filter(|(column, _)| *column <= last) {
            return Err(SheetError::MergedHeading {
                name: (*name).clone(),
                range: range.to_string(),
            });
        }
    }
    Ok(())
}
