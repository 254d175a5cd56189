//! What a plan of visits brings into the price and its cautions: a day's overtime, an hour in the
//! office, the only way in.

use super::*;
use crossfall::catalog::Wage;
use crossfall::price::{Lookups, PriceLine, sum_up};
use crossfall::quantity::money::Percentage;

fn line<'a>(found: &'a Estimate, code: &str) -> Option<&'a PriceLine> {
    found.priced.lines.iter().find(|line| line.code == code)
}

fn cautions<'a>(found: &'a Estimate, kind: &str) -> Vec<&'a str> {
    let of_kind = found.cautions.iter().filter(|caution| caution.kind == kind);
    of_kind.map(|caution| caution.text.as_str()).collect()
}

/// The quick sum knows the same lines as the whole price.
fn sums_agree(found: &Estimate, list: &PriceList) {
    let parts = crossfall::price::Parts {
        job: &found.job,
        geometry: &found.geometry,
        takeoff: &found.takeoff,
        hours: &found.hours,
    };
    let sum = sum_up(parts, &Lookups::of(&found.job, list));
    assert_eq!(sum, found.priced.build_up.total());
}

/// Above 6 h a day every class has hours of overtime; the premium of the demo book is half of the base and
/// what is owed on that, $21.53 for a finisher (20 + 7.65 % of 20).
#[test]
fn a_day_s_overtime_is_charged_like_a_week_s() {
    let list = list_of(&demo(), "2026-05-04");
    let plain = estimate(&list, &straight(""));
    assert!(line(&plain, "labour-finisher-overtime").is_none());
    let found = estimate(&list, &straight(r#""crew": {"daily_limit": "6 h"},"#));
    let premium = line(&found, "labour-finisher-overtime").expect("a premium");
    let over = found
        .hours
        .overtime
        .iter()
        .find(|over| over.class == crossfall::job::Class::Finisher);
    let over = over.expect("hours of the finisher");
    assert!(over.weekly.is_zero() && !over.daily.is_zero());
    assert_eq!(premium.quantity.number(), over.hours().hours());
    assert_eq!(premium.unit_price.to_string(), "21.53");
    assert!(
        premium.description.contains("day and week"),
        "{}",
        premium.description
    );
    // The hours themselves are paid as before.
    assert_eq!(found.hours.totals, plain.hours.totals);
    sums_agree(&found, &list);
}

fn county(class: &str, base: &str) -> Wage {
    Wage {
        schedule: "county".to_owned(),
        class: class.to_owned(),
        effective_from: day("2026-01-01"),
        base: base.parse().expect("a price"),
        fringe: "0".parse().expect("a price"),
        premium: Percentage::from_millionths(500_000),
        burdens: Vec::new(),
    }
}

#[test]
fn an_hour_in_the_office_is_priced_where_the_book_knows_one() {
    let job = straight(r#""crew": {"wages": "county"},"#);
    let crew = [county("finisher", "52"), county("labourer", "44")];
    let with = |wages: Vec<Wage>| {
        let change = Change {
            wages,
            ..Change::default()
        };
        let list = list_of(&write(&demo(), &change), "2026-05-04");
        let found = estimate(&list, &job);
        let wanted = list
            .clone()
            .wanting(asked_book(&read(&job), today()).wanted);
        sums_agree(&found, &wanted);
        found
    };
    let without = with(crew.to_vec());
    assert!(line(&without, "labour-office").is_none() && without.priced.complete());
    let told = cautions(&without, "office");
    assert!(
        told.iter().any(|text| text.contains("about 3 h")),
        "{told:?}"
    );

    let priced = with(
        crew.into_iter()
            .chain([county("office", "31.50")])
            .collect(),
    );
    let office = line(&priced, "labour-office").expect("hours in the office");
    // Three weeks with visits, an hour each: 3 x 31.50.
    assert_eq!(office.extended.to_string(), "94.50");
    assert!(
        cautions(&priced, "office")
            .iter()
            .all(|text| !text.contains("not in this price"))
    );
    let own = estimate(&list_of(&demo(), "2026-05-04"), &straight(""));
    assert!(cautions(&own, "office").is_empty());
}

#[test]
fn the_only_way_in_calls_a_caution_with_its_days() {
    let list = list_of(&demo(), "2026-05-04");
    let only = estimate(
        &list,
        &straight(r#""site": {"only_accessible_entrance": true},"#),
    );
    let days = format!("{} days", only.hours.days_entrance_closed);
    let told = cautions(&only, "way_in");
    assert!(told.len() == 1 && told[0].contains(&days), "{told:?}");
    let other = estimate(&list, &straight(""));
    assert!(cautions(&other, "way_in").is_empty());
    let assumed = other
        .assumptions
        .iter()
        .find(|one| one.pointer == "/site/only_accessible_entrance");
    assert_eq!(assumed.expect("an assumption").value, "no");
}

#[test]
fn the_plan_of_days_names_what_each_waits_for() {
    let list = list_of(&demo(), "2026-05-04");
    let found = estimate(&list, &straight(r#""site": {"start": "2026-05-11"},"#));
    let pour = found
        .day_plan
        .iter()
        .find(|day| day.text.contains("bottom to top"));
    let holds = &pour.expect("a pour").holds;
    let concrete = holds.iter().find(|hold| hold.contains("concrete, booked"));
    // The pour is on Wednesday the 13th: two working days before it is Monday the 11th, day 1.
    assert_eq!(
        concrete.map(String::as_str),
        Some(
            "The concrete, booked with its mix, volume and time, from the ready-mix plant; ask by day 1, 2026-05-11."
        )
    );
    let all: usize = found.day_plan.iter().map(|day| day.holds.len()).sum();
    assert_eq!(all, found.hours.holds.len());
}
