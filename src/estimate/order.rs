//! What to phone in, what others must bring, and what happens on which day.
//!
//! Invariant: every ordered line of ours stands here once, with the visit that needs it.

use super::Whole;
use crate::crew::{Hold, Visit};
use crate::job::{By, Day};
use crate::quantity::money::Decimal4;
use crate::takeoff::Line;

/// One thing to order.
#[derive(Clone, Debug, PartialEq)]
pub struct ToOrder {
    /// Item code.
    pub code: String,
    /// What it is.
    pub description: String,
    /// How much, in the sale unit.
    pub order: Decimal4,
    /// The sale unit.
    pub unit: &'static str,
    /// From whom, where the book names a supplier.
    pub supplier: Option<String>,
    /// The visit that needs it, from 1.
    pub visit: u32,
    /// Its date, where the job has a start.
    pub date: Option<Day>,
    /// True when it comes out of stock and is charged by use.
    pub from_stock: bool,
}

/// One thing that others must supply or do.
#[derive(Clone, Debug, PartialEq)]
pub struct NeededFromOthers {
    /// What.
    pub what: String,
    /// From whom.
    pub from: By,
    /// JSON Pointer into the expanded job.
    pub of: String,
    /// True when it follows the visit, false when it must be there before it.
    pub after: bool,
    /// The visit, from 1.
    pub visit: u32,
    /// Its date, where the job has a start.
    pub date: Option<Day>,
}

/// One day on site.
#[derive(Clone, Debug, PartialEq)]
pub struct DayPlan {
    /// The visit, from 1.
    pub visit: u32,
    /// Day number, from 1.
    pub day: u32,
    /// Date, where the job has a start.
    pub date: Option<Day>,
    /// What happens, in a sentence.
    pub text: String,
    /// What must be given before that day's work, each in a sentence.
    pub holds: Vec<String>,
}

/// The visit that a line of a kind is needed for: the first that does one of these tasks.
#[rustfmt::skip]
const NEEDED_FOR: &[(&str, &[&str])] = &[
    ("concrete-screw", &["form-on-wall"]),
    ("concrete-",    &["place"]),
    ("bag-",         &["place"]),
    ("short-load",   &["place"]),
    ("truck-wait",   &["place"]),
    ("curing-",      &["place"]),
    ("release-",     &["form", "place"]),
    ("silane",       &["seal-surface"]),
    ("siloxane",     &["seal-surface"]),
    ("silicate",     &["seal-surface"]),
    ("acrylic",      &["seal-surface"]),
    ("sealant",      &["seal-joints"]),
    ("early-entry",  &["saw"]),
    ("wet-saw",      &["saw"]),
    ("bar-",         &["bars"]),
    ("tie-wire",     &["bars"]),
    ("xps-",         &["insulation"]),
    ("filler-",      &["isolation"]),
    ("dowel-",       &["drill-dowel"]),
];

/// The same where a line is of one part of a job; looked up first.
#[rustfmt::skip]
const NEEDED_FOR_PART: &[(&str, &str, &[&str])] = &[
    ("/elements",  "concrete-",      &["footings-walls"]),
    ("/earthwork", "wet-saw",        &["cut-existing"]),
    ("/earthwork", "breaker",        &["break-out"]),
    ("/earthwork", "mini-excavator", &["dig-machine"]),
    ("/earthwork", "haul-load",      &["break-out", "dig"]),
];

