//! Postgres stopped and started again while estimates and writes go on.
//!
//! Invariants: the server is this test's own and ends with it; estimates never notice; a write is
//! accepted or refused as unavailable, and never both. Absent: SQLite, whose database cannot go away
//! by itself.

use super::{
    asking::{add, book, estimate, sent},
    process::Process,
};
use crate::launched::{Folder, demo_items};
use std::{
    process::{Command, Stdio},
    sync::{
        Arc,
        atomic::{AtomicBool, Ordering},
    },
    time::{Duration, Instant},
};

/// How long the database is away. A write that landed just before may wait five seconds to read the
/// book again, and the one after it five more for a connection: it must be away for longer than both.
const AWAY: Duration = Duration::from_secs(12);

/// Longest a write may keep its caller waiting.
const LONGEST_WRITE: Duration = Duration::from_secs(10);

const CALLERS: usize = 4;

/// A Postgres server of this test alone.
struct Server {
    folder: Folder,
    address: String,
}

impl Server {
    fn start() -> Self {
        let folder = Folder::new();
        let said = control("start", &folder);
        let address = said.lines().last().expect("its address").to_owned();
        Self { folder, address }
    }
}

impl Drop for Server {
    fn drop(&mut self) {
        control("stop", &self.folder);
    }
}

fn control(verb: &str, folder: &Folder) -> String {
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/.ci/postgres");
    // A file, since the server would hold a pipe open for as long as it runs.
    let out = folder.path().join("said");
    let file = std::fs::File::create(&out).expect("a temporary file can be made");
    let done = Command::new("sh")
        .args([script, verb])
        .arg(folder.path().join("server"))
        .stdin(Stdio::null())
        .stdout(file)
        .stderr(Stdio::null())
        .status();
    assert!(done.expect("a shell is there").success(), "{verb}");
    std::fs::read_to_string(out).expect("text")
}

/// What a caller saw.
#[derive(Debug, Default)]
struct Seen {
    answers: usize,
    longest: Duration,
    oldest: u64,
}

/// Asks for one estimate again and again; each answer must be the first.
async fn keep_asking(base: String, first: Arc<str>, end: Arc<AtomicBool>) -> Seen {
    let mut seen = Seen::default();
    while !end.load(Ordering::Relaxed) {
        let begun = Instant::now();
        let answer = estimate(&base, Some(1)).send().await.expect("an answer");
        assert_eq!(answer.status(), 200);
        let age = answer.headers()["crossfall-book-age"]
            .to_str()
            .expect("text")
            .parse();
        let body = answer.text().await.expect("a whole body");
        assert_eq!(*body, *first, "no other figure while the database is away");
        seen.longest = seen.longest.max(begun.elapsed());
        seen.oldest = seen.oldest.max(age.expect("seconds"));
        seen.answers += 1;
    }
    seen
}

/// What the writer saw.
#[derive(Debug, Default)]
struct Wrote {
    accepted: i64,
    refused: i64,
    longest: Duration,
}

/// Writes one new item after the other; each is accepted, or refused as it should be.
async fn keep_writing(base: String, end: Arc<AtomicBool>) -> Wrote {
    let mut wrote = Wrote::default();
    for number in 0.. {
        if end.load(Ordering::Relaxed) {
            break;
        }
        let begun = Instant::now();
        let answer = add(&base, &format!("thing-{number}"), "2.00").send().await;
        let answer = answer.expect("an answer");
        match answer.status().as_u16() {
            201 => wrote.accepted += 1,
            503 => {
                assert_eq!(answer.headers()["retry-after"], "5");
                let body = answer.text().await.expect("a whole body");
                assert!(body.contains("/problems/unavailable"), "{body}");
                wrote.refused += 1;
            }
            other => panic!("{other}: {}", answer.text().await.unwrap_or_default()),
        }
        wrote.longest = wrote.longest.max(begun.elapsed());
        tokio::time::sleep(Duration::from_millis(20)).await;
    }
    wrote
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
#[ignore = "needs a Postgres server of its own; the full test command runs it"]
async fn estimates_do_not_notice_that_postgres_stops_and_starts() {
    let server = Server::start();
    let running = Process::start(&server.address);
    let base = &running.base;
    let (status, first) = sent(estimate(base, Some(1))).await;
    assert_eq!(status, 200, "{first}");
    let (first, end) = (Arc::<str>::from(first), Arc::new(AtomicBool::new(false)));
    let asking: Vec<_> = (0..CALLERS)
        .map(|_| tokio::spawn(keep_asking(base.clone(), first.clone(), end.clone())))
        .collect();
    let writing = tokio::spawn(keep_writing(base.clone(), end.clone()));
    tokio::time::sleep(Duration::from_secs(2)).await;
    control("halt", &server.folder);
    tokio::time::sleep(AWAY).await;
    control("resume", &server.folder);
    let back = Instant::now();
    while sent(add(
        base,
        &format!("back-{}", back.elapsed().as_millis()),
        "1.00",
    ))
    .await
    .0 != 201
    {
        assert!(back.elapsed() < LONGEST_WRITE, "writes work again");
    }
    let back = back.elapsed();
    tokio::time::sleep(Duration::from_secs(3)).await;
    end.store(true, Ordering::Relaxed);
    let wrote = writing.await.expect("the writer ends");
    let mut all = Seen::default();
    for caller in asking {
        let seen = caller.await.expect("the caller ends");
        all.answers += seen.answers;
        all.longest = all.longest.max(seen.longest);
        all.oldest = all.oldest.max(seen.oldest);
    }
    println!(
        "Postgres away for {AWAY:?}: {all:?}; {wrote:?}; a write works {back:?} after it is back"
    );
    assert!(all.oldest >= AWAY.as_secs() - 1, "the age rises: {all:?}");
    assert!(wrote.refused > 0 && wrote.accepted > 0, "{wrote:?}");
    assert!(wrote.longest <= LONGEST_WRITE, "{wrote:?}");
    // A commit whose answer was lost with the server may have landed; nothing else may.
    let (revision, items) = book(base).await;
    let written = revision - 2;
    assert!(
        (wrote.accepted..=wrote.accepted + 1).contains(&written),
        "{written} of {wrote:?}"
    );
    assert_eq!(items, demo_items() + written + 1);
    let later = Process::start(&server.address);
    assert_eq!(
        book(&later.base).await,
        (revision, items),
        "memory is what is stored"
    );
    assert_eq!(*sent(estimate(&later.base, Some(1))).await.1, *first);
}
