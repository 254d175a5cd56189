//! `POST /v1/estimates/batch`: many jobs, priced as they come.
//!
//! Invariants: what can be refused as a whole is refused before the first byte of the answer; from
//! then on every row is answered, a bad one with its faults. Absent: how rows are read, computed,
//! written and sent in order, each of which has its file.

mod body;
mod cuts;
mod opened;
mod plan;
mod pool;
mod room;
mod row;
mod run;
mod share;
mod spool;
mod summary;
mod written;

pub use pool::Pool;
pub use summary::SummaryAnswer;

use super::computing::Tables;
use super::extract::bad_query;

use super::format::{tell_book_age, vary};
use super::health::Readiness;
use super::limits;
use super::load::Load;
use super::problem::{ApiError, Problem};
use super::today::Today;
use crate::book::{Books, Caller};
use crate::job::Day;
use crate::meter::Meter;
use crate::quantity::money::UnitPrice;
use crate::rules::RuleSets;
use actix_web::web::{Data, Payload, Query};
use actix_web::{HttpMessage as _, HttpRequest, HttpResponse, post, web};
use body::{Coding, Form, take_in};
use opened::open;
use plan::{Asked, Plan};
use room::{Place, Room};
use serde::Deserialize;
use std::sync::Arc;
use utoipa::IntoParams;

/// How a batch is answered.
#[derive(Debug, Default, Deserialize, IntoParams)]
#[serde(deny_unknown_fields)]
#[into_params(parameter_in = Query)]
pub struct BatchQuery {
    /// `csv`, `ndjson` or `json`; wins over `Accept`. That of the body where neither says.
    pub format: Option<String>,
    /// Figures of each row, parted by commas, in this order; those of `GET /v1/row` where left out.
    /// `status` stands before and `note` behind them.
    pub figures: Option<String>,
    /// `row` to end a CSV with a row of sums.
    #[param(pattern = "^(row)?$")]
    pub summary: Option<String>,
    /// True to bring the expanded job and what was assumed with each row, in JSON.
    pub job: Option<bool>,
    /// Least price of one visit, a decimal number; rows under it times their visits are marked.
    #[param(value_type = Option<UnitPrice>, inline)]
    pub least_per_visit: Option<String>,
    /// Units of the summary, `us` or `metric`.
    #[param(pattern = "^(us|metric)?$")]
    pub units: Option<String>,
    /// True to plan loads shared between the pours of each day, in the `load_plan` of the summary, in JSON.
    pub share_loads: Option<bool>,
    /// True to cut the bars of all jobs together, in the `cut_together` of the summary, in JSON; `to_order`
    /// then orders what that takes.
    pub cut_together: Option<bool>,
    /// Hours in which the first concrete of every pour may arrive, like `07:00-12:00`; from 07:00 to 15:00
    /// where left out.
    #[param(
        pattern = "^([0-2][0-9]:[0-5][0-9]-[0-2][0-9]:[0-5][0-9])?$",
        example = "07:00-12:00"
    )]
    pub arrive: Option<String>,
}

/// Threads and room for batches, shared by all workers.
#[derive(Clone, Debug)]
pub struct Batches {
    pool: Pool,
    room: Room,
}

impl Batches {
    /// Starts the threads.
    pub fn start() -> Self {
        Self {
            pool: Pool::start(),
            room: Room::default(),
        }
    }
}

