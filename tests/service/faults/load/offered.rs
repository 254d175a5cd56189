//! Calls sent on a schedule of their own, whether or not the ones before were answered, and what came
//! of them.
//!
//! A caller that waits for an answer before it sends again slows down with the service, and never
//! sees a queue grow. Invariants: latency counts from when a call was due, not from when it was sent.

use super::caller::{Answer, Caller};
use std::{
    io,
    sync::{Arc, Mutex},
    time::{Duration, Instant},
};
use tokio::{task::JoinSet, time::sleep_until};

/// A connection that has rested for longer than this may be closed by the service at any moment.
const FRESH: Duration = Duration::from_secs(3);

/// What came of many calls.
#[derive(Debug, Default)]
pub(super) struct Tally {
    /// Latencies of those answered with 200.
    pub(super) answered: Vec<Duration>,
    /// Latencies of those told to come again.
    pub(super) told_to_wait: Vec<Duration>,
    /// Everything else, which there should be none of.
    pub(super) others: Vec<String>,
}

impl Tally {
    pub(super) fn note(&mut self, came: io::Result<Answer>, latency: Duration) {
        match came {
            Ok(answer) if answer.status == 200 => self.answered.push(latency),
            Ok(answer) if matches!(answer.status, 429 | 503) && answer.retry_after => {
                self.told_to_wait.push(latency);
            }
            Ok(answer) => {
                let body = String::from_utf8_lossy(&answer.body);
                self.others.push(format!("{}: {body:.200}", answer.status));
            }
            Err(error) => self.others.push(error.to_string()),
        }
    }

    pub(super) fn add(&mut self, other: Self) {
        self.answered.extend(other.answered);
        self.told_to_wait.extend(other.told_to_wait);
        self.others.extend(other.others);
    }

    /// One line, and that nothing else came.
    pub(super) fn told(&mut self, what: &str) {
        let (answered, waiting) = (spread(&mut self.answered), spread(&mut self.told_to_wait));
        println!("{what}: answered {answered}; told to come again {waiting}");
        let others = self.others.len();
        self.others.truncate(5);
        assert_eq!(others, 0, "nothing else comes back: {:?}", self.others);
    }

    pub(super) fn longest(&self) -> Duration {
        let all = self.answered.iter().chain(&self.told_to_wait);
        all.copied().max().unwrap_or_default()
    }
}

/// How many, and how long they took.
fn spread(latencies: &mut [Duration]) -> String {
    latencies.sort_unstable();
    let at = |share: usize| latencies.get(latencies.len() * share / 100);
    match (at(50), at(99), latencies.last()) {
        (Some(half), Some(most), Some(longest)) => format!(
            "{} (half within {half:.0?}, 99 % {most:.0?}, all {longest:.0?})",
            latencies.len()
        ),
        _ => "0".to_owned(),
    }
}

/// Connections that rest.
type Resting = Arc<Mutex<Vec<(Caller, Instant)>>>;

/// Sends so many calls a second, so many times.
pub(super) async fn offer(address: &str, sent: &[u8], (rate, times): (f64, usize)) -> Tally {
    let (address, sent): (Arc<str>, Arc<[u8]>) = (address.into(), sent.into());
    let resting = Resting::default();
    let mut calls = JoinSet::new();
    let begun = Instant::now();
    let mut latest = Duration::ZERO;
    for number in 0..times {
        let due = begun + Duration::from_secs_f64(number as f64 / rate);
        sleep_until(due.into()).await;
        latest = latest.max(due.elapsed());
        let (address, sent, resting) = (address.clone(), sent.clone(), resting.clone());
        calls.spawn(async move {
            let came = call(&address, &sent, &resting).await;
            (came, due.elapsed())
        });
    }
    println!("{times} calls sent at {rate:.0} a second, at most {latest:.0?} late");
    let mut tally = Tally::default();
    for (came, latency) in calls.join_all().await {
        tally.note(came, latency);
    }
    tally
}

async fn call(address: &str, sent: &[u8], resting: &Resting) -> io::Result<Answer> {
    let rested = resting.lock().expect("no one panicked").pop();
    let mut caller = match rested.filter(|(_, since)| since.elapsed() < FRESH) {
        Some((caller, _)) => caller,
        None => Caller::open(address).await?,
    };
    let answer = caller.call(sent).await?;
    if !answer.closes {
        let mut resting = resting.lock().expect("no one panicked");
        resting.push((caller, Instant::now()));
    }
    Ok(answer)
}
