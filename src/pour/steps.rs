//! The pour day in sentences, and what holds for every pour.
//!
//! Invariant: a step is a moment of the course. Absent: figures of its own.

use super::course::Course;
use super::day::PourDay;
use super::rows::rows;
use super::words::{clock, on_day, people};
use crate::job::{Job, Piece};
use crate::quantity::System;
use crate::quantity::shown::Yd3M3;
use chrono::NaiveDateTime;
use serde::Deserialize;
use std::sync::LazyLock;

/// A step of the day.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PourStep {
    /// When.
    pub at: NaiveDateTime,
    /// Its name.
    pub what: &'static str,
    /// In a sentence.
    pub text: String,
}

/// The day in the order of time; empty without a course.
pub fn tell_steps(day: &PourDay, system: System) -> Vec<PourStep> {
    let Some(course) = &day.course else {
        return Vec::new();
    };
    let wet = if day.cold.is_some() {
        ""
    } else {
        ", wet the base"
    };
    let arrive = format!(
        "{} on site: check grades, protect{wet}.",
        people(day.people)
    );
    let broom = format!(
        "The broom is done; from {} it takes, and until {}.",
        on_day(course.first, course.broom_opens),
        on_day(course.first, course.broom_closes)
    );
    let struck = "Struck off and bull floated.".to_owned();
    let edge = "Edge and float by hand, once no water stands on the surface.".to_owned();
    let cured = match day.covered {
        true => "The wet cover is on.",
        false => "The compound is on, or the dry sheet.",
    }
    .to_owned();
    let gone = "Washed out, barricaded, gone.".to_owned();
    let own = [
        (course.arrive, "arrive", arrive),
        (course.struck, "struck_off", struck),
        (course.edged, "edge", edge),
        (course.broomed, "broom", broom),
        (course.cured, "cure", cured),
        (course.gone, "gone", gone),
    ];
    let own = own.map(|(at, what, text)| PourStep { at, what, text });
    let mut steps: Vec<PourStep> = own.into();
    if course.trucks.is_empty() {
        steps.push(PourStep {
            at: course.first,
            what: "mix",
            text: "Mixing begins.".to_owned(),
        });
    }
    steps.extend(tell_trucks(course, system));
    steps.sort_by_key(|step| step.at);
    steps
}

fn tell_trucks(course: &Course, system: System) -> impl Iterator<Item = PourStep> {
    let numbered = (1..).zip(&course.trucks);
    numbered.map(move |(number, truck)| PourStep {
        at: truck.arrives,
        what: "truck",
        text: format!(
            "Truck {number} with {}, empty at {}.",
            Yd3M3::of(truck.volume, system),
            clock(truck.empty)
        ),
    })
}

/// How concrete is placed on this job.
pub fn tell_order(job: &Job) -> Vec<String> {
    let sloped = job
        .ramp
        .path
        .iter()
        .any(|piece| matches!(piece, Piece::Run(_)));
    let mut told = Vec::new();
    if sloped {
        told.push(
            "Place from the foot up, and strike off uphill on the form tops, so that nothing creeps back."
                .to_owned(),
        );
        told.push(
            "Bull float slowly up and down, two or three passes, so that nothing sags.".to_owned(),
        );
    }
    told.push(
        "Do not finish while bleed water stands on the surface, and add none to it.".to_owned(),
    );
    told
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
enum When {
    Always,
    Cold,
    Hot,
    Sawn,
}

#[derive(Debug, Deserialize)]
struct CautionRow {
    when: When,
    text: String,
}

#[derive(Debug, Deserialize)]
struct Cautions {
    caution: Vec<CautionRow>,
}

static CAUTIONS: LazyLock<Cautions> = LazyLock::new(|| {
    toml::from_str(include_str!("cautions.toml")).expect("the embedded rows are read by a test")
});

/// Cautions that a fact of these days calls.
pub fn tell_cautions<'a>(days: impl Iterator<Item = &'a PourDay> + Clone) -> Vec<String> {
    let any = |holds: fn(&PourDay) -> bool| days.clone().any(holds);
    let rows = CAUTIONS.caution.iter().filter(|row| match row.when {
        When::Always => any(|_| true),
        When::Cold => any(|day| day.cold.is_some()),
        When::Hot => any(is_hot),
        When::Sawn => any(|day| day.saw.is_some()),
    });
    rows.map(|row| row.text.clone()).collect()
}

/// Whether the air is a danger to people while they work.
fn is_hot(day: &PourDay) -> bool {
    let mut hours = day.hours.iter();
    hours.any(|hour| hour.air.at_least(rows().heat.air))
}
