//! Which tasks share a visit, before any visit has a day.
//!
//! Invariants: preparation takes the fewest visits that the whole crew can do within its day, of
//! equal plans the one with the fewest paid hours, of those the one that keeps base and mat apart;
//! a pour is one visit of its own. Absent: dates.

use super::measured::Measured;
use super::rate::Phase;
use super::sequence::Sequence;
use super::staffing::{Asks, Bounds, PourAsks, Staffing};
use super::wanted::{Wanted, cut_into_days, hours_of};
use crate::quantity::{Area, Span, Temperature, ceil};
use crate::setting::{SettingRows, measure_finishing, mixed_least, set_factor};

/// A visit without a day.
#[derive(Clone, Debug)]
pub(super) struct Staged<'a> {
    pub(super) phase: Phase,
    /// Which day of how many in its phase.
    pub(super) part: (usize, usize),
    pub(super) tasks: Vec<Wanted<'a>>,
    pub(super) asks: Asks,
    pub(super) staffing: Staffing,
}

/// Stages visits of one job.
pub(super) struct Stager<'a> {
    pub(super) measured: &'a Measured<'a>,
    pub(super) bounds: Bounds<'a>,
}

impl<'a> Stager<'a> {
    /// Visits before the pour.
    pub(super) fn preparation(&self, tasks: &[Wanted<'a>]) -> Vec<Staged<'a>> {
        let of = |phase| of_phase(tasks, phase);
        let (base, mat) = (of(Phase::Base), of(Phase::Mat));
        let joint = self.days(Phase::Base, &[base.clone(), mat.clone()].concat());
        if base.is_empty() || mat.is_empty() {
            return joint;
        }
        let mut apart = self.days(Phase::Base, &base);
        apart.extend(self.days(Phase::Mat, &mat));
        let cost = |visits: &[Staged]| {
            let paid = visits.iter().map(|visit| visit.staffing.paid());
            (visits.len(), paid.sum::<f64>())
        };
        if cost(&joint) < cost(&apart) {
            joint
        } else {
            apart
        }
    }

    /// The fewest days that hold these tasks and what each day brings, by the whole crew if it must
    /// be.
    ///
    /// Counted from the hours, not from how the tasks happen to fall apart, so that more to do never
    /// takes fewer days.
    pub(super) fn days(&self, phase: Phase, tasks: &[Wanted<'a>]) -> Vec<Staged<'a>> {
        if tasks.is_empty() {
            return Vec::new();
        }
        let crew = self.bounds.crew;
        let brought = hours_of(&self.measured.each_visit(is_open(phase), false));
        let a_day = f64::from(crew.people().max(1)) * crew.day.hours() - brought;
        let most = self.measured.rates.figures.days_most.likely;
        // A day too short for what it brings holds no tasks; it is reckoned as if it held some.
        let whole = ceil(hours_of(tasks) / a_day.max(brought));
        let mut days = whole.clamp(1.0, most);
        while days < most && self.outlasts_the_day(tasks, days) {
            days += 1.0;
        }
        self.in_days(phase, tasks, days as usize)
    }

    /// True when a day's share of one task is too long for as many as can share it.
    fn outlasts_the_day(&self, tasks: &[Wanted<'a>], days: f64) -> bool {
        let crew = self.bounds.crew;
        let share = hours_of(tasks) / days;
        tasks.iter().any(|task| {
            let shortened = (share / task.hours()).min(1.0);
            let elapsed = Span::from_hours(task.elapsed(crew.people().max(1)) * shortened);
            !elapsed.at_most(crew.day)
        })
    }

    /// Cuts tasks into days; into smaller pieces where a day would else run over.
    fn in_days(&self, phase: Phase, tasks: &[Wanted<'a>], days: usize) -> Vec<Staged<'a>> {
        let pieces = &self.measured.rates.figures.least_piece;
        let coarse = self.cut(phase, tasks, (days, pieces.likely.hours()));
        if coarse.iter().all(|visit| visit.staffing.fits) {
            return coarse;
        }
        self.cut(phase, tasks, (days, pieces.low.hours()))
    }

    fn cut(
        &self,
        phase: Phase,
        tasks: &[Wanted<'a>],
        (days, least): (usize, f64),
    ) -> Vec<Staged<'a>> {
        let mut cut = cut_into_days(tasks, days, least);
        cut.retain(|day| !day.is_empty());
        let count = cut.len();
        let visit = |(index, mut tasks): (usize, Vec<Wanted<'a>>)| {
            tasks.extend(self.measured.each_visit(is_open(phase), false));
            put_in_order(&mut tasks);
            let asks = Asks {
                finishers: u32::from(tasks.iter().any(|task| task.row.finisher)),
                ..Asks::default()
            };
            Staged {
                phase,
                part: (index + 1, count),
                asks,
                staffing: self.bounds.staff(&tasks, asks),
                tasks,
            }
        };
        cut.into_iter().enumerate().map(visit).collect()
    }

    /// The pour, if there is one.
    pub(super) fn pour(&self, tasks: &[Wanted<'a>]) -> Option<Staged<'a>> {
        let mut tasks = of_phase(tasks, Phase::Pour);
        if tasks.is_empty() {
            return None;
        }
        tasks.extend(self.measured.each_visit(true, true));
        put_in_order(&mut tasks);
        let finishers = self.finishers();
        let asks = Asks {
            people: self.pour_crew().max(finishers),
            finishers,
            together: 0.0,
            pour: Some(PourAsks {
                unloading: self.measured.takeoff.concrete.unload_minutes_needed.hours(),
                presence: self.bounds.crew.pour_presence.hours(),
                finishing: measure_finishing(self.concrete()),
            }),
        };
        Some(Staged {
            phase: Phase::Pour,
            part: (1, 1),
            asks,
            staffing: self.bounds.staff(&tasks, asks),
            tasks,
        })
    }

    /// Fewest people on this pour.
    pub(super) fn pour_crew(&self) -> u32 {
        let figures = &self.measured.rates.figures;
        let volume = self.measured.takeoff.measures.concrete_volume;
        let crew = if volume.at_most(figures.pour_crew_volume.likely) {
            &figures.pour_crew
        } else {
            &figures.pour_crew_large
        };
        crew.likely as u32
    }

    /// Finishers that this pour's area takes.
    pub(super) fn finishers(&self) -> u32 {
        let area: Area = self.measured.takeoff.measures.surface_area;
        ceil(area / self.finisher_area()).max(1.0) as u32
    }

    /// Temperature of the concrete on the pour: that of the air where the job states it, but as warm as the
    /// cold asks for; mild where it does not.
    fn concrete(&self) -> Temperature {
        let mild = SettingRows::built_in().mild.concrete;
        self.measured.job.site.air.map_or(mild, |air| {
            mixed_least(air).map_or(air, |row| air.max(row.concrete))
        })
    }

    /// What one finisher carries: more where the concrete sets later, less where it sets sooner.
    pub(super) fn finisher_area(&self) -> Area {
        let mild = self.measured.rates.figures.finisher_area.likely;
        mild * set_factor(self.concrete()).unwrap_or(1.0)
    }
}

/// Puts the tasks of a visit in a row, each after what it follows.
fn put_in_order(tasks: &mut [Wanted]) {
    let sequence = Sequence::built_in();
    tasks.sort_by_key(|task| sequence.of(task.row.place).rank);
}

/// True while forms stand open overnight.
fn is_open(phase: Phase) -> bool {
    matches!(phase, Phase::Base | Phase::Mat | Phase::Pour)
}

/// The tasks of one phase, in their order.
pub(super) fn of_phase<'a>(tasks: &[Wanted<'a>], phase: Phase) -> Vec<Wanted<'a>> {
    let of = tasks.iter().filter(|task| task.row.phase == phase);
    of.cloned().collect()
}
