//! What lies in memory: bodies that do not end, answers that nobody takes, connections beyond all seats.
//!
//! The service runs in this process and bears little, so that a few callers are too many.

use super::caller::{Caller, address, ask, estimate, request};
use crate::launched::Launched;
use crossfall::http::bounds::Bounds;
use std::time::Duration;

const JSON: &str = "Content-Type: application/json\r\n";

async fn within(bounds: Bounds) -> Launched {
    Launched::start_within(bounds).await
}

async fn opened(service: &Launched) -> Caller {
    let caller = Caller::open_narrow(&address(&service.base)).await;
    caller.expect("a connection")
}

/// Asks until it is turned away; how often it was not.
async fn answered_before_refused(service: &Launched) -> usize {
    for before in 0..50 {
        let answer = ask(&service.base, &estimate()).await.expect("an answer");
        if answer.status == 503 {
            assert!(answer.retry_after);
            return before;
        }
        assert_eq!(answer.status, 200);
        tokio::time::sleep(Duration::from_millis(100)).await;
    }
    panic!("it is never turned away")
}

/// Asks until it is answered, which is soon.
async fn answered_again(service: &Launched) {
    for _ in 0..100 {
        let answer = ask(&service.base, &estimate()).await.expect("an answer");
        if answer.status == 200 {
            return;
        }
        assert_eq!(answer.status, 503);
        tokio::time::sleep(Duration::from_millis(50)).await;
    }
    panic!("it is never answered again")
}

#[actix_web::test]
async fn large_bodies_are_refused_while_many_have_not_ended() {
    let service = within(Bounds {
        body_bytes: 4 * 1024 * 1024,
        ..Bounds::default()
    })
    .await;
    let whole = request("POST /v1/estimates", JSON, &vec![b' '; 1024 * 1024]);
    let mut callers = Vec::new();
    for _ in 0..6 {
        let mut caller = Caller::open(&address(&service.base)).await.expect("one");
        caller.send(&whole[..whole.len() - 1]).await.expect("taken");
        callers.push(caller);
    }
    let small = ask(&service.base, &estimate()).await.expect("an answer");
    assert_eq!(small.status, 200, "a small one finds room");
    let mut refused = 0;
    for mut caller in callers {
        // The last byte, so that those who were let in get their answer.
        let _ = caller.send(b" ").await;
        let answer = caller.answer().await.expect("an answer");
        match answer.status {
            400 => {}
            503 if answer.retry_after => refused += 1,
            other => panic!("{other}"),
        }
    }
    // How much of each was read by then is the system's affair; all six together find no room.
    assert!((1..6).contains(&refused), "{refused} of 6 were refused");
    let after = ask(&service.base, &whole).await.expect("an answer");
    assert_eq!(after.status, 400, "there is room again, and it is no JSON");
}

#[actix_web::test]
async fn calls_are_turned_away_while_many_answers_are_not_taken() {
    let service = within(Bounds {
        answer_bytes: 128 * 1024,
        ..Bounds::default()
    })
    .await;
    // A fault for each of many keys: an answer that no buffer of the system takes whole.
    let members: Vec<String> = (0..80_000).map(|n| format!("\"k{n}\":1")).collect();
    let body = format!("{{{}}}", members.join(","));
    let sent = request("POST /v1/estimates", JSON, body.as_bytes());
    let mut callers = Vec::new();
    for _ in 0..24 {
        let mut caller = opened(&service).await;
        caller.send(&sent).await.expect("it is taken");
        callers.push(caller);
    }
    answered_before_refused(&service).await;
    let probe = ask(&service.base, &request("GET /readyz", "", b"")).await;
    assert_eq!(probe.expect("an answer").status, 200, "probes are answered");
    drop(callers);
    answered_again(&service).await;
}

#[actix_web::test]
async fn a_connection_beyond_all_seats_is_told_so_and_closed() {
    let service = within(Bounds {
        connections: 2,
        ..Bounds::default()
    })
    .await;
    let mut seated = [opened(&service).await, opened(&service).await];
    for one in &mut seated {
        // A connection has a seat once it was taken, which another worker may do a moment later.
        let taken = one.call(&request("GET /livez", "", b"")).await;
        assert_eq!(taken.expect("an answer").status, 200);
    }
    let mut third = opened(&service).await;
    let probe = third.call(&request("GET /livez", "", b"")).await;
    assert_eq!(probe.expect("an answer").status, 200);
    let refused = third.call(&estimate()).await.expect("an answer");
    assert_eq!(refused.status, 503);
    assert!(refused.retry_after && refused.closes);
    let told = String::from_utf8_lossy(&refused.body).into_owned();
    assert!(told.contains("/problems/overloaded"), "{told}");
    drop(seated);
    answered_again(&service).await;
}
