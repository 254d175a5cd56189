//! `POST /v1/handovers`: a finished ramp handed over, with what was measured and how to care for it.
//!
//! Invariants: faults of the job stand under `/job`, beside those of the rest; the survey is judged as
//! `POST /v1/ramps/survey` judges it. Absent: what a handover says.

use super::body::Sent;
use super::computing::{Given, Prepared};
use super::drawings::AskedPaper;
use super::format::{Format, answer_json, vary};
use super::paper::{PaperQuery, answer_document};
use super::problem::{ApiError, Problem};
use super::today::Today;
use crate::documents::compose_handover;
use crate::documents::drawing::Paper;
use crate::estimate::{SurveyAnswered, SurveyAsked, answer_survey, choose, work_out};
use crate::handover::{Built, Handover, HandoverRequest, hand_over};
use crate::job::{Day, Expanded, JobRequest, SurveyStage};
use crate::quantity::{Fault, Faults};
use crate::takeoff::Detail;
use actix_web::{HttpResponse, post, web::Data};

/// Hand a finished ramp over
///
/// Says what was built and how to care for it: the verdict of the survey of the poured ramp, first where it breaks
/// a rule; the days of pour, sawing, stripping and sealing with the age of the slab; the delivery tickets beside the
/// order and the drawing; the mix beside what freezing and thawing asks; the sealer, whether it went on old enough and
/// when it is looked at again; what the owner does and leaves, with days counted from the pour; what is warranted,
/// through which day, and what that leaves out. What was not sent is told as open: without a survey the answer says
/// that nothing was measured. A month that lacks a day ends on its last, so that a year from 29 February ends on 28
/// February. No answer says that a ramp is accepted: that is the authority's. As HTML and PDF: the same to
/// print, with a stamp on each page where a rule is broken.
#[utoipa::path(
    tag = "documents",
    operation_id = "handOver",
    params(PaperQuery),
    request_body(content = HandoverRequest, examples(
        ("a ramp that was measured" = (summary = "a short ramp, measured with a level, invented", value = json!({
            "job": {
                "name": "Mill Street 4 (invented)",
                "ramp": {"path": [
                    {"kind": "landing", "work": "existing"},
                    {"kind": "run", "rise": "11 in", "length": "12 ft"},
                    {"kind": "landing"}
                ]},
                "survey": {"stage": "poured", "walks": [
                    {"piece": 1, "readings": ["7.6 %", "7.5 %", "7.7 %", "7.6 %", "7.8 %", "7.4 %"]}
                ]}
            },
            "poured_on": "2026-05-18", "sawn_on": "2026-05-18", "forms_off_on": "2026-05-20",
            "handed_over_on": "2026-06-20",
            "tickets": [{"number": "40117", "plant": "River plant (invented)", "volume": "2.5 yd3", "batched": "07:40",
                         "emptied": "08:35", "slump": "4 in", "air": "6 %"}],
            "sealer": {"applied_on": "2026-06-16", "by": "own crew"},
            "seller": {"name": "Hill Concrete (invented)"},
            "buyer": {"name": "Mill Library (invented)"},
            "warranty": {"years": 1}
        })))
    )),
    responses(
        (status = 200, description = "Handed over; a ramp that breaks a rule is answered here too, and told so first.", content((Handover = "application/json"), (String = "text/html"), (Vec<u8> = "application/pdf"))),
        (status = 400, description = "The body is not JSON.", body = Problem, content_type = "application/problem+json"),
        (status = 406, description = "None of the accepted formats can be given.", body = Problem, content_type = "application/problem+json"),
        (status = 422, description = "Readable, with faults; all are listed. A priced answer that does not add up is one.", body = Problem, content_type = "application/problem+json"),
    ),
)]
#[post("/v1/handovers")]
pub(super) async fn post_handover(
    Sent(sent): Sent<HandoverRequest>,
    given: Given<PaperQuery>,
    today: Data<Today>,
) -> Result<HttpResponse, ApiError> {
    let format = given.choose(&[Format::Json, Format::Html, Format::Pdf])?;
    let today = Day(today.date());
    let mut faults = sent.check(today);
    if let Some(survey) = &sent.job.survey
        && survey.stage != SurveyStage::Poured
    {
        let accepted = "poured, since a finished ramp is handed over";
        let found = survey.stage.as_str();
        faults.push(Fault::new(
            "/job/survey/stage",
            found,
            accepted,
            Some("poured"),
        ));
    }
    let worked = prepare(&given, &sent.job);
    let ready = match worked {
        Ok(ready) if faults.is_empty() => ready,
        Ok(_) => return Err(ApiError::Faults(faults)),
        Err(error) => return Err(join(faults, error)),
    };
    let (job, with) = (&ready.filled.job, ready.prepared.with());
    let chosen = choose(job, with);
    let worked = work_out(job, chosen.with(with), Detail::Described);
    let built = Built {
        job,
        takeoff: &worked.takeoff,
        survey: ready.survey.as_ref(),
        today,
    };
    let handover = hand_over(sent, built, ready.filled.assumptions.clone());
    let paper = AskedPaper::or_usual(given.query.paper, job.units);
    write(&handover, (format, paper))
}

/// The answer in the format that was asked for.
fn write(handover: &Handover, (format, paper): (Format, Paper)) -> Result<HttpResponse, ApiError> {
    if format == Format::Json {
        return Ok(vary(answer_json(handover)?));
    }
    let document = compose_handover(handover);
    Ok(vary(answer_document(&document, (format, paper))?))
}

/// A job without a fault, and what was measured of it.
struct Ready {
    prepared: Prepared,
    filled: Expanded,
    survey: Option<SurveyAnswered>,
}

/// Reads the job and judges its survey, where it has one.
fn prepare(given: &Given<PaperQuery>, job: &JobRequest) -> Result<Ready, ApiError> {
    let prepared = given.prepare(job.clone())?;
    let mut filled = prepared.fill()?;
    let mut survey = None;
    if job.survey.is_some() {
        let (told, sheet) = (job.survey.clone(), job.grade_sheet.clone());
        let (told, assumed) = SurveyAsked::of(told, sheet, &filled.job)?;
        let chosen = choose(&filled.job, prepared.with());
        survey = Some(answer_survey(
            &filled.job,
            &told,
            chosen.with(prepared.with()),
        )?);
        filled.assumptions.extend(assumed);
    }
    Ok(Ready {
        prepared,
        filled,
        survey,
    })
}

/// The faults of the job, at their place in the request, beside those of the rest.
fn join(mut faults: Faults, error: ApiError) -> ApiError {
    let ApiError::Faults(found) = error else {
        return error;
    };
    faults.0.extend(found.0.into_iter().map(|fault| Fault {
        pointer: format!("/job{}", fault.pointer),
        ..fault
    }));
    ApiError::Faults(faults)
}
