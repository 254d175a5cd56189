//! How many people a visit takes, how long they stay, what they are paid.
//!
//! Invariants: people × hours on site never fall below the hours of the tasks; a person's paid
//! hours are a whole number of steps and never below the least; of all crews that finish within
//! the day the one with the fewest paid hours is sent, of equal ones the smaller. Absent: dates.

use super::figure::Figures;
use super::wanted::{Wanted, hours_of};
use crate::job::{Class, Crew};
use crate::quantity::{Span, ceil_to};

/// What governed the stay on site or the pay.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Governs {
    Tasks,
    Chain,
    Setting,
    LeastHours,
}

impl Governs {
    pub(super) const fn as_str(self) -> &'static str {
        match self {
            Self::Tasks => "tasks",
            Self::Chain => "chain",
            Self::Setting => "setting",
            Self::LeastHours => "least_hours",
        }
    }
}

/// A visit's people and hours.
#[derive(Clone, Copy, Debug)]
pub(super) struct Staffing {
    pub(super) people: u32,
    /// Hours each is on site.
    pub(super) on_site: f64,
    /// Hours each is paid.
    pub(super) paid_each: f64,
    pub(super) governs: Governs,
    pub(super) fits: bool,
}

impl Staffing {
    fn paid(&self) -> f64 {
        f64::from(self.people) * self.paid_each
    }
}

/// What staffing is bound by.
#[derive(Clone, Copy)]
pub(super) struct Bounds<'a> {
    pub(super) crew: &'a Crew,
    pub(super) figures: &'a Figures,
}

/// What a visit asks beside its tasks.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Asks {
    /// Fewest people, whatever the tasks need.
    pub(super) people: u32,
    /// Hours that everybody spends at once, such as an induction.
    pub(super) together: f64,
    /// The pour: how placing and setting bind.
    pub(super) pour: Option<PourAsks>,
}

/// What binds the stay on the pour.
#[derive(Clone, Copy, Debug)]
pub(super) struct PourAsks {
    /// Hours of placing, shared by all.
    pub(super) placing: f64,
    /// Hours that the trucks take, whatever the crew.
    pub(super) unloading: f64,
    /// Hours from the end of placing until the crew may leave.
    pub(super) presence: f64,
}

/// Tasks of a visit, and their hours together.
#[derive(Clone, Copy)]
struct Load<'t> {
    tasks: &'t [Wanted<'t>],
    hours: f64,
}

impl<'t> Load<'t> {
    fn of(tasks: &'t [Wanted<'t>]) -> Self {
        Self {
            tasks,
            hours: hours_of(tasks),
        }
    }
}

impl Bounds<'_> {
    /// Sends the crew with the fewest paid hours that is done within the day; if none is, the one
    /// that is done first.
    pub(super) fn staff(self, tasks: &[Wanted], asks: Asks) -> Staffing {
        let most = self.crew.people().max(1);
        let needed = tasks.iter().map(|task| task.row.people_least).max();
        let least = needed.unwrap_or(1).max(asks.people).clamp(1, most);
        let load = Load::of(tasks);
        let mut best = self.at(least, load, asks);
        for other in (least + 1..=most).map(|people| self.at(people, load, asks)) {
            let better = match (best.fits, other.fits) {
                (true, true) => other.paid() < best.paid(),
                (false, false) => other.on_site < best.on_site,
                (best_fits, _) => !best_fits,
            };
            if better {
                best = other;
            }
        }
        best
    }

    /// The stay and the pay of so many people.
    pub(super) fn with(self, people: u32, tasks: &[Wanted], asks: Asks) -> Staffing {
        self.at(people, Load::of(tasks), asks)
    }

    fn at(self, people: u32, load: Load<'_>, asks: Asks) -> Staffing {
        let step = self.figures.pay_step.likely.hours();
        let (hours, mut governs) = self.stay(people, load, asks);
        let on_site = ceil_to(hours + asks.together, step);
        let away = on_site + 2.0 * self.crew.travel.hours();
        let least = self.crew.least_hours.hours();
        if least > away {
            governs = Governs::LeastHours;
        }
        Staffing {
            people,
            on_site,
            paid_each: ceil_to(away.max(least), step),
            governs,
            fits: Span::from_hours(on_site).at_most(self.crew.day),
        }
    }

    /// The longest chain of tasks and waits, and which it is.
    fn stay(self, people: u32, load: Load<'_>, asks: Asks) -> (f64, Governs) {
        let shared = load.hours / f64::from(people);
        let longest = load.tasks.iter().map(|task| task.elapsed(people));
        let chain = longest.fold(0.0, f64::max);
        let setting = asks.pour.map_or(0.0, |pour| {
            (pour.placing / f64::from(people)).max(pour.unloading) + pour.presence
        });
        if setting > shared.max(chain) {
            (setting, Governs::Setting)
        } else if chain > shared {
            (chain, Governs::Chain)
        } else {
            (shared, Governs::Tasks)
        }
    }

    /// Who goes: `finishers` as far as there are any, helpers for the rest, the other class where
    /// one runs out.
    pub(super) fn pick(self, people: u32, finishers: u32) -> Vec<(Class, u32)> {
        let have = |class| {
            let members = self.crew.members.iter();
            let of_class = members.filter(|member| member.class == class);
            of_class.map(|member| member.count).sum::<u32>()
        };
        let (skilled, helpers) = (have(Class::Finisher), have(Class::Labourer));
        let helping = people.saturating_sub(finishers.min(skilled)).min(helpers);
        let finishing = people - helping;
        let picked = [(Class::Finisher, finishing), (Class::Labourer, helping)];
        picked.into_iter().filter(|(_, count)| *count > 0).collect()
    }
}
