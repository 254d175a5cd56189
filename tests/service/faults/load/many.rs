//! Many connections at once: busy ones, ones on which nothing comes, and more than there are seats.

use super::{
    caller::{Caller, address, ask, estimate, request},
    lasting,
    measured::Before,
    offered::Tally,
    over::Probing,
};
use crate::{faults::process::Process, store::place::Place};
use crossfall::http::bounds::Bounds;
use std::time::{Duration, Instant};
use tokio::task::JoinSet;

/// Memory that the service may take for 4,096 connections, in MiB.
const MOST: usize = 768;

/// Connections that are opened at once.
const AT_ONCE: usize = 256;

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn each_of_64_connections_is_answered() {
    keep_busy(64).await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn each_of_512_connections_is_answered() {
    keep_busy(512).await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn each_of_4096_connections_is_answered() {
    // Two seats are left for the probes, which need none, and the calls that look whether all is well.
    keep_busy(4_096 - 2).await;
}

/// Connections that each send a call as soon as the last one was answered.
async fn keep_busy(number: usize) {
    let place = Place::sqlite();
    let process = Process::start(&place.address);
    let before = Before::of(&process).await;
    let callers = open(&address(&process.base), number).await;
    let probing = Probing::begin(&process.base);
    let until = Instant::now() + lasting();
    let busy: JoinSet<Tally> = callers.into_iter().map(|c| call_until(c, until)).collect();
    let mut tally = Tally::default();
    for each in busy.join_all().await {
        tally.add(each);
    }
    probing.end().await;
    tally.told(&format!("{number} connections"));
    assert!(!tally.answered.is_empty(), "some are answered");
    let what = format!("after {number} connections");
    before.holds(MOST, &what).await;
    drop(process);
    place.remove().await;
}

async fn call_until(mut caller: Caller, until: Instant) -> Tally {
    let mut tally = Tally::default();
    let mut wait = false;
    while tally.others.is_empty() && (tally.longest().is_zero() || Instant::now() < until) {
        if wait {
            tokio::time::sleep(Duration::from_millis(100)).await;
        }
        let sent = Instant::now();
        let came = caller.call(&estimate()).await;
        wait = came.as_ref().is_ok_and(|answer| answer.status != 200);
        tally.note(came, sent.elapsed());
    }
    tally
}

/// Opens so many connections.
async fn open(at: &str, number: usize) -> Vec<Caller> {
    let mut callers = Vec::with_capacity(number);
    while callers.len() < number {
        let more = AT_ONCE.min(number - callers.len());
        let opening: JoinSet<_> = (0..more)
            .map(|_| {
                let at = at.to_owned();
                async move { Caller::open(&at).await.expect("a connection") }
            })
            .collect();
        callers.extend(opening.join_all().await);
    }
    callers
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn connections_on_which_nothing_comes_are_let_go_and_hinder_nobody() {
    let place = Place::sqlite();
    let process = Process::start(&place.address);
    let before = Before::of(&process).await;
    let mut idle = open(&address(&process.base), 1_000).await;
    for half in idle.iter_mut().step_by(2) {
        let head = b"POST /v1/estimates HTTP/1.1\r\nHost: 127";
        half.send(head).await.expect("it is sent");
    }
    let answer = ask(&process.base, &estimate()).await.expect("an answer");
    assert_eq!(answer.status, 200, "meanwhile");
    // The callers keep their ends: it is the service that lets go.
    before
        .holds(MOST, "beside 1,000 half-open connections")
        .await;
    drop(idle);
    drop(process);
    place.remove().await;
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn without_a_seat_only_probes_are_answered() {
    let place = Place::sqlite();
    let process = Process::start(&place.address);
    let before = Before::of(&process).await;
    let seated = open(&address(&process.base), Bounds::default().connections).await;
    let probe = ask(&process.base, &request("GET /livez", "", b"")).await;
    assert_eq!(probe.expect("an answer").status, 200);
    let refused = ask(&process.base, &estimate()).await.expect("an answer");
    assert_eq!(refused.status, 503);
    assert!(refused.retry_after && refused.closes, "{refused:?}");
    drop(seated);
    before
        .holds(MOST, "after more connections than seats")
        .await;
    drop(process);
    place.remove().await;
}
