//! A job as JSON: read, expanded, judged, taken off, priced, and what its sections ask for.
//!
//! Invariants: an expanded job expands to itself; every number of an answer is finite; money adds up.

use super::flow::{check_estimate, check_expansion, check_finite, read, with};
use crossfall::estimate::{SurveyAsked, answer_survey, choose, plan_pour, set_out, work_out};
use crossfall::job::{Job, JobRequest, expand_grade_sheet, expand_pour};
use crossfall::takeoff::Detail;

/// A body of `POST /v1/estimates` and of the calls that take the same job.
pub fn job(bytes: &[u8]) {
    let Some(sent) = read::<JobRequest>(bytes) else {
        return;
    };
    check_expansion(sent.clone());
    if let Some(answer) = check_estimate(sent.clone(), bytes.len().is_multiple_of(8)) {
        check_sections(sent, &answer.job);
    }
}

fn check_sections(sent: JobRequest, job: &Job) {
    let chosen = choose(job, with());
    let with = chosen.with(with());
    let worked = work_out(job, with, Detail::Worked);
    if let Ok((wanted, _)) = expand_grade_sheet(sent.grade_sheet.clone(), job)
        && let Ok(laid) = set_out(job, &worked.geometry, &wanted)
    {
        check_finite(&laid);
    }
    if sent.survey.is_some()
        && let Ok((asked, _)) = SurveyAsked::of(sent.survey, sent.grade_sheet, job)
        && let Ok(answer) = answer_survey(job, &asked, with)
    {
        check_finite(&answer);
    }
    if sent.pour.is_some()
        && let Ok((pour, assumed)) = expand_pour(sent.pour, job)
    {
        check_finite(&plan_pour((job, &pour), &assumed, (&worked, with)));
    }
}
