//! The answers of a service that is stopping, and the requests under way at any time.
//!
//! Invariants: from the moment at which readiness turns, every answer says that its connection
//! closes, so that nobody writes a request on a connection that is about to go; a request is under
//! way until its answer begins, and where that goes in pieces until its end, since its head may have
//! said that the connection is kept. Absent: when a stop is and what follows, which `startup` decides.

use super::health::{Readiness, UnderWay};
use actix_web::{
    Error, HttpResponse,
    body::{BodySize, BoxBody, MessageBody},
    dev::{ServiceRequest, ServiceResponse},
    error::InternalError,
    http::ConnectionType,
    middleware::Next,
    web::{Bytes, Data},
};
use std::{
    pin::Pin,
    task::{Context, Poll},
};

/// Middleware: lets no connection outlive an answer of a service that is stopping, and counts the
/// requests under way.
pub(super) async fn close_when_stopping(
    readiness: Data<Readiness>,
    request: ServiceRequest,
    next: Next<BoxBody>,
) -> Result<ServiceResponse<BoxBody>, Error> {
    let under_way = readiness.begin_request();
    let answered = next.call(request).await;
    let answered = answered.map(|answered| count_pieces(answered, under_way));
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

/// Counts an answer that goes in pieces until its end.
fn count_pieces(answered: ServiceResponse, under_way: UnderWay) -> ServiceResponse {
    answered.map_body(|_, body| match body.size() {
        BodySize::Stream => Counted {
            body,
            _under_way: under_way,
        }
        .boxed(),
        BodySize::None | BodySize::Sized(_) => body,
    })
}

/// An answer in pieces that counts as under way.
struct Counted {
    body: BoxBody,
    _under_way: UnderWay,
}

impl MessageBody for Counted {
    type Error = <BoxBody as MessageBody>::Error;

    fn size(&self) -> BodySize {
        self.body.size()
    }

    fn poll_next(
        self: Pin<&mut Self>,
        context: &mut Context<'_>,
    ) -> Poll<Option<Result<Bytes, Self::Error>>> {
        Pin::new(&mut self.get_mut().body).poll_next(context)
    }
}
