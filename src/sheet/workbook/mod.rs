//! XLSX workbooks into rows.
//!
//! Invariants: nothing is evaluated; no number that the file gives about itself is believed, and
//! everything unfolded is counted; a damaged file is refused, never mended. A sheet's cells are kept
//! as one text, since merged cells are told only after them. Absent: hidden sheets, charts, and
//! whatever else stands in a workbook.

mod cell;
mod day;
mod grid;
mod package;
mod parts;
mod place;
mod rows;
mod styles;
mod texts;

pub(super) use self::rows::Rows;

use self::{
    cell::Reference,
    package::{Package, damaged},
    parts::Parts,
    styles::Styles,
    texts::Texts,
};
use super::{Dialect, Limits, SheetError, Source, Table};

/// Reads the first visible sheet of a workbook on which something stands; its first row with
/// something in it is the heading. Numbers come as the shortest decimal meant, days as `YYYY-MM-DD`
/// (with `THH:MM:SS` where they have a time of day), booleans as `TRUE` and `FALSE`, formulas by the
/// value saved with them.
///
/// # Errors
/// Where the bytes are no workbook, or it has a password, is too large, or has no heading, or the
/// heading has faults of its own.
pub fn read_xlsx(bytes: &[u8], limits: &Limits) -> Result<Table<'static>, SheetError> {
    let mut package = Package::open(bytes, limits)?;
    let parts = parts::find(&mut package)?;
    // What is kept is held in memory, where what is unfolded only passes through.
    let limit = limits.unfolded_bytes / KEPT_OF_UNFOLDED;
    let reference = reference(&mut package, &parts, limit)?;
    for path in &parts.sheets {
        let mut part = package
            .part(path)?
            .ok_or(damaged("a sheet of it is missing"))?;
        let grid = grid::read(&mut part, &reference, limit)?;
        if let Some((heading, rows)) = Rows::new(grid, limits)? {
            return Ok(Table {
                heading,
                dialect: Dialect::default(),
                rows: Source::Xlsx(rows),
            });
        }
    }
    Err(SheetError::NoHeading)
}

/// Of the bytes that may be unfolded one in so many may be kept: of the texts that cells share, and of
/// the cells.
const KEPT_OF_UNFOLDED: u64 = 4;

fn reference(
    package: &mut Package<'_>,
    parts: &Parts,
    limit: u64,
) -> Result<Reference, SheetError> {
    let mut texts = Texts::default();
    if let Some(path) = &parts.texts
        && let Some(mut part) = package.part(path)?
    {
        texts = Texts::read(&mut part, limit)?;
    }
    let mut styles = Styles::default();
    if let Some(path) = &parts.styles
        && let Some(mut part) = package.part(path)?
    {
        styles = Styles::read(&mut part)?;
    }
    Ok(Reference {
        texts,
        styles,
        from_1904: parts.from_1904,
    })
}
