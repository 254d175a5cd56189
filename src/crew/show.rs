//! From a plan to the answer: numbers, dates, sentences.
//!
//! Invariant: nothing is decided here but the wording, and on which visit the site's own
//! requirements fall: the first with the largest crew. Absent: rounding for print.

use super::advice::Adviser;
use super::answer::{
    CrewHours, HourTotals, RateShown, Released, Scheduled, Task, TaskModifier, Visit,
};
use super::bend::Bent;
use super::calendar::Calendar;
use super::hold;
use super::measured::Measured;
use super::office::office_hours;
use super::plan::{Dated, Plan, Planner, whole_days};
use super::rate::Phase;
use super::schedule::Spell;
use super::staffing::Bounds;
use super::stage::Stager;
use super::wanted::{Wanted, hours_of};
use super::week::{Limits, measure_overtime};
use crate::job::{Class, Requirement};
use crate::quantity::{Citation, Span, Verified};
use crate::setting::SettingRows;
use crate::takeoff::Net;

/// `told` says whether tasks, descriptions and advices are wanted.
pub(super) fn show(measured: &Measured, told: bool) -> CrewHours {
    let bounds = Bounds {
        crew: &measured.job.crew,
        figures: &measured.rates.figures,
    };
    let planner = Planner {
        measured,
        stager: Stager { measured, bounds },
        calendar: Calendar::starting(measured.job.site.start, &measured.rates.week),
    };
    let mut plan = planner.plan();
    let induction = induct(&mut plan, bounds, &measured.job.requirements);
    let shower = Shower {
        planner: &planner,
        bounds,
        plan: &plan,
        induction,
        told,
    };
    let mut hours = shower.amounts();
    if told {
        hours.tasks = shower.tasks();
        hours.holds = hold::holds(
            measured,
            &hours.visits,
            (&hours.tasks, &shower.planner.calendar),
        );
        let adviser = Adviser {
            measured,
            stager: &planner.stager,
            office: hours.office,
        };
        hours.advices = adviser.advise(&plan);
    }
    hours
}

/// Where the site's requirements fall, and on how many people.
#[derive(Clone, Copy)]
struct Induction {
    visit: usize,
    people: u32,
}

/// Adds the hours that the site asks of each person to the first visit with the largest crew.
fn induct(plan: &mut Plan, bounds: Bounds, requirements: &[Requirement]) -> Option<Induction> {
    let hours = requirements.iter().filter_map(|one| one.hours_per_person);
    let together: Span = hours.sum();
    if together.is_zero() {
        return None;
    }
    let people = plan
        .visits
        .iter()
        .map(|visit| visit.staged.staffing.people)
        .max()?;
    let mut visits = plan.visits.iter_mut();
    let visit = visits.position(|visit| visit.staged.staffing.people == people)?;
    let staged = &mut plan.visits.get_mut(visit)?.staged;
    staged.asks.together = together.hours();
    staged.staffing = bounds.again(people, &staged.tasks, staged.asks);
    Some(Induction { visit, people })
}

/// The code of what the site asks of each person.
const REQUIREMENT: &str = "requirement";

struct Shower<'a> {
    planner: &'a Planner<'a>,
    bounds: Bounds<'a>,
    plan: &'a Plan<'a>,
    induction: Option<Induction>,
    told: bool,
}

