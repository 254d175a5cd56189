//! Pours of many jobs that may share loads of ready-mix: gathered row by row, asked day by day.
//!
//! Invariants: a pour is the job's mix with its waste, not rounded up, since a shared load is rounded
//! once; their number is bounded, and what goes beyond is counted. More pours on a day than one plan
//! takes are asked area by area, in the order of their rows, and then nobody says that the day has no
//! better plan. Absent: the plan itself (`loads`).

use super::Told;
use super::weeks::pour_day;
use crate::estimate::Estimate;
use crate::job::TimeOfDay;
use crate::job::{By, Day};
use crate::loads::{ArrivalRequest, LoadPlanRequest, LoadPourRequest};
use crate::quantity::{Span, System, Volume};
use std::collections::BTreeMap;

/// Most pours that are gathered.
const POURS_AT_MOST: usize = 300;
/// Most pours of one plan.
const TOGETHER_AT_MOST: usize = 30;
/// What stands for an area where a row names none.
const NOWHERE: &str = "no area";
const NAME_AT_MOST: usize = 80;

/// One pour.
#[derive(Clone, Debug, PartialEq)]
pub struct ToPour {
    day: Day,
    area: String,
    name: String,
    mix: String,
    volume: Volume,
    placing: Span,
}

/// Pours that may share loads.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ToShare {
    pours: Vec<ToPour>,
    /// Jobs whose pour has no day.
    pub undated: u64,
    /// Jobs beyond those that are gathered.
    pub left_out: u64,
}

/// What is asked for one day, or for a part of it.
#[derive(Clone, Debug)]
pub struct DayAsked {
    /// The day.
    pub day: Day,
    /// The area, where the day is split.
    pub area: Option<String>,
    /// The question.
    pub request: LoadPlanRequest,
}

impl ToShare {
    pub(super) fn add(&mut self, estimate: &Estimate, told: Told<'_>) {
        let Some(pour) = ToPour::of(estimate, told) else {
            return;
        };
        match pour {
            Err(NoDay) => self.undated += 1,
            Ok(_) if self.pours.len() == POURS_AT_MOST => self.left_out += 1,
            Ok(pour) => self.pours.push(pour),
        }
    }

    pub(super) fn merge(&mut self, later: Self) {
        self.undated += later.undated;
        self.left_out += later.left_out;
        let room = POURS_AT_MOST - self.pours.len();
        self.left_out += later.pours.len().saturating_sub(room) as u64;
        self.pours.extend(later.pours.into_iter().take(room));
    }

    /// A question for each day, or for each part of a day, that has more than one pour; and how many
    /// pours stand alone. Concrete may arrive within these hours.
    pub fn ask(&self, hours: (TimeOfDay, TimeOfDay), units: System) -> (Vec<DayAsked>, u64) {
        let mut days: BTreeMap<Day, Vec<&ToPour>> = BTreeMap::new();
        for pour in &self.pours {
            days.entry(pour.day).or_default().push(pour);
        }
        let (mut asked, mut alone) = (Vec::new(), 0);
        for (day, pours) in days {
            for (area, together) in parts(pours) {
                if together.len() < 2 {
                    alone += together.len() as u64;
                    continue;
                }
                let request = request(&together, hours, units);
                asked.push(DayAsked { day, area, request });
            }
        }
        (asked, alone)
    }
}

/// A day whole, or by area where it has too many pours.
fn parts(pours: Vec<&ToPour>) -> Vec<(Option<String>, Vec<&ToPour>)> {
    if pours.len() <= TOGETHER_AT_MOST {
        return vec![(None, pours)];
    }
    let mut areas: BTreeMap<&str, Vec<&ToPour>> = BTreeMap::new();
    for pour in pours {
        areas.entry(pour.area.as_str()).or_default().push(pour);
    }
    let named = areas.into_iter().flat_map(|(area, pours)| {
        let parts: Vec<Vec<&ToPour>> = pours.chunks(TOGETHER_AT_MOST).map(<[_]>::to_vec).collect();
        parts
            .into_iter()
            .map(move |part| (Some(area.to_owned()), part))
    });
    named.collect()
}

fn request(
    pours: &[&ToPour],
    (from, to): (TimeOfDay, TimeOfDay),
    units: System,
) -> LoadPlanRequest {
    let asked = pours.iter().map(|pour| LoadPourRequest {
        name: pour.name.clone(),
        volume: pour.volume,
        area: pour.area.clone(),
        arrive: ArrivalRequest {
            day: pour.day,
            from,
            to,
        },
        placing: pour.placing,
        mix: pour.mix.clone(),
    });
    LoadPlanRequest {
        units: Some(units),
        ..LoadPlanRequest::of(asked.collect())
    }
}

struct NoDay;

impl ToPour {
    /// None where we pour no ready-mix.
    fn of(estimate: &Estimate, told: Told<'_>) -> Option<Result<Self, NoDay>> {
        let concrete = &estimate.takeoff.concrete;
        let mix = estimate.takeoff.mix().filter(|mix| mix.by == By::Us)?;
        // Bags are mixed where they are used.
        if concrete.loads.is_empty() {
            return None;
        }
        let Some(day) = told.day.or_else(|| pour_day(estimate)) else {
            return Some(Err(NoDay));
        };
        let name = format!("row {} {}", told.row, estimate.job.name);
        let area = told.area.map(str::trim).filter(|area| !area.is_empty());
        Some(Ok(Self {
            day,
            area: area.unwrap_or(NOWHERE).to_owned(),
            name: name.trim().chars().take(NAME_AT_MOST).collect(),
            mix: mix.code.clone(),
            volume: concrete.net + concrete.waste,
            placing: concrete.unload_minutes_needed.max(Span::from_minutes(1.0)),
        }))
    }
}
