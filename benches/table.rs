//! Many jobs in the process itself: `table ROWS THREADS product|ceiling`, `table ROWS 1 single`.
//!
//! Invariants: the ceiling reads every cell by the service's own reader into the service's own request,
//! and writes the same cells for every row, prepared once; the product prices each row; single reads,
//! prices and writes one whole estimate as often. Groups come back in their order. With UNKNOWNS in the
//! environment a row also tells which input moves its price most; with PRICES=N the demo book holds so
//! many invented prices more. Absent: sockets. `benches/serve.sh` runs it in pairs.

use crossfall::book::demo_history;
use crossfall::catalog::{Catalog, Change, History, Item, Price, PriceList, Revision};
use crossfall::crew::Rates;
use crossfall::estimate::{Brief, With, estimate};
use crossfall::figures::{Figure, Shown};
use crossfall::http::answer::{EstimateAnswer, View};
use crossfall::job::{Day, JobRequest, ShortHeading};
use crossfall::quantity::System;
use crossfall::rules::RuleSets;
use crossfall::sheet::{Cell, CsvRecord, CsvStream, CsvWriter, Dialect, Heading, Limits};
use crossfall::takeoff::Detail;
use std::fmt::Write as _;
use std::sync::Arc;
use std::sync::mpsc::{Receiver, SyncSender, sync_channel};
use std::time::Instant;

/// The allocator of the service.
#[cfg(unix)]
#[global_allocator]
static ALLOCATOR: tikv_jemallocator::Jemalloc = tikv_jemallocator::Jemalloc;

const JOB: &str = include_str!("../examples/l-shape.json");

/// Rows of one group, and groups that wait.
const ROWS: usize = 64;
const WAITING: usize = 4;

/// The table's own figures without the one that prices a job many times.
fn figures() -> Vec<&'static Figure> {
    let mut figures = Figure::usual();
    if std::env::var_os("UNKNOWNS").is_none() {
        figures.retain(|figure| !figure.needs_unknowns());
    }
    figures
}

/// Invented entrances that differ in rise, width, runs and what stands beside them.
fn entrances(rows: usize) -> String {
    let mut text = "job,rise_in,runs,turn,left,width_in\n".to_owned();
    for row in 0..rows {
        let rise = 8.0 + (row * 7 % 41) as f64 / 2.0;
        let (runs, turn) = [("", ""), ("2", ""), ("2", "left"), ("2", "back_left")][row % 4];
        let left = ["", "wall", "form_on_wall"][row % 3];
        let width = [48, 60, 60, 72][row / 3 % 4];
        let _ = writeln!(text, "entrance {row},{rise},{runs},{turn},{left},{width}");
    }
    text
}

struct Work {
    list: PriceList,
    heading: Heading,
    short: ShortHeading,
    dialect: Dialect,
    figures: Vec<&'static Figure>,
    today: Day,
    /// The cells of every row, where nothing is computed.
    prepared: Option<Vec<Shown>>,
}

impl Work {
    fn with(&self) -> With<'_> {
        With {
            rules: RuleSets::built_in(),
            catalog: Catalog::built_in(),
            rates: Rates::built_in(),
            list: &self.list,
        }
    }

    fn price(&self, texts: &[&str]) -> Vec<Shown> {
        let short = self.short.read_cells(texts, '.').expect("no fault");
        let brief = Brief {
            sent: short.sent,
            assumed: short.assumed,
            unknowns: self.figures.iter().any(|figure| figure.needs_unknowns()),
            supply: false,
            detail: Detail::Described,
        };
        let estimate = estimate(brief, self.today, self.with()).expect("no fault");
        let figures = self.figures.iter();
        figures
            .map(|figure| figure.of(&estimate).unwrap_or(Shown::Text(String::new())))
            .collect()
    }

    fn group(&self, records: &[CsvRecord]) -> Vec<u8> {
        let mut writer = CsvWriter::new(Vec::new(), self.dialect);
        for record in records {
            let sent = record.cells(&self.heading, self.dialect).expect("cells");
            let texts: Vec<&str> = sent.iter().map(String::as_str).collect();
            let found = match &self.prepared {
                None => &self.price(&texts),
                Some(prepared) => {
                    std::hint::black_box(self.short.read_cells(&texts, '.').expect("no fault"));
                    prepared
                }
            };
            let sent = texts.iter().map(|text| Cell::Text(text));
            let cells: Vec<Cell<'_>> = sent.chain(found.iter().map(cell)).collect();
            writer.write(&cells).expect("it is written into memory");
        }
        writer.finish().expect("it is written into memory")
    }
}

fn cell(shown: &Shown) -> Cell<'_> {
    match shown {
        Shown::Number(text) | Shown::Money(text) => Cell::Number(text),
        Shown::Text(text) if text.is_empty() => Cell::Empty,
        Shown::Text(text) => Cell::Text(text),
    }
}

fn begin(work: &mut Work, ceiling: bool) {
    if ceiling {
        work.prepared = Some(work.price(&["side door", "23.5", "2", "left", "wall", "60"]));
    }
}

