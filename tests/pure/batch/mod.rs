//! Many jobs together: sums that add up, weeks of the calendar, orders rounded once.

mod shared;
mod together;

use crate::worked::priced;
use crossfall::batch::{Combined, Status, Summary, Told, is_under_least};
use crossfall::estimate::Estimate;
use crossfall::job::Day;
use crossfall::quantity::money::UnitPrice;
use proptest::prelude::*;
use rust_decimal::Decimal;
use std::sync::LazyLock;

fn ramp(extra: &str, rise: &str) -> String {
    format!(
        r#"{{{extra}"ramp": {{"path": [{{"kind": "landing"}},
        {{"kind": "run", "rise": "{rise}", "slope": "1:13"}}, {{"kind": "landing"}}]}}}}"#
    )
}

/// Jobs of several sizes, one of them in metric units, one without steel, one with a start.
static JOBS: LazyLock<Vec<Estimate>> = LazyLock::new(|| {
    [
        ramp("", "28 in"),
        ramp("", "9 in"),
        ramp(r#""units": "metric","#, "400 mm"),
        ramp(r#""reinforcement": "none","#, "14 in"),
        ramp(r#""site": {"start": "2026-12-30"},"#, "14 in"),
    ]
    .iter()
    .map(|text| priced(text))
    .collect()
});

fn sum<'a>(jobs: impl IntoIterator<Item = &'a Estimate>) -> Summary {
    let mut summary = Summary::default();
    for (job, row) in jobs.into_iter().zip(2..) {
        let told = Told {
            row,
            ..Told::default()
        };
        summary.add(job, told, None);
    }
    summary
}

#[test]
fn money_is_the_sum_of_the_rows_to_the_cent() {
    let summary = sum(JOBS.iter());
    let sums = &summary.money["USD"];
    assert_eq!(sums.jobs, 5);
    assert_eq!(sums.amounts.len(), 12);
    for (name, found) in &sums.amounts {
        let figure = crossfall::figures::Figure::named(name).expect("a figure of this name");
        let by_row = |job| {
            let shown = figure.of(job).expect("a whole price");
            shown.as_str().parse::<Decimal>().expect("money")
        };
        let expected: Decimal = JOBS.iter().map(by_row).sum();
        assert_eq!(found.to_string().parse::<Decimal>(), Ok(expected), "{name}");
    }
}

#[test]
fn a_job_without_a_price_is_counted_and_not_summed() {
    let text = ramp(
        r#""slab": {"concrete": {"strength": "7500 psi"}},"#,
        "14 in",
    );
    let open = priced(&text);
    assert_eq!(Status::of(&open), Status::Incomplete);
    let summary = sum([&JOBS[0], &open]);
    assert_eq!((summary.ok, summary.incomplete, summary.rows), (1, 1, 2));
    assert_eq!(summary.money["USD"].jobs, 1);
    // Hours and concrete are known without a price.
    assert!(summary.concrete > JOBS[0].takeoff.concrete.order);
}

#[test]
fn a_week_is_that_of_the_calendar_and_an_area_is_told_apart() {
    let mut summary = Summary::default();
    let day = |text: &str| Day::parse(text);
    // ISO 8601: 2026-12-28 is the Monday of week 53, which holds New Year's Day; published example:
    // 2020-12-31 is in 2020-W53 and 2021-01-04 begins 2021-W01.
    for (text, area) in [
        ("2020-12-31", Some("a")),
        ("2021-01-03", Some("a")),
        ("2021-01-04", Some("a")),
        ("2021-01-04", None),
    ] {
        let told = Told {
            row: 2,
            day: day(text),
            area,
        };
        summary.add(&JOBS[1], told, None);
    }
    let told: Vec<(String, &str, u64)> = summary
        .weeks
        .by_key
        .iter()
        .map(|(key, week)| (key.name(), key.area.as_str(), week.jobs))
        .collect();
    let expected = [
        ("2020-W53", "a", 2),
        ("2021-W01", "", 1),
        ("2021-W01", "a", 1),
    ];
    let expected = expected.map(|(week, area, jobs)| (week.to_owned(), area, jobs));
    assert_eq!(told, expected);
}

#[test]
fn a_job_with_a_start_falls_into_the_week_of_its_pour() {
    let summary = sum([&JOBS[4]]);
    let keys: Vec<String> = summary.weeks.by_key.keys().map(|key| key.name()).collect();
    // It starts on the Wednesday of 2026-W53 and pours after forming, not before that week.
    assert_eq!(summary.weeks.undated, 0);
    assert!(keys == ["2026-W53"] || keys == ["2027-W01"], "{keys:?}");
}

#[test]
fn areas_are_free_text_and_still_bounded() {
    let mut summary = Summary::default();
    for number in 0..10_500_u32 {
        let area = number.to_string();
        let told = Told {
            row: 2,
            day: Day::parse("2026-05-04"),
            area: Some(&area),
        };
        summary.add(&JOBS[1], told, None);
    }
    assert!(summary.weeks.by_key.len() <= 10_001);
    let jobs: u64 = summary.weeks.by_key.values().map(|week| week.jobs).sum();
    assert_eq!(jobs, 10_500, "none is lost");
}

fn order<'a>(summary: &'a Summary, code: &str) -> &'a Combined {
    let mut orders = summary.orders.by_item.iter();
    let (_, found) = orders
        .find(|((item, _), _)| item == code)
        .expect("an order");
    found
}

