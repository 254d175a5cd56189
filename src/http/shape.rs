//! The shape every answer has: refusals are problems, and some headers always stand.
//!
//! Invariant: no answer with a status of 400 or more leaves here in another media type than that
//! of a problem, whoever made it. Absent: what our own handlers refuse with; that is a problem
//! from the start.

use super::problem::{ApiError, PROBLEM_JSON};
use actix_web::{
    Error, HttpMessage as _, ResponseError as _,
    body::{BoxBody, MessageBody},
    dev::{ServiceRequest, ServiceResponse},
    http::header::{self, HeaderMap, HeaderName, HeaderValue},
    middleware::Next,
};
use tracing_actix_web::RequestId;

/// Headers of every answer: a page served here may load from here only, and from nowhere else.
const STANDING: [(HeaderName, &str); 3] = [
    (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
    (header::REFERRER_POLICY, "no-referrer"),
    (
        header::CONTENT_SECURITY_POLICY,
        "default-src 'self'; style-src 'self' 'unsafe-inline'; img-src 'self' data:; frame-ancestors 'none'; base-uri 'none'",
    ),
];

/// Middleware: turns the framework's own refusals into problems and adds the standing headers.
pub(super) async fn shape_answer(
    request: ServiceRequest,
    next: Next<impl MessageBody + 'static>,
) -> Result<ServiceResponse<BoxBody>, Error> {
    let id = request.extensions().get::<RequestId>().copied();
    let mut answer = next.call(request).await?.map_into_boxed_body();
    let status = answer.status();
    if (status.is_client_error() || status.is_server_error()) && !is_problem(answer.headers()) {
        let problem = ApiError::from_status(status).error_response();
        answer = answer.into_response(problem);
    }
    for (name, value) in STANDING {
        answer
            .headers_mut()
            .insert(name, HeaderValue::from_static(value));
    }
    if let Some(id) = id.and_then(|id| HeaderValue::from_str(&id.to_string()).ok()) {
        answer
            .headers_mut()
            .insert(HeaderName::from_static("x-request-id"), id);
    }
    Ok(answer)
}

fn is_problem(headers: &HeaderMap) -> bool {
    headers
        .get(header::CONTENT_TYPE)
        .is_some_and(|kind| kind.as_bytes().starts_with(PROBLEM_JSON.as_bytes()))
}
