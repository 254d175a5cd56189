//! What holds in any weather.

use super::{MILD, Sky, hours, job, planned};
use crossfall::estimate::PlannedDay;
use crossfall::pour::{GoOrWait, PourDay};
use crossfall::quantity::Span;
use proptest::prelude::*;
use serde_json::{Value, json};

/// Four days of a sky that goes up and down, and jumps.
#[derive(Clone, Debug)]
struct Weather {
    air: (f64, f64),
    humidity: f64,
    wind: f64,
    rain: f64,
    jumps: Vec<f64>,
}

fn weather() -> impl Strategy<Value = Weather> {
    let jumps = prop::collection::vec(-12.0..12.0_f64, 24);
    let air = (0.0..85.0_f64, 0.0..30.0_f64);
    (air, 5.0..95.0_f64, 0.0..35.0_f64, 0.0..70.0_f64, jumps).prop_map(
        |(air, humidity, wind, rain, jumps)| Weather {
            air,
            humidity,
            wind,
            rain,
            jumps,
        },
    )
}

fn sent(weather: &Weather, units: &str) -> Value {
    let sky = |hour: i64, _: Sky| {
        let jump = weather.jumps[hour as usize % weather.jumps.len()];
        let day = (1.0 - libm::cos((hour - 4) as f64 / 12.0 * std::f64::consts::PI)) / 2.0;
        Sky {
            air: libm::round(weather.air.0 + weather.air.1 * day + jump),
            humidity: libm::round(weather.humidity),
            wind: libm::round(weather.wind),
            rain: Some(libm::round(weather.rain)),
        }
    };
    let mut sent = job(MILD);
    sent["units"] = json!(units);
    sent["pour"]["weather"] = hours(MILD, 7, sky);
    let section = sent["pour"].as_object_mut().expect("a section");
    section.remove("days");
    section.remove("first_truck");
    sent
}

/// Nothing about a day contradicts another thing about it.
fn is_whole(planned: &PlannedDay) -> Result<(), TestCaseError> {
    let day: &PourDay = &planned.day;
    let waits = day.reasons.iter().any(|reason| reason.waits);
    prop_assert_eq!(day.verdict == GoOrWait::Wait, waits);
    prop_assert_eq!(
        day.verdict == GoOrWait::Go,
        !waits && day.measures.is_empty()
    );
    prop_assert_eq!(day.measures.len(), planned.cost.measures.len());
    prop_assert!(day.call_off.is_some_and(|at| at < day.first_truck));
    let Some(course) = &day.course else {
        prop_assert!(waits && day.hours.is_empty());
        return Ok(());
    };
    prop_assert!(course.arrive < course.first && course.gone >= course.cured);
    prop_assert!(course.edged <= course.broomed && course.broomed <= course.cured);
    prop_assert!(course.broom_opens <= course.broom_closes);
    let in_time = course.edged <= course.first_closes && course.broomed <= course.broom_closes;
    prop_assert!(waits || in_time, "{:?}", course);
    for truck in &course.trucks {
        prop_assert!(truck.age.at_most(Span::from_minutes(90.0)));
    }
    let told = day.hours.first().map(|hour| hour.at);
    prop_assert!(told.is_some_and(|at| at <= course.arrive));
    for pair in day.hours.windows(2) {
        prop_assert_eq!((pair[1].at - pair[0].at).num_hours(), 1);
    }
    for hour in &day.hours {
        let rate = hour.evaporation.map_or(0.0, |rate| rate.kg_m2_h());
        let behind = hour.behind_windbreak.map_or(0.0, |rate| rate.kg_m2_h());
        prop_assert!(rate.is_finite() && behind >= 0.0 && behind <= rate + 1e-12);
    }
    prop_assert!(
        waits || day.cold.is_none() == day.measures.iter().all(|one| one.code != "blankets")
    );
    prop_assert!(!waits || day.measures.is_empty());
    if let (Some(cold), Some(ages)) = (day.cold, day.ages) {
        let protected = (day.first_truck - course.first).num_hours() + cold.protect.hours() as i64;
        prop_assert!(
            ages.strip
                .is_none_or(|at| (at - course.first).num_hours() >= protected)
        );
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: crate::config().cases / 8, ..crate::config() })]

    /// Any weather gives a plan without a contradiction, ranked from 1 on, days that go before days that wait.
    #[test]
    fn any_weather_gives_a_whole_plan(weather in weather(), metric in any::<bool>()) {
        let days = planned(&sent(&weather, if metric { "metric" } else { "us" }));
        prop_assert_eq!(days.len(), 5);
        for day in &days {
            is_whole(day)?;
        }
        let mut ranked: Vec<&PlannedDay> = days.iter().collect();
        ranked.sort_by_key(|day| day.rank);
        let ranks: Vec<u32> = ranked.iter().map(|day| day.rank).collect();
        prop_assert_eq!(ranks, vec![1, 2, 3, 4, 5]);
        prop_assert!(ranked.windows(2).all(|two| two[0].day.verdict <= two[1].day.verdict));
    }

    /// More chance of rain never makes a day better.
    #[test]
    fn rain_never_helps(weather in weather(), more in 0.0..30.0_f64) {
        let wetter = Weather { rain: weather.rain + more, ..weather.clone() };
        let here = planned(&sent(&weather, "us"));
        let there = planned(&sent(&wetter, "us"));
        for (here, there) in here.iter().zip(&there) {
            prop_assert!(here.day.verdict <= there.day.verdict);
        }
    }

    /// Left to choose its hour, a day is never worse than at the hour that somebody names.
    #[test]
    fn the_best_hour_is_no_worse(weather in weather(), hour in 6..=11_u32) {
        let free = planned(&sent(&weather, "us"));
        let mut named = sent(&weather, "us");
        named["pour"]["first_truck"] = json!(format!("{hour:02}:00"));
        for (free, named) in free.iter().zip(planned(&named)) {
            let of = |day: &PourDay| (day.verdict, day.measures.len());
            prop_assert!(of(&free.day) <= of(&named.day));
        }
    }
}
