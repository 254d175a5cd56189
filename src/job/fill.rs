//! Filling in what a job left out, and holding what it said to its bounds.
//!
//! Invariants: a default is never taken silently, each becomes an [`Assumption`]; a value out of
//! bounds becomes a fault at the place where it was sent; filling goes on to the end, so that all
//! faults are found at once.

use super::field::{FieldRow, Fields};
use super::pointer::PointerHash;
use crate::quantity::{Fault, Faults, Quantity, System, is_line, pointer_part, print_quantity};
use serde::Serialize;
use std::borrow::Cow;

/// A default that was used.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "service", derive(utoipa::ToSchema))]
pub struct Assumption {
    /// JSON Pointer into the expanded job.
    pub pointer: String,
    /// What was taken.
    pub value: Cow<'static, str>,
    /// Why, and where it comes from.
    pub why: Cow<'static, str>,
}

/// A place in the job as sent. Most places are looked at and never told, so that a place is a link
/// to the one above it, and is written out only where somebody reads it.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Place<'a> {
    above: Option<&'a Place<'a>>,
    part: Part<'a>,
    /// The name of its row, where that is not its own.
    row: Option<&'a str>,
    /// The hash of its row's pointer.
    hash: PointerHash,
}

#[derive(Clone, Copy, Debug, Default)]
enum Part<'a> {
    #[default]
    Root,
    Name(&'a str),
    Index(usize),
}

impl Place<'_> {
    pub(super) fn field<'b>(&'b self, name: &'b str) -> Place<'b> {
        self.below(Part::Name(name))
    }

    pub(super) fn index(&self, index: usize) -> Place<'_> {
        self.below(Part::Index(index))
    }

    fn below<'b>(&'b self, part: Part<'b>) -> Place<'b> {
        Place {
            above: Some(self),
            part,
            row: None,
            hash: self.hash,
        }
        .hashed()
    }

    /// With the hash of its row's pointer, from that of the place above it.
    fn hashed(self) -> Self {
        let above = self
            .above
            .map_or_else(PointerHash::default, |above| above.hash);
        let hash = self.row_part().map_or(above, |part| above.below(part));
        Self { hash, ..self }
    }

    /// JSON Pointer into the job as sent.
    pub(super) fn pointer(&self) -> String {
        let mut pointer = String::new();
        self.write_pointer(&mut pointer);
        pointer
    }

    fn write_pointer(&self, into: &mut String) {
        if let Some(above) = self.above {
            above.write_pointer(into);
        }
        match self.part {
            Part::Root => {}
            Part::Name(name) => write_part(into, name),
            Part::Index(index) => {
                into.push('/');
                into.push_str(&index.to_string());
            }
        }
    }

    /// The part of its row's pointer, `*` for any index; none at the root.
    fn row_part(&self) -> Option<&str> {
        match (self.part, self.row) {
            (Part::Root, _) => None,
            (_, Some(row)) => Some(row),
            (Part::Name(name), None) => Some(name),
            (Part::Index(_), None) => Some("*"),
        }
    }

    /// True where a row's pointer is that of this place.
    fn is_row(&self, pointer: &str) -> bool {
        let Some(part) = self.row_part() else {
            return pointer.is_empty();
        };
        let rest = pointer.strip_suffix(part);
        let rest = rest.and_then(|rest| rest.strip_suffix('/'));
        rest.is_some_and(|rest| self.above.is_some_and(|above| above.is_row(rest)))
    }
}

impl<'a> Place<'a> {
    /// The same place, looked up under another row of the same parent.
    pub(super) fn under_row(self, name: &'a str) -> Self {
        let row = Some(name);
        Self { row, ..self }.hashed()
    }
}

fn write_part(into: &mut String, name: &str) {
    into.push('/');
    if name.contains(['~', '/']) {
        into.push_str(&pointer_part(name));
    } else {
        into.push_str(name);
    }
}

/// Fills a job and keeps the list of what it took and what was wrong.
pub(super) struct Fill {
    pub(super) system: System,
    pub(super) assumptions: Vec<Assumption>,
    pub(super) faults: Faults,
    pub(super) fields: &'static Fields,
    /// True when nobody reads the assumptions, so that none need be worded.
    pub(super) quiet: bool,
}

impl Fill {
    pub(super) fn new(system: System) -> Self {
        Self {
            system,
            assumptions: Vec::new(),
            faults: Faults::default(),
            fields: Fields::built_in(),
            quiet: false,
        }
    }

