//! A thin slab after placing: its temperature hour by hour, and how far it has set by then.
//!
//! Invariants: the slab goes towards the air and never past it; it sets faster while warmer, by the table
//! of initial set, and not at all where that says never; progress never goes back. Absent: the sun, the
//! ground, and the heat of the cement itself, which all keep a slab warmer than told here in the cold.

use super::rows::SettingRows;
use super::set_time::{initial_set, set_factor};
use crate::quantity::{Citation, Length, Span, Temperature};
use serde::Deserialize;

/// How quickly a slab takes the temperature of the air.
#[derive(Clone, Debug, PartialEq, Deserialize)]
pub struct FollowsRow {
    /// A slab of this thickness
    pub thickness: Length,
    /// loses all but 1/e (37 %) of its difference to the air in this time; in proportion to its thickness.
    pub after: Span,
    /// Where it is published.
    #[serde(flatten)]
    pub source: Citation,
}

/// Steps of an hour.
const STEPS_AN_HOUR: u32 = 4;

/// A slab from its placing on.
#[derive(Clone, Debug, PartialEq)]
pub struct YoungSlab {
    /// At the end of each step; the first is as placed.
    temperatures: Vec<Temperature>,
    /// How many hours of mild weather would have set it as far, at the same moments.
    mild_hours: Vec<f64>,
}

impl YoungSlab {
    /// A slab of a thickness, placed at a temperature so far into an hour; `air` is of that hour and of
    /// those that follow.
    ///
    /// # Source
    /// Rows `slab_follows` (common practice, no source) and `initial_set`.
    pub fn of(
        thickness: Length,
        placed: Temperature,
        (into_hour, air): (Span, &[Temperature]),
    ) -> Self {
        let row = &SettingRows::built_in().slab_follows;
        let step = Span::from_hours(1.0 / f64::from(STEPS_AN_HOUR));
        let slowness = row.after * (thickness / row.thickness);
        let kept = libm::exp(-(step / slowness));
        let (mut at, mut set) = (placed, 0.0);
        let (mut temperatures, mut mild_hours) = (vec![at], vec![set]);
        let skipped = (into_hour / step).max(0.0) as usize;
        let steps = air.iter().flat_map(|air| [*air; STEPS_AN_HOUR as usize]);
        for air in steps.skip(skipped) {
            let next = air + (at - air) * kept;
            let middle = at + (next - at) * 0.5;
            set += set_factor(middle).map_or(0.0, |factor| step.hours() / factor);
            at = next;
            temperatures.push(at);
            mild_hours.push(set);
        }
        Self {
            temperatures,
            mild_hours,
        }
    }

    /// How warm it is after a span; as warm as last told beyond that.
    pub fn temperature(&self, after: Span) -> Temperature {
        let at = (after.hours() * f64::from(STEPS_AN_HOUR)).max(0.0);
        let (step, part) = (libm::floor(at) as usize, at - libm::floor(at));
        let last = self.temperatures.len() - 1;
        let (here, next) = (step.min(last), (step + 1).min(last));
        self.temperatures[here] + (self.temperatures[next] - self.temperatures[here]) * part
    }

    /// When it is as far as in so much mild weather; none where the weather told does not get it there.
    pub fn reaches(&self, mild: Span) -> Option<Span> {
        let wanted = mild.hours();
        let at = self.mild_hours.partition_point(|hours| *hours < wanted);
        if at == 0 {
            return Some(Span::ZERO);
        }
        let (before, here) = (self.mild_hours[at - 1], *self.mild_hours.get(at)?);
        let part = (wanted - before) / (here - before);
        let steps = (at - 1) as f64 + part;
        Some(Span::from_hours(steps / f64::from(STEPS_AN_HOUR)))
    }

    /// Its mean temperature over the first hours.
    pub fn mean(&self, over: Span) -> Temperature {
        let steps = (over.hours() * f64::from(STEPS_AN_HOUR)).max(1.0) as usize;
        let told = &self.temperatures[..self.temperatures.len().min(steps + 1)];
        let sum: f64 = told.iter().map(|at| at.kelvins()).sum();
        Temperature::from_kelvins(sum / told.len() as f64)
    }

    /// When it reaches initial set; none where the weather told does not get it there.
    pub fn initial_set(&self) -> Option<Span> {
        let mild = SettingRows::built_in().mild.concrete;
        self.reaches(initial_set(mild).latest()?)
    }
}
