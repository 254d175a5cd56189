//! Whether a priced answer that goes along is that of the job that is handed over.
//!
//! Invariants: by the name, which every answer has; by the ramp too, where the answer holds its job. Absent:
//! whether the answer adds up; a job that cannot be read, which is told elsewhere.

use crate::answered::Answered;
use crate::job::{Day, JobRequest, Ramp, expand};
use crate::quantity::{Fault, Faults};

/// Adds a fault where the answer is that of another job.
pub(super) fn check_job(
    job: &JobRequest,
    estimate: &Answered,
    (today, faults): (Day, &mut Faults),
) {
    let Some((name, ramp)) = read(job, today) else {
        return;
    };
    if estimate.name != name {
        let accepted = format!("the priced answer of the job handed over, \"{name}\"");
        let found = format!("\"{}\"", estimate.name);
        faults.push(Fault::new("/estimate/name", found, accepted, Some(&name)));
        return;
    }
    let priced = estimate.job.as_ref();
    let priced = priced.and_then(|job| read(job, estimate.computed_with.as_of));
    if priced.is_some_and(|(_, priced)| priced != ramp) {
        let accepted = "the priced answer of the ramp handed over; after a change, that of the changed job, or one without its job";
        faults.push(Fault::new(
            "/estimate/job/ramp",
            "another ramp",
            accepted,
            None,
        ));
    }
}

/// Name and ramp of a job with every question answered.
fn read(job: &JobRequest, today: Day) -> Option<(String, Ramp)> {
    let job = expand(job.clone(), today).ok()?.job;
    Some((job.name, job.ramp))
}
