//! The book's lock held by somebody else, so that writers use up every connection.
//!
//! Invariants: whoever cannot write is told so in time; estimates do not wait for writers. Absent:
//! writers that merely meet, which `writers` tests.

use super::{
    asking::{add, book, estimate, sent},
    process::Process,
};
use crate::launched::demo_items;
use crate::store::place::Place;
use sqlx::{Connection as _, Executor as _, PgConnection, SqliteConnection};
use std::time::{Duration, Instant};

both!(writers_that_wait_too_long_are_told_and_estimates_go_on);

/// More than there are connections.
const WRITERS: usize = 12;

/// Longest a write may keep its caller waiting.
const LONGEST_WRITE: Duration = Duration::from_secs(10);

/// A lock that no writer gets past.
enum Lock {
    Sqlite(SqliteConnection),
    Postgres(PgConnection),
}

impl Lock {
    async fn take(place: &Place) -> Self {
        if place.is_shared() {
            let mut on = PgConnection::connect(&place.address)
                .await
                .expect("it opens");
            on.execute("BEGIN").await.expect("begun");
            let lock = "SELECT latest FROM book WHERE code = 'demo' FOR UPDATE";
            on.execute(lock).await.expect("locked");
            return Self::Postgres(on);
        }
        let mut on = SqliteConnection::connect(&place.address)
            .await
            .expect("it opens");
        on.execute("BEGIN IMMEDIATE").await.expect("locked");
        Self::Sqlite(on)
    }

    async fn release(self) {
        let done = match self {
            Self::Sqlite(mut on) => on.execute("ROLLBACK").await.map(drop),
            Self::Postgres(mut on) => on.execute("ROLLBACK").await.map(drop),
        };
        done.expect("released");
    }
}

/// Times of a number of estimates, in rising order.
async fn times_of_estimates(base: &str, number: usize) -> Vec<Duration> {
    let mut times = Vec::new();
    for _ in 0..number {
        let begun = Instant::now();
        assert_eq!(sent(estimate(base, Some(1))).await.0, 200);
        times.push(begun.elapsed());
    }
    times.sort_unstable();
    times
}

async fn writers_that_wait_too_long_are_told_and_estimates_go_on(place: &Place) {
    let running = Process::start(&place.address);
    let base = &running.base;
    let usual = times_of_estimates(base, 40).await;
    let lock = Lock::take(place).await;
    let writers = (0..WRITERS).map(|number| {
        let request = add(base, &format!("waits-{number}"), "2.00");
        tokio::spawn(async move {
            let begun = Instant::now();
            let answer = request.send().await.expect("an answer");
            let retry = answer.headers().get("retry-after").cloned();
            (answer.status().as_u16(), retry.is_some(), begun.elapsed())
        })
    });
    let writers: Vec<_> = writers.collect();
    tokio::time::sleep(Duration::from_millis(300)).await;
    let meanwhile = times_of_estimates(base, 40).await;
    let mut longest = Duration::ZERO;
    for writer in writers {
        let (status, retry, took) = writer.await.expect("it ends");
        assert_eq!((status, retry), (503, true));
        longest = longest.max(took);
    }
    assert!(longest <= LONGEST_WRITE, "told after {longest:?}");
    lock.release().await;
    let begun = Instant::now();
    let (status, body) = sent(add(base, "after-it", "2.00")).await;
    assert_eq!(status, 201, "{body}");
    let first = begun.elapsed();
    println!(
        "{WRITERS} writers told within {longest:?}; an estimate takes {:?}, meanwhile {:?}; a write after it {first:?}",
        usual[20], meanwhile[20]
    );
    assert!(
        meanwhile[20] <= usual[20] * 4 + Duration::from_millis(100),
        "the usual time"
    );
    assert!(
        meanwhile[39] < Duration::from_secs(2),
        "no estimate waits for a writer"
    );
    assert_eq!(
        book(base).await,
        (2, demo_items() + 1),
        "none of those that were told so was written"
    );
}
