//! Where each column of a table stands in a file.
//!
//! Invariants: every name in a mapping is known and stands in the file; a column that nobody asked
//! for is named as ignored, never silently dropped. Absent: what cells mean.

use super::{Column, Kind};
use crate::quantity::{Fault, Faults};
use std::collections::BTreeMap;

/// How a file's own columns answer to ours.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Mapping {
    /// Our column to the heading that it has in the file.
    pub columns: BTreeMap<String, String>,
    /// Our column to what it holds where the file has no such column, or a blank cell.
    pub values: BTreeMap<String, String>,
}

/// Where each column stands.
#[derive(Clone, Debug)]
pub struct Layout {
    pub(super) kind: Kind,
    pub(super) places: Vec<Place>,
    /// Headings of the file that are not read.
    pub ignored: Vec<String>,
}

/// Where one column stands.
#[derive(Clone, Debug)]
pub(super) struct Place {
    pub(super) column: &'static Column,
    /// Its place in a row and its heading as the file has it.
    pub(super) at: Option<(usize, String)>,
    /// What it holds where the file says nothing.
    pub(super) value: Option<String>,
}

impl Layout {
    /// Finds the columns of `kind` in a file with these headings; `find` gives a heading's place.
    ///
    /// # Errors
    /// Names that the table does not have, headings that the file does not have, and columns that no
    /// row can do without; pointers are into the query.
    pub fn of(
        kind: Kind,
        names: &[String],
        mapping: &Mapping,
        find: impl Fn(&str) -> Option<usize>,
    ) -> Result<Self, Faults> {
        let mut faults = Faults::default();
        check_names(kind, mapping, &mut faults);
        let mut places = Vec::new();
        for column in kind.columns() {
            let mapped = mapping.columns.get(column.name);
            let index = find(mapped.map_or(column.name, String::as_str));
            if let (Some(heading), None) = (mapped, index) {
                faults.push(Fault::new(
                    format!("/columns[{}]", column.name),
                    heading,
                    format!("a heading of the file: {}", names.join(", ")),
                    names.first().map(String::as_str),
                ));
            }
            let value = mapping.values.get(column.name).cloned();
            if column.required && index.is_none() && value.is_none() && mapped.is_none() {
                faults.push(missing(column, names));
            }
            let named = |index: usize| names.get(index).map(|name| (index, name.clone()));
            places.push(Place {
                column,
                at: index.and_then(named),
                value,
            });
        }
        let read = |index: usize| {
            let mut places = places.iter();
            places.any(|place| place.at.as_ref().is_some_and(|(at, _)| *at == index))
        };
        let unread = names.iter().enumerate().filter(|(index, _)| !read(*index));
        let ignored = unread.map(|(_, name)| name.clone());
        let ignored = ignored.filter(|name| !name.is_empty()).collect();
        faults.or(Self {
            kind,
            places,
            ignored,
        })
    }
}

fn check_names(kind: Kind, mapping: &Mapping, faults: &mut Faults) {
    let known: Vec<&str> = kind.columns().iter().map(|column| column.name).collect();
    for (what, names) in [("columns", &mapping.columns), ("values", &mapping.values)] {
        for (name, said) in names {
            if !known.contains(&name.as_str()) {
                let at = format!("/{what}[{name}]");
                let accepted = format!("a column of the table {kind}: {}", known.join(", "));
                faults.push(Fault::new(at, said, accepted, known.first().copied()));
            }
        }
    }
}

fn missing(column: &Column, names: &[String]) -> Fault {
    let name = column.name;
    let accepted = format!(
        "a column \"{name}\" ({}); where the file calls it otherwise, say columns[{name}]=HEADING; where all rows share it, values[{name}]={}",
        column.holds, column.example
    );
    Fault::new("", format!("headings {}", names.join(", ")), accepted, None)
}
