//! How many people a visit takes, how long they stay, what they are paid.
//!
//! Invariants: people × hours on site never fall below the hours of the tasks; a person's paid
//! hours are a whole number of steps and never below the least; of all crews that finish within
//! the day the one with the fewest paid hours is sent, of equal ones the smaller. Absent: dates.

use super::figure::Figures;
use super::load::{Load, split_at};
use super::schedule::{Bound, Chained, Ends, Leaving, Party, Spell};
use super::sequence::Sequence;
use super::wanted::Wanted;
use crate::job::{Class, Crew, Release};
use crate::quantity::{Compared, Span, ceil_to};
use crate::setting::Finishing;

/// What governed the stay on site or the pay.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Governs {
    Tasks,
    Chain,
    Order,
    Setting,
    LeastHours,
}

impl Governs {
    pub(super) const fn as_str(self) -> &'static str {
        match self {
            Self::Tasks => "tasks",
            Self::Chain => "chain",
            Self::Order => "order",
            Self::Setting => "setting",
            Self::LeastHours => "least_hours",
        }
    }
}

/// How long some of a visit's people stay, and what each of them is paid.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Stay {
    pub(super) people: u32,
    /// Hours each is on site.
    pub(super) on_site: f64,
    /// Hours each is paid.
    pub(super) paid_each: f64,
}

impl Stay {
    fn paid(&self) -> f64 {
        f64::from(self.people) * self.paid_each
    }
}

/// A visit's people and hours.
#[derive(Clone, Copy, Debug)]
pub(super) struct Staffing {
    /// All who come.
    pub(super) people: u32,
    /// Those who stay to the end.
    pub(super) staying: Stay,
    /// Helpers who leave before the others.
    pub(super) released: Option<Stay>,
    pub(super) governs: Governs,
    pub(super) fits: bool,
}

impl Staffing {
    /// Hours paid, all people.
    pub(super) fn paid(&self) -> f64 {
        self.staying.paid() + self.released.map_or(0.0, |released| released.paid())
    }

    /// Hours on site, all people.
    pub(super) fn standing(&self) -> f64 {
        let hours = |stay: Stay| f64::from(stay.people) * stay.on_site;
        hours(self.staying) + self.released.map_or(0.0, hours)
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
    /// Fewest finishers among them, as far as there are any.
    pub(super) finishers: u32,
    /// Hours that everybody spends at once, such as an induction.
    pub(super) together: f64,
    /// The pour: how placing and setting bind.
    pub(super) pour: Option<PourAsks>,
}

/// What binds the stay on the pour.
#[derive(Clone, Copy, Debug)]
pub(super) struct PourAsks {
    /// Hours that the trucks take, whatever the crew.
    pub(super) unloading: f64,
    /// Hours from the end of placing until the crew may leave.
    pub(super) presence: f64,
    /// When the finisher can work, after placing; none where the concrete does not set.
    pub(super) finishing: Option<Finishing>,
}

/// When the last of a schedule leaves, beside what it cannot be shorter than.
#[derive(Clone, Copy)]
struct Ended {
    ends: Ends,
    bound: Bound,
}

impl Bounds<'_> {
    /// Sends the crew with the fewest paid hours that is done within the day; if none is, the one
    /// that is done first.
    pub(super) fn staff(self, tasks: &[Wanted], asks: Asks) -> Staffing {
        let most = self.crew.people().max(1);
        let needed = tasks.iter().map(|task| task.row.people_least).max();
        let least = needed.unwrap_or(1).max(asks.people).clamp(1, most);
        let load = Load::of(tasks, &asks);
        let mut best = self.at(least, &load, &asks);
        for people in least + 1..=most {
            if let Some(better) = self.better(people, (&load, &asks), &best) {
                best = better;
            }
        }
        best
    }

    /// So many people, where they are better than the best so far.
    fn better(
        self,
        people: u32,
        (load, asks): (&Load, &Asks),
        best: &Staffing,
    ) -> Option<Staffing> {
        let is_better = |other: &Staffing| match (best.fits, other.fits) {
            (true, true) => other.paid() < best.paid(),
            (false, false) => other.staying.on_site < best.staying.on_site,
            (best_fits, _) => !best_fits,
        };
        // Most counts are ruled out by what no schedule can be better than.
        if !self.releases(asks) && !is_better(&self.shortest(people, load, asks)) {
            return None;
        }
        Some(self.at(people, load, asks)).filter(is_better)
    }

    /// What all hours over all people, and staying with the concrete, would come to.
    fn shortest(self, people: u32, load: &Load, asks: &Asks) -> Staffing {
        let shared = load.hours / f64::from(people.max(1));
        let setting = asks.pour.map_or(0.0, |pour| pour.unloading + pour.presence);
        let bound = Bound {
            shared,
            chain: 0.0,
            setting,
        };
        let all = bound.hours();
        let ends = Ends {
            all,
            leaving: all,
            waited: false,
        };
        self.pay(people, Ended { ends, bound }, asks)
    }

    /// The same people, once more is asked of them.
    pub(super) fn again(self, people: u32, tasks: &[Wanted], asks: Asks) -> Staffing {
        self.at(people, &Load::of(tasks, &asks), &asks)
    }

    fn at(self, people: u32, load: &Load, asks: &Asks) -> Staffing {
        if people == 1 && asks.pour.is_none() {
            // One person does one task after the other, whatever their order.
            return self.shortest(people, load, asks);
        }
        let party = self.party(people, load, asks);
        self.laid_out((Chained::of(&load.steps, &party), party), load, asks)
    }