/// Price many jobs
///
/// One job a row, as lines of the short form: a CSV table (comma, semicolon with decimal commas, or
/// tab; UTF-8, UTF-16, or as `charset` says), one JSON object a line, a JSON array of such objects, or
/// the first sheet of an XLSX workbook. A JSON object with `ramp` is a job in the full form. Bodies may
/// be coded as gzip, br or deflate.
///
/// The answer begins before the body has ended, and holds one row for each row sent, in order: in CSV
/// the columns as sent, unknown ones too, then the figures; in JSON `input`, `status`, `figures`,
/// `not_known`, and `errors` of a row that is no job. A column that is named like a figure beside it comes
/// back as `sent_` and its name. The dialect and a byte-order mark are those of the request. The last
/// line of NDJSON and a key of a JSON answer hold the `summary`; a CSV has it with `summary=row`.
///
/// With `share_loads=true` the summary also plans which pours of a day (`day` and `zone` of a row) share a
/// load of ready-mix, as `POST /v1/load-plan` does; a day of more than thirty pours is planned area by area.
///
/// With `cut_together=true` the bars of all jobs are cut from one stock, and ordered so.
///
/// All rows see one state of the price books and one day. At most 1,000,000 rows (XLSX and JSON
/// arrays: 16 MiB), 256 MiB unfolded, 64 KiB a row; a replica answers 64 batches at once, 32 of one
/// key, or 8 workbooks, 4 of one key. A body that brings less than 1 KiB in 30 s has broken off. Once the answer has begun its status is 200: what
/// fails later ends it with `aborted` in NDJSON and JSON, a row of status `aborted` in CSV, and the
/// connection is closed unfinished.
#[utoipa::path(
    tag = "estimates",
    operation_id = "estimate_batch",
    params(BatchQuery),
    request_body(content(
        (String = "text/csv", example = "job,rise_in,length_ft,runs,turn\nLibrary (invented),28,28,2,left\nClinic (invented),14,15,,\n"),
        (String = "application/x-ndjson", example = "{\"job\":\"Library (invented)\",\"rise_in\":28,\"length_ft\":28}\n"),
        (Vec<serde_json::Value> = "application/json"),
        (Vec<u8> = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"),
    )),
    responses(
        (status = 200, description = "Every row, answered.", content((String = "text/csv"), (String = "application/x-ndjson"), (serde_json::Value = "application/json")),
            headers(("Crossfall-Book-Age" = i64, description = "Seconds since the price book in memory was last seen to be the database's."))),
        (status = 400, description = "No heading, not a JSON array, or a query that cannot be read.", body = Problem, content_type = "application/problem+json"),
        (status = 406, description = "None of the accepted formats can be given.", body = Problem, content_type = "application/problem+json"),
        (status = 413, description = "A JSON array or a workbook that is too large.", body = Problem, content_type = "application/problem+json"),
        (status = 415, description = "The body is in no form that is read.", body = Problem, content_type = "application/problem+json"),
        (status = 422, description = "The heading or the query has faults; all are listed.", body = Problem, content_type = "application/problem+json"),
        (status = 503, description = "Many batches are being answered already.", body = Problem, content_type = "application/problem+json",
            headers(("Retry-After" = i32, description = "Seconds after which to send it again."))),
    ),
)]
#[post("/v1/estimates/batch")]
pub(super) async fn post_batch(
    request: HttpRequest,
    (books, rules, today): (Data<Books>, Data<RuleSets>, Data<Today>),
    (batches, load): (Data<Batches>, Data<Load>),
    (meter, readiness): (Data<Meter>, Data<Readiness>),
    payload: Payload,
) -> Result<HttpResponse, ApiError> {
    let read = Admitted::read(&request, &batches);
    let admitted = match read {
        Ok(admitted) => admitted,
        Err(refusal) => {
            limits::drain(payload.into_inner()).await;
            return Err(refusal);
        }
    };
    let body = take_in(payload.into_inner(), load.bounds().for_more);
    let (form, coding) = (admitted.form.clone(), admitted.coding);
    let opened = web::block(move || open(&form, coding.unfold(body))).await;
    let (source, columns) = opened.map_err(ApiError::internal)??;
    limits::note_arrival(&request);
    let plan = Arc::new(Plan {
        tables: Tables::now(&books, &rules),
        today: Day(today.date()),
        asked: admitted.asked,
        columns,
        meter,
    });
    let groups = run::begin(source, &plan, &batches.pool);
    let response = HttpResponse::Ok()
        .content_type(plan.asked.format.content_type())
        .streaming(run::send(groups, plan, (admitted.place, readiness)));
    Ok(vary(tell_book_age(response, books.age().as_secs())))
}

/// What is known of a batch before its body is read.
struct Admitted {
    form: Form,
    coding: Coding,
    asked: Asked,
    place: Place,
}

impl Admitted {
    fn read(request: &HttpRequest, batches: &Batches) -> Result<Self, ApiError> {
        let headers = request.headers();
        let form = Form::of(headers)?;
        let query = Query::<BatchQuery>::from_query(request.query_string())
            .map_err(|error| bad_query(&error, request.query_string()))?;
        Ok(Self {
            coding: Coding::of(headers)?,
            asked: Asked::of(&query, headers, &form)?,
            place: batches
                .room
                .enter(request.extensions().get::<Caller>(), form.weight())?,
            form,
        })
    }
}
