//! How far a delivery goes: no redirect, no private address, no answer without an end, no time beyond its own.
//!
//! Invariant: what is bounded was really beyond its bound. Absent: what is sent.

use super::receiver::{Receiver, Reply};
use super::{attempts, deliver, invoice, ok, serve, serve_for, status};
use serde_json::{Value, json};
use std::time::{Duration, Instant};

#[actix_web::test]
async fn a_redirect_is_told_and_not_followed() {
    let elsewhere = Receiver::start(vec![ok()]);
    let moved = format!(
        "307 Temporary Redirect\r\nLocation: http://127.0.0.1:{}/\r\nSet-Cookie: a=b",
        elsewhere.port
    );
    let receiver = Receiver::start(vec![status(Box::leak(moved.into_boxed_str()))]);
    let service = serve_for(&receiver, 3).await;
    let told = deliver(&service, &invoice()).await;
    assert_eq!(told["delivered"], false);
    assert_eq!((receiver.calls(), elsewhere.calls()), (1, 0));
    let answer = &attempts(&told)[0]["answer"];
    assert_eq!(answer["status"], 307);
    let headers = answer["headers"].as_array().expect("headers");
    let value = |name: &str| {
        headers
            .iter()
            .find(|one| one["name"] == name)
            .map(|one| &one["value"])
    };
    let location = format!("http://[address]:{}/", elsewhere.port);
    assert_eq!(value("location"), Some(&json!(location)));
    assert_eq!(value("set-cookie"), None);
}

#[actix_web::test]
async fn a_time_to_be_left_alone_is_kept_to_within_the_call() {
    let soon = status("429 Too Many Requests\r\nRetry-After: 2");
    let receiver = Receiver::start(vec![soon, ok()]);
    let service = serve_for(&receiver, 2).await;
    let told = deliver(&service, &invoice()).await;
    assert_eq!(told["delivered"], true);
    let after = attempts(&told)[1]["after_ms"].as_u64().expect("a time");
    assert!((2_000..3_000).contains(&after), "{after}");
    let late = status("503 Service Unavailable\r\nRetry-After: 60");
    let receiver = Receiver::start(vec![late, ok()]);
    let service = serve_for(&receiver, 2).await;
    let begun = Instant::now();
    let told = deliver(&service, &invoice()).await;
    assert_eq!((&told["delivered"], receiver.calls()), (&json!(false), 1));
    assert_eq!(told["try_again_after_seconds"], 60);
    assert!(begun.elapsed() < Duration::from_secs(2));
}

#[actix_web::test]
async fn a_huge_answer_is_told_to_its_bound() {
    let receiver = Receiver::start(vec![Reply::Huge(64 * 1024 * 1024)]);
    let service = serve_for(&receiver, 3).await;
    let told = deliver(&service, &invoice()).await;
    assert_eq!((&told["delivered"], receiver.calls()), (&json!(true), 1));
    let answer = &attempts(&told)[0]["answer"];
    assert_eq!(answer["truncated"], true);
    assert_eq!(answer["body"].as_str().map(str::len), Some(64 * 1024));
}

#[actix_web::test]
async fn a_body_that_drips_is_waited_for_no_longer_than_an_attempt() {
    let receiver = Receiver::start(vec![Reply::Drip]);
    let service = serve_for(&receiver, 3).await;
    let begun = Instant::now();
    let told = deliver(&service, &invoice()).await;
    assert!(
        begun.elapsed() < Duration::from_secs(2),
        "{:?}",
        begun.elapsed()
    );
    // Its status said that the document was taken.
    assert_eq!((&told["delivered"], receiver.calls()), (&json!(true), 1));
    let answer = &attempts(&told)[0]["answer"];
    assert_eq!(
        (&answer["status"], &answer["truncated"]),
        (&json!(202), &json!(true))
    );
    let body = answer["body"].as_str().expect("text");
    assert!((1..20).contains(&body.len()), "{body}");
}

#[actix_web::test]
async fn all_of_it_ends_within_the_call() {
    let receiver = Receiver::start(vec![Reply::Late(Duration::from_secs(30))]);
    let further = "allow_private = true\ntimeout = \"6s\"\nattempts = 5\n";
    let service = serve(&receiver.address(), further).await;
    let begun = Instant::now();
    let told = deliver(&service, &invoice()).await;
    let took = begun.elapsed();
    assert!(
        (Duration::from_secs(7)..Duration::from_millis(9_500)).contains(&took),
        "{took:?}"
    );
    assert_eq!(
        (&told["delivered"], receiver.calls()),
        (&json!(false), 2),
        "{told}"
    );
    assert!(
        told["why"]
            .as_str()
            .is_some_and(|why| why.contains("no time is left")),
        "{told}"
    );
}

#[actix_web::test]
async fn nobody_there_and_noise_are_told_as_they_are() {
    let nobody = std::net::TcpListener::bind("127.0.0.1:0").and_then(|one| one.local_addr());
    let nobody = format!("http://{}/", nobody.expect("a free port"));
    let further = "allow_private = true\nattempts = 2\n";
    let service = serve(&nobody, further).await;
    let told = deliver(&service, &invoice()).await;
    let kinds: Vec<&Value> = attempts(&told)
        .iter()
        .map(|one| &one["failure"]["kind"])
        .collect();
    assert_eq!(kinds, ["unreachable", "unreachable"]);
    let receiver = Receiver::start(vec![Reply::Noise]);
    let service = serve_for(&receiver, 1).await;
    let told = deliver(&service, &invoice()).await;
    assert_eq!(attempts(&told)[0]["failure"]["kind"], "no_answer");
}

/// The door to which a name leads is looked at, not the name: `localhost` is this machine.
#[actix_web::test]
async fn a_name_that_leads_to_this_machine_is_not_called() {
    let receiver = Receiver::start(vec![ok()]);
    let address = format!("https://localhost:{}/hidden-path", receiver.port);
    let service = serve(&address, "").await;
    let told = deliver(&service, &invoice()).await;
    assert_eq!(told["delivered"], false);
    let made = attempts(&told);
    assert_eq!((made.len(), receiver.calls()), (1, 0), "{told}");
    assert_eq!(made[0]["failure"]["kind"], "address_refused");
}

/// A record of TLS begins with its kind, 22 for a handshake (RFC 8446, 5.1); nothing of the document is said
/// to a receiver that does not prove who it is.
#[actix_web::test]
async fn a_receiver_that_does_not_prove_who_it_is_hears_no_document() {
    let receiver = Receiver::start(vec![Reply::Noise]);
    let address = format!("https://localhost:{}/hidden-path", receiver.port);
    let service = serve(&address, "allow_private = true\n").await;
    let told = deliver(&service, &invoice()).await;
    assert_eq!(attempts(&told)[0]["failure"]["kind"], "untrusted", "{told}");
    assert_eq!(attempts(&told).len(), 1);
    for heard in receiver.heard() {
        assert!(heard.head.starts_with('\u{16}'), "{:?}", heard.head);
        assert!(!heard.head.contains("7145"));
    }
}