    /// The stay and the pay of a party; some of it leave early where the job allows and it pays.
    fn laid_out(
        self,
        (chained, party): (Chained<'_>, Party),
        load: &Load,
        asks: &Asks,
    ) -> Staffing {
        let bound = chained.bound();
        let ends = chained.schedule(|_| {});
        let whole = self.pay(party.people, Ended { ends, bound }, asks);
        let Some(leaving) = self.leaving(party.people, load, asks) else {
            return whole;
        };
        let party = Party {
            leaving: Some(leaving),
            ..party
        };
        let ends = Chained::of(&load.steps, &party).schedule(|_| {});
        let part = self.pay(leaving.staying, Ended { ends, bound }, asks);
        let released = self.stay(party.people - leaving.staying, ends.leaving + asks.together);
        let part = Staffing {
            people: party.people,
            released: Some(released),
            ..part
        };
        let better = part.paid() < whole.paid() && (part.fits || !whole.fits);
        if better { part } else { whole }
    }

    /// Spells of the people of a staffing that was chosen, and what it cannot be shorter than.
    pub(super) fn tell(
        self,
        tasks: &[Wanted],
        asks: &Asks,
        staffing: &Staffing,
    ) -> (Vec<Spell>, Bound) {
        let load = Load::of(tasks, asks);
        let leaving = self.leaving(staffing.people, &load, asks);
        let party = Party {
            leaving: leaving.filter(|_| staffing.released.is_some()),
            ..self.party(staffing.people, &load, asks)
        };
        let chained = Chained::of(&load.steps, &party);
        let mut spells: Vec<Spell> = Vec::new();
        chained.schedule(|mut spell| {
            if spell.step == tasks.len() {
                spell.step = split_at(tasks).unwrap_or(0);
            }
            // The same people go on where nothing changed for them.
            let mut before = spells.iter_mut().rev();
            match before.find(|before| before.step == spell.step) {
                Some(before) if before.to == spell.from && before.people == spell.people => {
                    before.to = spell.to;
                }
                _ => spells.push(spell),
            }
        });
        (spells, chained.bound())
    }

    fn party(self, people: u32, load: &Load, asks: &Asks) -> Party {
        Party {
            people,
            finishers: people - self.helping(people, asks.finishers),
            placed: load.placed,
            presence: asks.pour.map_or(0.0, |pour| pour.presence),
            leaving: None,
        }
    }

    fn releases(self, asks: &Asks) -> bool {
        asks.pour.is_some() && self.crew.release == Release::AfterStrikeOff
    }

    /// Who may leave the pour early: helpers that nothing later needs.
    fn leaving(self, people: u32, load: &Load, asks: &Asks) -> Option<Leaving> {
        if !self.releases(asks) {
            return None;
        }
        let release = &Sequence::built_in().release;
        let later = load.steps.iter();
        let later =
            later.filter(|step| step.is & release.after == 0 && step.after & release.after != 0);
        let needed = later.map(|step| step.people_least).max().unwrap_or(1);
        let finishers = people - self.helping(people, asks.finishers);
        let staying = release.stay_least.max(needed).max(finishers);
        (staying < people).then_some(Leaving {
            after: release.after,
            staying,
        })
    }

    fn pay(self, people: u32, Ended { ends, bound }: Ended, asks: &Asks) -> Staffing {
        let staying = self.stay(people, ends.all + asks.together);
        let step = self.figures.pay_step.likely.hours();
        let least = ceil_to(bound.hours() + asks.together, step);
        let paid_least = self.crew.least_hours.hours() > staying.on_site + self.away();
        let governs = if paid_least {
            Governs::LeastHours
        } else if ends.waited || bound.setting > bound.shared.max(bound.chain) {
            Governs::Setting
        } else if crate::quantity::slack::compare(staying.on_site, least) == Compared::Above {
            Governs::Order
        } else if bound.chain > bound.shared {
            Governs::Chain
        } else {
            Governs::Tasks
        };
        Staffing {
            people,
            staying,
            released: None,
            governs,
            fits: Span::from_hours(staying.on_site).at_most(self.crew.day),
        }
    }

    /// So many people for so many hours on site.
    fn stay(self, people: u32, hours: f64) -> Stay {
        let step = self.figures.pay_step.likely.hours();
        let on_site = ceil_to(hours, step);
        let least = self.crew.least_hours.hours();
        Stay {
            people,
            on_site,
            paid_each: ceil_to((on_site + self.away()).max(least), step),
        }
    }

    /// Hours of one person's travel, both ways.
    fn away(self) -> f64 {
        2.0 * self.crew.travel.hours()
    }

    /// Helpers among so many, with `finishers` of the others as far as there are any.
    fn helping(self, people: u32, finishers: u32) -> u32 {
        let skilled = self.have(Class::Finisher);
        let helpers = self.have(Class::Labourer);
        people.saturating_sub(finishers.min(skilled)).min(helpers)
    }

    fn have(self, class: Class) -> u32 {
        let members = self.crew.members.iter();
        let of_class = members.filter(|member| member.class == class);
        of_class.map(|member| member.count).sum()
    }

    /// Who goes: `finishers` as far as there are any, helpers for the rest, the other class where
    /// one runs out.
    pub(super) fn pick(self, people: u32, finishers: u32) -> Vec<(Class, u32)> {
        let helping = self.helping(people, finishers);
        let picked = [
            (Class::Finisher, people - helping),
            (Class::Labourer, helping),
        ];
        picked.into_iter().filter(|(_, count)| *count > 0).collect()
    }
}
