//! Turns calls away while there is more to do than can be answered in time.
//!
//! Invariants: a call that is turned away has not been begun, its key was not looked at, and it may
//! be sent again as it is; the probes are never turned away; of each worker, each connection and of
//! memory only counts decide. Absent: how often a key may call, which `rate` holds.

use super::{connections::Connection, limits, load::Load, pace::Pace, problem::ApiError};
use actix_web::{
    Error, HttpMessage as _, ResponseError as _,
    body::{BoxBody, MessageBody},
    dev::{ServiceRequest, ServiceResponse},
    http::ConnectionType,
    middleware::Next,
    web::Data,
};
use std::time::Duration;

/// How long what is left of a body is awaited, so that the caller gets to see the refusal.
const DRAIN: Duration = Duration::from_secs(1);

/// Asked by those who watch the service, above all when there is too much to do.
const PROBES: [&str; 3] = ["/livez", "/readyz", "/metrics"];

/// Middleware: lets a call in, or turns it away.
pub(super) async fn shed(
    load: Data<Load>,
    pace: Data<Pace>,
    mut request: ServiceRequest,
    next: Next<impl MessageBody + 'static>,
) -> Result<ServiceResponse<BoxBody>, Error> {
    let in_time = Pace::take(&pace, &load);
    if PROBES.contains(&request.path()) {
        return Ok(next.call(request).await?.map_into_boxed_body());
    }
    let seated = request
        .conn_data::<Connection>()
        .is_none_or(Connection::is_seated);
    let refusal = match (seated, in_time, load.is_full()) {
        (true, true, false) => return Ok(next.call(request).await?.map_into_boxed_body()),
        (false, ..) => "Too many connections are open; this one is being closed.",
        (_, false, _) => "The service is too busy to answer in time.",
        (_, _, true) => "Too many answers are waiting to be collected.",
    };
    load.count_shed();
    let body = limits::drain(request.take_payload());
    // Whether or not all of it came: the connection is closed where it did not.
    drop(tokio::time::timeout(DRAIN, body).await);
    let mut answer = ApiError::Overloaded(refusal).error_response();
    if !seated {
        answer.head_mut().set_connection_type(ConnectionType::Close);
    }
    Ok(request.into_response(answer))
}
