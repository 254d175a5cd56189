//! `POST /v1/load-plan`: which small pours share a load of ready-mix.

use super::answer::LoadPlanAnswer;
use super::body::Sent;
use super::computing::{AsksFormat, Given};
use super::format::{Format, answer_json, vary};
use super::problem::{ApiError, Problem};
use crate::estimate::BookUsed;
use crate::job::Day;
use crate::loads::{LoadPlanRequest, TRIALS, plan_loads, read_request};
use actix_web::{HttpResponse, post, web};
use serde::Deserialize;
use utoipa::IntoParams;

/// How the answer is wanted.
#[derive(Debug, Default, Deserialize, IntoParams)]
#[serde(deny_unknown_fields)]
#[into_params(parameter_in = Query)]
pub struct LoadPlanQuery {
    /// `json`; wins over `Accept`.
    pub format: Option<String>,
}

impl AsksFormat for LoadPlanQuery {
    fn format(&self) -> Option<&str> {
        self.format.as_deref()
    }
}

/// Share loads between small pours
///
/// Two to thirty pours, each with a volume, an area, a mix, the hours in which its first concrete may
/// arrive, and its placing time. The answer says which of them come in one load, in which order and when,
/// so that each truck comes in the hours of every pour, carries what it serves, and is empty within the
/// limit after batching. A pour of more than a truck takes whole trucks first, and its rest is shared. The
/// plan costs least (concrete, charge for each load, small loads, further stops, waiting beyond the free
/// time); among plans that cost the same it has the fewest loads, then the least waiting, then the
/// youngest concrete, then keeps earlier pours together. `proven` says whether the search came to its end;
/// else `bound` and `gap` say how far from the best it can be. A shared load is rounded up to the step of
/// an order once, and is ordered larger than it need be where that costs less than a charge for a small one.
#[utoipa::path(
    tag = "loads",
    operation_id = "plan_loads",
    params(LoadPlanQuery),
    request_body(content = LoadPlanRequest, examples(
        ("two pours of one street" = (summary = "a walk and steps, invented", value = json!({
            "pours": [
                {"name": "Front walk", "volume": "1.6 yd3", "area": "Mill Street", "mix": "concrete-4500-air",
                 "arrive": {"day": "2026-06-02", "from": "07:00", "to": "09:00"}, "placing": "20 min"},
                {"name": "Side steps", "volume": "1.6 yd3", "area": "Mill Street", "mix": "concrete-4500-air",
                 "arrive": {"day": "2026-06-02", "from": "07:30", "to": "10:00"}, "placing": "25 min"}
            ],
            "per_load": "35.00",
            "travel": {"table": [{"from": "plant", "to": "Mill Street", "time": "18 min"}]}
        })))
    )),
    responses(
        (status = 200, description = "Planned.", body = LoadPlanAnswer),
        (status = 400, description = "The body is not JSON.", body = Problem, content_type = "application/problem+json"),
        (status = 406, description = "None of the accepted formats can be given.", body = Problem, content_type = "application/problem+json"),
        (status = 422, description = "Readable, with faults; all are listed.", body = Problem, content_type = "application/problem+json"),
    ),
)]
#[post("/v1/load-plan")]
pub(super) async fn post_load_plan(
    Sent(sent): Sent<LoadPlanRequest>,
    given: Given<LoadPlanQuery>,
) -> Result<HttpResponse, ApiError> {
    given.choose(&[Format::Json])?;
    let list = match given.price_list(sent.book.as_ref())? {
        Ok(list) => list,
        Err(fault) => {
            let mut faults = read_request(&sent, None).err().unwrap_or_default();
            faults.push(fault);
            return Err(ApiError::Faults(faults));
        }
    };
    let read = read_request(&sent, Some(&list))?;
    let asked = read.asked.clone();
    // A knot of many pours takes long enough to keep other calls of this worker waiting.
    let plan = web::block(move || plan_loads(&asked, TRIALS)).await;
    let plan = plan.map_err(ApiError::internal)?;
    let books = list.chain().iter().map(BookUsed::of).collect();
    let with = (books, Day(list.as_of()));
    let answer = LoadPlanAnswer::of((&read.asked, read.assumptions), &plan, with);
    Ok(vary(answer_json(&answer)?))
}
