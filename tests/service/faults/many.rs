//! Many replicas on one database, and the same book on different databases.
//!
//! Invariants: what one replica writes all see within a second; the same book at the same revision
//! gives the same bytes everywhere. Absent: keys held in process, which `replicas` tests.

use super::{
    asking::{add, book, estimate, fingerprint, reprice, sent},
    process::{Process, done, run},
};
use crate::{launched::client, store::place::Place};
use std::time::{Duration, Instant};

both!(two_replicas_are_one_service, four_replicas_are_one_service,);

/// What the contract allows a replica to be behind.
const A_SECOND: Duration = Duration::from_secs(1);

async fn two_replicas_are_one_service(place: &Place) {
    act_as_one(place, 2).await;
}

async fn four_replicas_are_one_service(place: &Place) {
    act_as_one(place, 4).await;
}

async fn act_as_one(place: &Place, number: usize) {
    let replicas: Vec<Process> = (0..number)
        .map(|_| Process::start(&place.address))
        .collect();
    let first = price_everywhere(&replicas, Some(1)).await;
    let slowest = see_each_write(&replicas).await;
    write_together(&replicas).await;
    assert_eq!(
        price_everywhere(&replicas, Some(1)).await,
        first,
        "as first priced"
    );
    let (revision, _) = book(&replicas[0].base).await;
    price_everywhere(&replicas, Some(revision)).await;
    let (opened, closed) = open_and_close(place, &replicas).await;
    println!(
        "{number} replicas: a write seen by all within {slowest:?}, a key within {opened:?}, its end within {closed:?}"
    );
}

/// Asks every replica for the same estimate, which must be the same bytes; gives them.
async fn price_everywhere(replicas: &[Process], revision: Option<i64>) -> String {
    let mut answers = Vec::new();
    for replica in replicas {
        let (status, body) = sent(estimate(&replica.base, revision)).await;
        assert_eq!(status, 200, "{body}");
        assert!(!fingerprint(&body).is_empty());
        answers.push(body);
    }
    answers.dedup();
    assert_eq!(answers.len(), 1, "every replica gives the same bytes");
    answers.remove(0)
}

/// Waits until all replicas are at a revision; how long it took.
async fn all_at(replicas: &[Process], revision: i64) -> Duration {
    let begun = Instant::now();
    for replica in replicas {
        while book(&replica.base).await.0 < revision {
            tokio::time::sleep(Duration::from_millis(10)).await;
        }
    }
    begun.elapsed()
}

/// A write at each replica in turn; the longest time until all saw it.
async fn see_each_write(replicas: &[Process]) -> Duration {
    let mut slowest = Duration::ZERO;
    for (seen, replica) in (1..).zip(replicas) {
        let (status, body) = sent(reprice(&replica.base, &format!("4{seen}.00"), seen)).await;
        assert_eq!(status, 200, "{body}");
        let took = all_at(replicas, seen + 1).await;
        assert!(
            took <= A_SECOND,
            "revision {} was seen after {took:?}",
            seen + 1
        );
        slowest = slowest.max(took);
    }
    slowest
}

/// Writes to different items through all replicas at once.
async fn write_together(replicas: &[Process]) {
    const EACH: i64 = 8;
    let (before, items) = book(&replicas[0].base).await;
    let writers = replicas.iter().enumerate().map(|(number, replica)| {
        let base = replica.base.clone();
        tokio::spawn(async move {
            for turn in 0..EACH {
                let (status, body) = sent(add(&base, &format!("by-{number}-{turn}"), "2.00")).await;
                assert_eq!(status, 201, "{body}");
            }
        })
    });
    for writer in writers.collect::<Vec<_>>() {
        writer.await.expect("the writer ends");
    }
    let written = EACH * replicas.len() as i64;
    assert!(all_at(replicas, before + written).await <= A_SECOND);
    for replica in replicas {
        assert_eq!(
            book(&replica.base).await,
            (before + written, items + written),
            "no gap"
        );
    }
}

/// Waits until every replica answers a key with a status; how long it took.
async fn all_answer(replicas: &[Process], key: &str, wanted: u16) -> Duration {
    let begun = Instant::now();
    for replica in replicas {
        while status(replica, key).await != wanted {
            assert!(begun.elapsed() <= A_SECOND, "{wanted} within a second");
            tokio::time::sleep(Duration::from_millis(10)).await;
        }
    }
    begun.elapsed()
}

async fn status(replica: &Process, key: &str) -> u16 {
    let asked = client()
        .get(format!("{}/v1/price-books", replica.base))
        .bearer_auth(key);
    asked.send().await.expect("an answer").status().as_u16()
}

/// A key made and revoked by command; how long until all replicas knew.
async fn open_and_close(place: &Place, replicas: &[Process]) -> (Duration, Duration) {
    let made = run(
        place,
        &["keys", "add", "--name", "the office", "--role", "estimate"],
    );
    let text = |bytes: &[u8]| String::from_utf8_lossy(bytes).trim().to_owned();
    let (key, log) = (text(&made.stdout), text(&made.stderr));
    let id = log.strip_prefix("id ").expect("its id");
    let closed_to_others = all_answer(replicas, "no-key-of-ours", 401).await;
    let opened = all_answer(replicas, &key, 200).await.max(closed_to_others);
    done(place, &["keys", "revoke", id]);
    (opened, all_answer(replicas, &key, 401).await)
}
