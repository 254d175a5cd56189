//! One day weighed for a pour: the best hour of its morning, what is done, who comes, what follows.
//!
//! Invariants: of the hours that may be, the one with the best verdict, then the fewest measures, the slowest
//! drying, an end before evening, the shortest stay, the nearest to the usual one; without a course there is a reason to wait. Absent:
//! money.

use super::after::{Ages, SawPlan, plan_ages, plan_saw};
use super::course::{Course, Mix, between};
use super::crowd::{count_finishers, weigh_saw};
use super::drying::{PourHour, share_of_limit, tell_hours};
use super::find::Finder;
use super::measure::{Measure, take_short_loads};
use super::rows::rows;
use super::site::Facts;
use super::trucks::{later, share_trucks};
use super::weigh::{
    Cold, GoOrWait, Reason, Weighed, mean_before, measure_cold, weigh_cold, weigh_drying,
    weigh_frost, weigh_ground, weigh_heat, weigh_rain,
};
use super::words::temperature;
use crate::job::{Day, TimeOfDay};
use crate::quantity::{Compared, Span, Temperature, Volume, ceil_to};
use crate::setting::{SettingRows, is_cold, is_too_hot, member, mixed_least};
use crate::takeoff::measure_shortfall;
use chrono::{NaiveDateTime, NaiveTime, TimeDelta};

/// A day weighed.
#[derive(Clone, Debug, PartialEq)]
pub struct PourDay {
    /// Which day.
    pub day: Day,
    /// Whether to pour.
    pub verdict: GoOrWait,
    /// When the first truck comes.
    pub first_truck: NaiveDateTime,
    /// Temperature of the concrete as it comes.
    pub concrete: Temperature,
    /// Why it is as it is.
    pub reasons: Vec<Reason>,
    /// What is done so that it can go.
    pub measures: Vec<Measure>,
    /// The course of the day; none where the concrete does not set in the weather told.
    pub course: Option<Course>,
    /// Hour by hour.
    pub hours: Vec<PourHour>,
    /// People on the pour, those who are brought in among them.
    pub people: u32,
    /// Finishers that the pour takes.
    pub finishers: u32,
    /// Hours that each is on site, in whole pay steps.
    pub on_site: Span,
    /// Person-hours paid, travel in them.
    pub paid: Span,
    /// True where a wet cover is laid; a compound or a dry sheet where not.
    pub covered: bool,
    /// The saw.
    pub saw: Option<SawPlan>,
    /// What follows.
    pub ages: Option<Ages>,
    /// Protection from the cold.
    pub cold: Option<Cold>,
    /// Until when the plant takes the order back; none where it is mixed on site.
    pub call_off: Option<NaiveDateTime>,
}

/// Weighs a day at every hour that may be, and keeps the best.
pub(super) fn weigh_day(facts: &Facts<'_>, day: Day) -> Option<PourDay> {
    let row = &rows().first_truck;
    let starts: Vec<u32> = match facts.from.pour.first_truck {
        Some(asked) => vec![asked.minutes()],
        None => (row.earliest.minutes()..=row.latest.minutes())
            .step_by(60)
            .collect(),
    };
    let weighed = starts.into_iter().map(|minutes| {
        let first = moment(day, TimeOfDay::from_minutes(minutes));
        weigh_hour(facts, day, first)
    });
    weighed.min_by_key(|day| badness(facts, day))
}

/// What makes one hour worse than another, the weightiest first.
fn badness(facts: &Facts<'_>, day: &PourDay) -> impl Ord + use<> {
    let row = rows();
    let most = day.hours.iter().filter_map(|hour| hour.evaporation);
    let most = most
        .map(|rate| share_of_limit(facts, rate))
        .fold(0.0, f64::max);
    let drying = (most * 4.0) as u32;
    let gone = day.course.as_ref().map(|course| course.gone);
    let late = gone.is_none_or(|gone| gone > moment(day.day, row.evening.from));
    let usual = moment(day.day, row.first_truck.usual);
    let apart = (day.first_truck - usual).num_minutes().abs();
    // An hour from the usual one must save twenty minutes of everybody's stay.
    let stay = day.on_site.minutes() as i64 + apart / 3;
    // Drying counts from half of the limit on, by quarters of it.
    (
        day.verdict,
        day.measures.len(),
        drying.max(1),
        late,
        stay,
        apart,
    )
}

