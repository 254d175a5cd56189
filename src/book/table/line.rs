//! One row of a table, cell by cell, and what is wrong with it.
//!
//! Invariants: a fault names the row and the column as the file has them; every bad row is known by
//! its number, though only so many faults are told in full. Absent: what a row means as a whole.

use super::layout::{Layout, Place};
use crate::quantity::{Fault, Faults};
use crate::sheet::{Dialect, Row, plain_number};
use chrono::NaiveDate;
use std::str::FromStr;

/// Most faults that are told in full.
const TOLD_AT_MOST: usize = 1_000;

/// What is wrong with the rows of a table.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct RowFaults {
    /// The first of them, in full.
    pub told: Faults,
    /// How many there are.
    pub count: usize,
    /// Numbers of all rows with a fault, rising.
    pub rows: Vec<u64>,
}

impl RowFaults {
    /// True when nothing was wrong.
    pub fn is_empty(&self) -> bool {
        self.count == 0
    }

    /// Adds a fault of a row.
    pub fn push(&mut self, row: u64, fault: Fault) {
        self.count += 1;
        if self.rows.last() != Some(&row) {
            self.rows.push(row);
        }
        if self.told.0.len() < TOLD_AT_MOST {
            self.told.push(fault);
        }
    }

    /// The rows as text: `2-14, 17`.
    pub fn rows_text(&self) -> String {
        let mut parts: Vec<String> = Vec::new();
        for run in self.rows.chunk_by(|a, b| a + 1 == *b) {
            parts.push(match run {
                [one] => one.to_string(),
                [first, .., last] => format!("{first}-{last}"),
                [] => continue,
            });
        }
        parts.join(", ")
    }
}

/// One row, being read.
pub(super) struct Line<'a> {
    row: &'a Row,
    layout: &'a Layout,
    dialect: Dialect,
    faults: &'a mut RowFaults,
    sound: bool,
}

impl<'a> Line<'a> {
    pub(super) fn new(
        row: &'a Row,
        (layout, dialect): (&'a Layout, Dialect),
        faults: &'a mut RowFaults,
    ) -> Self {
        Self {
            row,
            layout,
            dialect,
            faults,
            sound: true,
        }
    }

    /// Its number in the file.
    pub(super) fn number(&self) -> u64 {
        self.row.number
    }

    /// True while no fault was found.
    pub(super) fn is_sound(&self) -> bool {
        self.sound
    }

    fn place(&self, name: &str) -> Option<&'a Place> {
        let mut places = self.layout.places.iter();
        places.find(|place| place.column.name == name)
    }

    /// What stands in a column, and whether it stands in the file.
    fn cell(&self, name: &str) -> Option<(&'a str, bool)> {
        let place = self.place(name)?;
        let cell = place
            .at
            .as_ref()
            .and_then(|(at, _)| self.row.cells.get(*at));
        let cell = cell.map(|cell| cell.trim()).filter(|cell| !cell.is_empty());
        let value = || place.value.as_deref().filter(|value| !value.is_empty());
        cell.map(|cell| (cell, true))
            .or_else(|| value().map(|value| (value, false)))
    }

    /// The text in a column; none where it is blank.
    pub(super) fn text(&self, name: &str) -> Option<&'a str> {
        self.cell(name).map(|(text, _)| text)
    }

    /// The text in a column that must not be blank.
    pub(super) fn required(&mut self, name: &str, why: &str) -> Option<&'a str> {
        let text = self.text(name);
        if text.is_none() {
            let column = self.place(name).map(|place| place.column);
            let holds = column.map_or("", |column| column.holds);
            let example = column.map(|column| column.example);
            self.fault(name, "nothing", &format!("{holds}{why}"), example);
        }
        text
    }

    /// A number in a column, with the decimal mark of the file.
    pub(super) fn number_in<T: FromStr<Err: std::fmt::Display>>(
        &mut self,
        name: &str,
    ) -> Option<T> {
        let (text, in_file) = self.cell(name)?;
        // What stands in the query is written with a point, whatever the file does.
        let dialect = if in_file {
            self.dialect
        } else {
            Dialect::default()
        };
        let plain = match plain_number(text, dialect) {
            Ok(plain) => plain,
            Err(fault) => {
                self.fault(name, text, &fault.accepted, Some(&fault.example));
                return None;
            }
        };
        let read = plain.parse();
        if read.is_err() {
            let example = self.example(name);
            let accepted =
                "a number of at most nine digits before the decimal mark and four after it";
            self.fault(name, text, accepted, example);
        }
        read.ok()
    }

    /// A whole number in a column.
    pub(super) fn whole_in(&mut self, name: &str) -> Option<u32> {
        let text = self.text(name)?;
        let read = text.parse().ok();
        if read.is_none() {
            let example = self.example(name);
            self.fault(name, text, "a whole number", example);
        }
        read
    }

    /// A day in a column.
    pub(super) fn day_in(&mut self, name: &str) -> Option<NaiveDate> {
        let text = self.text(name)?;
        let day = NaiveDate::parse_from_str(text, "%Y-%m-%d").ok();
        let day = day.filter(|_| text.len() == 10);
        if day.is_none() {
            let accepted = "a day that exists, written year-month-day";
            self.fault(name, text, accepted, Some("2026-03-02"));
        }
        day
    }

    /// One of some words in a column, capitals aside.
    pub(super) fn word_in<T>(
        &mut self,
        name: &str,
        read: impl Fn(&str) -> Option<T>,
        words: &[&str],
    ) -> Option<T> {
        let text = self.text(name)?;
        let found = read(text).or_else(|| read(&text.to_lowercase()));
        if found.is_none() {
            let example = self.example(name);
            self.fault(name, text, &words.join(", "), example);
        }
        found
    }

    /// A part in percent in a column.
    pub(super) fn percent_in<T: FromStr>(&mut self, name: &str) -> Option<T> {
        let text = self.text(name)?;
        let read = Some(text).filter(|text| text.ends_with('%'));
        let read = read.and_then(|text| text.parse().ok());
        if read.is_none() {
            self.fault(name, text, "a percentage with its sign", Some("50 %"));
        }
        read
    }

    fn example(&self, name: &str) -> Option<&'static str> {
        self.place(name).map(|place| place.column.example)
    }

    /// Adds a fault of a cell.
    pub(super) fn fault(&mut self, name: &str, found: &str, accepted: &str, example: Option<&str>) {
        self.sound = false;
        let fault = Fault::new("", found, accepted, example);
        let fault = fault.in_row(self.row.number, &self.heading(name));
        self.faults.push(self.row.number, fault);
    }

    /// Adds the faults that a check of the whole thing found, whose pointers begin with the name
    /// of a column.
    pub(super) fn take(&mut self, faults: Faults) {
        for fault in faults.0 {
            let name = fault
                .pointer
                .split('/')
                .nth(1)
                .unwrap_or_default()
                .to_owned();
            self.fault(
                &name,
                &fault.found,
                &fault.accepted,
                fault.example.as_deref(),
            );
        }
    }

    /// A column's name as the file has it, else as the table has it.
    fn heading(&self, name: &str) -> String {
        let at = self.place(name).and_then(|place| place.at.as_ref());
        at.map_or_else(|| name.to_owned(), |(_, heading)| heading.clone())
    }
}
