//! The answers of a service that is stopping.
//!
//! Invariant: from the moment at which readiness turns, every answer says that its connection closes, so
//! that nobody writes a request on a connection that is about to go. Absent: when a stop is and what
//! follows, which `startup` decides.

use super::health::Readiness;
use actix_web::{
    Error, HttpResponse,
    body::BoxBody,
    dev::{ServiceRequest, ServiceResponse},
    error::InternalError,
    http::ConnectionType,
    middleware::Next,
    web::Data,
};

/// Middleware: lets no connection outlive an answer of a service that is stopping.
pub(super) async fn close_when_stopping(
    readiness: Data<Readiness>,
    request: ServiceRequest,
    next: Next<BoxBody>,
) -> Result<ServiceResponse<BoxBody>, Error> {
    let answered = next.call(request).await;
    if !readiness.is_stopping() {
        return answered;
    }
    match answered {
        Ok(mut answered) => {
            close_after(answered.response_mut());
            Ok(answered)
        }
        Err(error) => {
            let mut answer = error.error_response();
            close_after(&mut answer);
            Err(InternalError::from_response(error, answer).into())
        }
    }
}

fn close_after(answer: &mut HttpResponse) {
    answer.head_mut().set_connection_type(ConnectionType::Close);
}
