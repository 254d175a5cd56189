//! Two services on one Postgres behind a plain proxy, replaced one after the other while requests go
//! on; and one of them killed, to compare.
//!
//! Invariants: the proxy is HAProxy with the very file that the README recommends; replacing loses no
//! request and gives no answer but a good one; a kill loses at most what was under way. Absent: a
//! stop without a proxy, which `stopped` tests.

use super::{
    asking::{add, book, estimate},
    process::{Process, serving},
    stopped::jobs,
    times,
};
use crate::{
    launched::{Folder, client, demo_items},
    store::place::Place,
};
use std::{
    net::TcpListener,
    process::{Child, Command, Stdio},
    sync::{
        Arc,
        atomic::{AtomicBool, AtomicUsize, Ordering},
    },
    time::{Duration, Instant},
};
use tokio::task::JoinHandle;

/// Callers that compute; one more writes.
const CALLERS: usize = 4;

/// What the file says between the first good check of a service and the stop of the other one.
const NOTICED: Duration = Duration::from_secs(3);

/// What the callers saw.
#[derive(Debug, Default)]
struct Seen {
    good: AtomicUsize,
    refused: AtomicUsize,
    lost: AtomicUsize,
    written: AtomicUsize,
}

impl Seen {
    fn bad(&self) -> usize {
        let count = |number: &AtomicUsize| number.load(Ordering::Relaxed);
        count(&self.refused) + count(&self.lost)
    }

    /// Counts what came of a request; true where it was answered well.
    fn count(&self, answer: Result<u16, reqwest::Error>) -> bool {
        let counted = match &answer {
            Ok(200..300) => &self.good,
            Ok(_) => &self.refused,
            Err(_) => &self.lost,
        };
        counted.fetch_add(1, Ordering::Relaxed);
        if !matches!(answer, Ok(200..300)) {
            eprintln!("not answered well: {answer:?}");
        }
        matches!(answer, Ok(200..300))
    }
}

/// The proxy with its file, ended with its value.
struct Proxy {
    child: Child,
    base: String,
}

impl Proxy {
    fn start(first: &str, second: &str) -> Self {
        let front = free_address();
        let file = concat!(env!("CARGO_MANIFEST_DIR"), "/docker/haproxy.cfg");
        let child = Command::new("haproxy")
            .args(["-f", file])
            .envs([("FRONT", &*front), ("FIRST", first), ("SECOND", second)])
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .expect("HAProxy is installed (Debian: apt-get install haproxy)");
        Self {
            child,
            base: format!("http://{front}"),
        }
    }
}

impl Drop for Proxy {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// An address on which nobody listens now, and that no connection is given as its own port while a
/// service is being replaced: Linux gives those from 32768 on.
fn free_address() -> String {
    static NEXT: AtomicUsize = AtomicUsize::new(0);
    let begin = std::process::id() as usize * 16;
    loop {
        let number = begin + NEXT.fetch_add(1, Ordering::Relaxed);
        let address = format!("127.0.0.1:{}", 20_000 + number % 12_000);
        if TcpListener::bind(&address).is_ok() {
            return address;
        }
    }
}

/// A service on an address that stays the same when it is replaced.
fn service(place: &Place, address: &str) -> Process {
    let folder = Folder::new();
    let mut command = serving(&folder, &place.address);
    command
        .env("CROSSFALL_LISTEN", address)
        .env("CROSSFALL_STOP_LIMIT", "5m");
    Process::begin(command, folder).expect("it serves")
}

/// Asks again and again through the proxy: a cell, a row, an estimate and a batch in turn. Of a batch
/// a part is nearly always on its way, and no proxy can send it again then.
async fn keep_asking(base: String, seen: Arc<Seen>, end: Arc<AtomicBool>) {
    const LINE: &str = "rise_in=28&length_ft=28&as_of=2026-05-04";
    let kept = client();
    for turn in 0.. {
        if end.load(Ordering::Relaxed) {
            return;
        }
        let batch = kept.post(format!("{base}/v1/estimates/batch"));
        let asked = match turn % 4 {
            0 => kept.get(format!("{base}/v1/cell/total?{LINE}")).build(),
            1 => kept.get(format!("{base}/v1/row?{LINE}")).build(),
            2 => estimate(&base, Some(1)).build(),
            _ => batch
                .header("content-type", "text/csv")
                .body(jobs(10))
                .build(),
        };
        seen.count(whole(&kept, asked.expect("a request")).await);
        tokio::time::sleep(Duration::from_millis(5)).await;
    }
}

/// Writes one new item after the other, which no proxy sends again.
async fn keep_writing((base, mark): (String, &str), seen: Arc<Seen>, end: Arc<AtomicBool>) {
    let kept = client();
    for number in 0.. {
        if end.load(Ordering::Relaxed) {
            return;
        }
        let asked = add(&base, &format!("{mark}-{number}"), "2.00").build();
        if seen.count(whole(&kept, asked.expect("a request")).await) {
            seen.written.fetch_add(1, Ordering::Relaxed);
        }
        tokio::time::sleep(Duration::from_millis(20)).await;
    }
}

/// The status of an answer that has come to its end.
async fn whole(client: &reqwest::Client, asked: reqwest::Request) -> Result<u16, reqwest::Error> {
    let answer = client.execute(asked).await?;
    let status = answer.status().as_u16();
    answer.bytes().await?;
    Ok(status)
}

/// An open stream of requests, until it is told to end.
struct Stream {
    seen: Arc<Seen>,
    end: Arc<AtomicBool>,
    callers: Vec<JoinHandle<()>>,
}

impl Stream {
    /// Opens one whose new items have a mark of their own.
    fn open(base: &str, mark: &'static str) -> Self {
        let (seen, end) = (Arc::<Seen>::default(), Arc::<AtomicBool>::default());
        let mut callers: Vec<_> = (0..CALLERS)
            .map(|_| tokio::spawn(keep_asking(base.to_owned(), seen.clone(), end.clone())))
            .collect();
        let writing = keep_writing((base.to_owned(), mark), seen.clone(), end.clone());
        callers.push(tokio::spawn(writing));
        Self { seen, end, callers }
    }

