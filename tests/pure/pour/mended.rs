//! What a plan must not say: ages that count on blankets that are off, rain that nobody told, trucks too old.

use super::{MILD, Sky, codes, day, hours, job, measures, planned};
use crossfall::pour::GoOrWait;
use crossfall::quantity::{Span, Volume};
use serde_json::{Value, json};

/// A job under a sky that changes on a day of the series, counted from 0; the pour is at 08:00 on day 1.
fn turning(before: f64, (from, after): (i64, f64), days: i64) -> Value {
    let mut sent = job(MILD);
    let sky = move |hour, sky| Sky {
        air: if hour < from * 24 { before } else { after },
        ..sky
    };
    sent["pour"]["weather"] = hours(MILD, days, sky);
    sent["curing"] = json!({"method": "compound"});
    sent
}

/// ACI 209, from memory: 2,500 of 4,500 psi take 4.21 days at 20 degC. ASTM C1074 with q = 5000 K, from memory: at
/// 45 degF (7.2 degC) a day counts exp(-5000 x (1/280.37 - 1/293.15)) = 0.46, so that they take 9.2 days less a
/// little for the warmth that the concrete comes with; below 0 degC nothing is added, whatever the blankets did.
#[test]
fn rails_do_not_count_on_blankets_that_are_off() {
    let frozen = day(&turning(45.0, (4, 20.0), 14));
    let ages = frozen.ages.expect("ages");
    assert_eq!(ages.rails, None);
    let thawed = day(&turning(45.0, (4, 45.0), 14));
    let rails = thawed.ages.expect("ages").rails.expect("told long enough");
    let days = (rails - thawed.course.expect("a course").placed).num_hours() as f64 / 24.0;
    assert!((8.7..9.2).contains(&days), "{days}");
}

#[test]
fn forms_stay_on_under_blankets() {
    let cold = day(&turning(45.0, (2, 35.0), 8));
    let (course, ages) = (cold.course.expect("a course"), cold.ages.expect("ages"));
    let strip = ages.strip.expect("warm enough under blankets");
    assert!((strip - course.first).num_hours() >= 72, "{strip}");
}

/// PCA chapter 14 and a finisher's page, second hand: 3,500 psi before frost while wet.
#[test]
fn frost_after_protection_is_told() {
    assert!(codes(&day(&turning(45.0, (4, 20.0), 8))).contains(&"frost_later"));
    assert!(!codes(&day(&turning(45.0, (4, 45.0), 8))).contains(&"frost_later"));
}

/// The verdict of a cold day does not hang on what the job would have cured with in the warm.
#[test]
fn a_wet_cover_changes_nothing_in_the_cold() {
    let cure = |method: &str| {
        let mut sent = turning(42.0, (3, 15.0), 8);
        sent["curing"] = json!({"method": method});
        day(&sent)
    };
    let (wet, dry) = (cure("wet_cover"), cure("compound"));
    assert_eq!(wet.verdict, GoOrWait::Wait);
    assert_eq!(dry.verdict, GoOrWait::Wait);
}

#[test]
fn weather_that_ends_too_soon_is_told() {
    let told = |days: i64, air: f64| {
        let mut sent = job(Sky { air, ..MILD });
        sent["pour"]["weather"] = hours(Sky { air, ..MILD }, days, |_, sky| sky);
        day(&sent)
    };
    assert!(codes(&told(2, 50.0)).contains(&"protection_untold"));
    assert!(!codes(&told(6, 50.0)).contains(&"protection_untold"));
    assert!(!codes(&told(2, 70.0)).contains(&"protection_untold"));
    assert_eq!(told(2, 50.0).ages.expect("ages").walk, None);
}

#[test]
fn rain_told_for_some_hours_is_no_rain_told_for_the_others() {
    let mut sent = job(MILD);
    let sky = |hour, sky| Sky {
        rain: (hour < 24 + 10).then_some(5.0),
        ..sky
    };
    sent["pour"]["weather"] = hours(MILD, 6, sky);
    let told = day(&sent);
    let reason = told
        .reasons
        .iter()
        .find(|reason| reason.code == "rain_untold");
    assert!(reason.is_some_and(|reason| reason.text.contains("10:00")));
}

/// ASTM C94, second hand: 90 min from batching. Whatever the road, each truck keeps it, or the day waits.
#[test]
fn every_road_gives_trucks_in_time_or_none() {
    for minutes in (30..=95).step_by(5).chain([89]) {
        let mut sent = job(MILD);
        sent["ramp"]["width"] = json!("8 ft");
        sent["pour"]["plant_travel"] = json!(format!("{minutes} min"));
        let day = day(&sent);
        let course = day.course.as_ref().expect("it sets");
        let late = course
            .trucks
            .iter()
            .any(|truck| !truck.age.at_most(Span::from_minutes(90.0)));
        let small = course
            .trucks
            .iter()
            .any(|truck| !truck.volume.at_least(Volume::from_cubic_yards(1.0)));
        assert!(!small, "{minutes}");
        assert_eq!(late, codes(&day).contains(&"too_far"), "{minutes}");
        assert!(!late || day.verdict == GoOrWait::Wait);
    }
}