fn moment(day: Day, at: TimeOfDay) -> NaiveDateTime {
    day.0.and_time(NaiveTime::MIN) + TimeDelta::minutes(i64::from(at.minutes()))
}

/// What came of an hour.
struct Outcome {
    weighed: Weighed,
    placed: Temperature,
    cold: Option<Cold>,
    found: Option<(Course, Mix)>,
    hours: Vec<PourHour>,
    saw: Option<SawPlan>,
}

/// Weighs all that the weather does when the first truck comes at `first`.
fn weigh(facts: &Facts<'_>, first: NaiveDateTime) -> Outcome {
    let mut weighed = Weighed::default();
    let cold = measure_cold(facts, first);
    let facts = &Facts {
        cold: cold.is_some(),
        ..*facts
    };
    let placed = weigh_concrete(&mut weighed, facts, first);
    let found = Finder { facts, first }.find(&mut weighed, placed);
    weigh_trucks(&mut weighed, facts, found.as_ref().map(|(_, mix)| *mix));
    weigh_ground(&mut weighed, facts, first);
    let course = found.as_ref().map(|(course, _)| course);
    if let Some(cold) = cold {
        weigh_cold(&mut weighed, facts, (first, cold));
    }
    let hours = course.map_or_else(Vec::new, |course| tell_hours(facts, course));
    let saw = course.and_then(|course| plan_saw(facts, course, cold));
    if let Some(course) = course {
        weigh_frost(&mut weighed, facts, (course, cold));
        weigh_heat(&mut weighed, facts, course);
        weigh_rain(&mut weighed, facts, course);
        weigh_drying(&mut weighed, facts, &hours);
    }
    if let Some(saw) = &saw {
        weigh_saw(&mut weighed, facts, saw);
    }
    Outcome {
        weighed,
        placed,
        cold,
        found,
        hours,
        saw,
    }
}

/// More trucks than the estimate orders, or none in time.
fn weigh_trucks(weighed: &mut Weighed, facts: &Facts<'_>, mix: Option<Mix>) {
    let order = &facts.from.takeoff.concrete;
    let plant = &facts.from.catalog.concrete;
    let source = &plant.discharge.source;
    let people = mix.map_or(facts.people(), |mix| mix.people);
    let Some(loads) = share_trucks(facts, people) else {
        let text = "No truck of this plant is empty within the limit: find a nearer plant, or mix on site.";
        return weighed.wait("too_far", text.to_owned(), source);
    };
    if loads.len() <= order.loads.len() {
        return;
    }
    let text = format!(
        "{} trucks instead of {}, so that each is empty within {} of batching: tell the plant.",
        loads.len(),
        order.loads.len(),
        plant.discharge.limit.print()
    );
    weighed.tell("more_trucks", text, source);
    let missing = measure_shortfall(&loads, plant) - order.short_of_minimum;
    if missing.compare(Volume::ZERO) == Compared::Above {
        let row = &rows().measure.short_loads;
        weighed.measures.push(take_short_loads(row, missing));
    }
}

/// Weighs a day whose first truck comes at `first`.
fn weigh_hour(facts: &Facts<'_>, day: Day, first: NaiveDateTime) -> PourDay {
    let out = weigh(facts, first);
    let notice = rows().call_off.notice + facts.from.pour.plant_travel;
    let facts = &Facts {
        cold: out.cold.is_some(),
        ..*facts
    };
    let (course, mix) = out.found.unzip();
    let on_site = stay(facts, course.as_ref());
    let people = mix.map_or(facts.people(), |mix| mix.people);
    let share = mix.map_or(1.0, |mix| mix.share);
    let finishers = course
        .as_ref()
        .map(|course| count_finishers(facts, course, share));
    let verdict = out.weighed.verdict();
    // A day that waits takes nothing.
    let measures = match verdict {
        GoOrWait::Wait => Vec::new(),
        _ => out.weighed.measures,
    };
    PourDay {
        day,
        verdict,
        first_truck: first,
        concrete: out.placed,
        people,
        finishers: finishers.unwrap_or(0),
        on_site,
        paid: paid_all(facts, course.as_ref(), people),
        covered: facts.is_covered(),
        saw: out.saw,
        ages: course
            .as_ref()
            .map(|course| plan_ages(facts, course, out.cold)),
        cold: out.cold,
        call_off: (!facts.is_bagged()).then(|| later(first, -notice)),
        reasons: out.weighed.reasons,
        measures,
        course,
        hours: out.hours,
    }
}