    /// The sent quantity, held to its bounds, or the row's default.
    pub(super) fn quantity<Q: Quantity>(&mut self, place: &Place<'_>, sent: Option<Q>) -> Q {
        let row = self.row(place);
        let default = row.and_then(|row| row.default::<Q>(self.system));
        match (sent, default) {
            (Some(value), _) => self.bounded(place, value),
            (None, Some(default)) if self.quiet => default,
            (None, Some(default)) => {
                let text = row.map_or("", |row| row.text(self.system));
                self.assume(place, text);
                default
            }
            (None, None) => {
                self.missing(place);
                Q::from_si(0.0)
            }
        }
    }

    /// The sent quantity, held to its bounds, or a value worked out from the rest of the job.
    pub(super) fn quantity_else<Q: Quantity>(
        &mut self,
        place: &Place<'_>,
        sent: Option<Q>,
        worked_out: Q,
    ) -> Q {
        match sent {
            Some(value) => self.bounded(place, value),
            None if self.quiet => worked_out,
            None => {
                self.assume(place, print_quantity(worked_out));
                worked_out
            }
        }
    }

    /// A quantity that may stay unknown, held to its bounds.
    pub(super) fn optional<Q: Quantity>(
        &mut self,
        place: &Place<'_>,
        sent: Option<Q>,
    ) -> Option<Q> {
        sent.map(|value| self.bounded(place, value))
    }

    /// The sent choice, or the default, which is listed.
    pub(super) fn choice<T: std::fmt::Display>(
        &mut self,
        place: &Place<'_>,
        sent: Option<T>,
        default: T,
    ) -> T {
        sent.unwrap_or_else(|| {
            if !self.quiet {
                self.assume(place, default.to_string());
            }
            default
        })
    }

    /// The sent answer to a yes-or-no question, or the default, which is listed.
    pub(super) fn flag(&mut self, place: &Place<'_>, sent: Option<bool>, default: bool) -> bool {
        sent.unwrap_or_else(|| {
            if !self.quiet {
                self.assume(place, if default { "yes" } else { "no" });
            }
            default
        })
    }

    /// Lists a default.
    pub(super) fn assume(&mut self, place: &Place<'_>, value: impl Into<Cow<'static, str>>) {
        if self.quiet {
            return;
        }
        let why = self.row(place).map_or("default", FieldRow::reason);
        self.assumptions.push(Assumption {
            pointer: place.pointer(),
            value: value.into(),
            why: why.into(),
        });
    }

    /// Lists a section that is taken by default, in the words of its row.
    pub(super) fn assume_whole(&mut self, place: &Place<'_>) {
        let row = self.row(place).filter(|_| !self.quiet);
        self.assume(place, row.map_or("", |row| row.text(System::Us)));
    }

    /// Lists another value for a default that is listed already.
    pub(super) fn assume_instead(&mut self, place: &Place<'_>, value: String) {
        let pointer = place.pointer();
        let mut listed = self.assumptions.iter_mut().rev();
        if let Some(listed) = listed.find(|listed| listed.pointer == pointer) {
            listed.value = value.into();
        }
    }

    /// Lists a fault.
    pub(super) fn fault(&mut self, place: &Place<'_>, found: &str, accepted: &str, example: &str) {
        self.faults
            .push(Fault::new(place.pointer(), found, accepted, Some(example)));
    }

    /// Lists a fault where words are longer than `most` characters, or do not stand on one line.
    pub(super) fn check_words(
        &mut self,
        place: &Place<'_>,
        words: &str,
        (most, example): (usize, &str),
    ) {
        if !is_line(words, most) {
            let accepted = format!("one line of at most {most} characters");
            self.fault(place, words, &accepted, example);
        }
    }

    fn missing(&mut self, place: &Place<'_>) {
        let row = self.row(place);
        let accepted = row.map_or_else(|| "a value".to_owned(), |row| row.bounds(self.system));
        let example = row.and_then(|row| row.most.clone());
        self.faults.push(Fault::new(
            place.pointer(),
            "nothing",
            accepted,
            example.as_deref(),
        ));
    }

    fn bounded<Q: Quantity>(&mut self, place: &Place<'_>, value: Q) -> Q {
        if let Some(row) = self.row(place)
            && !row.holds(value, self.system)
        {
            let example = row
                .us
                .clone()
                .filter(|_| row.default::<Q>(System::Us).is_some());
            let example = example.or_else(|| row.most.clone());
            self.faults.push(Fault::new(
                place.pointer(),
                print_quantity(value),
                row.bounds(self.system),
                example.as_deref(),
            ));
        }
        value
    }

    /// Looked up for every field of every job, so that no pointer is written out for it.
    fn row(&self, place: &Place<'_>) -> Option<&'static FieldRow> {
        let row = self.fields.row_of(place.hash)?;
        place.is_row(&row.pointer).then_some(row)
    }
}
