//! What a pour day is reckoned from: the work of the pour, who does it, and what is poured.
//!
//! Invariant: nothing is measured anew; all comes from the takeoff and the crew's hours. Absent: weather.

use crate::catalog::Catalog;
use crate::crew::{CrewHours, Figure, Rates, Visit};
use crate::job::{Crew, CuringMethod, Job, JointMethod, Placing, Pour, Saw};
use crate::quantity::{Area, Length, Span, Stress, Volume};
use crate::takeoff::Takeoff;

/// How the codes of placing begin.
const PLACING: &str = "place-";

/// What a pour is planned from.
#[derive(Clone, Copy)]
pub struct PourFrom<'a> {
    /// The job.
    pub job: &'a Job,
    /// The pour and its weather.
    pub pour: &'a Pour,
    /// What is poured.
    pub takeoff: &'a Takeoff,
    /// Who does it.
    pub hours: &'a CrewHours,
    /// The figures of the crew.
    pub rates: &'a Rates,
    /// The terms of the plant.
    pub catalog: &'a Catalog,
}

/// Person-hours of the pour, by when in the day they are worked.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Work {
    /// Before the first truck.
    pub(super) before: f64,
    /// Placing, and striking off.
    pub(super) placing: f64,
    /// Float, edge, joints, broom.
    pub(super) finishing: f64,
    /// Curing.
    pub(super) curing: f64,
    /// All of it, with what can be done while waiting.
    pub(super) all: f64,
}

/// The facts of a pour.
#[derive(Clone, Copy)]
pub(super) struct Facts<'a> {
    pub(super) from: PourFrom<'a>,
    pub(super) visit: &'a Visit,
    pub(super) work: Work,
    /// True where the slab is kept from the cold, and nothing wet is laid on it.
    pub(super) cold: bool,
}

impl<'a> Facts<'a> {
    /// Gathers them; none where nothing is poured by us.
    pub(super) fn gather(from: PourFrom<'a>) -> Option<Self> {
        let visit = from.hours.visit_that_does(PLACING)?;
        let mut work = Work::default();
        for task in from
            .hours
            .tasks
            .iter()
            .filter(|task| task.visit == visit.visit)
        {
            let hours = task.hours.hours();
            work.all += hours;
            match task.code.as_str() {
                "grade-check" | "protect-building" => work.before += hours,
                // One half to unload, one half to load again.
                "load-unload" => work.before += hours / 2.0,
                code if is_placing(code) || code == "strike-off" => work.placing += hours,
                "finish" | "curb-finish" | "finish-steps" | "joint-tooled" | "expose" => {
                    work.finishing += hours;
                }
                "cure-compound" | "cover-on" => work.curing += hours,
                _ => {}
            }
        }
        Some(Self {
            from,
            visit,
            work,
            cold: false,
        })
    }

    pub(super) fn people(&self) -> u32 {
        self.visit.people.max(1)
    }

    pub(super) fn crew(&self) -> &'a Crew {
        &self.from.job.crew
    }

    pub(super) fn area(&self) -> Area {
        let measures = &self.from.takeoff.measures;
        measures.surface_area + measures.step_area
    }

    pub(super) fn length(&self) -> Length {
        self.area() / self.from.job.ramp.width.max(Length::from_feet(1.0))
    }

    pub(super) fn order(&self) -> Volume {
        self.from.takeoff.concrete.order
    }

    /// Unloading of all of it by so many people; more hands than planned empty a truck sooner.
    pub(super) fn unloading_by(&self, people: u32) -> Span {
        let quicker = f64::from(self.people()) / f64::from(people.max(1));
        self.from.takeoff.concrete.unload_minutes_needed * quicker
    }

    /// Fewest people that a pour of this size takes, and why.
    pub(super) fn people_least(&self) -> (u32, &'a Figure<f64>) {
        let figures = &self.from.rates.figures;
        let volume = self.from.takeoff.measures.concrete_volume;
        let row = match volume.at_most(figures.pour_crew_volume.likely) {
            true => &figures.pour_crew,
            false => &figures.pour_crew_large,
        };
        (row.likely as u32, row)
    }

    pub(super) fn thickness(&self) -> Length {
        self.from.job.slab.thickness
    }

    pub(super) fn strength(&self) -> Stress {
        self.from.job.slab.concrete.strength
    }

    /// True where concrete is mixed from bags.
    pub(super) fn is_bagged(&self) -> bool {
        self.from.job.crew.placing == Placing::Bags
    }

    /// True where the job asks for a wet cover.
    pub(super) fn is_wet(&self) -> bool {
        self.from.job.curing.method == CuringMethod::WetCover
    }

    /// True where a wet cover is laid; none in the cold.
    pub(super) fn is_covered(&self) -> bool {
        !self.cold && self.is_wet()
    }

    /// Whom to ask for what: the plant, or ourselves where we mix.
    pub(super) fn ask(&self, plant: &str, ours: &str) -> String {
        match self.is_bagged() {
            true => ours.to_owned(),
            false => format!("ask the plant to {plant}"),
        }
    }

    /// The saw, where joints are sawn.
    pub(super) fn saw(&self) -> Option<Saw> {
        let joints = &self.from.job.joints;
        (joints.method == JointMethod::Sawn).then_some(joints.saw)
    }

    /// The visit on which joints are sawn.
    pub(super) fn saw_visit(&self) -> Option<&'a Visit> {
        self.from.hours.visit_that_does("saw-")
    }
}

fn is_placing(code: &str) -> bool {
    code.starts_with(PLACING)
}