#[test]
fn what_one_job_leaves_over_serves_the_next() {
    // One pail holds 5 gal; a job needs some of it (common practice, no source).
    let summary = sum([&JOBS[0], &JOBS[0], &JOBS[0]]);
    let silane = order(&summary, "silane-5gal");
    let line = JOBS[0]
        .takeoff
        .lines
        .iter()
        .find(|line| line.code == "silane-5gal");
    let exact = line
        .and_then(|line| line.exact)
        .expect("an exact order")
        .number;
    assert_eq!(silane.job_by_job.number(), 3.0 * exact.ceil());
    assert_eq!(silane.order().number(), (3.0 * exact).ceil());
    assert!(silane.order() < silane.job_by_job);
    // Each pour has its own truck, and each job its own cuts.
    for code in ["concrete-4500-air", "bar-no4-20ft"] {
        let own = order(&summary, code);
        assert_eq!(own.order(), own.job_by_job, "{code}");
    }
    // Boards serve several jobs.
    let board = order(&summary, "board-2x4-16ft");
    assert!(board.order() < board.job_by_job);
}

#[test]
fn an_exact_order_rounds_up_to_the_order() {
    for job in JOBS.iter() {
        for line in &job.takeoff.lines {
            let Some(exact) = line.exact else { continue };
            let steps = exact.number / exact.step.number();
            let rounded = (steps - 1e-9 * steps.abs()).ceil() * exact.step.number();
            assert!(
                (line.order.number() - rounded).abs() < 1e-6,
                "{}: {exact:?}",
                line.code
            );
        }
    }
}

#[test]
fn a_price_under_the_least_of_its_visits_is_found_exactly() {
    let job = &JOBS[0];
    let visits = i64::try_from(job.hours.visits.len()).expect("few");
    let total = job.priced.total().expect("a price").minor();
    let least = |cents: i64| {
        let text = format!("{}.{:02}", cents / 100, cents % 100);
        UnitPrice::parse(&text).ok()
    };
    // Rounded down it is kept, one cent more a visit it is not.
    assert!(!is_under_least(job, least(total / visits)));
    assert!(is_under_least(job, least(total / visits + 1)));
    assert!(!is_under_least(job, None));
}

proptest! {
    /// However rows are cut into groups, money and counts are the same, and no order grows.
    #[test]
    fn groups_add_up_to_the_whole(
        picks in prop::collection::vec(0_usize..5, 1..12),
        cut in 0_usize..12,
    ) {
        let jobs: Vec<&Estimate> = picks.iter().map(|pick| &JOBS[*pick]).collect();
        let (first, rest) = jobs.split_at(cut.min(jobs.len()));
        let whole = sum(jobs.iter().copied());
        let mut parts = sum(first.iter().copied());
        parts.merge(sum(rest.iter().copied()));
        prop_assert_eq!(&parts.money, &whole.money);
        prop_assert_eq!((parts.rows, parts.ok, parts.visits), (whole.rows, whole.ok, whole.visits));
        for (key, combined) in &whole.orders.by_item {
            prop_assert!(combined.order() <= combined.job_by_job, "{:?}", key);
            prop_assert_eq!(parts.orders.by_item[key].order(), combined.order(), "{:?}", key);
        }
    }
}
