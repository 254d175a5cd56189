//! What an hour costs, and overtime by the week.

use super::*;
use crossfall::catalog::{Burden, BurdenOn, OwnRate, TaskMinutes, Wage, sum_components};
use crossfall::crew::{Limits, Released, Visit, measure_overtime};
use crossfall::job::Class as Worker;
use crossfall::quantity::Span;
use crossfall::quantity::money::Percentage;
use proptest::prelude::*;

fn wage(base: &str, fringe: &str, burdens: Vec<Burden>) -> Wage {
    Wage {
        schedule: "own".to_owned(),
        class: "labourer".to_owned(),
        effective_from: day("2026-01-01"),
        base: base.parse().expect("a price"),
        fringe: fringe.parse().expect("a price"),
        premium: Percentage::from_millionths(500_000),
        burdens,
    }
}

fn visit(day: u32, people: u32, hours: f64) -> Visit {
    let paid = Span::from_hours(hours * f64::from(people));
    Visit {
        visit: day,
        day,
        date: None,
        description: String::new(),
        crew: vec![(Worker::Labourer, people)],
        people,
        task_hours: paid,
        on_site: Span::from_hours(hours),
        released: None,
        standing: paid,
        standby: Span::ZERO,
        travel: Span::ZERO,
        paid,
        paid_by_class: vec![(Worker::Labourer, paid)],
        governed_by: "tasks",
        schedule: Vec::new(),
        lower_bound: Span::ZERO,
    }
}

/// Above 40 h a week, and above no hours of a day.
fn weekly() -> Limits {
    Limits {
        week: Span::from_hours(40.0),
        day: None,
    }
}

fn daily(hours: f64) -> Limits {
    Limits {
        day: Some(Span::from_hours(hours)),
        ..weekly()
    }
}

/// Hours above the limits: of the day, of the week.
fn over(visits: &[Visit], limits: Limits) -> Vec<(f64, f64)> {
    let over = measure_overtime(visits, limits);
    let hours = |span: Span| (span.hours() * 1e6).round() / 1e6;
    over.iter()
        .map(|over| (hours(over.daily), hours(over.weekly)))
        .collect()
}

/// US Department of Labor, 29 CFR 778.110, older text (second hand): $6 an hour, a week of 46 h
/// pays 46 x 6 + 6 x 3 = $294.
#[test]
fn a_week_of_46_hours_pays_as_published() {
    let wage = wage("6", "0", Vec::new());
    let week: Vec<Visit> = (1..=5)
        .map(|day| visit(day, 1, if day == 5 { 10.0 } else { 9.0 }))
        .collect();
    assert_eq!(over(&week, weekly()), [(0.0, 6.0)]);
    let cents = |price: crossfall::quantity::money::UnitPrice, hours: i64| {
        price.ten_thousandths() / 100 * hours
    };
    let straight = cents(sum_components(&wage.components()), 46);
    let premium = cents(sum_components(&wage.premium_components()), 6);
    assert_eq!(straight + premium, 29_400);
}

/// 29 CFR 778.104: each workweek stands alone; hours of two weeks are not averaged.
#[test]
fn each_week_stands_alone_and_each_person_too() {
    let days = |from: u32, hours: f64| (from..from + 5).map(move |day| visit(day, 1, hours));
    let two: Vec<Visit> = days(1, 10.0).chain(days(8, 6.0)).collect();
    assert_eq!(over(&two, weekly()), [(0.0, 10.0)]);
    let shared: Vec<Visit> = (1..=5).map(|day| visit(day, 2, 8.0)).collect();
    assert!(
        over(&shared, weekly()).is_empty(),
        "80 h of two people are 40 each"
    );
    let exact: Vec<Visit> = days(1, 8.0).collect();
    assert!(over(&exact, weekly()).is_empty(), "40 h are not over 40");
}

/// By hand, above 8 h a day: 10, 10, 9, 8 and 8 h are 45 h. Above 8 h a day lie 2 + 2 + 1 = 5 h; the
/// other 40 h are not above 40. A sixth day of 6 h leaves 46 h within the days, 6 of them above 40.
/// The week's rule alone takes 45 - 40 = 5 h and 51 - 40 = 11 h: no hour is taken twice.
#[test]
fn a_day_and_a_week_never_take_the_same_hour() {
    let mut week: Vec<Visit> = [10.0, 10.0, 9.0, 8.0, 8.0]
        .into_iter()
        .zip(1..)
        .map(|(hours, day)| visit(day, 1, hours))
        .collect();
    assert_eq!(over(&week, daily(8.0)), [(5.0, 0.0)]);
    assert_eq!(over(&week, weekly()), [(0.0, 5.0)]);
    week.push(visit(6, 1, 6.0));
    assert_eq!(over(&week, daily(8.0)), [(5.0, 6.0)]);
    assert_eq!(over(&week, weekly()), [(0.0, 11.0)]);
    // At six dollars: 51 x 6 + 11 x 3 = 339.
    let (straight, premium) = (51.0 * 6.0, (5.0 + 6.0) * 3.0);
    assert_eq!(straight + premium, 339.0);
}

/// By hand: a pour of 10 h for one helper and 6 h for another who leaves early is 2 h above 8 h of the
/// one, not 0 h of two people with 8 h each.
#[test]
fn who_leaves_early_has_hours_of_his_own() {
    let mut pour = visit(1, 2, 8.0);
    pour.released = Some(Released {
        people: 1,
        on_site: Span::from_hours(5.0),
        paid: Span::from_hours(6.0),
    });
    assert_eq!(pour.paid.hours(), 16.0);
    assert_eq!(over(&[pour], daily(8.0)), [(2.0, 0.0)]);
}

