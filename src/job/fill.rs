//! Filling in what a job left out, and holding what it said to its bounds.
//!
//! Invariants: a default is never taken silently, each becomes an [`Assumption`]; a value out of
//! bounds becomes a fault at the place where it was sent; filling goes on to the end, so that all
//! faults are found at once.

use super::field::{FieldRow, Fields};
use crate::quantity::{Fault, Faults, Quantity, System, pointer_part, print_quantity};
use serde::Serialize;

/// A default that was used.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "service", derive(utoipa::ToSchema))]
pub struct Assumption {
    /// JSON Pointer into the expanded job.
    pub pointer: String,
    /// What was taken.
    pub value: String,
    /// Why, and where it comes from.
    pub why: String,
}

/// A place in the job as sent, and the pointer of its row.
#[derive(Clone, Debug, Default)]
pub(super) struct Place {
    /// JSON Pointer.
    pub(super) pointer: String,
    row: String,
}

impl Place {
    pub(super) fn field(&self, name: &str) -> Self {
        let part = pointer_part(name);
        Self {
            pointer: format!("{}/{part}", self.pointer),
            row: format!("{}/{part}", self.row),
        }
    }

    pub(super) fn index(&self, index: usize) -> Self {
        Self {
            pointer: format!("{}/{index}", self.pointer),
            row: format!("{}/*", self.row),
        }
    }

    /// The same place, looked up under another row of the same parent.
    pub(super) fn under_row(&self, name: &str) -> Self {
        let parent = self.row.rsplit_once('/').map_or("", |(parent, _)| parent);
        Self {
            pointer: self.pointer.clone(),
            row: format!("{parent}/{name}"),
        }
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
    pub(super) fn quantity<Q: Quantity>(&mut self, place: &Place, sent: Option<Q>) -> Q {
        let row = self.row(place);
        let default = row.and_then(|row| row.default::<Q>(self.system));
        match (sent, default) {
            (Some(value), _) => self.bounded(place, value),
            (None, Some(default)) if self.quiet => default,
            (None, Some(default)) => {
                let text = row.map_or("", |row| row.text(self.system)).to_owned();
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
        place: &Place,
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
    pub(super) fn optional<Q: Quantity>(&mut self, place: &Place, sent: Option<Q>) -> Option<Q> {
        sent.map(|value| self.bounded(place, value))
    }

    /// The sent choice, or the default, which is listed.
    pub(super) fn choice<T: std::fmt::Display>(
        &mut self,
        place: &Place,
        sent: Option<T>,
        default: T,
    ) -> T {
        sent.unwrap_or_else(|| {
            self.assume(place, default.to_string());
            default
        })
    }

    /// The sent answer to a yes-or-no question, or the default, which is listed.
    pub(super) fn flag(&mut self, place: &Place, sent: Option<bool>, default: bool) -> bool {
        sent.unwrap_or_else(|| {
            self.assume(place, if default { "yes" } else { "no" }.to_owned());
            default
        })
    }

    /// Lists a default.
    pub(super) fn assume(&mut self, place: &Place, value: String) {
        if self.quiet {
            return;
        }
        let why = self
            .row(place)
            .map_or_else(|| "default".to_owned(), FieldRow::reason);
        self.assumptions.push(Assumption {
            pointer: place.pointer.clone(),
            value,
            why,
        });
    }

    /// Lists another value for a default that is listed already.
    pub(super) fn assume_instead(&mut self, place: &Place, value: String) {
        let mut listed = self.assumptions.iter_mut().rev();
        if let Some(listed) = listed.find(|listed| listed.pointer == place.pointer) {
            listed.value = value;
        }
    }

    /// Lists a fault.
    pub(super) fn fault(&mut self, place: &Place, found: &str, accepted: &str, example: &str) {
        self.faults.push(Fault::new(
            place.pointer.clone(),
            found,
            accepted,
            Some(example),
        ));
    }

    fn missing(&mut self, place: &Place) {
        let row = self.row(place);
        let accepted = row.map_or_else(|| "a value".to_owned(), |row| row.bounds(self.system));
        let example = row.and_then(|row| row.most.clone());
        self.faults.push(Fault::new(
            place.pointer.clone(),
            "nothing",
            accepted,
            example.as_deref(),
        ));
    }

    fn bounded<Q: Quantity>(&mut self, place: &Place, value: Q) -> Q {
        if let Some(row) = self.row(place)
            && !row.holds(value, self.system)
        {
            let example = row
                .us
                .clone()
                .filter(|_| row.default::<Q>(System::Us).is_some());
            let example = example.or_else(|| row.most.clone());
            self.faults.push(Fault::new(
                place.pointer.clone(),
                print_quantity(value),
                row.bounds(self.system),
                example.as_deref(),
            ));
        }
        value
    }

    fn row(&self, place: &Place) -> Option<&'static FieldRow> {
        self.fields.row(&place.row)
    }
}
