//! Whether a priced answer that goes along is that of the job that is handed over.
//!
//! Invariants: by the pieces of the path where the answer holds its job, since what is built may be called
//! otherwise than what was priced; by the name where it does not. Absent: whether the answer adds up; a job
//! that cannot be read, which is told elsewhere.

use crate::answered::Answered;
use crate::job::{Day, Job, JobRequest, Piece, expand};
use crate::quantity::{Fault, Faults, Length};

/// A length comes back from its text with its last digit off; less than this, in inches, is the same length.
const SAME: f64 = 0.001;

/// Adds a fault where the answer is that of another job.
pub(super) fn check_job(
    job: &JobRequest,
    estimate: &Answered,
    (today, faults): (Day, &mut Faults),
) {
    let Some(job) = read(job, today) else {
        return;
    };
    let priced = estimate.job.as_ref();
    let priced = priced.and_then(|job| read(job, estimate.computed_with.as_of));
    let Some(priced) = priced else {
        check_name(&job.name, estimate, faults);
        return;
    };
    if !same_path(&job, &priced) {
        let accepted =
            "the priced answer of the ramp handed over; after a change, that of the changed job";
        let fault = Fault::new("/estimate/job/ramp", "another ramp", accepted, None);
        faults.push(fault);
    }
}

fn check_name(name: &str, estimate: &Answered, faults: &mut Faults) {
    if estimate.name != name {
        let accepted = format!(
            "the priced answer of the job handed over, \"{name}\"; under another name one that holds its job (`?job=true`), which is known by its ramp"
        );
        let found = format!("\"{}\"", estimate.name);
        faults.push(Fault::new("/estimate/name", found, accepted, Some(name)));
    }
}

/// A job with every question answered.
fn read(job: &JobRequest, today: Day) -> Option<Job> {
    Some(expand(job.clone(), today).ok()?.job)
}

/// Whether two ramps have the same pieces, one by one.
fn same_path(one: &Job, other: &Job) -> bool {
    let (one, other) = (&one.ramp.path, &other.ramp.path);
    let mut pairs = one.iter().zip(other);
    one.len() == other.len() && pairs.all(|(one, other)| same_piece(one, other))
}

fn same_piece(one: &Piece, other: &Piece) -> bool {
    let same = |one: Length, other: Length| (one.inches() - other.inches()).abs() < SAME;
    match (one, other) {
        (Piece::Run(one), Piece::Run(other)) => {
            one.measured == other.measured
                && same(one.rise, other.rise)
                && same(one.length, other.length)
                && same(one.width, other.width)
        }
        (Piece::Landing(one), Piece::Landing(other)) => {
            one.turn == other.turn && same(one.length, other.length) && same(one.width, other.width)
        }
        _ => false,
    }
}
