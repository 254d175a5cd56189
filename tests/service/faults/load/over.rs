//! Ten times as many calls as can be answered, sent whether or not they are.

use super::{
    caller::{Caller, address, ask, large_estimate, request},
    lasting,
    measured::Before,
    offered::{Tally, offer},
};
use crate::{faults::process::Process, store::place::Place};
use std::{
    sync::{
        Arc,
        atomic::{AtomicBool, Ordering},
    },
    time::{Duration, Instant},
};

/// Memory that the service may take for this, in MiB.
const MOST: usize = 512;

/// Callers that each wait for their answer, by which it is found out what can be answered.
const CLOSED: usize = 8;

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn ten_times_what_can_be_answered_is_turned_away_in_time() {
    let place = Place::sqlite();
    let process = Process::start(&place.address);
    let before = Before::of(&process).await;
    let at = address(&process.base);
    let rate = sustainable(&at).await;
    let times = (rate * 10.0 * 2.0 * lasting().as_secs_f64()) as usize;
    let probing = Probing::begin(&process.base);
    let mut tally = offer(&at, &large_estimate(), (rate * 10.0, times)).await;
    probing.end().await;
    tally.told(&format!("ten times {rate:.0} a second"));
    assert!(!tally.answered.is_empty(), "some are answered");
    // Were they all taken, the last would wait for nine times as long as the calls come; half of that
    // leaves room for what else the machine does. What a worker takes while it is late is a few calls.
    let bound = lasting() * 9 + Duration::from_secs_f64(64.0 / rate);
    let longest = tally.longest();
    assert!(longest < bound, "{longest:?}, and at most {bound:?}");
    let counted = ask(&process.base, &request("GET /metrics", "", b"")).await;
    let counted = String::from_utf8(counted.expect("an answer").body).expect("text");
    let shed = format!("crossfall_calls_shed_total {}", tally.told_to_wait.len());
    assert!(counted.contains(&shed), "{shed}: {counted}");
    before.holds(MOST, "after ten times").await;
    drop(process);
    place.remove().await;
}

/// Estimates a second that are answered to callers who wait for their answers.
async fn sustainable(at: &str) -> f64 {
    let until = Instant::now() + lasting();
    let callers = (0..CLOSED).map(|_| {
        let at = at.to_owned();
        tokio::spawn(async move {
            let mut caller = Caller::open(&at).await.expect("a connection");
            let mut answered = 0;
            while Instant::now() < until {
                let answer = caller.call(&large_estimate()).await.expect("an answer");
                assert_eq!(answer.status, 200, "so few are not turned away");
                answered += 1;
            }
            answered
        })
    });
    let mut answered = 0;
    for caller in callers.collect::<Vec<_>>() {
        answered += caller.await.expect("it ends");
    }
    f64::from(answered) / lasting().as_secs_f64()
}

/// Somebody who watches the service meanwhile.
pub(super) struct Probing {
    over: Arc<AtomicBool>,
    task: tokio::task::JoinHandle<Tally>,
}

impl Probing {
    pub(super) fn begin(base: &str) -> Self {
        let (over, base) = (Arc::new(AtomicBool::new(false)), base.to_owned());
        let task = tokio::spawn(probe(base, over.clone()));
        Self { over, task }
    }

    /// Every probe was answered with 200.
    pub(super) async fn end(self) {
        self.over.store(true, Ordering::Relaxed);
        let mut tally = self.task.await.expect("it ends");
        tally.told("probes");
        assert_eq!(tally.told_to_wait.len(), 0, "no probe is turned away");
        assert!(!tally.answered.is_empty(), "there were probes");
    }
}

async fn probe(base: String, over: Arc<AtomicBool>) -> Tally {
    let mut tally = Tally::default();
    for path in ["GET /livez", "GET /readyz"].iter().cycle() {
        if over.load(Ordering::Relaxed) {
            break;
        }
        let asked = Instant::now();
        let came = ask(&base, &request(path, "", b"")).await;
        tally.note(came, asked.elapsed());
        tokio::time::sleep(Duration::from_millis(50)).await;
    }
    tally
}
