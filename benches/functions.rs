//! What one job costs, room by room, in the process itself: `cargo bench --bench functions`.
//!
//! Invariant: the jobs are those of `examples/` and the prices the demo book's, so that a figure can
//! be found again. Absent: sockets and threads (`benches/serve.sh`).

use crossfall::book::demo_history;
use crossfall::catalog::{Catalog, PriceList, Worths};
use crossfall::crew::{Rates, plan_hours_with};
use crossfall::estimate::{Brief, Estimate, With, Worked, estimate, fill, price, work_out};
use crossfall::figures::Figure;
use crossfall::geometry::{self, Geometry};
use crossfall::job::{Day, Job, JobRequest, ShortHeading};
use crossfall::loads::{Asked, LoadPlanRequest, Plan, TRIALS, plan_loads, read_request};
use crossfall::price::{Lookups, sum_up};
use crossfall::quantity::Length;
use crossfall::rules::{RuleSets, check};
use crossfall::takeoff::{Detail, Piece, Problem, Stock, Takeoff, cut, take_off_with};
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
    let takeoff = take_off_with(
        &job,
        &geometry,
        (Catalog::built_in(), Worths::UNKNOWN),
        Detail::Worked,
    );
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
    take_off_with(
        &GIVEN.job,
        &GIVEN.geometry,
        (Catalog::built_in(), Worths::UNKNOWN),
        detail,
    )
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
        supply: false,
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
        supply: false,
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

/// Pieces of so many, from 8 in up to 12 ft to the inch, by a linear congruential generator (constants
/// from memory).
fn drawn_pieces(count: u32) -> Vec<Piece> {
    let mut state = u64::from(count);
    let pieces = (0..count).map(|_| {
        state = state.wrapping_mul(6_364_136_223_846_793_005);
        state = state.wrapping_add(1_442_695_040_888_963_407);
        Piece {
            mark: String::new(),
            length: Length::from_inches((8 + (state >> 33) % 137) as f64),
            count: 1,
        }
    });
    pieces.collect()
}

/// One length, or three with prices that are no multiples of their lengths.
fn drawn_stock(lengths: usize) -> Vec<Stock> {
    let sold = [(20.0, 124_000), (12.0, 82_000), (16.0, 99_000)];
    let sold = sold.iter().take(lengths);
    sold.map(|(feet, worth)| Stock {
        code: format!("stock-{feet}"),
        length: Length::from_feet(*feet),
        worth: Some(*worth),
    })
    .collect()
}

/// Cut lists by pieces and stock lengths; each is printed once with its gap.
#[divan::bench(args = [(10, 1), (100, 1), (1000, 1), (10, 3), (100, 3), (1000, 3)])]
fn cut_list(bencher: Bencher, (count, lengths): (u32, usize)) {
    let (pieces, stock) = (drawn_pieces(count), drawn_stock(lengths));
    let problem = Problem {
        stock: &stock,
        pieces: &pieces,
        kerf: Length::from_inches(0.125),
        keep: Length::from_feet(2.0),
        nodes: 4_000,
    };
    let list = cut(&problem);
    eprintln!(
        "{count} pieces, {lengths} lengths: {} pieces of stock, gap {:.3} %, {}",
        list.pieces,
        list.gap.percent(),
        list.method.words()
    );
    bencher.bench_local(|| cut(black_box(&problem)));
}

fn pours() -> LoadPlanRequest {
    serde_json::from_str(include_str!("../examples/load-plan.json")).expect("an example")
}

/// The example's pours, and thirty of one day and place that nearly all could share with one another.
fn asked(of: &str) -> Asked {
    let mut sent = pours();
    if of == "alike" {
        let one = sent.pours[2].clone();
        sent.pours = (0..30)
            .map(|number| {
                let mut pour = one.clone();
                pour.name = format!("pour {number}");
                pour
            })
            .collect();
        // Only what a pour names may stand in the table.
        sent.travel = None;
    }
    read_request(&sent, Some(&GIVEN.list))
        .expect("no fault")
        .asked
}

#[divan::bench(args = ["example", "alike"])]
fn load_plan(bencher: Bencher, of: &str) {
    let asked = asked(of);
    bencher.bench_local(|| -> Plan { plan_loads(black_box(&asked), TRIALS) });
}
