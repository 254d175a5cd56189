//! The evaporation of a planned pour day as a chart.
//!
//! Invariant: every figure is one of the day's. Absent: drawing it.

use super::evaporation::{EvaporationChart, EvaporationHour, NamedBand, RateLimit};
use crate::job::Bleeding;
use crate::pour::PourDay;
use crate::quantity::System;
use crate::setting::{EvaporationRate, LimitRow, evaporation_limit};

/// The chart of a day; none without a course.
pub fn chart_pour(
    day: &PourDay,
    (bleeding, system): (Bleeding, System),
) -> Option<EvaporationChart> {
    let course = day.course.as_ref()?;
    let hours = day.hours.iter().filter_map(|hour| {
        Some(EvaporationHour {
            at: hour.at,
            rate: hour.evaporation?,
            air: hour.air,
            slab: hour.slab,
        })
    });
    let band = |from, to, label: &str| NamedBand {
        from,
        to,
        label: label.to_owned(),
    };
    Some(EvaporationChart {
        heading: format!("{} {}", day.day.0.format("%a"), day.day),
        hours: hours.collect(),
        limits: [Bleeding::Usual, Bleeding::Low]
            .map(|mix| RateLimit {
                rate: rate_of(evaporation_limit(mix), system),
                applies: mix == bleeding,
            })
            .into(),
        bands: vec![
            band(course.first, course.struck, "place, strike off"),
            band(course.edged, course.broom_closes, "edge, broom"),
        ],
    })
}

/// A limit as a rate, by the figure that was published in the units of a system.
fn rate_of(row: &LimitRow, system: System) -> EvaporationRate {
    match system {
        System::Us => EvaporationRate::from_lb_ft2_h(row.lb_ft2_h),
        System::Metric => EvaporationRate::from_kg_m2_h(row.kg_m2_h),
    }
}
