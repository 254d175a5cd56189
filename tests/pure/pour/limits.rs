//! Both sides of every limit that a day is weighed by.

use super::{MILD, Sky, codes, day, faults, hours, job, measures};
use crossfall::pour::GoOrWait;
use serde_json::{Value, json};

#[track_caller]
fn asks(sent: &Value, code: &str, wanted: bool) {
    let day = day(sent);
    let told = codes(&day).contains(&code) || measures(&day).contains(&code);
    assert_eq!(
        told,
        wanted,
        "{code}: {:?} {:?}",
        codes(&day),
        measures(&day)
    );
}

#[test]
fn a_mild_day_goes() {
    let day = day(&job(MILD));
    assert_eq!(day.verdict, GoOrWait::Go, "{:?}", day.reasons);
    assert!(day.measures.is_empty() && day.cold.is_none());
}

/// Common practice, no source: sheets from 30 %, waiting from 50 %. UFGS-03372, second hand: rain within 3 h
/// takes a compound off again.
#[test]
fn rain_is_weighed_until_the_surface_is_safe() {
    let rain = |chance| {
        job(Sky {
            rain: Some(chance),
            ..MILD
        })
    };
    asks(&rain(29.0), "sheet", false);
    asks(&rain(30.0), "sheet", true);
    assert_eq!(day(&rain(49.0)).verdict, GoOrWait::GoWith);
    assert_eq!(day(&rain(50.0)).verdict, GoOrWait::Wait);
    asks(&job(Sky { rain: None, ..MILD }), "rain_untold", true);
    // A shower in the small hours of the next day is nobody's business; one while the broom is out is.
    let mut late = job(MILD);
    let shower = |from: i64| {
        move |hour, sky| Sky {
            rain: Some(if hour == from { 90.0 } else { 5.0 }),
            ..sky
        }
    };
    late["pour"]["weather"] = hours(MILD, 6, shower(24 + 24 + 3));
    asks(&late, "rain", false);
    late["pour"]["weather"] = hours(MILD, 6, shower(24 + 11));
    asks(&late, "rain", true);
    // Sprayed before noon, a compound is at the mercy of a shower at two; a cover that lies by then is not.
    late["pour"]["weather"] = hours(MILD, 6, shower(24 + 14));
    late["curing"] = json!({"method": "compound"});
    asks(&late, "rain", true);
    late["curing"] = json!({"method": "wet_cover"});
    asks(&late, "rain", false);
}

/// ACI 306R-10, second hand: cold weather where the air falls below 40 degF while the concrete is protected;
/// Table 7.1, from memory: 3 days with a usual mix, exposed and without load.
#[test]
fn the_cold_is_weighed_over_the_days_of_protection() {
    let cold_at = |at: i64, air: f64| {
        let mut sent = job(MILD);
        sent["pour"]["weather"] = hours(MILD, 6, move |hour, sky| Sky {
            air: if hour == at { air } else { sky.air },
            ..sky
        });
        sent
    };
    let second_night = 24 + 24 + 20;
    asks(&cold_at(second_night, 40.0), "blankets", false);
    asks(&cold_at(second_night, 39.9), "blankets", true);
    // The pour is at 08:00 on the second day; three days later protection is over.
    asks(&cold_at(24 + 8 + 71, 35.0), "blankets", true);
    asks(&cold_at(24 + 8 + 72, 35.0), "blankets", false);
    let day = day(&cold_at(second_night, 35.0));
    assert_eq!(day.cold.expect("cold").protect.days(), 3.0);
}

/// Common practice, no source: below 20 degF a layer of blankets does not keep a thin slab warm.
#[test]
fn bitter_cold_waits() {
    let falls_to = |air| {
        let mut sent = job(MILD);
        sent["pour"]["weather"] = hours(MILD, 6, move |hour, sky| Sky {
            air: if hour == 50 { air } else { sky.air },
            ..sky
        });
        day(&sent).verdict
    };
    assert_eq!(falls_to(20.0), GoOrWait::GoWith);
    assert_eq!(falls_to(19.9), GoOrWait::Wait);
}

/// ACI 306R, from memory: never on frozen ground; that the mean of the air tells it is common practice.
#[test]
fn frozen_ground_waits() {
    let before = |air| {
        let mut sent = job(MILD);
        sent["pour"]["weather"] = hours(MILD, 6, move |hour, sky| Sky {
            air: if hour < 32 { air } else { sky.air },
            ..sky
        });
        sent
    };
    asks(&before(32.0), "frozen_ground", true);
    asks(&before(32.1), "frozen_ground", false);
}

/// ACI 305.1, from memory: no concrete hotter than 95 degF is placed. Air above 105 degF waits: common
/// practice, no source.
#[test]
fn heat_is_weighed() {
    let at = |concrete: &str| {
        let mut sent = job(MILD);
        sent["pour"]["concrete"] = json!(concrete);
        sent
    };
    asks(&at("95 degF"), "cooled", false);
    asks(&at("95.1 degF"), "cooled", true);
    let air = |air| {
        job(Sky {
            air,
            humidity: 90.0,
            wind: 0.0,
            ..MILD
        })
    };
    asks(&air(105.0), "hot_air", false);
    asks(&air(105.1), "hot_air", true);
}

