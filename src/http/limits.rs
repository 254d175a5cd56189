//! What a request may weigh and how long it may take.
//!
//! Invariants: the limits stand below those of the HTTP parser, so that a caller in the usual
//! range gets a problem and not a bare status line; a panic below ends one request, not the
//! connection. Absent: the limits of one call (rows, elements), which belong to its reader.

use super::{
    load::{HeldBody, Load},
    problem::ApiError,
};
use actix_web::{
    Error, HttpMessage as _, HttpRequest,
    body::{BodyStream, BoxBody, MessageBody},
    dev::{Payload, ServiceRequest, ServiceResponse},
    http::header,
    middleware::Next,
    web::Data,
};
use std::{
    cell::Cell,
    future::{Future, poll_fn},
    panic::{AssertUnwindSafe, catch_unwind},
    pin::{Pin, pin},
    rc::Rc,
    task::Poll,
    time::Duration,
};

/// Longest request target in bytes.
pub const URI_BYTES: usize = 8 * 1024;
/// Most header lines.
pub const HEADER_LINES: usize = 64;
/// Most bytes of all header lines together.
pub const HEADER_BYTES: usize = 32 * 1024;
/// Largest body of a single call in bytes.
pub const BODY_BYTES: usize = 1024 * 1024;
/// Deepest nesting of arrays and objects in a body.
pub const NESTING: usize = 32;
/// Longest time until the answer begins.
pub const SECONDS: u64 = 10;
/// The same for a table of up to 100,000 rows.
pub const IMPORT_SECONDS: u64 = 120;
/// How much of a refused body is read and dropped, so that the caller gets to see the refusal.
const DRAIN_BYTES: usize = 8 * 1024 * 1024;

/// Refuses a request line or headers that are too large.
pub(super) fn check_head(request: &ServiceRequest) -> Result<(), ApiError> {
    let target = request
        .uri()
        .path_and_query()
        .map_or(0, |t| t.as_str().len());
    if target > URI_BYTES {
        return Err(ApiError::UriTooLong { limit: URI_BYTES });
    }
    let lines = request.headers().len();
    if lines > HEADER_LINES {
        let detail = format!("{lines} header lines were sent; at most {HEADER_LINES} are read.");
        return Err(ApiError::HeadersTooLarge(detail));
    }
    let bytes: usize = request
        .headers()
        .iter()
        .map(|(name, value)| name.as_str().len() + value.len() + 4)
        .sum();
    if bytes > HEADER_BYTES {
        let detail = format!("The headers are longer than {HEADER_BYTES} bytes together.");
        return Err(ApiError::HeadersTooLarge(detail));
    }
    Ok(())
}

/// Whether the body of a request has arrived: a late answer is then our delay, not the caller's.
#[derive(Clone, Debug, Default)]
pub(super) struct Arrival(Rc<Cell<bool>>);

impl Arrival {
    /// Notes that nothing more is awaited from the caller.
    pub(super) fn complete(&self) {
        self.0.set(true);
    }
}

/// Middleware: ends a request that takes too long or that panics.
pub(super) async fn hold_to_time(
    request: ServiceRequest,
    next: Next<impl MessageBody + 'static>,
) -> Result<ServiceResponse<BoxBody>, Error> {
    let arrival = Arrival::default();
    if !sends_body(&request) {
        arrival.complete();
    }
    request.extensions_mut().insert(arrival.clone());
    let seconds = seconds_for(request.path());
    let answer = catch_panic(next.call(request));
    match tokio::time::timeout(Duration::from_secs(seconds), answer).await {
        Ok(Ok(answered)) => Ok(answered?.map_into_boxed_body()),
        Ok(Err(panic)) => Err(panic.into()),
        Err(_) if arrival.0.get() => {
            let detail = format!("No answer was ready within {seconds} s.");
            Err(ApiError::Unavailable(detail).into())
        }
        Err(_) => Err(ApiError::Timeout { seconds }.into()),
    }
}

fn seconds_for(path: &str) -> u64 {
    let imports = path.starts_with("/v1/price-books/") && path.ends_with("/import");
    if imports { IMPORT_SECONDS } else { SECONDS }
}

/// Notes that the body of a request has arrived.
pub(super) fn note_arrival(request: &HttpRequest) {
    if let Some(arrival) = request.extensions().get::<Arrival>() {
        arrival.complete();
    }
}

fn sends_body(request: &ServiceRequest) -> bool {
    let headers = request.headers();
    let length = headers.get(header::CONTENT_LENGTH);
    headers.contains_key(header::TRANSFER_ENCODING) || length.is_some_and(|n| n.as_bytes() != b"0")
}

/// The future's output, or an internal error where it panicked.
async fn catch_panic<F: Future>(future: F) -> Result<F::Output, ApiError> {
    let mut future = pin!(future);
    poll_fn(|context| {
        // A panicked future is never polled again, so nothing half-changed is seen.
        match catch_unwind(AssertUnwindSafe(|| future.as_mut().poll(context))) {
            Ok(Poll::Pending) => Poll::Pending,
            Ok(Poll::Ready(output)) => Poll::Ready(Ok(output)),
            Err(_) => Poll::Ready(Err(ApiError::internal(anyhow::anyhow!(
                "a handler panicked"
            )))),
        }
    })
    .await
}

/// Reads a body into memory, up to `limit` bytes.
///
/// # Errors
/// Too large (what comes is then drained, within reason), more than there is room for with all the
/// others that come at this moment, or broken off.
pub(super) async fn read_body(
    request: &HttpRequest,
    payload: Payload,
    limit: usize,
) -> Result<Vec<u8>, ApiError> {
    let load = request.app_data::<Data<Load>>().map(Data::get_ref);
    let mut held = HeldBody::by(load);
    let mut body = BodyStream::new(payload);
    let mut bytes = Vec::new();
    while let Some(chunk) = next_chunk(&mut body).await {
        let chunk = chunk.map_err(|_| broken_off())?;
        if bytes.len() + chunk.len() > limit {
            drain_stream(&mut body).await;
            return Err(ApiError::TooLarge { limit });
        }
        if !held.add(chunk.len()) {
            drop((held, bytes));
            load.inspect(|load| load.count_shed());
            drain_stream(&mut body).await;
            return Err(ApiError::Overloaded(
                "Too many large requests are being received.",
            ));
        }
        bytes.extend_from_slice(&chunk);
    }
    Ok(bytes)
}

/// Reads and drops what is left of a body, so that the connection stays usable and the caller,
/// who is still sending, gets to read the refusal. A larger body loses its connection.
pub(super) async fn drain(payload: Payload) {
    drain_stream(&mut BodyStream::new(payload)).await;
}

async fn drain_stream(body: &mut BodyStream<Payload>) {
    let mut dropped = 0;
    while let Some(Ok(chunk)) = next_chunk(body).await {
        dropped += chunk.len();
        if dropped > DRAIN_BYTES {
            return;
        }
    }
}

type Chunk<B> = Option<Result<actix_web::web::Bytes, <B as MessageBody>::Error>>;

async fn next_chunk<B: MessageBody + Unpin>(body: &mut B) -> Chunk<B> {
    poll_fn(|context| Pin::new(&mut *body).poll_next(context)).await
}

fn broken_off() -> ApiError {
    ApiError::Unreadable("The body broke off before its end.".to_owned())
}