    async fn close(self) -> Arc<Seen> {
        self.end.store(true, Ordering::Relaxed);
        for caller in self.callers {
            caller.await.expect("the caller ends");
        }
        self.seen
    }
}

/// Waits until the proxy lets requests through.
async fn await_proxy(base: &str) {
    let begun = Instant::now();
    let ready = || client().get(format!("{base}/readyz")).send();
    while !ready().await.is_ok_and(|answer| answer.status() == 200) {
        assert!(
            begun.elapsed() < Duration::from_secs(20),
            "the proxy answers"
        );
        tokio::time::sleep(Duration::from_millis(100)).await;
    }
    tokio::time::sleep(NOTICED).await;
}

/// Stops one as a supervisor does, and starts another in its place.
async fn replace(mut old: Process, place: &Place, address: &str) -> Process {
    old.signal("TERM");
    let ended = tokio::task::spawn_blocking(move || old.ended()).await;
    assert!(ended.expect("it is awaited"), "the exit code is 0");
    let new = service(place, address);
    tokio::time::sleep(NOTICED).await;
    new
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
#[ignore = "needs CROSSFALL_TEST_POSTGRES and HAProxy; the full test command runs it"]
async fn replacing_two_services_behind_a_proxy_loses_nothing() {
    let place = Place::postgres().await;
    let addresses = [free_address(), free_address()];
    let mut first = service(&place, &addresses[0]);
    let mut second = service(&place, &addresses[1]);
    let proxy = Proxy::start(&addresses[0], &addresses[1]);
    await_proxy(&proxy.base).await;
    let rounds = times() / 5;
    let stream = Stream::open(&proxy.base, "replaced");
    for _ in 0..rounds {
        first = replace(first, &place, &addresses[0]).await;
        second = replace(second, &place, &addresses[1]).await;
    }
    let seen = stream.close().await;
    println!("two services replaced {rounds} times each behind a proxy: {seen:?}");
    assert_eq!(seen.bad(), 0, "{seen:?}");
    let written = i64::try_from(seen.written.load(Ordering::Relaxed)).expect("few");
    assert!(written > 0);
    let kept = (1 + written, demo_items() + written);
    assert_eq!(book(&second.base).await, kept, "each write is there, once");

    let stream = Stream::open(&proxy.base, "killed");
    tokio::time::sleep(Duration::from_secs(1)).await;
    first.kill();
    tokio::time::sleep(NOTICED).await;
    let seen = stream.close().await;
    println!("one of two services killed behind a proxy: {seen:?}");
    assert!(
        seen.bad() <= CALLERS + 1,
        "at most what was under way: {seen:?}"
    );
    drop((proxy, second));
    place.remove().await;
}
