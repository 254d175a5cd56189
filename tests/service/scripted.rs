//! A server of our own on this machine that plays the other side, call by call, as a test tells it to.
//!
//! Invariants: the last reply is given again and again; a late one keeps nobody else waiting. Absent: what is heard and
//! what is answered, which each partner's stand-in knows.

use std::net::{TcpListener, TcpStream};
use std::sync::{Arc, Mutex};

/// What was heard so far, a call each.
pub(crate) type Heard<H> = Arc<Mutex<Vec<H>>>;

/// Listens on a free port: each call is heard by `hear`, and answered by `answer` with the reply that is its turn.
pub(crate) fn play<R, H>(
    replies: Vec<R>,
    hear: fn(&mut TcpStream) -> H,
    answer: fn(&mut TcpStream, R),
) -> (u16, Heard<H>)
where
    R: Clone + Send + 'static,
    H: Send + 'static,
{
    let listener = TcpListener::bind("127.0.0.1:0").expect("a free port");
    let port = listener.local_addr().expect("an address").port();
    let all = Heard::default();
    let heard = all.clone();
    std::thread::spawn(move || {
        for stream in listener.incoming() {
            let mut heard = heard.lock().expect("no test panics here");
            let reply = replies.get(heard.len()).or(replies.last());
            let mut stream = stream.expect("a caller");
            heard.push(hear(&mut stream));
            let reply = reply.expect("a reply").clone();
            std::thread::spawn(move || answer(&mut stream, reply));
        }
    });
    (port, all)
}