/// How warm the concrete comes, and what that takes.
fn weigh_concrete(weighed: &mut Weighed, facts: &Facts<'_>, first: NaiveDateTime) -> Temperature {
    let system = facts.from.job.units;
    let air = facts.from.pour.weather.at(first).map(|hour| hour.air);
    let air = air.unwrap_or(SettingRows::built_in().mild.concrete);
    let least = mixed_least(air).map_or(air, |row| row.concrete);
    let stated = facts.from.pour.concrete;
    let comes = stated.unwrap_or_else(|| air.max(least));
    let limit = &SettingRows::built_in().hot_weather;
    if is_too_hot(comes) {
        let most = temperature(limit.most, system);
        let text = format!(
            "The concrete would come at {}, above {most}: {}.",
            temperature(comes, system),
            facts.ask("cool it", "mix with chilled water")
        );
        weighed.tell("hot_concrete", text, &limit.source);
        weighed.take_from_plant(facts, "cooled", &rows().measure.cooled);
        return limit.most;
    }
    let kept = member(facts.thickness()).filter(|_| facts.cold);
    if let Some(row) = kept.filter(|row| comes.compare(row.placed) == Compared::Below) {
        let text = format!(
            "The concrete would come at {}; in this cold a slab of this thickness is placed and kept at {} or \
             more: {}.",
            temperature(comes, system),
            temperature(row.placed, system),
            facts.ask("heat its water", "mix with warm water")
        );
        weighed.tell("cold_concrete", text, &row.source);
        weighed.take_from_plant(facts, "heated", &rows().measure.heated);
        return row.placed;
    }
    if stated.is_none() && facts.cold {
        weigh_plant(weighed, facts, first);
    }
    comes
}

/// A plant whose stone and sand are cold heats its water.
fn weigh_plant(weighed: &mut Weighed, facts: &Facts<'_>, first: NaiveDateTime) {
    let limit = &SettingRows::built_in().cold_weather;
    let mean = mean_before(facts, first, rows().cold_plant.over).map(|(mean, _)| mean);
    let Some(mean) = mean.filter(|mean| is_cold(*mean)) else {
        return;
    };
    let system = facts.from.job.units;
    let text = format!(
        "The air was at {} on the mean of the {} before, below {}: {}.",
        temperature(mean, system),
        rows().cold_plant.over.print(),
        temperature(limit.air, system),
        facts.ask("heat its water", "mix with warm water")
    );
    weighed.tell("cold_plant", text, &limit.source);
    weighed.take_from_plant(facts, "heated", &rows().measure.heated);
}

/// Hours that each is on site, in whole pay steps.
pub(super) fn stay(facts: &Facts<'_>, course: Option<&Course>) -> Span {
    let step = facts.from.rates.figures.pay_step.likely.hours();
    let stay = course.map_or(facts.visit.on_site, Course::stay);
    Span::from_hours(ceil_to(stay.hours(), step))
}

/// What each is paid for a stay: travel both ways, and never below the least.
pub(super) fn paid_each(facts: &Facts<'_>, stay: Span) -> Span {
    let crew = facts.crew();
    let step = facts.from.rates.figures.pay_step.likely.hours();
    let away = stay + crew.travel * 2.0;
    Span::from_hours(ceil_to(away.max(crew.least_hours).hours(), step))
}

/// What all are paid for a day; who is released goes once the concrete is struck off.
fn paid_all(facts: &Facts<'_>, course: Option<&Course>, people: u32) -> Span {
    let each = paid_each(facts, stay(facts, course));
    let released = facts.visit.released.map_or(0, |released| released.people);
    let early = course.map(|course| {
        let step = facts.from.rates.figures.pay_step.likely.hours();
        let until = between(course.arrive, course.struck).hours();
        paid_each(facts, Span::from_hours(ceil_to(until, step)))
    });
    let early = early.map_or(each, |early| early.min(each));
    let staying = people.saturating_sub(released);
    each * f64::from(staying) + early * f64::from(people - staying)
}
