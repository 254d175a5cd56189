//! The course of a pour day: from the first foot on site to the last, by how the concrete sets.
//!
//! Invariants: edging waits for an hour of mild weather's setting, the broom for two, and neither begins
//! before the concrete is struck off; curing follows the broom. Absent: whether the day is any good.

use super::rows::rows;
use super::site::Facts;
use super::trucks::{Truck, later, time_trucks};
use crate::quantity::{Span, Temperature, Volume, ceil, ceil_to};
use crate::setting::{SettingRows, YoungSlab};
use chrono::{NaiveDateTime, TimeDelta, Timelike};

/// How the concrete comes, and who is there for it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Mix {
    pub(super) placed: Temperature,
    /// What admixtures make of the time to set; 1 without any.
    pub(super) share: f64,
    pub(super) people: u32,
}

/// A day's course.
#[derive(Clone, Debug, PartialEq)]
pub struct Course {
    /// The crew comes.
    pub arrive: NaiveDateTime,
    /// The trucks.
    pub trucks: Vec<Truck>,
    /// The last concrete is placed.
    pub placed: NaiveDateTime,
    /// It is struck off and bull floated.
    pub struck: NaiveDateTime,
    /// Edging and hand floating begin.
    pub edged: NaiveDateTime,
    /// The broom can begin on the first concrete.
    pub broom_opens: NaiveDateTime,
    /// The broom must be done on the last concrete.
    pub broom_closes: NaiveDateTime,
    /// The broom is done.
    pub broomed: NaiveDateTime,
    /// The compound is on, or the cover.
    pub cured: NaiveDateTime,
    /// The crew goes.
    pub gone: NaiveDateTime,
    /// The first concrete, hour by hour.
    pub slab: YoungSlab,
}

impl Course {
    /// The first truck comes.
    pub fn first_truck(&self) -> NaiveDateTime {
        self.trucks
            .first()
            .map_or(self.arrive, |truck| truck.arrives)
    }

    /// From the first foot on site to the last.
    pub fn stay(&self) -> Span {
        between(self.arrive, self.gone)
    }

    /// True where the crew is not done with the broom while it still takes.
    pub(super) fn is_behind(&self) -> bool {
        self.broomed > self.broom_closes
    }

    /// How warm the first concrete is at a moment.
    pub fn temperature(&self, at: NaiveDateTime) -> Temperature {
        self.slab.temperature(between(self.first_truck(), at))
    }
}

/// The span from one moment to another.
pub(super) fn between(from: NaiveDateTime, to: NaiveDateTime) -> Span {
    Span::from_minutes((to - from).num_minutes() as f64)
}

/// Hours of weather that a course is looked for in.
const AHEAD: usize = 48;

/// The air from the hour of a moment on.
fn air_from(facts: &Facts<'_>, moment: NaiveDateTime) -> Vec<Temperature> {
    let weather = &facts.from.pour.weather;
    let first = usize::try_from(weather.hours_to(moment)).unwrap_or(usize::MAX);
    let hours = weather.hours.iter().skip(first).take(AHEAD);
    hours.map(|hour| hour.air).collect()
}

fn slab_from(facts: &Facts<'_>, at: NaiveDateTime, mix: Mix) -> YoungSlab {
    let into_hour = Span::from_minutes(f64::from(at.minute()));
    let air = air_from(facts, at);
    YoungSlab::of(facts.thickness(), mix.placed, (into_hour, &air))
}

/// The course of a day whose first truck comes at `first`; none where the weather told does not set it.
pub(super) fn follow(
    facts: &Facts<'_>,
    loads: &[Volume],
    (first, mix): (NaiveDateTime, Mix),
) -> Option<Course> {
    let people = f64::from(mix.people.max(1));
    let work = facts.work;
    let before = Span::from_hours(ceil_to(work.before / people, quarter().hours()));
    let trucks = time_trucks(facts, loads, first);
    let emptied = trucks.last().map_or(first, |truck| truck.empty);
    let struck = emptied.max(later(first, Span::from_hours(work.placing / people)));
    let rows = &SettingRows::built_in().finishing;
    let early = slab_from(facts, first, mix);
    let late = slab_from(facts, emptied, mix);
    let reach = |slab: &YoungSlab, from, mild: Span| {
        slab.reaches(mild * mix.share)
            .map(|after| later(from, after))
    };
    let edging = reach(&early, first, rows.edging.window.opens)?;
    let edged = edging.max(struck);
    let finished = later(edged, Span::from_hours(work.finishing / people));
    let ready = reach(&late, emptied, rows.broom.window.opens)?;
    let broomed = finished.max(ready);
    let covers = reach(&late, emptied, rows_of_cover());
    let curing_from = if facts.is_covered() {
        broomed.max(covers?)
    } else {
        broomed
    };
    let cured = later(
        curing_from,
        Span::from_hours(work.curing / curing_people(facts, people)),
    );
    let arrive = later(first, -before.max(quarter() * 2.0));
    let worked = later(arrive, Span::from_hours(work.all / people));
    Some(Course {
        arrive,
        placed: emptied,
        struck,
        edged,
        broom_opens: reach(&early, first, rows.broom.window.opens)?,
        broom_closes: reach(&late, emptied, rows.broom.window.closes)?,
        broomed,
        cured,
        gone: up_to_quarter(later(cured, quarter()).max(worked)),
        slab: early,
        trucks,
    })
}

fn rows_of_cover() -> Span {
    rows().cover.after
}

/// A compound is sprayed by one.
fn curing_people(facts: &Facts<'_>, people: f64) -> f64 {
    if facts.is_covered() { people } else { 1.0 }
}

fn quarter() -> Span {
    Span::from_minutes(15.0)
}

/// The next quarter of an hour.
fn up_to_quarter(moment: NaiveDateTime) -> NaiveDateTime {
    let minutes = f64::from(moment.minute());
    let up = ceil(minutes / quarter().minutes()) * quarter().minutes() - minutes;
    moment + TimeDelta::minutes(up as i64)
}
