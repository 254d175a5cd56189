//! One line of cells, read column by column.
//!
//! Invariants: a blank cell is nothing; whatever is wrong becomes a fault of the column as it was
//! written, and reading goes on, so that all faults are found at once. Absent: what a value is for.

use super::cell::{Plain, plain_number, plain_quantity};
use super::column::{Columns, ShortColumn};
use super::heading::{Bound, ShortHeading};
use crate::job::day::Day;
use crate::quantity::{Faults, Problem, Quantity, System, may_stand, parse_quantity};

/// One line of cells.
pub(super) struct Line<'a> {
    pub(super) heading: &'a ShortHeading,
    /// By column: the place of its cell in the line, and what stands there.
    cells: Vec<Option<(usize, &'a str)>>,
    pub(super) mark: char,
    pub(super) system: System,
    pub(super) faults: Faults,
}

/// A cell that is not blank.
pub(super) struct Filled<'a> {
    pub(super) column: &'static ShortColumn,
    pub(super) place: usize,
    pub(super) text: &'a str,
}

impl<'a> Line<'a> {
    /// Lays the cells under their columns; two cells for one thing are a fault.
    pub(super) fn of(heading: &'a ShortHeading, cells: &[&'a str], mark: char) -> Self {
        let mut line = Self {
            heading,
            cells: vec![None; Columns::built_in().rows.len()],
            mark,
            system: System::Us,
            faults: Faults::default(),
        };
        for (place, (bound, text)) in heading.bound().iter().zip(cells).enumerate() {
            let text = text.trim();
            let Some(bound) = bound.filter(|_| !text.is_empty()) else {
                continue;
            };
            match line.cells[bound.column] {
                None => line.cells[bound.column] = Some((place, text)),
                Some((first, _)) => line.refuse_both(first, place),
            }
        }
        line.refuse_rivals();
        if line.choice("units") == Some("metric") {
            line.system = System::Metric;
        }
        line
    }

    /// The cell of a column, where it is not blank.
    pub(super) fn filled(&self, name: &str) -> Option<Filled<'a>> {
        let columns = Columns::built_in();
        let place = columns.place(name)?;
        let (cell, text) = self.cells[place]?;
        Some(Filled {
            column: &columns.rows[place],
            place: cell,
            text,
        })
    }

    /// The row of a column; every name that the code asks for has one, a test reads them all.
    pub(super) fn column(&self, name: &str) -> &'static ShortColumn {
        let columns = Columns::built_in();
        let place = columns.place(name);
        &columns.rows[place.expect("the code asks for columns that are there, a test reads them")]
    }

    /// True where the cell of a column is not blank.
    pub(super) fn has(&self, name: &str) -> bool {
        self.filled(name).is_some()
    }

    /// What stands in the cell of a column, as it was written.
    pub(super) fn cell(&self, name: &str) -> Option<&str> {
        self.filled(name).map(|filled| filled.text)
    }

    /// The name of a column as it was written: that of its cell where one is filled in.
    pub(super) fn written(&self, name: &str) -> &str {
        match self.filled(name) {
            Some(filled) => self.heading.name(filled.place),
            None => self.heading.written(self.column(name)),
        }
    }

    /// A quantity; none where the cell is blank or refused.
    pub(super) fn quantity<Q: Quantity>(&mut self, name: &str) -> Option<Q> {
        let filled = self.filled(name)?;
        let unit = self.heading.bound()[filled.place].and_then(Bound::plain_unit);
        let text = match unit {
            Some(unit) => plain_number(filled.text, unit, self.mark),
            None => plain_quantity(filled.text, self.mark),
        };
        let value = text.and_then(|text| {
            parse_quantity::<Q>(&text).map_err(|error| match (&error.problem, unit) {
                (Problem::NoUnit, None) => self.ask_for_unit(&filled),
                _ => Plain {
                    accepted: error.accepted(),
                    example: None,
                },
            })
        });
        match value {
            Ok(value) => self.bounded(&filled, value),
            Err(plain) => {
                self.refuse_plain(&filled, plain);
                None
            }
        }
    }

    fn bounded<Q: Quantity>(&mut self, filled: &Filled<'_>, value: Q) -> Option<Q> {
        if filled.column.holds(value.si(), self.system) {
            return Some(value);
        }
        self.refuse_filled(filled, &filled.column.bounds(self.system));
        None
    }

    /// A quantity, or the column's default with the word that it is one.
    pub(super) fn quantity_or_default<Q: Quantity>(&mut self, name: &str) -> (Q, bool) {
        let own = self.quantity::<Q>(name);
        let default = self.column(name).default_in(self.system);
        let default = default.and_then(|text| parse_quantity(text).ok());
        match (own, default) {
            (Some(value), _) => (value, false),
            (None, default) => (default.unwrap_or_default(), true),
        }
    }

    /// A whole number.
    pub(super) fn count(&mut self, name: &str) -> Option<u32> {
        let filled = self.filled(name)?;
        let range = filled.column.range_in(System::Us);
        let (least, most) = range.unwrap_or(("0", ""));
        let (least, most) = (
            least.parse().unwrap_or(0_u32),
            most.parse().unwrap_or(u32::MAX),
        );
        let digits = filled.text.bytes().all(|one| one.is_ascii_digit());
        let count = filled.text.parse::<u32>().ok().filter(|_| digits);
        let count = count.filter(|count| (least..=most).contains(count));
        if count.is_none() {
            let accepted = match most {
                u32::MAX => format!("a whole number from {least}, in digits alone"),
                _ => format!("a whole number, {least} to {most}, in digits alone"),
            };
            self.refuse_filled(&filled, &accepted);
        }
        count
    }

    /// One of the column's words, as the table spells it.
    pub(super) fn choice(&mut self, name: &str) -> Option<&'static str> {
        let filled = self.filled(name)?;
        let mut words = filled.column.words.iter();
        let found = words.find(|word| word.eq_ignore_ascii_case(filled.text));
        if found.is_none() {
            self.refuse_filled(&filled, &filled.column.words.join(", "));
        }
        found.map(String::as_str)
    }

    /// A choice that the full form spells alike.
    pub(super) fn word<T: std::str::FromStr>(&mut self, name: &str) -> Option<T> {
        self.choice(name).and_then(|word| word.parse().ok())
    }

    /// Yes or no.
    pub(super) fn flag(&mut self, name: &str) -> Option<bool> {
        let filled = self.filled(name)?;
        let flag = match filled.text.to_ascii_lowercase().as_str() {
            "yes" | "true" | "1" => Some(true),
            "no" | "false" | "0" => Some(false),
            _ => None,
        };
        if flag.is_none() {
            self.refuse_filled(&filled, "yes or no");
        }
        flag
    }

    /// A day.
    pub(super) fn day(&mut self, name: &str) -> Option<Day> {
        let filled = self.filled(name)?;
        let day = Day::parse(filled.text);
        if day.is_none() {
            self.refuse_filled(&filled, "a day that exists, YYYY-MM-DD");
        }
        day
    }

    /// A text; one of several lines, as a cell of a sheet may hold it, comes onto one.
    pub(super) fn text(&mut self, name: &str) -> Option<String> {
        let filled = self.filled(name)?;
        let most = filled.column.most.unwrap_or(usize::MAX);
        let words = on_one_line(filled.text);
        if filled.text.chars().count() > most {
            self.refuse_filled(&filled, &format!("at most {most} characters"));
            return None;
        }
        if !words.chars().all(may_stand) {
            self.refuse_filled(&filled, "a text without control characters");
            return None;
        }
        Some(words)
    }
}

fn on_one_line(text: &str) -> String {
    let lines = text.split(['\r', '\n', '\t']).map(str::trim);
    let lines: Vec<&str> = lines.filter(|line| !line.is_empty()).collect();
    lines.join(" ")
}
