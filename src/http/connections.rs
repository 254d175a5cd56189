//! What is known of a connection while it stands: whether it has a seat, whether a call is under way.
//!
//! Invariants: a call is under way from its head until its answer has been handed to the connection,
//! however it ends; an answer is handed over in pieces, so that a peer that does not read holds one
//! piece twice and no more. Absent: sockets, and how long anybody is awaited, which `startup` holds.

use super::load::Load;
use actix_web::{
    Error,
    body::{BodySize, BoxBody, MessageBody},
    dev::{ServiceRequest, ServiceResponse},
    middleware::Next,
    web::{Bytes, Data},
};
use std::{
    cell::Cell,
    pin::Pin,
    rc::Rc,
    task::{Context, Poll, ready},
    time::Instant,
};

/// Largest piece of an answer that is handed over at once, in bytes.
const PIECE: usize = 128 * 1024;

/// One connection, as its socket and its calls share it.
#[derive(Clone, Debug)]
pub struct Connection(Rc<Standing>);

#[derive(Debug)]
struct Standing {
    seated: bool,
    under_way: Cell<usize>,
    rests_since: Cell<Instant>,
}

impl Connection {
    /// A new one; without a seat only the probes are answered on it.
    pub fn new(seated: bool) -> Self {
        Self(Rc::new(Standing {
            seated,
            under_way: Cell::new(0),
            rests_since: Cell::new(Instant::now()),
        }))
    }

    /// Since when no call has been under way; none while one is.
    pub fn rests_since(&self) -> Option<Instant> {
        let rests = self.0.under_way.get() == 0;
        rests.then(|| self.0.rests_since.get())
    }

    pub(super) fn is_seated(&self) -> bool {
        self.0.seated
    }
}

/// A call under way.
struct Call(Connection);

impl Call {
    fn begin(connection: Connection) -> Self {
        let under_way = &connection.0.under_way;
        under_way.set(under_way.get() + 1);
        Self(connection)
    }
}

impl Drop for Call {
    fn drop(&mut self) {
        let standing = &self.0.0;
        standing.under_way.set(standing.under_way.get() - 1);
        standing.rests_since.set(Instant::now());
    }
}

/// Middleware: notes that a call is under way, and hands its answer over in pieces.
pub(super) async fn attend(
    load: Data<Load>,
    request: ServiceRequest,
    next: Next<impl MessageBody + 'static>,
) -> Result<ServiceResponse<BoxBody>, Error> {
    let call = request.conn_data::<Connection>().cloned().map(Call::begin);
    let answered = next.call(request).await?;
    Ok(answered.map_body(|_, body| Pieces::of(body.boxed(), load, call).boxed()))
}

/// An answer on its way, counted as held until it is handed over.
struct Pieces {
    body: BoxBody,
    begun: Bytes,
    held: usize,
    load: Data<Load>,
    _call: Option<Call>,
}

impl Pieces {
    fn of(body: BoxBody, load: Data<Load>, call: Option<Call>) -> Self {
        let held = match body.size() {
            BodySize::Sized(bytes) => usize::try_from(bytes).unwrap_or(usize::MAX),
            BodySize::None | BodySize::Stream => 0,
        };
        load.hold_answer(held);
        Self {
            body,
            begun: Bytes::new(),
            held,
            load,
            _call: call,
        }
    }

    fn release(&mut self, bytes: usize) {
        let bytes = bytes.min(self.held);
        self.held -= bytes;
        self.load.release_answer(bytes);
    }
}

impl Drop for Pieces {
    fn drop(&mut self) {
        self.load.release_answer(self.held);
    }
}

impl MessageBody for Pieces {
    type Error = <BoxBody as MessageBody>::Error;

    fn size(&self) -> BodySize {
        match self.body.size() {
            // What was begun is still to come.
            BodySize::Sized(bytes) => BodySize::Sized(bytes + self.begun.len() as u64),
            other => other,
        }
    }

    fn poll_next(
        self: Pin<&mut Self>,
        context: &mut Context<'_>,
    ) -> Poll<Option<Result<Bytes, Self::Error>>> {
        let this = self.get_mut();
        if this.begun.is_empty() {
            match ready!(Pin::new(&mut this.body).poll_next(context)) {
                Some(Ok(bytes)) => this.begun = bytes,
                ended => return Poll::Ready(ended),
            }
        }
        let piece = this.begun.split_to(PIECE.min(this.begun.len()));
        this.release(piece.len());
        Poll::Ready(Some(Ok(piece)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use actix_web::body::to_bytes;

    #[actix_web::test]
    async fn an_answer_goes_in_pieces_and_is_counted_until_it_is_gone() {
        let load = Data::new(Load::default());
        let connection = Connection::new(true);
        let call = Call::begin(connection.clone());
        let sent = Bytes::from(vec![7; 3 * PIECE + 1]);
        let mut pieces = Pieces::of(sent.clone().boxed(), load.clone(), Some(call));
        assert_eq!(load.answers(), sent.len());
        let first = std::future::poll_fn(|context| Pin::new(&mut pieces).poll_next(context));
        assert_eq!(first.await.expect("a piece").expect("bytes").len(), PIECE);
        assert_eq!(load.answers(), sent.len() - PIECE);
        assert!(connection.rests_since().is_none(), "a call is under way");
        let rest = to_bytes(pieces).await.expect("the rest");
        assert_eq!(rest.len(), sent.len() - PIECE);
        assert_eq!(load.answers(), 0);
        assert!(connection.rests_since().is_some());
    }

    #[actix_web::test]
    async fn an_answer_that_nobody_takes_is_counted_out_when_it_goes() {
        let load = Data::new(Load::default());
        let sent = Bytes::from_static(b"an answer");
        drop(Pieces::of(sent.boxed(), load.clone(), None));
        assert_eq!(load.answers(), 0);
    }
}
