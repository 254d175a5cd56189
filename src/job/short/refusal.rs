//! What is said of a cell that cannot be taken: where it stands, and what to write there instead.
//!
//! Invariant: an example can be written into the very cell that was refused: under a name with a
//! unit it is a number alone, and it has the decimal mark of the table. Absent: reading.

use super::cell::Plain;
use super::column::{Columns, ShortColumn, ShortKind};
use super::heading::Bound;
use super::line::{Filled, Line};
use crate::quantity::{Fault, pointer_part, slack::floor_to};

/// A fault of a column, as it was written.
pub(super) fn fault(name: &str, found: &str, accepted: &str, example: Option<&str>) -> Fault {
    let pointer = format!("/{}", pointer_part(name));
    Fault::new(pointer, found, accepted, example).in_column(name)
}

/// How a value is written under a name: as a text with its unit, or as a number alone where the
/// name has the unit. None for what is no value of the column.
pub(super) fn written_under(
    name: &str,
    (column, value): (&ShortColumn, &str),
    mark: char,
) -> Option<String> {
    if column.kind.dimension().is_none() {
        return Some(value.to_owned());
    }
    let si = column.kind.si(value).ok()?;
    let text = match Bound::of(name)?.plain_unit() {
        None => value.to_owned(),
        Some(unit) => {
            let one = column.kind.si(&format!("1 {unit}")).ok()?;
            // Rounded down, so that the most of a range stays within it.
            floor_to(si / one, 0.001).to_string()
        }
    };
    Some(match mark {
        '.' => text,
        mark => text.replace('.', &mark.to_string()),
    })
}

impl Line<'_> {
    fn example_under(&self, name: &str, column: &ShortColumn) -> Option<String> {
        written_under(name, (column, column.example(self.system)), self.mark)
    }

    /// Lists a fault of a column; the example is written as its cell would be.
    pub(super) fn refuse(
        &mut self,
        name: &str,
        (found, accepted): (&str, &str),
        example: Option<&str>,
    ) {
        let column = self.column(name);
        let written = self.written(name);
        let example = example.and_then(|value| written_under(written, (column, value), self.mark));
        let fault = fault(written, found, accepted, example.as_deref());
        self.faults.push(fault);
    }

    /// Lists a fault of two cells that stand for one thing.
    pub(super) fn refuse_both(&mut self, first: usize, second: usize) {
        let (first, second) = (self.heading.name(first), self.heading.name(second));
        let found = format!("both {first} and {second}");
        let accepted = format!("{first} or {second}, the other one left blank");
        let fault = fault(second, &found, &accepted, None);
        self.faults.push(fault);
    }

    /// Lists a fault of a cell.
    pub(super) fn refuse_filled(&mut self, filled: &Filled<'_>, accepted: &str) {
        let plain = Plain {
            accepted: accepted.to_owned(),
            example: None,
        };
        self.refuse_plain(filled, plain);
    }

    /// Lists a fault of a cell, with its own example where it has one.
    pub(super) fn refuse_plain(&mut self, filled: &Filled<'_>, plain: Plain) {
        let name = self.heading.name(filled.place);
        let found = format!("\"{}\"", filled.text);
        let example = plain.example;
        let example = example.or_else(|| self.example_under(name, filled.column));
        let fault = fault(name, &found, &plain.accepted, example.as_deref());
        self.faults.push(fault);
    }

    /// A number without a unit is told both ways of giving it one.
    pub(super) fn ask_for_unit(&self, filled: &Filled<'_>) -> Plain {
        let column = filled.column;
        let mut units = column.kind.units_in(self.system);
        let suffix = units.clone().next().map_or("", |(suffix, _)| suffix);
        let with_unit = |unit: &str| format!("{} {unit}", filled.text);
        // A bare 0.083 may be a ratio: guessing would teach a wrong slope.
        let guessed = column.kind != ShortKind::Slope;
        let example = units.find_map(|(_, unit)| {
            let text = with_unit(unit);
            let si = column.kind.si(&text.replace(self.mark, ".")).ok()?;
            (guessed && column.holds(si, self.system)).then_some(text)
        });
        let own = column.example(self.system);
        let like = example.clone().unwrap_or_else(|| own.to_owned());
        let name = &column.name;
        Plain {
            accepted: format!(
                "a text with its unit, like {like}, or the number alone in a column {name}_{suffix}"
            ),
            example,
        }
    }

    /// Refuses the later of two cells that exclude each other.
    pub(super) fn refuse_rivals(&mut self) {
        for row in &Columns::built_in().rows {
            let Some(rival) = &row.instead_of else {
                continue;
            };
            let pair = (self.filled(&row.name), self.filled(rival));
            if let (Some(own), Some(other)) = pair
                && own.place > other.place
            {
                self.refuse_both(other.place, own.place);
            }
        }
    }
}
