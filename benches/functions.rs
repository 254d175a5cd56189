//! What one job costs, room by room, in the process itself: `cargo bench --bench functions`.
//!
//! Invariant: the jobs are those of `examples/` and the prices the demo book's, so that a figure can
//! be found again. Absent: sockets and threads (`benches/serve.sh`).

use crossfall::book::demo_history;
use crossfall::catalog::{Catalog, PriceList};
use crossfall::crew::{Rates, plan_hours_with};
use crossfall::estimate::{Brief, Estimate, With, Worked, estimate, fill, price, work_out};
use crossfall::figures::Figure;
use crossfall::geometry::{self, Geometry};
use crossfall::job::{Day, Job, JobRequest, ShortHeading};
use crossfall::price::{Lookups, sum_up};
use crossfall::rules::{RuleSets, check};
use crossfall::takeoff::{Detail, Takeoff, take_off_with};
use divan::{Bencher, black_box};
use std::sync::{Arc, LazyLock};

/// The allocator of the service.
#[cfg(unix)]
#[global_allocator]
static ALLOCATOR: tikv_jemallocator::Jemalloc = tikv_jemallocator::Jemalloc;

const JOB: &str = include_str!("../examples/l-shape.json");
const NAMES: [&str; 7] = [
    "job", "rise_in", "runs", "turn", "left", "width_in", "joint",
];
const CELLS: [&str; 7] = ["side door", "23.5", "2", "left", "wall", "60", "sawn"];

/// Everything that the rooms are given.
struct Given {
    list: PriceList,
    sent: JobRequest,
    job: Job,
    geometry: Geometry,
    takeoff: Takeoff,
    worked: Worked,
    heading: ShortHeading,
    estimate: Estimate,
}

fn today() -> Day {
    Day::parse("2026-05-04").expect("a day that exists")
}

fn with(list: &PriceList) -> With<'_> {
    With {
        rules: RuleSets::built_in(),
        catalog: Catalog::built_in(),
        rates: Rates::built_in(),
        list,
    }
}

static GIVEN: LazyLock<Given> = LazyLock::new(|| {
    let history = demo_history().expect("the demo book can be read");
    let list = PriceList::new(Arc::new(history), None, today().0).expect("it has a revision");
    let sent: JobRequest = serde_json::from_str(JOB).expect("an example");
    let job = fill(sent.clone(), today(), with(&list))
        .expect("no fault")
        .job;
    let geometry = geometry::solve(&job);
    let takeoff = take_off_with(&job, &geometry, (Catalog::built_in(), Detail::Worked));
    Given {
        worked: work_out(&job, with(&list), Detail::Described),
        estimate: estimate(sent.clone(), today(), with(&list)).expect("no fault"),
        heading: ShortHeading::bind(&NAMES),
        list,
        sent,
        job,
        geometry,
        takeoff,
    }
});

fn main() {
    LazyLock::force(&GIVEN);
    divan::main();
}

#[divan::bench]
fn parse() -> JobRequest {
    serde_json::from_str(black_box(JOB)).expect("an example")
}

#[divan::bench]
fn fill_in(bencher: Bencher) {
    bencher
        .with_inputs(|| GIVEN.sent.clone())
        .bench_values(|sent| fill(sent, today(), with(&GIVEN.list)));
}

#[divan::bench]
fn geometry() -> Geometry {
    geometry::solve(black_box(&GIVEN.job))
}

#[divan::bench]
fn rules() {
    drop(black_box(check(
        &GIVEN.job,
        &GIVEN.geometry,
        RuleSets::built_in(),
    )));
}

const DETAILS: [Detail; 3] = [Detail::Worked, Detail::Described, Detail::Amounts];

#[divan::bench(args = DETAILS)]
fn takeoff(detail: Detail) -> Takeoff {
    take_off_with(&GIVEN.job, &GIVEN.geometry, (Catalog::built_in(), detail))
}

#[divan::bench(args = DETAILS)]
fn hours(detail: Detail) {
    black_box(plan_hours_with(
        &GIVEN.job,
        &GIVEN.geometry,
        &GIVEN.takeoff,
        (Rates::built_in(), detail),
    ));
}

#[divan::bench]
fn price_lines() {
    black_box(price(&GIVEN.job, &GIVEN.worked, &GIVEN.list));
}

#[divan::bench]
fn price_summed(bencher: Bencher) {
    let lookups = Lookups::of(&GIVEN.job, &GIVEN.list);
    bencher.bench_local(|| sum_up(GIVEN.worked.parts(&GIVEN.job), &lookups));
}

fn brief(sent: &JobRequest, unknowns: bool) -> Brief {
    Brief {
        unknowns,
        detail: Detail::Described,
        ..Brief::from(sent.clone())
    }
}

#[divan::bench(args = [false, true])]
fn whole_estimate(unknowns: bool) {
    let brief = brief(&GIVEN.sent, unknowns);
    drop(black_box(estimate(brief, today(), with(&GIVEN.list))));
}

#[divan::bench]
fn short_line() {
    drop(black_box(GIVEN.heading.read_cells(black_box(&CELLS), '.')));
}

#[divan::bench(args = [false, true])]
fn short_row(unknowns: bool) {
    let short = GIVEN
        .heading
        .read_cells(black_box(&CELLS), '.')
        .expect("no fault");
    let brief = Brief {
        sent: short.sent,
        assumed: short.assumed,
        unknowns,
        detail: Detail::Described,
    };
    let estimate = estimate(brief, today(), with(&GIVEN.list)).expect("no fault");
    for figure in Figure::usual() {
        drop(black_box(figure.of(&estimate)));
    }
}

#[divan::bench]
fn figures() {
    for figure in Figure::usual() {
        drop(black_box(figure.of(&GIVEN.estimate)));
    }
}