/// 29 CFR 5.32 (from memory): fringe benefits are no part of what overtime is reckoned on.
#[test]
fn the_premium_is_on_the_base_and_on_what_is_owed_on_it_only() {
    let burden = |name: &str, on| Burden {
        name: name.to_owned(),
        on,
    };
    let share = |millionths, on_premium| BurdenOn::Base {
        share: Percentage::from_millionths(millionths),
        on_premium,
    };
    let wage = wage(
        "40",
        "12.50",
        vec![
            burden("insurance", share(140_000, false)),
            burden("payroll tax", share(76_500, true)),
            burden("tools", BurdenOn::Hour("2".parse().expect("a price"))),
        ],
    );
    assert_eq!(
        sum_components(&wage.components()).to_string(),
        "63.16",
        "40 + 12.50 + 5.60 + 3.06 + 2"
    );
    assert_eq!(
        sum_components(&wage.premium_components()).to_string(),
        "21.53",
        "20 + 7.65 % of 20"
    );
}

#[test]
fn a_schedule_set_by_contract_prices_the_hours_of_a_job_that_names_it() {
    let contract = Wage {
        schedule: "county".to_owned(),
        ..wage("52", "21.40", Vec::new())
    };
    let both = ["finisher", "labourer"].map(|class| Wage {
        class: class.to_owned(),
        ..contract.clone()
    });
    let book = write(
        &demo(),
        &Change {
            wages: both.to_vec(),
            ..Change::default()
        },
    );
    let list = list_of(&book, "2026-05-04");
    let found = estimate(&list, &straight(r#""crew": {"wages": "county"},"#));
    let labour: Vec<_> = found
        .priced
        .lines
        .iter()
        .filter(|line| line.code.starts_with("labour-"))
        .collect();
    assert!(
        labour.len() == 2
            && labour
                .iter()
                .all(|line| line.unit_price.to_string() == "73.40")
    );
    assert_eq!(labour[0].made_of.len(), 2, "base and fringe are shown");
    assert!(found.priced.complete());
    let none = estimate(&list, &straight(r#""crew": {"wages": "state"},"#));
    assert!(
        !none.priced.complete(),
        "a schedule that is not there is never replaced"
    );
    assert!(
        none.priced.unpriced[0].why.contains("`state`"),
        "{}",
        none.priced.unpriced[0].why
    );
}

#[test]
fn long_days_on_one_job_bring_a_line_of_overtime() {
    let long = r#""crew": {"day": "12 h", "members": [{"class": "finisher", "count": 1}, {"class": "labourer", "count": 1}]},
        "site": {"start": "2026-05-04"},"#;
    let job = format!(
        r#"{{{long} "ramp": {{"width": "12 ft", "path": [{{"kind": "landing", "length": "20 ft"}},
        {{"kind": "run", "rise": "29 in", "length": "30 ft"}}, {{"kind": "landing", "length": "20 ft"}}]}}}}"#
    );
    let found = estimate(&list_of(&demo(), "2026-05-04"), &job);
    let over: f64 = found
        .hours
        .overtime
        .iter()
        .map(|over| over.hours().hours())
        .sum();
    assert!(
        over > 0.0,
        "{:?}",
        found
            .hours
            .visits
            .iter()
            .map(|v| (v.day, v.on_site.hours()))
            .collect::<Vec<_>>()
    );
    let line = found
        .priced
        .lines
        .iter()
        .find(|line| line.code == "labour-finisher-overtime");
    let line = line.expect("a premium for the finisher");
    assert_eq!(
        line.unit_price.to_string(),
        "21.53",
        "half of 40, and 7.65 % of that"
    );
}

#[test]
fn the_crew_s_own_rate_takes_the_place_of_the_built_in_one() {
    let minutes = |likely: &str| TaskMinutes {
        setup: decimal("0"),
        low: decimal("0"),
        likely: decimal(likely),
        high: decimal("60"),
    };
    let own = |rate: Option<TaskMinutes>| {
        let book = write(
            &demo(),
            &Change {
                rates: vec![OwnRate {
                    task: "finish".to_owned(),
                    minutes: rate,
                }],
                ..Change::default()
            },
        );
        let found = estimate(&list_of(&book, "2026-05-04"), &straight(""));
        let task = found
            .hours
            .tasks
            .iter()
            .find(|task| task.code == "finish")
            .expect("it is done")
            .clone();
        (task.rate.likely, task.source.document)
    };
    let (likely, source) = own(Some(minutes("3")));
    assert!((likely - 0.05).abs() < 1e-12, "3 min are 0.05 h");
    assert!(source.contains("book demo"), "{source}");
    let (built_in, _) = own(None);
    assert!((built_in - 0.05).abs() > 1e-6, "given back");
}

proptest! {
    #![proptest_config(crate::config())]

    /// By the federal rule, over random weeks: the sum over people and weeks of what is above 40.
    #[test]
    fn overtime_is_what_each_person_works_above_40_in_each_week(
        days in proptest::collection::btree_map(1..29_u32, (1..4_u32, 1..14_u32), 1..20),
    ) {
        let visits: Vec<Visit> = days.iter().map(|(day, (people, hours))| visit(*day, *people, f64::from(*hours))).collect();
        let found: f64 = measure_overtime(&visits, weekly()).iter().map(|over| over.hours().hours()).sum();
        let mut expected = 0;
        for week in 0..4 {
            for person in 0..3 {
                let in_week = days.iter().filter(|(day, (people, _))| (*day - 1) / 7 == week && *people > person);
                let hours: u32 = in_week.map(|(_, (_, hours))| hours).sum();
                expected += hours.saturating_sub(40);
            }
        }
        prop_assert!((found - f64::from(expected)).abs() < 1e-6, "{found} against {expected}");
    }
}