/// ACI 306R Table 5.1, from memory: a slab below 12 in is placed at 55 degF or more in the cold.
#[test]
fn cold_concrete_is_sent_back_to_the_heater() {
    let at = |concrete: &str| {
        let mut sent = job(MILD);
        let dip = |hour, sky| Sky {
            air: if hour == 32 { 38.0 } else { MILD.air },
            ..sky
        };
        sent["pour"]["weather"] = hours(MILD, 6, dip);
        sent["pour"]["concrete"] = json!(concrete);
        sent
    };
    asks(&at("55 degF"), "cold_concrete", false);
    asks(&at("54.9 degF"), "cold_concrete", true);
}

/// Concrete International Q&A, second hand: precautions from 0.20 lb/ft2/h on, 0.10 for a mix that bleeds
/// little. At 70 degF all over and 50 % the published form gives 0.1025 at 10 mph.
#[test]
fn drying_is_weighed_by_the_limit_of_the_mix() {
    let dry = |wind, bleeding: &str| {
        let mut sent = job(Sky {
            humidity: 50.0,
            wind,
            ..MILD
        });
        sent["pour"]["concrete"] = json!("70 degF");
        sent["pour"]["bleeding"] = json!(bleeding);
        sent
    };
    // 0.1025 is above 0.10 and below 0.20; (1 + 0.4 V) / 5 times it reaches 0.20 at V = 21.9 mph.
    asks(&dry(10.0, "usual"), "film", false);
    asks(&dry(10.0, "low"), "film", true);
    asks(&dry(9.6, "low"), "film", false);
    asks(&dry(21.8, "usual"), "film", false);
    asks(&dry(22.0, "usual"), "film", true);
    // Half the wind is left behind a windbreak; at 1.5 and 2.5 times the limit more is asked for.
    asks(&dry(33.9, "usual"), "windbreak", false);
    asks(&dry(34.2, "usual"), "windbreak", true);
    assert_eq!(day(&dry(116.0, "usual")).verdict, GoOrWait::GoWith);
    assert_eq!(day(&dry(118.0, "usual")).verdict, GoOrWait::Wait);
}

/// Wind of a weather station is more than wind at hand height.
#[test]
fn a_station_s_wind_counts_for_less() {
    let mut sent = job(Sky {
        humidity: 50.0,
        wind: 30.0,
        ..MILD
    });
    sent["pour"]["concrete"] = json!("70 degF");
    asks(&sent, "film", true);
    sent["pour"]["wind_at"] = json!("station");
    asks(&sent, "film", false);
}

/// A Friday's joints are sawn on Saturday: the visit and its pay are told.
#[test]
fn a_friday_pour_shows_its_saturday() {
    let mut sent = job(MILD);
    sent["pour"]["days"] = json!(["2026-05-22"]);
    let planned = super::planned(&sent).remove(0);
    let saw = planned.day.saw.expect("sawn");
    assert!(saw.off_day && saw.visit.to_string() == "2026-05-23");
    assert!(saw.people > 0 && !saw.paid.is_zero());
    assert!(planned.cost.saw.is_some_and(|pay| !pay.is_zero()));
    asks(&sent, "saw_off_day", true);
    sent["joints"] = json!({"method": "tooled"});
    assert_eq!(super::planned(&sent).remove(0).day.saw, None);
}

/// Where no day is named, each of the usual week that the weather covers is weighed.
#[test]
fn days_off_are_left_out() {
    let mut sent = job(MILD);
    sent["pour"]["days"].take();
    sent["pour"]
        .as_object_mut()
        .expect("a section")
        .remove("days");
    sent["pour"]["weather"] = hours(MILD, 9, |_, sky| sky);
    let days: Vec<String> = super::planned(&sent)
        .iter()
        .map(|day| day.day.day.to_string())
        .collect();
    let week = ["18", "19", "20", "21", "22", "25", "26"].map(|day| format!("2026-05-{day}"));
    assert_eq!(days, week);
}

#[test]
fn bad_weather_rows_are_told_one_by_one() {
    let mut sent = job(MILD);
    let rows = sent["pour"]["weather"].as_array_mut().expect("rows");
    rows[3]["humidity"] = json!("140 %");
    rows[5]["air"] = json!("150 degF");
    rows[7]["wind"] = json!("-3 mph");
    rows[9]["rain"] = json!("101 %");
    rows.remove(20);
    rows[40]["at"] = json!("2026-05-18T05:00");
    let told = faults(&sent);
    for pointer in [
        "/pour/weather/3/humidity",
        "/pour/weather/5/air",
        "/pour/weather/7/wind",
        "/pour/weather/9/rain",
        "/pour/weather/20/at",
        "/pour/weather/40/at",
    ] {
        let one = told
            .iter()
            .filter(|fault| fault.starts_with(&format!("{pointer}:")));
        assert_eq!(one.count(), 1, "{pointer}: {told:?}");
    }
}

#[test]
fn days_without_weather_and_too_little_of_it_are_told() {
    let mut sent = job(MILD);
    sent["pour"]["days"] = json!(["2026-05-17", "2026-05-19", "2026-05-24"]);
    assert_eq!(
        faults(&sent),
        ["/pour/days/0: 2026-05-17", "/pour/days/2: 2026-05-24"]
    );
    sent["pour"]["days"] = json!([]);
    assert_eq!(faults(&sent), ["/pour/days: 0 days"]);
    sent["pour"]["weather"] = json!([]);
    sent["pour"]["days"] = json!(["2026-05-19"]);
    assert_eq!(faults(&sent), ["/pour/weather: 0 rows"]);
    sent["pour"]["weather"] = hours(MILD, 6, |_, sky| sky);
    sent["pour"]["forecast"] = json!("home");
    assert_eq!(faults(&sent), ["/pour/forecast: both"]);
}
