//! `POST /v1/pour-plan`: on which day to pour, and how that day goes.

use super::answer::PourPlanAnswer;
use super::body::Sent;
use super::computing::{Given, Prepared, ShowQuery};
use super::drawings::title_of;
use super::forecast::{take_forecast, tell_forecast_age};
use super::format::{Format, answer_json, vary};
use super::problem::{ApiError, Problem};
use super::today::Today;
use crate::clients::forecast::Forecasts;
use crate::documents::drawing::{Page, chart_pour, draw_evaporation, write_svg};
use crate::estimate::{ComputedWith, PourPlanned, choose, plan_pour, work_out};
use crate::job::{Assumption, Day, Job, JobRequest, Pour, expand_pour};
use crate::takeoff::Detail;
use actix_web::error::BlockingError;
use actix_web::{HttpResponse, post, web, web::Data};
use serde::Serialize;
use utoipa::ToSchema;

/// A pour planned by its weather.
#[derive(Debug, Serialize, ToSchema)]
pub struct PourPlanResponse {
    /// Name of the job, as sent.
    pub name: String,
    /// Days, best first.
    pub pour_plan: PourPlanAnswer,
    /// Every default used.
    pub assumptions: Vec<Assumption>,
    /// What it was computed with.
    pub computed_with: ComputedWith,
    /// Hash over the job, the weather and what they were computed with.
    pub fingerprint: String,
    /// The job with every question answered; with `?job=true`.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<Object>)]
    pub job: Option<Job>,
}

/// Plan the pour by its weather
///
/// Reads the job's `pour` section: the weather hour by hour (air, humidity, wind, chance of rain), and the
/// days to weigh. Each day is followed hour by hour: how warm the slab is, how fast its surface dries, when
/// it can be edged and broomed, which truck comes when, when the joints can be sawn. Its verdict is `go`,
/// `go_with` a list of what is done, with hours and dollars, or `wait`, with the reasons. Days are ranked:
/// those that go, then those that go with something, then those that wait; of equal ones the cheaper, then
/// the earlier. Dollars are beside the estimate: measures, and the crew's stay where it differs from the one
/// in mild weather. Hours are planning figures; the slab decides. As SVG: evaporation and temperatures over the
/// hours of the best day, with their limits and windows. Instead of `weather` a job may name a `forecast` whose
/// address the operator has set.
#[utoipa::path(
    tag = "pour",
    operation_id = "planPour",
    params(ShowQuery),
    request_body(content = JobRequest, examples(
        ("one mild day" = (summary = "a straight ramp on one mild day, invented", value = json!(example()))),
    )),
    responses(
        (status = 200, description = "Planned.", headers(("Crossfall-Forecast-Age" = u64, description = "Seconds since the forecast was fetched; only where one was.")), content((PourPlanResponse = "application/json"), (String = "image/svg+xml"))),
        (status = 400, description = "The body is not JSON.", body = Problem, content_type = "application/problem+json"),
        (status = 406, description = "None of the accepted formats can be given.", body = Problem, content_type = "application/problem+json"),
        (status = 404, description = "No day has anything to draw.", body = Problem, content_type = "application/problem+json"),
        (status = 422, description = "Readable, with faults; all are listed.", body = Problem, content_type = "application/problem+json"),
        (status = 502, description = "The forecast that was named cannot be read.", body = Problem, content_type = "application/problem+json"),
        (status = 503, description = "The forecast that was named is not to be had for the moment.", body = Problem, content_type = "application/problem+json"),
    ),
)]
#[post("/v1/pour-plan")]
pub(super) async fn post_pour_plan(
    Sent(mut sent): Sent<JobRequest>,
    given: Given,
    forecasts: Data<Forecasts>,
    today: Data<Today>,
) -> Result<HttpResponse, ApiError> {
    let format = given.choose(&[Format::Json, Format::Svg])?;
    let age = take_forecast(&mut sent, &forecasts, Day(today.date())).await?;
    let asked = sent.pour.clone();
    let prepared = given.prepare(sent)?;
    let filled = prepared.fill()?;
    let (pour, assumed) = expand_pour(asked, &filled.job)?;
    let assumptions = filled.assumptions.into_iter().chain(assumed).collect();
    let asked = Asked {
        job: filled.job,
        pour,
        assumptions,
        shows_job: given.query.job.unwrap_or(false),
    };
    // A month of days takes long enough to keep other calls of this worker waiting.
    let answer = match format {
        Format::Svg => picture(web::block(move || asked.draw(&prepared)).await)?,
        _ => {
            let answer = web::block(move || asked.plan(&prepared)).await;
            answer_json(&answer.map_err(ApiError::internal)?)?
        }
    };
    Ok(vary(tell_forecast_age(answer, age)))
}

/// A pour asked for, its questions answered.
struct Asked {
    job: Job,
    pour: Pour,
    assumptions: Vec<Assumption>,
    shows_job: bool,
}

impl Asked {
    fn planned(&self, prepared: &Prepared) -> (PourPlanned, String) {
        let chosen = choose(&self.job, prepared.with());
        let with = chosen.with(prepared.with());
        let worked = work_out(&self.job, with, Detail::Described);
        let planned = plan_pour((&self.job, &self.pour), &self.assumptions, (&worked, with));
        (planned, with.list.currency().code().to_owned())
    }

    fn plan(self, prepared: &Prepared) -> PourPlanResponse {
        let (planned, currency) = self.planned(prepared);
        PourPlanResponse {
            name: self.job.name.clone(),
            pour_plan: PourPlanAnswer::of((&self.job, &self.pour), planned.days, currency),
            assumptions: self.assumptions,
            computed_with: planned.computed_with,
            fingerprint: planned.fingerprint,
            job: self.shows_job.then_some(self.job),
        }
    }

    /// The evaporation of the best day; none where no day has a course.
    fn draw(&self, prepared: &Prepared) -> Option<Page> {
        let (mut planned, _) = self.planned(prepared);
        planned.days.sort_by_key(|day| day.rank);
        let chart = planned
            .days
            .iter()
            .find_map(|day| chart_pour(&day.day, (self.pour.bleeding, self.job.units)));
        draw_evaporation(&chart?, &title_of(&self.job, None))
    }
}

fn picture(page: Result<Option<Page>, BlockingError>) -> Result<HttpResponse, ApiError> {
    let none = "None of these days has hours to draw: the concrete does not set, or nothing is poured by us.";
    let page = page.map_err(ApiError::internal)?;
    let page = page.ok_or_else(|| ApiError::NotFound(none.to_owned()))?;
    Ok(HttpResponse::Ok()
        .content_type(Format::Svg.content_type())
        .body(write_svg(&page)))
}

/// A mild day, for the description.
fn example() -> serde_json::Value {
    let hours = (0..24).map(|hour: i32| {
        let warmth = 64 - (hour - 15).abs();
        serde_json::json!({
            "at": format!("2026-05-19T{hour:02}:00"),
            "air": format!("{warmth} degF"),
            "humidity": "60 %",
            "wind": "6 mph",
            "rain": "10 %",
        })
    });
    serde_json::json!({
        "ramp": {"path": [
            {"kind": "landing", "work": "existing"},
            {"kind": "run", "rise": "28 in", "length": "28 ft"},
            {"kind": "landing"},
        ]},
        "pour": {"weather": hours.collect::<Vec<_>>()},
    })
}
