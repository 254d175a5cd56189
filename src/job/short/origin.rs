//! Where in a line a place of the full form came from.
//!
//! Invariants: of all columns that lead to a place the one with the longest way there is named, of
//! equal ones the one that the caller wrote; a place that no column leads to stays as it is.

use super::column::{Columns, ShortColumn, ShortKind};
use super::heading::ShortHeading;
use super::line::Line;
use super::refusal::{fault, written_under};
use crate::job::sent::{JobRequest, PathRequest};
use crate::quantity::{Fault, Faults, System};

/// What a line or its heading says of where things came from.
pub(super) struct Origin<'a> {
    heading: &'a ShortHeading,
    line: Option<&'a Line<'a>>,
    job: Option<&'a JobRequest>,
}

impl<'a> Origin<'a> {
    /// For a line that was read.
    pub(super) const fn of_job(line: &'a Line<'a>, job: &'a JobRequest) -> Self {
        Self {
            heading: line.heading,
            line: Some(line),
            job: Some(job),
        }
    }

    /// For any line below a heading; its path is taken to begin with the foot landing.
    pub(super) const fn of_heading(heading: &'a ShortHeading) -> Self {
        Self {
            heading,
            line: None,
            job: None,
        }
    }

    /// The faults, each once, at the columns that they came from.
    pub(super) fn point_back(&self, faults: Faults) -> Faults {
        let mut told: Vec<Fault> = Vec::new();
        for found in faults.0 {
            let found = self.point_one(found);
            // Equal runs have equal faults.
            let again =
                |other: &&Fault| other.pointer == found.pointer && other.accepted == found.accepted;
            if !told.iter().any(|other| again(&other)) {
                told.push(found);
            }
        }
        Faults(told)
    }

    fn point_one(&self, found: Fault) -> Fault {
        let Some(column) = self.column_of(&self.named(&found.pointer)) else {
            return found;
        };
        let name = self.written(column);
        let came = self.came_to(column, &found);
        let example = found.example.as_deref();
        let example = example.and_then(|value| self.example(name, (column, value)));
        let accepted = match self.line {
            Some(line) if column.can_be_none(line.system) => {
                format!("0 for none, or {}", found.accepted)
            }
            _ => found.accepted,
        };
        fault(name, &came, &accepted, example.as_deref())
    }

    /// What stands in a cell, and what it came to in the full form, where these are two things.
    fn came_to(&self, column: &ShortColumn, found: &Fault) -> String {
        let counts = column.kind.dimension().is_some() || column.kind == ShortKind::Count;
        let Some(line) = self.line.filter(|_| counts) else {
            return found.found.clone();
        };
        let cell = line.cell(&column.name);
        let cell = cell.map_or_else(|| "blank".to_owned(), |text| format!("\"{text}\""));
        format!("{cell}, so {} at {}", found.found, found.pointer)
    }

    /// The full form's example as the column would be written; none where it is no value of it.
    fn example(&self, name: &str, (column, value): (&ShortColumn, &str)) -> Option<String> {
        match column.kind.dimension() {
            None if column.kind == ShortKind::Text => return Some(value.to_owned()),
            None => return None,
            Some(_) => {}
        }
        let si = column.kind.si(value).ok()?;
        let (system, mark) = self
            .line
            .map_or((System::Us, '.'), |line| (line.system, line.mark));
        let fits = column.holds(si, system);
        fits.then(|| written_under(name, (column, value), mark))?
    }

    fn written(&self, column: &'a ShortColumn) -> &str {
        match self.line {
            Some(line) => line.written(&column.name),
            None => self.heading.written(column),
        }
    }

    fn is_written(&self, column: &ShortColumn) -> bool {
        match self.line {
            Some(line) => line.has(&column.name),
            None => self.heading.has(column),
        }
    }

    /// The column with the longest way to a place.
    fn column_of(&self, pointer: &str) -> Option<&'static ShortColumn> {
        let mut best: Option<(usize, bool, &'static ShortColumn)> = None;
        for column in &Columns::built_in().rows {
            let ways = column.to.iter().filter(|way| leads(way, pointer));
            let Some(length) = ways.map(String::len).max() else {
                continue;
            };
            let own = (length, self.is_written(column));
            if best.is_none_or(|(length, written, _)| own > (length, written)) {
                best = Some((own.0, own.1, column));
            }
        }
        best.map(|(_, _, column)| column)
    }

    /// A pointer with what the piece is instead of its place in the path.
    fn named(&self, pointer: &str) -> String {
        let split = pointer.strip_prefix("/ramp/path/").map(|rest| {
            let (place, below) = rest.split_once('/').unwrap_or((rest, ""));
            (place.parse::<usize>(), below)
        });
        let Some((Ok(place), below)) = split else {
            return pointer.to_owned();
        };
        let piece = self.piece(place);
        if below.is_empty() {
            return format!("/ramp/path/{piece}");
        }
        format!("/ramp/path/{piece}/{below}")
    }

    fn piece(&self, place: usize) -> &'static str {
        let Some(job) = self.job else {
            return if place.is_multiple_of(2) {
                "landing"
            } else {
                "run"
            };
        };
        let landing =
            |place: usize| matches!(job.ramp.path.get(place), Some(PathRequest::Landing { .. }));
        let walks = self.line.is_some_and(|line| line.has("walk"));
        match (landing(place), place) {
            (true, 0) if walks && landing(1) => "walk",
            (true, _) => "landing",
            (false, _) => "run",
        }
    }
}

/// Whether a way of a column leads to a place or to something that the place is part of; `*` is any
/// index.
fn leads(way: &str, pointer: &str) -> bool {
    let mut parts = pointer.split('/');
    way.split('/').all(|own| {
        let part = parts.next();
        part.is_some_and(|part| own == part || own == "*")
    })
}
