//! What every request passes before it is routed.
//!
//! Invariants: limits, `Host` and `Origin`, then the key, in this order and nowhere else; a refused
//! body is drained first, so that the caller sees the refusal. Absent: anything that depends on
//! the resource.

use super::{keys::Keys, limits, origin::Hosts, problem::ApiError};
use actix_web::{
    Error, HttpMessage as _, ResponseError as _,
    body::{BoxBody, MessageBody},
    dev::{ServiceRequest, ServiceResponse},
    http::Method,
    middleware::Next,
    web::Data,
};

/// Who is let in.
#[derive(Clone, Debug, Default)]
pub struct Gate {
    /// Keys that open the service.
    pub keys: Keys,
    /// Names the service answers to.
    pub hosts: Hosts,
}

impl Gate {
    fn admit(&self, request: &ServiceRequest) -> Result<(), ApiError> {
        limits::check_head(request)?;
        self.hosts.check(request)?;
        self.keys.check(request)
    }
}

/// Middleware: refuses what may not come in, and routes HEAD as GET.
///
/// The HTTP codec has noted the method by then and leaves the body out of the answer, so every
/// GET answers to HEAD with the headers it would send.
pub(super) async fn pass_gate(
    gate: Data<Gate>,
    mut request: ServiceRequest,
    next: Next<impl MessageBody + 'static>,
) -> Result<ServiceResponse<BoxBody>, Error> {
    if let Err(refusal) = gate.admit(&request) {
        limits::drain(request.take_payload()).await;
        return Ok(request.into_response(refusal.error_response()));
    }
    if request.method() == Method::HEAD {
        request.head_mut().method = Method::GET;
    }
    Ok(next.call(request).await?.map_into_boxed_body())
}