/// Answers groups on so many threads, in their order; gives the bytes of all answers.
fn answer(work: &Arc<Work>, mut rows: CsvStream<&[u8]>, threads: usize) -> usize {
    let mut next = move || {
        let record = || rows.next_record().ok().flatten();
        let group: Vec<CsvRecord> = std::iter::from_fn(record).take(ROWS).collect();
        (!group.is_empty()).then_some(group)
    };
    if threads < 2 {
        return std::iter::from_fn(next)
            .map(|group| work.group(&group).len())
            .sum();
    }
    std::thread::scope(|scope| {
        let lanes: Vec<(SyncSender<Vec<CsvRecord>>, Receiver<usize>)> = (0..threads)
            .map(|_| {
                let (give, take) = sync_channel::<Vec<CsvRecord>>(WAITING);
                let (answer, answered) = sync_channel(WAITING);
                scope.spawn(move || {
                    for group in take {
                        let _ = answer.send(work.group(&group).len());
                    }
                });
                (give, answered)
            })
            .collect();
        let (mut given, mut bytes) = (0, 0);
        while let Some(group) = next() {
            let (give, answered) = &lanes[given % threads];
            if given >= threads * WAITING {
                bytes += answered.recv().unwrap_or(0);
            }
            let _ = give.send(group);
            given += 1;
        }
        for (give, answered) in lanes {
            drop(give);
            bytes += answered.iter().sum::<usize>();
        }
        bytes
    })
}

/// Days that an invented item has prices for.
const DAYS: usize = 20;

/// The demo book, with so many prices more: each of its own items on earlier days, and items that no
/// job asks for.
fn book(prices: usize) -> History {
    let demo = demo_history().expect("the demo book can be read");
    let known: Vec<(Item, Price)> = demo
        .items()
        .filter_map(|item| {
            let asked = item.known_prices(1).next()?;
            Some((item.item(1)?.clone(), asked.value.clone()))
        })
        .collect();
    let mut change = Change::default();
    let kinds = known.iter().cycle().take(prices / DAYS);
    for (number, (item, asked)) in kinds.enumerate() {
        let mut item = item.clone();
        if number >= known.len() {
            item.code = format!("{}-{number}", item.code);
            change.items.push(item.clone());
        }
        change.prices.extend((1..=DAYS).map(|years| Price {
            item: item.code.clone(),
            effective_from: asked.effective_from - chrono::Days::new(365 * years as u64),
            ..asked.clone()
        }));
    }
    if change.prices.is_empty() {
        return demo;
    }
    let revision = Revision {
        number: 2,
        made_at: chrono::DateTime::UNIX_EPOCH,
        note: "invented prices".to_owned(),
    };
    demo.with(revision, &change)
}

/// Reads, prices and writes one whole estimate so many times.
fn estimates(work: &Work, times: usize) {
    let begun = Instant::now();
    let mut bytes = 0;
    for _ in 0..times {
        let sent: JobRequest = serde_json::from_str(JOB).expect("an example");
        let brief = Brief {
            detail: Detail::Described,
            ..Brief::from(sent)
        };
        let estimate = estimate(brief, work.today, work.with()).expect("no fault");
        let view = View {
            system: System::Us,
            working: false,
        };
        let answer = EstimateAnswer::of(estimate, view, false);
        // As large as the service's own answer begins.
        let mut text = Vec::with_capacity(96 * 1024);
        serde_json::to_writer(&mut text, &answer).expect("it is JSON");
        bytes += text.len();
    }
    let seconds = begun.elapsed().as_secs_f64();
    let rate = times as f64 / seconds;
    println!("{times} estimates, {bytes} bytes {rate:.0} rows/s");
}

fn main() {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let [rows, threads, what] = arguments.as_slice() else {
        // As `cargo bench` runs it: there is nothing to measure by itself.
        return;
    };
    let (Ok(rows), Ok(threads)) = (rows.parse::<usize>(), threads.parse::<usize>()) else {
        return;
    };
    let text = entrances(rows);
    let limits = Limits {
        rows: 1_000_000,
        row_bytes: 64 * 1024,
        columns: 300,
        unfolded_bytes: 256 * 1024 * 1024,
    };
    let stream = CsvStream::open(text.as_bytes(), None, limits).expect("a table");
    let today = Day(chrono::NaiveDate::from_ymd_opt(2026, 5, 4).expect("a day"));
    let prices = std::env::var("PRICES").ok();
    let history = book(prices.and_then(|count| count.parse().ok()).unwrap_or(0));
    let list = PriceList::new(Arc::new(history), None, today.0).expect("it has a revision");
    let heading = stream.heading().clone();
    let mut work = Work {
        list,
        short: ShortHeading::bind(heading.names()),
        heading,
        dialect: stream.style().dialect,
        figures: figures(),
        today,
        prepared: None,
    };
    if what == "single" {
        return estimates(&work, rows);
    }
    begin(&mut work, what == "ceiling");
    let begun = Instant::now();
    let bytes = answer(&Arc::new(work), stream, threads);
    let seconds = begun.elapsed().as_secs_f64();
    println!(
        "{rows} rows {bytes} bytes {:.0} rows/s",
        rows as f64 / seconds
    );
}
