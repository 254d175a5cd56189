//! `GET /metrics`, and what counts every answer.
//!
//! Invariants: a request is counted once, when its answer has ended or was broken off, under the template of
//! its route; a method that nobody uses is `other`. Absent: the counters, which `meter` keeps.

use super::origin::Hosts;
use super::problem::ApiError;
use crate::batch::Status;
use crate::estimate::Estimate;
use crate::meter::{Answered, Meter, TEXT_FORM, UnderWay};
use actix_web::{
    App, Error, HttpResponse, ResponseError as _,
    body::{BodySize, BoxBody, MessageBody},
    dev::{ServiceFactory, ServiceRequest, ServiceResponse},
    get,
    http::Method,
    middleware::{Next, from_fn},
    web::{Bytes, Data},
};
use std::{
    pin::Pin,
    task::{Context, Poll},
    time::Instant,
};

/// Where the counters are read.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Place {
    /// Beside everything else.
    #[default]
    Here,
    /// At an address of their own.
    Elsewhere,
}

/// The counters alone, for an address of their own.
pub fn app(
    meter: Data<Meter>,
    hosts: Data<Hosts>,
) -> App<
    impl ServiceFactory<
        ServiceRequest,
        Config = (),
        Response = ServiceResponse<BoxBody>,
        Error = Error,
        InitError = (),
    >,
> {
    App::new()
        .app_data(meter)
        .app_data(hosts)
        .app_data(Data::new(Place::Here))
        .service(get_metrics)
        .wrap(from_fn(check_host))
}

async fn check_host(
    hosts: Data<Hosts>,
    request: ServiceRequest,
    next: Next<impl MessageBody + 'static>,
) -> Result<ServiceResponse<BoxBody>, Error> {
    match hosts.check(&request) {
        Ok(()) => Ok(next.call(request).await?.map_into_boxed_body()),
        Err(refusal) => Ok(request.into_response(refusal.error_response())),
    }
}

/// Read the counters
///
/// Requests and how long they took by route, jobs by outcome, revision and age of the price books,
/// connections to the database, the process and what was built, in the text form of Prometheus. 404 where
/// the operator gave the counters an address of their own.
#[utoipa::path(
    tag = "health",
    operation_id = "get_metrics",
    responses((status = 200, description = "The counters.", body = String, content_type = "text/plain")),
)]
#[get("/metrics")]
pub(super) async fn get_metrics(
    meter: Data<Meter>,
    place: Data<Place>,
) -> Result<HttpResponse, ApiError> {
    if **place == Place::Elsewhere {
        return Err(ApiError::NotFound(
            "The counters have an address of their own.".to_owned(),
        ));
    }
    let text = meter.text().map_err(ApiError::internal)?;
    Ok(HttpResponse::Ok().content_type(TEXT_FORM).body(text))
}

/// Counts a job, and passes on what became of it.
pub(super) fn note_job<E>(meter: &Meter, priced: Result<Estimate, E>) -> Result<Estimate, E> {
    meter.note_jobs(priced.as_ref().map_or(Status::Error, Status::of), 1);
    priced
}

/// Counts a job that has faults before it can be priced, and passes on what was read.
pub(super) fn note_faults<T>(meter: &Meter, read: Result<T, ApiError>) -> Result<T, ApiError> {
    if matches!(read, Err(ApiError::Faults(_))) {
        meter.note_jobs(Status::Error, 1);
    }
    read
}

/// Middleware: counts a request and times its answer to the end.
pub(super) async fn count_answer(
    meter: Data<Meter>,
    request: ServiceRequest,
    next: Next<impl MessageBody + 'static>,
) -> Result<ServiceResponse<BoxBody>, Error> {
    let mut count = Count {
        method: known(request.method()),
        route: request.match_pattern().unwrap_or_else(|| "none".to_owned()),
        status: None,
        began: Instant::now(),
        _under_way: meter.begin(),
        meter,
    };
    match next.call(request).await {
        Ok(answered) => {
            count.status = Some(answered.status().as_u16());
            Ok(answered.map_body(|_, body| {
                let body = BoxBody::new(body);
                let counted = Counted {
                    body,
                    _count: count,
                };
                BoxBody::new(counted)
            }))
        }
        Err(error) => {
            count.status = Some(error.as_response_error().status_code().as_u16());
            Err(error)
        }
    }
}

fn known(method: &Method) -> &'static str {
    match method.as_str() {
        "GET" => "GET",
        "HEAD" => "HEAD",
        "POST" => "POST",
        "PUT" => "PUT",
        "DELETE" => "DELETE",
        "OPTIONS" => "OPTIONS",
        _ => "other",
    }
}

/// A request that is being answered; counted when it goes.
struct Count {
    meter: Data<Meter>,
    method: &'static str,
    route: String,
    status: Option<u16>,
    began: Instant,
    _under_way: UnderWay,
}

impl Drop for Count {
    fn drop(&mut self) {
        self.meter.note(Answered {
            method: self.method,
            route: &self.route,
            status: self.status,
            took: self.began.elapsed(),
        });
    }
}

/// A body that is counted when it has gone out.
struct Counted {
    body: BoxBody,
    _count: Count,
}

impl MessageBody for Counted {
    type Error = <BoxBody as MessageBody>::Error;

    fn size(&self) -> BodySize {
        self.body.size()
    }

    fn poll_next(
        mut self: Pin<&mut Self>,
        context: &mut Context<'_>,
    ) -> Poll<Option<Result<Bytes, Self::Error>>> {
        self.body.as_pin_mut().poll_next(context)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use actix_web::{test, web};

    async fn refuse() -> Result<HttpResponse, ApiError> {
        Err(ApiError::Unavailable("Not ready.".to_owned()))
    }

    #[actix_web::test]
    async fn an_answer_is_counted_under_its_template_once_it_has_ended() {
        let meter = Data::new(Meter::default());
        let layers = App::new()
            .app_data(meter.clone())
            .route("/v1/cell/{figure}", web::get().to(refuse))
            .wrap(from_fn(count_answer));
        let app = test::init_service(layers).await;
        for (method, path) in [
            (Method::GET, "/v1/cell/a?key=hidden"),
            (Method::GET, "/v1/cell/b"),
            (Method::GET, "/x/hidden"),
            (Method::from_bytes(b"BREW").expect("a method"), "/v1/cell/b"),
        ] {
            let request = test::TestRequest::default().method(method).uri(path);
            let answer = test::call_service(&app, request.to_request()).await;
            let told = meter.text().expect("it can be written");
            assert!(told.contains("http_server_active_requests 1"), "{told}");
            drop(answer);
        }
        let told = meter.text().expect("it can be written");
        for line in [
            "http_server_requests_total{method=\"GET\",route=\"/v1/cell/{figure}\",status=\"503\"} 2",
            "http_server_requests_total{method=\"GET\",route=\"none\",status=\"404\"} 1",
            "http_server_active_requests 0",
        ] {
            assert!(told.lines().any(|found| found == line), "{line}\n{told}");
        }
        assert!(told.contains("method=\"other\"") && !told.contains("hidden"));
    }
}
