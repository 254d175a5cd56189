//! The store against a plain list of what was written: random writes by two writers at once, read at
//! every revision and several days.
//!
//! Invariants: the plans come from one fixed seed, so that a failure comes again; the model knows
//! nothing of how the store or the catalog keep prices. Absent: suppliers' terms, inheritance,
//! escalation, whose tests are pure.

use super::{given::*, place::Place};
use chrono::{Days, NaiveDate};
use crossfall::{
    book::{BookError, Books, Expected, Guard, ItemWrite, Written},
    catalog::{Change, Item, Price, Wanted},
    quantity::money::{Decimal4, UnitPrice},
};
use proptest::{
    prelude::*,
    strategy::ValueTree as _,
    test_runner::{Config, RngAlgorithm, TestRng, TestRunner},
};
use std::cmp::Reverse;

const SELLERS: [&str; 2] = ["quarry-yard", "pit-road-plant"];
const JOB: &str = "Mill lane";
const RUNGS: [&str; 3] = ["0", "5", "10"];

/// How a word is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Way {
    /// With the item, which is as it was seen; says who is preferred.
    WithItem { preferred: Option<usize> },
    /// The price alone, while the whole book is as it was seen.
    BookAsSeen,
    /// The price alone, whatever else was written.
    Whatever,
}

/// One random write: a price, a correction or a withdrawal.
#[derive(Clone, Copy, Debug)]
struct Word {
    seller: usize,
    for_job: bool,
    since_week: u64,
    rung: usize,
    /// None takes back.
    cents: Option<i64>,
    /// Weeks for which it holds.
    weeks: Option<u64>,
    way: Way,
}

/// What the model remembers of a word: the revision that it made.
type Told = Vec<(i64, Word)>;

/// What one writer did.
#[derive(Debug, Default)]
struct Wrote {
    told: Told,
    /// The revision at which a guarded write saw its item, and the one that it made.
    saw: Vec<(i64, i64)>,
    /// How often it was told that it had not seen the newest.
    late: usize,
}

/// Where prices are read.
#[derive(Clone, Copy, Debug)]
struct At {
    revision: i64,
    day: NaiveDate,
    order: Decimal4,
    for_job: bool,
}

fn week(number: u64) -> NaiveDate {
    day("2026-01-05") + Days::new(number * 7)
}

fn way() -> impl Strategy<Value = Way> {
    prop_oneof![
        prop::option::of(0..2_usize).prop_map(|preferred| Way::WithItem { preferred }),
        Just(Way::BookAsSeen),
        Just(Way::Whatever),
    ]
}

fn word() -> impl Strategy<Value = Word> {
    let place = (0..2_usize, prop::bool::weighted(0.3), 0..4_u64, 0..3_usize);
    let says = (
        prop::option::weighted(0.8, 1..60_i64),
        prop::option::weighted(0.4, 0..3_u64),
    );
    (place, says, way()).prop_map(
        |((seller, for_job, since_week, rung), (cents, weeks), way)| Word {
            seller,
            for_job,
            since_week,
            rung,
            cents,
            weeks,
            way,
        },
    )
}

impl Word {
    fn price(&self, item: &str) -> Price {
        Price {
            unit_price: self.figure(),
            from_quantity: decimal(RUNGS[self.rung]),
            valid_until: self.until(),
            quoted_for: self.for_job.then(|| JOB.to_owned()),
            effective_from: week(self.since_week),
            ..price(item, SELLERS[self.seller], "1", "2026-01-05")
        }
    }

    fn figure(&self) -> Option<UnitPrice> {
        self.cents
            .map(|cents| UnitPrice::from_ten_thousandths(cents * 100))
    }

    fn until(&self) -> Option<NaiveDate> {
        self.weeks.map(|weeks| week(self.since_week + weeks))
    }

    fn holds(&self, day: NaiveDate) -> bool {
        self.cents.is_some()
            && week(self.since_week) <= day
            && self.until().is_none_or(|until| day <= until)
    }

    fn place(&self) -> (usize, bool, u64, usize) {
        (self.seller, self.for_job, self.since_week, self.rung)
    }
}

fn item(code: &str, preferred: Option<usize>) -> Item {
    Item {
        code: code.to_owned(),
        supplier: preferred.map(|seller| SELLERS[seller].to_owned()),
        ..gravel()
    }
}

/// Says a word: the revision that it made, and the one at which its item was seen, where that counts.
async fn say(books: &Books, code: &str, word: &Word) -> Result<(i64, Option<i64>), BookError> {
    let history = books.book(None).expect("the demo book");
    let prices = vec![word.price(code)];
    if let Way::WithItem { preferred } = word.way {
        let changed = history.item(code).and_then(|item| item.changed(i64::MAX));
        let seen = changed.expect("known");
        let put = write(item(code, preferred), prices);
        let expected = Expected::Revision(seen);
        let made = books.put_item("demo", put, (expected, &by())).await?;
        return Ok((made, Some(seen)));
    }
    let seen = history.latest();
    let guard = (word.way == Way::BookAsSeen).then_some(Guard::Book(seen));
    let change = Change {
        prices,
        ..Change::default()
    };
    let written = Written {
        change: &change,
        guard: guard.as_ref(),
        by: &by(),
        keep: None,
    };
    let made = books.append("demo", written).await?.revision;
    let follows = guard.is_none() || made == seen + 1;
    assert!(follows, "{made} was written on what was seen at {seen}");
    Ok((made, None))
}

