//! The course of a pour day: from the first foot on site to the last, by how the concrete sets.
//!
//! Invariants: edging waits for an hour of mild weather's setting, the broom for two, and neither begins
//! before the concrete is struck off; curing follows the broom. Absent: whether the day is any good.

use super::rows::rows;
use super::site::Facts;
use super::trucks::{Truck, later, share_trucks, time_trucks};
use crate::quantity::{Span, Temperature, ceil, ceil_to};
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
    /// The first concrete comes.
    pub first: NaiveDateTime,
    /// The trucks; none where it is mixed on site.
    pub trucks: Vec<Truck>,
    /// The last concrete is placed.
    pub placed: NaiveDateTime,
    /// It is struck off and bull floated.
    pub struck: NaiveDateTime,
    /// Edging and hand floating begin.
    pub edged: NaiveDateTime,
    /// The broom can begin on the first concrete.
    pub broom_opens: NaiveDateTime,
    /// The broom must be on the first concrete.
    pub first_closes: NaiveDateTime,
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
    /// From the first foot on site to the last.
    pub fn stay(&self) -> Span {
        between(self.arrive, self.gone)
    }

    /// True where the crew comes too late with the broom: to the first concrete, since it is still placing, or
    /// to the last.
    pub(super) fn is_behind(&self) -> bool {
        self.edged > self.first_closes || self.broomed > self.broom_closes
    }

    /// How warm the first concrete is at a moment.
    pub fn temperature(&self, at: NaiveDateTime) -> Temperature {
        self.slab.temperature(between(self.first, at))
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
pub(super) fn follow(facts: &Facts<'_>, (first, mix): (NaiveDateTime, Mix)) -> Option<Course> {
    let people = f64::from(mix.people.max(1));
    let work = facts.work;
    let before = Span::from_hours(ceil_to(work.before / people, quarter().hours()));
    let shared = share_trucks(facts, mix.people);
    let loads = shared.unwrap_or_else(|| facts.from.takeoff.concrete.loads.clone());
    let trucks = time_trucks(facts, &loads, (first, mix.people));
    let struck = later(first, Span::from_hours(work.placing / people));
    // What is mixed on site is placed until it is struck off.
    let emptied = trucks.last().map_or(struck, |truck| truck.empty);
    let struck = struck.max(emptied);
    let windows = Windows::of(facts, (first, emptied), mix)?;
    let edged = windows.edging.max(struck);
    let finished = later(edged, Span::from_hours(work.finishing / people));
    let broomed = finished.max(windows.last_opens);
    let covered = match facts.is_covered() {
        true => broomed.max(windows.covers?),
        false => broomed,
    };
    let curing = work.curing / curing_people(facts, people);
    let cured = later(covered, Span::from_hours(curing));
    let arrive = later(first, -before.max(quarter() * 2.0));
    let worked = later(arrive, Span::from_hours(work.all / people));
    Some(Course {
        arrive,
        first,
        placed: emptied,
        struck,
        edged,
        broom_opens: windows.first_opens,
        first_closes: windows.first_closes,
        broom_closes: windows.last_closes,
        broomed,
        cured,
        gone: up_to_quarter(later(cured, quarter()).max(worked)),
        slab: windows.slab,
        trucks,
    })
}

/// When the surface can be worked, by how the first and the last concrete set.
struct Windows {
    edging: NaiveDateTime,
    first_opens: NaiveDateTime,
    first_closes: NaiveDateTime,
    last_opens: NaiveDateTime,
    last_closes: NaiveDateTime,
    /// When a cover no longer marks the broom; none where the weather told does not get there.
    covers: Option<NaiveDateTime>,
    /// The first concrete.
    slab: YoungSlab,
}

impl Windows {
    fn of(
        facts: &Facts<'_>,
        (first, last): (NaiveDateTime, NaiveDateTime),
        mix: Mix,
    ) -> Option<Self> {
        let rows = &SettingRows::built_in().finishing;
        let (early, late) = (slab_from(facts, first, mix), slab_from(facts, last, mix));
        let reach = |slab: &YoungSlab, from, mild: Span| {
            let after = slab.reaches(mild * mix.share)?;
            Some(later(from, after))
        };
        let broom = rows.broom.window;
        Some(Self {
            edging: reach(&early, first, rows.edging.window.opens)?,
            first_opens: reach(&early, first, broom.opens)?,
            first_closes: reach(&early, first, broom.closes)?,
            last_opens: reach(&late, last, broom.opens)?,
            last_closes: reach(&late, last, broom.closes)?,
            covers: reach(&late, last, rows_of_cover()),
            slab: early,
        })
    }
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