/// Smaller loads cost what the plant asks for them.
#[test]
fn more_trucks_bring_their_charge() {
    let mut sent = job(MILD);
    sent["ramp"]["width"] = json!("10 ft");
    sent["pour"]["plant_travel"] = json!("60 min");
    let planned = planned(&sent).remove(0);
    assert!(
        codes(&planned.day).contains(&"more_trucks"),
        "{:?}",
        codes(&planned.day)
    );
    assert!(measures(&planned.day).contains(&"short_loads"));
    assert!(planned.cost.unpriced.is_empty());
}

/// Heat later in the day is seen, and the first truck's hour alone does not decide.
#[test]
fn heat_is_seen_while_people_work() {
    let mut sent = job(Sky {
        humidity: 90.0,
        wind: 0.0,
        ..MILD
    });
    let sky = |hour, sky| Sky {
        air: if hour == 24 + 11 { 106.0 } else { 88.0 },
        humidity: 90.0,
        wind: 0.0,
        ..sky
    };
    sent["pour"]["weather"] = hours(MILD, 6, sky);
    assert!(codes(&day(&sent)).contains(&"hot_air"));
}

/// A helper who may leave early makes no day dearer.
#[test]
fn release_is_paid_as_planned() {
    let stay = |release: &str| {
        let mut sent = job(MILD);
        sent["crew"] = json!({"release": release});
        let cost = planned(&sent).remove(0).cost;
        cost.stay.expect("wages").minor()
    };
    assert!((stay("after_strike_off") - stay("none")).abs() < 20_000);
}

/// Common practice, no source: a pour takes three people at the least, one to place and two to strike off.
#[test]
fn one_alone_is_told_to_bring_two() {
    let mut sent = job(MILD);
    sent["crew"] = json!({"members": [{"class": "finisher", "count": 1}], "day": "14 h"});
    let day = day(&sent);
    let reason = day.reasons.iter().find(|reason| reason.code == "finishers");
    let text = &reason.expect("short of people").text;
    assert!(
        text.contains("3 people") && text.contains("Bring 2 more finishers"),
        "{text}"
    );
    assert_eq!(day.people, 3);
}

/// With more hands a truck is empty sooner, so that two do where few people would need three.
#[test]
fn trucks_are_counted_for_those_who_come() {
    let mut sent = job(MILD);
    sent["ramp"]["width"] = json!("20 ft");
    let few = day(&sent);
    let trucks =
        |day: &crossfall::pour::PourDay| day.course.as_ref().expect("a course").trucks.len();
    assert!(few.people > 3, "{}", few.people);
    sent["crew"] =
        json!({"members": [{"class": "finisher", "count": 3}, {"class": "labourer", "count": 9}]});
    assert!(trucks(&day(&sent)) <= trucks(&few));
}

/// Mixed from bags by three, the first concrete is hard before the last is placed: that is seen, though the last
/// could still be broomed.
#[test]
fn the_first_concrete_is_not_forgotten() {
    let mut sent = job(MILD);
    sent["crew"] = json!({"placing": "bags", "members": [{"class": "finisher", "count": 3}]});
    let day = day(&sent);
    let reason = day
        .reasons
        .iter()
        .find(|reason| matches!(reason.code, "finishers" | "too_large"));
    assert!(
        reason.is_some_and(|reason| reason.text.contains("first concrete")),
        "{:?}",
        day.reasons
    );
    let course = day.course.as_ref().expect("it sets");
    assert!(day.verdict == GoOrWait::Wait || course.edged <= course.first_closes);
}

/// An accelerator is asked for only where it sends the crew home half an hour sooner: under a wet cover, which
/// waits long for a slow mix, and not with a compound, where the work is what takes the time.
#[test]
fn an_accelerator_is_worth_it() {
    let with_day = |air: i32, cure: &str, hours: &str| {
        let mut sent = job(Sky {
            air: f64::from(air),
            ..MILD
        });
        sent["curing"] = json!({"method": cure});
        sent["crew"] = json!({"day": hours, "members": [{"class": "finisher", "count": 1}, {"class": "labourer", "count": 2}]});
        day(&sent)
    };
    let stay = |day: &crossfall::pour::PourDay| day.course.as_ref().expect("a course").stay();
    let mut taken = Vec::new();
    for (air, cure) in (41..70)
        .step_by(4)
        .flat_map(|air| [(air, "wet_cover"), (air, "compound")])
    {
        let (short, long) = (with_day(air, cure, "5 h"), with_day(air, cure, "14 h"));
        assert!(!measures(&long).contains(&"accelerator"), "{air}");
        if measures(&short).contains(&"accelerator") {
            taken.push(cure);
            assert!(
                stay(&short) + Span::from_minutes(29.0) <= stay(&long),
                "{air}"
            );
        }
    }
    assert!(
        taken.contains(&"wet_cover") && !taken.contains(&"compound"),
        "{taken:?}"
    );
}
