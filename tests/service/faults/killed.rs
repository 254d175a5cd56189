//! The process killed in the middle of an import, and a request sent again after a restart.
//!
//! Invariants: all of an import is there or nothing of it; the answer to a repeated request is the
//! first one, or that it is being done, and never a second import.

use super::{
    asking::{book, import, new_items, new_prices, read, sent},
    process::Process,
    times,
};
use crate::launched::demo_items;
use crate::store::place::Place;
use std::time::{Duration, Instant};

both!(
    an_import_is_whole_or_absent_after_a_kill,
    a_request_sent_again_after_a_restart_gets_its_first_answer,
);

const ROWS: usize = 20_000;

/// What became of the kills.
#[derive(Debug, Default)]
struct Outcome {
    landed: usize,
    /// Nothing was written but the claim, which stays until it is taken for abandoned.
    claimed: usize,
    /// Not even the claim was written.
    untouched: usize,
}

/// Rows behind the store's back: revisions, items, prices, audit, answers.
async fn counts(place: &Place) -> Vec<i64> {
    let mut found = Vec::new();
    for table in ["revision", "item_version", "price", "audit"] {
        let question = format!("SELECT CAST(COUNT(*) AS TEXT) FROM {table}");
        let text = place.texts(&question).await.concat();
        found.push(text.parse().expect("a number"));
    }
    found
}

async fn an_import_is_whole_or_absent_after_a_kill(place: &Place) {
    let first = Process::start(&place.address);
    let calm = new_items(ROWS, "calm");
    let (status, body) = sent(import(&first.base, &calm, (1, "calm"))).await;
    assert_eq!(status, 200, "{body}");
    let begun = Instant::now();
    let (status, body) = sent(import(
        &first.base,
        &new_prices(ROWS, 365),
        (2, "calm prices"),
    ))
    .await;
    assert_eq!(status, 200, "{body}");
    let whole = begun.elapsed();
    let mut running = first;
    let (mut outcome, mut share) = (Outcome::default(), 0.9);
    for number in 0..times() * 2 {
        let both = outcome.landed > 0 && outcome.claimed + outcome.untouched > 0;
        if number >= times() && both {
            break;
        }
        let delay = whole.mul_f64(share);
        let landed;
        (running, landed) = kill_once(place, (running, number), delay, &mut outcome).await;
        // Nearer to the moment of the commit from either side.
        share *= if landed { 0.9 } else { 1.1 };
    }
    println!("killed in the middle of an import of {whole:?}: {outcome:?}");
    assert!(
        outcome.landed > 0 && outcome.claimed + outcome.untouched > 0,
        "both kinds occur"
    );
    let (revision, _) = book(&running.base).await;
    let fresh = import(&running.base, &new_items(50, "fresh"), (revision, "fresh"));
    assert_eq!(sent(fresh).await.0, 200, "a new key imports at once");
}

/// Kills one import after `delay`, and holds what is left to the promise; the service as started
/// again, and true where the import landed.
async fn kill_once(
    place: &Place,
    (running, number): (Process, usize),
    delay: Duration,
    outcome: &mut Outcome,
) -> (Process, bool) {
    let before = counts(place).await;
    let (revision, _) = book(&running.base).await;
    let key = format!("kill-{number}");
    let table = new_prices(ROWS, number);
    let sending = import(&running.base, &table, (revision, &key)).send();
    let sending = tokio::spawn(sending);
    tokio::time::sleep(delay).await;
    running.kill();
    // What the caller saw, if it saw anything.
    let seen = match sending.await.expect("it ends") {
        Ok(answer) => answer.text().await.ok(),
        Err(_) => None,
    };
    let after = counts(place).await;
    let rows = ROWS as i64;
    let added: Vec<i64> = after
        .iter()
        .zip(&before)
        .map(|(after, before)| after - before)
        .collect();
    let landed = added[0] == 1;
    let expected = if landed { [1, 0, rows, 1] } else { [0; 4] };
    assert_eq!(
        added, expected,
        "revisions, items, prices, audit after {delay:?}"
    );
    let again = Process::start(&place.address);
    assert_eq!(book(&again.base).await.0, revision + i64::from(landed));
    let repeated = import(&again.base, &table, (revision, &key));
    let answer = repeated.send().await.expect("an answer");
    let replayed = answer.headers().contains_key("idempotency-replayed");
    let (status, body) = read(answer).await;
    match (landed, status) {
        (true, 200) => {
            assert!(replayed, "the first answer, not a second import");
            assert!(seen.is_none_or(|seen| seen == body), "the same body");
            outcome.landed += 1;
        }
        (false, 409) => outcome.claimed += 1,
        (false, 200) => {
            assert!(!replayed, "nothing was kept, so it is done now");
            outcome.untouched += 1;
        }
        other => panic!("after {delay:?}: {other:?} {body}"),
    }
    (again, landed)
}

async fn a_request_sent_again_after_a_restart_gets_its_first_answer(place: &Place) {
    let first = Process::start(&place.address);
    let table = new_items(20, "again");
    let answer = import(&first.base, &table, (1, "again"))
        .send()
        .await
        .expect("an answer");
    assert_eq!(answer.headers()["etag"], "\"2\"");
    assert!(!answer.headers().contains_key("idempotency-replayed"));
    let once = read(answer).await;
    first.stop();
    let second = Process::start(&place.address);
    let answer = import(&second.base, &table, (1, "again"))
        .send()
        .await
        .expect("an answer");
    assert_eq!(answer.headers()["idempotency-replayed"], "true");
    assert_eq!(answer.headers()["etag"], "\"2\"");
    assert_eq!(read(answer).await, once, "the same body");
    assert_eq!(
        book(&second.base).await,
        (2, demo_items() + 20),
        "nothing was written again"
    );
    let other = import(&second.base, &new_items(21, "again"), (2, "again"));
    assert_eq!(sent(other).await.0, 422, "the key stays with its request");
}