pub(super) fn to_order(whole: Whole<'_>) -> Vec<ToOrder> {
    let lines = whole.worked.takeoff.lines.iter().enumerate();
    let ours = lines.filter(|(_, line)| line.by == By::Us && line.order != Decimal4::default());
    let goods = ours.filter(|(_, line)| !is_charge_only(line));
    goods
        .map(|(index, line)| {
            let visit = visit_for(whole, (line.of, &line.code));
            let of = format!("/takeoff/lines/{index}");
            let priced = whole.priced.lines.iter().find(|priced| priced.of == of);
            ToOrder {
                code: line.code.clone(),
                description: line.description.clone(),
                order: priced.map_or(line.order, |priced| priced.order),
                unit: priced.map_or(line.order_unit, |priced| priced.unit.word()),
                supplier: priced
                    .and_then(|priced| priced.from.as_ref())
                    .map(|from| from.supplier.clone()),
                visit: visit.map_or(1, |visit| visit.visit),
                date: visit.and_then(|visit| visit.date),
                from_stock: line.uses.is_some(),
            }
        })
        .collect()
}

/// A fee for waiting or for a short load is no thing to order.
fn is_charge_only(line: &Line) -> bool {
    matches!(
        line.code.as_str(),
        "short-load-yd3" | "truck-wait-min" | "permit-fee"
    )
}

fn visit_for<'a>(whole: Whole<'a>, (of, code): (&str, &str)) -> Option<&'a Visit> {
    let hours = &whole.worked.hours;
    let of_part = NEEDED_FOR_PART
        .iter()
        .find(|(part, prefix, _)| of == *part && code.starts_with(prefix))
        .map(|(.., tasks)| tasks);
    let of_any = || {
        let row = NEEDED_FOR
            .iter()
            .find(|(prefix, _)| code.starts_with(prefix));
        row.map(|(_, tasks)| tasks)
    };
    let task = of_part.or_else(of_any).and_then(|tasks| {
        hours
            .tasks
            .iter()
            .find(|task| tasks.iter().any(|name| task.code.starts_with(name)))
    });
    let number = task.map_or(1, |task| task.visit);
    hours.visits.iter().find(|visit| visit.visit == number)
}

/// What follows our work instead of preparing it, by where it stands in the job.
const FOLLOWS: &[&str] = &[
    "/ramp/handrails",
    "/site_work/backfill",
    "/site_work/paving",
];

pub(super) fn needed_from_others(whole: Whole<'_>) -> Vec<NeededFromOthers> {
    let visits = &whole.worked.hours.visits;
    // Rails, backfill and paving need stripped concrete, not sealed concrete.
    let stripped = visit_for(whole, ("/joints/saw", "early-entry")).or(visits.last());
    let needed = whole.worked.takeoff.needs.iter();
    needed
        .map(|need| {
            let after = FOLLOWS.contains(&need.of.as_str());
            let visit = if after { stripped } else { visits.first() };
            NeededFromOthers {
                what: sentence(&need.what),
                from: need.from,
                of: need.of.clone(),
                after,
                visit: visit.map_or(1, |visit| visit.visit),
                date: visit.and_then(|visit| visit.date),
            }
        })
        .collect()
}

/// With a capital at the start.
pub(super) fn sentence(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

/// What a visit waits for, each in a sentence.
fn holds_of(whole: Whole<'_>, visit: &Visit) -> Vec<String> {
    let holds = whole.worked.hours.holds.iter();
    let holds = holds.filter(|hold| hold.visit == visit.visit);
    let sentence = |hold: &Hold| {
        let Hold { what, from, .. } = hold;
        format!("{what}, from {from}; ask by {}.", hold.ask_by.text)
    };
    holds.map(sentence).collect()
}

pub(super) fn plan_days(whole: Whole<'_>) -> Vec<DayPlan> {
    let visits = whole.worked.hours.visits.iter();
    visits
        .map(|visit| {
            let people: Vec<String> = visit
                .crew
                .iter()
                .filter(|(_, count)| *count > 0)
                .map(|(class, count)| {
                    format!("{count} {class}{}", if *count == 1 { "" } else { "s" })
                })
                .collect();
            DayPlan {
                visit: visit.visit,
                day: visit.day,
                date: visit.date,
                text: format!(
                    "{}: {}, {} h on site",
                    visit.description,
                    people.join(", "),
                    visit.on_site.hours()
                ),
                holds: holds_of(whole, visit),
            }
        })
        .collect()
}
