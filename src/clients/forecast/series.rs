//! One layer of a forecast: what it tells of each hour.
//!
//! Invariants: a value holds for its own time and no longer; where the next one begins earlier, up to
//! there; of two with the same start the later one in the list holds. A value that is null tells nothing.
//! Absent: any value between two told ones.

use super::Unreadable;
use super::interval::Interval;
use super::unit::Unit;
use crate::job::{Fields, Moment};
use crate::quantity::{Quantity, System};
use chrono::{DateTime, Utc};
use serde::Deserialize;

/// A layer as it is told.
#[derive(Debug, Default, Deserialize)]
pub(super) struct Layer {
    uom: Option<String>,
    #[serde(default)]
    values: Vec<Told>,
}

#[derive(Debug, Deserialize)]
#[serde(rename_all = "camelCase")]
struct Told {
    valid_time: String,
    value: Option<f64>,
}

/// What a layer is called, there and here.
#[derive(Clone, Copy, Debug)]
pub(super) struct Name {
    /// In the forecast.
    pub(super) told: &'static str,
    /// The row of its bounds.
    pub(super) row: &'static str,
}

/// A layer that was read.
#[derive(Clone, Debug)]
pub(super) struct Series<Q>(Vec<(Interval, Option<Q>)>);

impl<Q: Quantity> Series<Q> {
    /// Reads a layer.
    ///
    /// # Errors
    /// A unit or a time that is not read, a value out of the bounds that a sent one has.
    pub(super) fn read(layer: &Layer, name: Name) -> Result<Self, Unreadable> {
        let mut told = Vec::with_capacity(layer.values.len());
        for one in &layer.values {
            let time = Interval::parse(&one.valid_time).ok_or_else(|| {
                name.fault("has a time that is no start with a duration of fixed length")
            })?;
            let value = match one.value {
                Some(value) => Some(read_value(layer, (name, time.from), value)?),
                None => None,
            };
            told.push((time, value));
        }
        // The order of equal starts stays that of the list.
        told.sort_by_key(|(time, _)| time.from);
        Ok(Self(told))
    }

    /// The first moment of which it tells something.
    pub(super) fn first(&self) -> Option<DateTime<Utc>> {
        let told = self.0.iter().find(|(_, value)| value.is_some());
        told.map(|(time, _)| time.from)
    }

    /// What it tells of a moment.
    pub(super) fn at(&self, moment: DateTime<Utc>) -> Option<Q> {
        let begun = self.0.partition_point(|(time, _)| time.from <= moment);
        let (time, value) = self.0.get(begun.checked_sub(1)?)?;
        value.filter(|_| moment < time.to)
    }
}

impl Name {
    fn fault(self, what: &str) -> Unreadable {
        Unreadable(format!("its {} {what}", self.told))
    }
}

fn read_value<Q: Quantity>(
    layer: &Layer,
    (name, from): (Name, DateTime<Utc>),
    value: f64,
) -> Result<Q, Unreadable> {
    let unit = layer.uom.as_deref().and_then(Unit::of);
    let unit = unit.ok_or_else(|| name.fault("comes in a unit that is not read"))?;
    let row = Fields::built_in().row(name.row);
    let within = |value: &Q| row.is_some_and(|row| row.holds(*value, System::Us));
    unit.measure(value).filter(within).ok_or_else(|| {
        let bounds = row.map_or_else(String::new, |row| row.bounds(System::Us));
        let at = Moment(from.naive_utc());
        name.fault(&format!(
            "of {at} UTC is {value} where {bounds} are accepted"
        ))
    })
}
