//! The way of a batch: a thread reads, the pool answers in groups, the connection sends in order.
//!
//! Invariants: memory holds at most [`window`] groups, whoever is slow; a group whose answer nobody
//! awaits is not computed; groups have a fixed size, so that the answer is the same on any machine.
//! Absent: what a row comes to, and how it is written.

use super::body::{Record, Source};
use super::cuts::CutTogetherAnswer;
use super::plan::Plan;
use super::pool::{Pool, step_back};
use super::room::Place;
use super::row::Row;
use super::share::{SharedLoadsAnswer, share_loads};
use super::summary::SummaryAnswer;
use super::written::{self, write_row};
use crate::batch::{Status, Summary, ToShare, Told};
use crate::http::{health::Readiness, problem::ApiError};
use actix_web::web::{self, Bytes, Data};
use futures_util::{Stream, stream};
use std::{io, sync::Arc, time::Duration};
use tokio::sync::{mpsc, oneshot};

/// Rows of one group.
const ROWS: usize = 64;

/// Bytes after which a group is not added to: rows may be large, and many batches are answered at once.
const BYTES: usize = 256 * 1024;

/// How long the last words of an answer that is broken off have to go out.
const BEFORE_BREAKING: Duration = Duration::from_millis(500);

/// What is said where the cause is in the log.
const BROKEN: &str = "something failed inside the service; it has been logged";

/// What is said where a stop left no time for the rest.
const STOPPED: &str = "the service was stopped before all rows were answered; send them again";

/// Groups that are read ahead of the one that is being sent.
const fn window(threads: usize) -> usize {
    threads * 2
}

/// What comes next in an answer.
enum Next {
    /// A group that is being answered.
    Group(oneshot::Receiver<Answered>),
    /// No further row can be read, and why.
    Aborted(String),
    /// All rows were read.
    End,
}

/// Rows that are answered together.
struct Group {
    records: Vec<Record>,
    /// Whether they are the first of all.
    first: bool,
}

/// A group of rows, answered.
struct Answered {
    bytes: Vec<u8>,
    summary: Summary,
}

/// The groups of a batch in their order.
pub(super) struct Groups(mpsc::Receiver<Next>);

/// Begins to read and to answer.
pub(super) fn begin(source: Source, plan: &Arc<Plan>, pool: &Pool) -> Groups {
    let (sender, receiver) = mpsc::channel(window(pool.threads()));
    let reader = Reader {
        source,
        plan: plan.clone(),
        pool: pool.clone(),
        sender,
    };
    let thread = std::thread::Builder::new().name("batch-reader".to_owned());
    // Without a thread the sender is dropped, and the answer ends as one that was aborted.
    drop(thread.spawn(move || {
        step_back();
        reader.read_all();
    }));
    Groups(receiver)
}

struct Reader {
    source: Source,
    plan: Arc<Plan>,
    pool: Pool,
    sender: mpsc::Sender<Next>,
}

impl Reader {
    /// Reads until the end, or until nobody awaits an answer.
    fn read_all(mut self) {
        let mut first = true;
        loop {
            let (records, end) = self.read_group();
            if !records.is_empty() && !self.give(Group { records, first }) {
                return;
            }
            first = false;
            if let Some(end) = end {
                drop(self.sender.blocking_send(end));
                return;
            }
        }
    }

    /// The next records, and what comes behind them where no further ones do.
    fn read_group(&mut self) -> (Vec<Record>, Option<Next>) {
        let mut group = Vec::with_capacity(ROWS);
        let mut bytes = 0;
        while group.len() < ROWS && bytes < BYTES {
            match self.source.next() {
                Ok(Some(record)) => {
                    bytes += record.size();
                    group.push(record);
                }
                Ok(None) => return (group, Some(Next::End)),
                Err(error) => return (group, Some(Next::Aborted(error.to_string()))),
            }
        }
        (group, None)
    }

    /// Has a group answered; false where nobody awaits it. Waits while the window is full.
    fn give(&self, group: Group) -> bool {
        let (answer, awaited) = oneshot::channel();
        if self.sender.blocking_send(Next::Group(awaited)).is_err() {
            return false;
        }
        let plan = self.plan.clone();
        self.pool
            .give(Box::new(move || answer_group(&plan, group, answer)));
        true
    }
}

fn answer_group(plan: &Plan, group: Group, answer: oneshot::Sender<Answered>) {
    let mut answered = Answered {
        bytes: Vec::new(),
        summary: Summary::gathering(plan.asked.gathers()),
    };
    let mut first = group.first;
    for record in group.records {
        if answer.is_closed() {
            return;
        }
        let row = Row::answer(plan, record);
        let told = Told {
            row: row.number,
            day: row.day,
            area: row.area.as_deref(),
        };
        match &row.outcome {
            Ok(estimate) => answered.summary.add(estimate, told, plan.asked.least),
            Err(_) => answered.summary.add_error(),
        }
        let written = write_row(plan, &row, (first, &mut answered.bytes));
        first = false;
        if let Err(error) = written {
            // The group is dropped, and the answer ends as one that was aborted.
            tracing::error!(%error, "a batch row could not be written");
            return;
        }
    }
    drop(answer.send(answered));
}

