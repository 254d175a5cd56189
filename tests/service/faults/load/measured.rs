//! What a process holds, as the system tells it.
//!
//! # Source
//! `proc(5)` of the Linux manual: `VmHWM`, `VmRSS` and the folder `fd` of a process.

use super::caller::{ask, estimate, request};
use crate::faults::process::Process;
use rustix::process::{Resource, getrlimit, setrlimit};
use std::{
    fs,
    time::{Duration, Instant},
};

/// How soon after a load everything is as before.
const SOON: Duration = Duration::from_secs(15);

/// Descriptors that may be more than before: files and sockets of the store.
const SPARE: usize = 16;

/// A process before a load.
pub(super) struct Before<'a> {
    process: &'a Process,
    descriptors: usize,
}

/// Lets this process open as many files as it may.
pub(super) fn open_many() {
    let mut limit = getrlimit(Resource::Nofile);
    assert!(
        limit.maximum.is_none_or(|most| most >= 8_192),
        "4,096 connections need `ulimit -Hn` of 8,192"
    );
    limit.current = limit.maximum;
    setrlimit(Resource::Nofile, limit).expect("up to the hard limit it may be set");
}

fn mebibytes(process: &Process, name: &str) -> usize {
    let status = fs::read_to_string(format!("/proc/{}/status", process.id())).expect("it runs");
    let line = status.lines().find_map(|line| line.strip_prefix(name));
    let line = line.expect("the line is there");
    let number = line.trim_matches([':', '\t', ' ']).split(' ').next();
    number.and_then(|n| n.parse::<usize>().ok()).expect("kB") / 1024
}

fn descriptors(process: &Process) -> usize {
    let folder = format!("/proc/{}/fd", process.id());
    fs::read_dir(folder).expect("it runs").count()
}

impl<'a> Before<'a> {
    /// Notes it, after a first call.
    pub(super) async fn of(process: &'a Process) -> Self {
        open_many();
        let first = ask(&process.base, &estimate()).await.expect("an answer");
        assert_eq!(first.status, 200);
        Self {
            process,
            descriptors: descriptors(process),
        }
    }

    /// Holds it to its bounds once a load is over.
    pub(super) async fn holds(&self, most: usize, what: &str) {
        let again = self.answers_again().await;
        let closed = self.lets_go().await;
        let (peak, now) = (
            mebibytes(self.process, "VmHWM"),
            mebibytes(self.process, "VmRSS"),
        );
        println!(
            "{what}: answered again after {again:?}, descriptors as before after {closed:?}, {peak} MiB at most, {now} MiB now"
        );
        assert!(peak < most, "{peak} MiB, and at most {most} may be");
        let probe = ask(&self.process.base, &request("GET /readyz", "", b"")).await;
        assert_eq!(probe.expect("an answer").status, 200);
    }

    async fn answers_again(&self) -> Duration {
        let over = Instant::now();
        loop {
            let answer = ask(&self.process.base, &estimate()).await;
            if answer.is_ok_and(|answer| answer.status == 200) {
                return over.elapsed();
            }
            assert!(over.elapsed() < SOON, "no estimate within {SOON:?}");
            tokio::time::sleep(Duration::from_millis(20)).await;
        }
    }

    async fn lets_go(&self) -> Duration {
        let over = Instant::now();
        while descriptors(self.process) > self.descriptors + SPARE {
            assert!(
                over.elapsed() < SOON,
                "{} descriptors after {SOON:?}, {} before",
                descriptors(self.process),
                self.descriptors
            );
            tokio::time::sleep(Duration::from_millis(20)).await;
        }
        over.elapsed()
    }
}