/// Says all words, each again until it is accepted.
async fn say_all(books: &Books, code: &str, words: &[Word]) -> Wrote {
    let mut wrote = Wrote::default();
    for word in words {
        let (made, seen) = loop {
            match say(books, code, word).await {
                Ok(said) => break said,
                Err(BookError::Conflict { .. }) => wrote.late += 1,
                Err(other) => panic!("{word:?}: {other:?}"),
            }
            books.refresh().await.expect("read");
        };
        wrote.told.push((made, *word));
        wrote.saw.extend(seen.map(|seen| (seen, made)));
    }
    wrote
}

/// No guarded write landed on an item that another had written since it was seen.
fn check_guards(told: &Told, saw: &[(i64, i64)]) {
    for (seen, made) in saw {
        let between = told.iter().find(|(other, _)| seen < other && other < made);
        assert!(between.is_none(), "{made} missed {between:?} since {seen}");
    }
}

/// What the list of words says: the price and who asks it.
fn model(told: &Told, at: At) -> Option<(UnitPrice, &'static str)> {
    let known: Vec<&Word> = told
        .iter()
        .filter(|(made, _)| *made <= at.revision)
        .map(|(_, word)| word)
        .collect();
    let preferred = known.iter().rev().find_map(|word| match word.way {
        Way::WithItem { preferred } => Some(preferred),
        _ => None,
    });
    let newest = |word: &&&Word| {
        let last = known
            .iter()
            .rev()
            .find(|other| other.place() == word.place());
        last.is_some_and(|last| std::ptr::eq(*last, **word))
    };
    let holding: Vec<&Word> = known
        .iter()
        .filter(newest)
        .filter(|word| word.holds(at.day))
        .copied()
        .collect();
    let asks = |seller: usize, for_job: bool| {
        let own = || {
            holding
                .iter()
                .filter(|word| (word.seller, word.for_job) == (seller, for_job))
        };
        let since = own().map(|word| word.since_week).max()?;
        let rungs =
            own().filter(|word| word.since_week == since && decimal(RUNGS[word.rung]) <= at.order);
        rungs.max_by_key(|word| word.rung)
    };
    let all = [(0, false), (1, false), (0, true), (1, true)];
    let offers = all
        .into_iter()
        .filter(|(_, for_job)| at.for_job || !for_job);
    let best = offers
        .filter_map(|(seller, for_job)| asks(seller, for_job))
        .min_by_key(|word| {
            let other = Some(word.seller) != preferred.flatten();
            (
                !word.for_job,
                other,
                word.cents,
                Reverse(word.since_week),
                SELLERS[word.seller],
            )
        })?;
    Some((best.figure()?, SELLERS[best.seller]))
}

fn found(books: &Books, code: &str, at: At) -> Option<(UnitPrice, String)> {
    let list = books
        .price_list(None, Some(at.revision), at.day)
        .expect("the revision exists");
    let wanted = Wanted {
        job: at.for_job.then(|| JOB.to_owned()),
        ..Wanted::default()
    };
    let list = list.wanting(wanted);
    let quote = list.quote_for(code, at.order).ok()?;
    Some((quote.unit_price, quote.supplier.to_owned()))
}

/// Compares everywhere; how many places had a price.
fn compare(books: &Books, code: &str, (told, start): (&Told, i64)) -> usize {
    let revisions = (start - 1)..=told.last().map_or(start, |(last, _)| *last);
    let mut priced = 0;
    for revision in revisions {
        for place in 0..24_u64 {
            let at = At {
                revision,
                day: week(place % 4) + Days::new(place % 3),
                order: decimal(RUNGS[(place % 3) as usize]),
                for_job: place >= 12,
            };
            let expected = model(told, at).map(|(price, seller)| (price, seller.to_owned()));
            priced += usize::from(expected.is_some());
            assert_eq!(
                found(books, code, at),
                expected,
                "{code} at {at:?} after {told:#?}"
            );
        }
    }
    priced
}

fn plans() -> Vec<(Vec<Word>, Vec<Word>)> {
    let number = match std::env::var("TEST_SIZE").as_deref() {
        Ok("long") => 400,
        _ => 40,
    };
    let random = TestRng::from_seed(RngAlgorithm::ChaCha, &[7; 32]);
    let mut runner = TestRunner::new_with_rng(Config::default(), random);
    let words = || prop::collection::vec(word(), 1..9);
    let plan = (words(), words());
    let draw = |_| plan.new_tree(&mut runner).expect("a plan").current();
    (0..number).map(draw).collect()
}

async fn begin(books: &Books, code: &str) -> i64 {
    let put = ItemWrite {
        prices: Vec::new(),
        ..write(item(code, None), Vec::new())
    };
    let made = books.put_item("demo", put, (Expected::New, &by())).await;
    made.expect("a new item")
}

pub(crate) async fn two_writers_leave_what_a_plain_list_of_their_writes_says(place: &Place) {
    let (one, other) = (place.books().await, place.books().await);
    let (mut all, mut late, mut priced) = (Vec::new(), 0, 0);
    for (number, (left, right)) in plans().into_iter().enumerate() {
        let code = format!("model-{number}");
        let start = begin(&one, &code).await;
        other.refresh().await.expect("read");
        let (left, right) =
            tokio::join!(say_all(&one, &code, &left), say_all(&other, &code, &right));
        late += left.late + right.late;
        let mut told = [left.told, right.told].concat();
        told.sort_by_key(|(revision, _)| *revision);
        check_guards(&told, &[left.saw, right.saw].concat());
        for books in [&one, &other] {
            books.refresh().await.expect("read");
            priced += compare(books, &code, (&told, start));
        }
        all.push((code, told, start));
    }
    let fresh = place.books().await;
    for (code, told, start) in &all {
        priced += compare(&fresh, code, (told, *start));
    }
    println!(
        "{} plans, {late} writes told to look again, {priced} prices compared",
        all.len()
    );
    assert!(
        late > 0 && priced > 1_000,
        "the writers met, and prices were found"
    );
}