/// Where the sending stands.
struct Sending {
    groups: Groups,
    plan: Arc<Plan>,
    summary: Summary,
    stage: Stage,
    readiness: Data<Readiness>,
    // Given back when the answer has ended, however it ends.
    _place: Place,
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Stage {
    Head,
    Groups,
    Broken,
    Done,
}

/// The answer, piece by piece. It ends in an error where not all rows were answered, so that the
/// connection is closed unfinished.
pub(super) fn send(
    groups: Groups,
    plan: Arc<Plan>,
    (place, readiness): (Place, Data<Readiness>),
) -> impl Stream<Item = Result<Bytes, io::Error>> {
    let sending = Sending {
        groups,
        summary: Summary::gathering(plan.asked.gathers()),
        plan,
        stage: Stage::Head,
        readiness,
        _place: place,
    };
    stream::unfold(sending, |mut sending| async move {
        let piece = sending.next().await?;
        Some((piece, sending))
    })
}

impl Sending {
    async fn next(&mut self) -> Option<Result<Bytes, io::Error>> {
        match self.stage {
            Stage::Done => None,
            Stage::Broken => {
                // A connection that is broken off forgets what it has not sent yet.
                tokio::time::sleep(BEFORE_BREAKING).await;
                self.stage = Stage::Done;
                Some(Err(io::Error::other("a batch was aborted")))
            }
            Stage::Head => {
                self.stage = Stage::Groups;
                Some(written::head(&self.plan).map(Bytes::from))
            }
            Stage::Groups => {
                let readiness = self.readiness.clone();
                Some(tokio::select! {
                    piece = self.next_group() => piece,
                    () = readiness.out_of_time() => Ok(self.abort(STOPPED)),
                })
            }
        }
    }

    async fn next_group(&mut self) -> Result<Bytes, io::Error> {
        match self.groups.0.recv().await {
            Some(Next::Group(awaited)) => match awaited.await {
                Ok(answered) => Ok(self.take(answered)),
                Err(_) => Ok(self.abort(BROKEN)),
            },
            Some(Next::End) => {
                let mut summary = std::mem::take(&mut self.summary);
                let gathered = summary.to_share.take();
                let Ok((summary, cut_together)) = self.cut(summary).await else {
                    return Ok(self.abort(BROKEN));
                };
                let Ok(load_plan) = self.share(gathered).await else {
                    return Ok(self.abort(BROKEN));
                };
                self.stage = Stage::Done;
                let summary = SummaryAnswer {
                    load_plan,
                    cut_together,
                    ..SummaryAnswer::of(summary, &self.plan.asked)
                };
                written::tail(&self.plan, &summary).map(Bytes::from)
            }
            Some(Next::Aborted(why)) => Ok(self.abort(&why)),
            None => Ok(self.abort(BROKEN)),
        }
    }

    /// Bars cut together, where that was asked for.
    async fn cut(
        &self,
        mut summary: Summary,
    ) -> Result<(Summary, Option<CutTogetherAnswer>), ApiError> {
        let units = self.plan.asked.units;
        let cut = web::block(move || {
            let cut = summary.cut_together();
            (summary, cut)
        });
        let (summary, cut) = cut.await.map_err(|error| {
            tracing::error!(%error, "the bars of a batch could not be cut together");
            ApiError::internal(error)
        })?;
        Ok((summary, cut.map(|cut| CutTogetherAnswer::of(cut, units))))
    }

    /// The shared loads, where they were asked for.
    async fn share(
        &self,
        gathered: Option<ToShare>,
    ) -> Result<Option<SharedLoadsAnswer>, ApiError> {
        let (Some(hours), Some(gathered)) = (self.plan.asked.share, gathered) else {
            return Ok(None);
        };
        let plan = self.plan.clone();
        let shared = web::block(move || share_loads(&plan, hours, &gathered)).await;
        let shared = shared.map_err(ApiError::internal).flatten();
        if let Err(error) = &shared {
            tracing::error!(%error, "the loads of a batch could not be shared");
        }
        shared.map(Some)
    }

    fn take(&mut self, answered: Answered) -> Bytes {
        let (summary, meter) = (&answered.summary, &self.plan.meter);
        meter.note_jobs(Status::Ok, summary.ok);
        meter.note_jobs(Status::Incomplete, summary.incomplete);
        meter.note_jobs(Status::Error, summary.errors);
        self.summary.merge(answered.summary);
        Bytes::from(answered.bytes)
    }

    fn abort(&mut self, why: &str) -> Bytes {
        self.stage = Stage::Broken;
        Bytes::from(written::aborted(&self.plan, why))
    }
}