impl Shower<'_> {
    /// Visits and sums, without what is only read.
    fn amounts(&self) -> CrewHours {
        let measured = self.planner.measured;
        let crew = &measured.job.crew;
        let visits = self.visits();
        let totals = HourTotals::of(&visits);
        let limits = Limits {
            week: measured.rates.figures.week_limit.likely,
            day: crew.daily_limit,
        };
        CrewHours {
            calendar_days: visits.last().map_or(0, |visit| visit.day),
            crew_days: (totals.paid - totals.travel) / crew.day,
            overtime: measure_overtime(&visits, limits),
            office: office_hours(crew, &visits),
            days_entrance_closed: self.days_closed(),
            tasks: Vec::new(),
            holds: Vec::new(),
            advices: Vec::new(),
            visits,
            totals,
        }
    }

    fn tasks(&self) -> Vec<Task> {
        let mut tasks = Vec::new();
        for (index, visit) in self.plan.visits.iter().enumerate() {
            let number = index as u32 + 1;
            tasks.extend(self.requirements(index, number));
            tasks.extend(
                visit
                    .staged
                    .tasks
                    .iter()
                    .map(|task| show_task(task, number, self.planner.measured)),
            );
        }
        tasks
    }

    fn requirements(&self, index: usize, number: u32) -> Vec<Task> {
        let Some(induction) = self.induction.filter(|induction| induction.visit == index) else {
            return Vec::new();
        };
        let requirements = self.planner.measured.job.requirements.iter().enumerate();
        let asked =
            requirements.filter_map(|(place, one)| Some((place, one, one.hours_per_person?)));
        asked
            .map(|(place, one, each)| Task {
                visit: number,
                code: REQUIREMENT.to_owned(),
                description: one.name.clone(),
                of: format!("/requirements/{place}"),
                setup: Span::ZERO,
                quantity: Net::Count(f64::from(induction.people)),
                rate: RateShown {
                    low: each.hours(),
                    likely: each.hours(),
                    high: each.hours(),
                    per: "each",
                },
                factor: 1.0,
                modifiers: Vec::new(),
                hours: each * f64::from(induction.people),
                people_least: induction.people,
                includes: "once for each person of the largest crew".to_owned(),
                own: false,
                source: Citation::new("the job as sent", None, Verified::Read),
            })
            .collect()
    }

    fn visits(&self) -> Vec<Visit> {
        let visits = self.plan.visits.iter().enumerate();
        visits
            .map(|(index, visit)| self.visit(index, visit))
            .collect()
    }

    fn visit(&self, index: usize, dated: &Dated) -> Visit {
        let staffing = dated.staged.staffing;
        let people = f64::from(staffing.people);
        let together = dated.staged.asks.together * people;
        let task_hours = Span::from_hours(hours_of(&dated.staged.tasks) + together);
        let crew = self
            .bounds
            .pick(staffing.people, dated.staged.asks.finishers);
        let released = staffing.released.map(|stay| Released {
            people: stay.people,
            on_site: Span::from_hours(stay.on_site),
            paid: Span::from_hours(stay.paid_each * f64::from(stay.people)),
        });
        let paid = |(class, count): &(Class, u32)| {
            let early = released.filter(|_| *class == Class::Labourer);
            let staying = count.saturating_sub(early.map_or(0, |early| early.people));
            let staying = Span::from_hours(staffing.staying.paid_each * f64::from(staying));
            (
                *class,
                staying + early.map_or(Span::ZERO, |early| early.paid),
            )
        };
        let standing = Span::from_hours(staffing.standing());
        let (schedule, lower_bound) = self.schedule(dated);
        Visit {
            visit: index as u32 + 1,
            day: dated.day,
            date: self.planner.calendar.date(dated.day),
            description: if self.told {
                self.describe(dated)
            } else {
                String::new()
            },
            paid_by_class: crew.iter().map(paid).collect(),
            crew,
            people: staffing.people,
            on_site: Span::from_hours(staffing.staying.on_site),
            released,
            standing,
            // Rounding up to the step leaves a little more than nothing; never less.
            standby: (standing - task_hours).max(Span::ZERO),
            task_hours,
            travel: self.bounds.crew.travel * (2.0 * people),
            paid: Span::from_hours(staffing.paid()),
            governed_by: staffing.governs.as_str(),
            schedule,
            lower_bound,
        }
    }

    /// Who works on what, after what everybody does together; and what it cannot be shorter than.
    fn schedule(&self, dated: &Dated) -> (Vec<Scheduled>, Span) {
        if !self.told {
            return (Vec::new(), Span::ZERO);
        }
        let staged = &dated.staged;
        let (spells, bound) = self
            .bounds
            .tell(&staged.tasks, &staged.asks, &staged.staffing);
        let together = Span::from_hours(staged.asks.together);
        let requirement = (!together.is_zero()).then(|| Scheduled {
            task: REQUIREMENT.to_owned(),
            from: Span::ZERO,
            to: together,
            people: staged.staffing.people,
        });
        let of = |spell: Spell| Scheduled {
            task: staged.tasks[spell.step].row.code.to_owned(),
            from: Span::from_hours(spell.from) + together,
            to: Span::from_hours(spell.to) + together,
            people: spell.people,
        };
        let schedule = requirement.into_iter().chain(spells.into_iter().map(of));
        (
            schedule.collect(),
            Span::from_hours(bound.hours()) + together,
        )
    }

    fn describe(&self, dated: &Dated) -> String {
        let mut words: Vec<&str> = Vec::new();
        for short in dated
            .staged
            .tasks
            .iter()
            .filter_map(|task| task.row.short.as_deref())
        {
            if !words.contains(&short) {
                words.push(short);
            }
        }
        let mut text = capitalise(&words.join(", "));
        let after = self
            .plan
            .pour_day
            .map_or(0, |pour| dated.day.saturating_sub(pour));
        match dated.staged.phase {
            Phase::Pour => text.push_str("; bottom to top"),
            Phase::Close | Phase::Seal => text.push_str(&format!(", {after} d after the pour")),
            Phase::Base | Phase::Mat | Phase::Saw | Phase::Every => {}
        }
        let (part, of) = dated.staged.part;
        if of > 1 {
            text.push_str(&format!(" (day {part} of {of})"));
        }
        text
    }

    /// Days from the first visit until the slab may be walked on; until the last visit where
    /// nothing is poured.
    fn days_closed(&self) -> u32 {
        let last = self.plan.visits.last().map_or(0, |visit| visit.day);
        let rest = whole_days(SettingRows::built_in().traffic.foot.most);
        self.plan
            .pour_day
            .map_or(last, |pour| (pour + rest).saturating_sub(1))
    }
}

fn show_task(task: &Wanted, visit: u32, measured: &Measured) -> Task {
    let row = task.row;
    let bent = measured
        .weights
        .bend(row, task.tapering, measured.rates)
        .map(show_bent);
    Task {
        visit,
        code: row.code.to_owned(),
        description: row.description.clone(),
        of: task.of.to_owned(),
        setup: task.setup_span(),
        quantity: task.quantity(),
        rate: row.rate(),
        factor: task.factor,
        modifiers: bent.collect(),
        hours: Span::from_hours(task.hours()),
        people_least: row.people_least,
        includes: row.includes.clone(),
        own: row.own,
        source: row.source(),
    }
}

fn show_bent(bent: Bent) -> TaskModifier {
    let (modifier, weight) = (bent.modifier, bent.weight);
    TaskModifier {
        code: modifier.code.clone(),
        factor: match bent.is_counted() {
            true => 1.0 + bent.more(),
            false => modifier.likely,
        },
        share: (!bent.is_counted() && weight < 1.0).then_some(weight),
        source: modifier.source(),
    }
}

fn capitalise(text: &str) -> String {
    let mut letters = text.chars();
    let first = letters.next().map(|first| first.to_uppercase().to_string());
    first.unwrap_or_default() + letters.as_str()
}
