//! Documents delivered to a receiver of our own, which behaves well and badly.
//!
//! Invariant: every document and secret here is invented. Absent: the network outside of this machine; which
//! role may deliver, which the table of roles holds.

mod bounded;
mod operator;
mod receiver;
mod refusing;

use crate::answered::json_of;
use crate::launched::Launched;
use receiver::{Receiver, Reply};
use serde_json::{Value, json};
use std::fmt::Write as _;
use std::time::{Duration, Instant};

/// Two secrets in use; their bytes are counted up from 0 and from 64.
const SECRETS: &str = "whsec_AAECAwQFBgcICQoLDA0ODxAREhMUFRYXGBkaGxwdHh8=\n\
                       whsec_QEFCQ0RFRkdISUpLTE1OT1BRUlNUVVZXWFlaW1xdXl8=\n";

fn ok() -> Reply {
    Reply::Text("200 OK\r\nContent-Type: text/plain", "taken".to_owned())
}

fn status(start: &'static str) -> Reply {
    Reply::Text(start, String::new())
}

/// A service whose destination `books` is at an address.
async fn serve(address: &str, further: &str) -> Launched {
    Launched::start_with(|config, folder| {
        let secrets = folder.file("secrets", SECRETS);
        let mut text = String::new();
        for name in ["books", "archive"] {
            writeln!(
                text,
                "[[destination]]\nname = \"{name}\"\naddress = \"{address}\"\n\
                 secret_file = \"{}\"\n{further}",
                secrets.display()
            )
            .expect("text");
        }
        config.config = Some(folder.file("settings.toml", &text));
    })
    .await
}

/// With an address of this machine, and little patience.
async fn serve_for(receiver: &Receiver, attempts: u32) -> Launched {
    let further = format!("allow_private = true\ntimeout = \"1s\"\nattempts = {attempts}\n");
    serve(&receiver.address(), &further).await
}

fn invoice() -> Value {
    json!({"destination": "books", "document": {
        "kind": "invoice", "number": "2026-014", "currency": "USD", "total": "7145.00",
        "buyer": "Mill & Sons <\"=1+1\"> \u{202e}\u{5d0} (invented)",
    }})
}

/// Sends and gets what became of it.
async fn deliver(service: &Launched, sent: &Value) -> Value {
    let answer = service.post("/v1/deliveries").json(sent).send().await;
    let answer = answer.expect("an answer");
    assert_eq!(answer.status(), 200);
    let told: Value = answer.json().await.expect("JSON");
    let text = told.to_string();
    for hidden in ["hidden", "127.0.0.1", "whsec", "AAECAwQF"] {
        assert!(!text.contains(hidden), "{hidden} in {text}");
    }
    told
}

fn attempts(told: &Value) -> &Vec<Value> {
    told["attempts"].as_array().expect("attempts")
}

#[actix_web::test]
async fn a_document_goes_out_byte_for_byte_under_the_headers_of_the_specification() {
    let receiver = Receiver::start(vec![ok()]);
    let service = serve_for(&receiver, 3).await;
    // A JSON reader that goes through numbers would lose the last digits.
    let document = "{\"number\":  \"7\", \"exact\": 1.10000000000000000001, \"html\": \"<&>\"}";
    let body = format!("{{\"destination\": \"books\", \"document\": {document}}}");
    let post = service.post("/v1/deliveries");
    let post = post.header("Content-Type", "application/json").body(body);
    let told: Value = json_of(post).await;
    assert_eq!(told["delivered"], true, "{told}");
    assert_eq!(attempts(&told).len(), 1);
    let answer = &attempts(&told)[0]["answer"];
    assert_eq!(
        (&answer["status"], &answer["body"]),
        (&json!(200), &json!("taken"))
    );
    assert_eq!(answer["truncated"], false);
    let heard = &receiver.heard()[0];
    assert!(
        heard
            .head
            .starts_with("POST /hidden-path?hidden=word HTTP/1.1\r\n")
    );
    assert_eq!(String::from_utf8_lossy(&heard.body), document);
    assert_eq!(heard.header("content-type"), Some("application/json"));
    let id = told["id"].as_str().expect("an id");
    assert!(id.starts_with("msg_") && id.len() == 4 + 64 && !id.contains('.'));
    assert_eq!(heard.header("webhook-id"), Some(id));
    assert_eq!(heard.header("idempotency-key"), Some(id));
    assert_eq!(told["idempotency_key"], id);
    let at = heard.header("webhook-timestamp").expect("a time");
    let now = chrono::Utc::now().timestamp();
    assert!(
        at.parse::<i64>().is_ok_and(|at| (now - at).abs() < 60),
        "{at}"
    );
    let signatures = heard.header("webhook-signature").expect("signed");
    // A SHA-256 is 32 bytes, which base64 writes in 44 letters.
    let all: Vec<&str> = signatures.split(' ').collect();
    assert!(all.len() == 2 && all[0] != all[1], "{signatures}");
    assert!(
        all.iter()
            .all(|one| one.starts_with("v1,") && one.len() == 3 + 44)
    );
    assert!(!heard.head.contains("whsec"));
}

#[actix_web::test]
async fn a_receiver_that_fails_twice_and_hangs_gets_one_document() {
    let hangs = Reply::Late(Duration::from_secs(20));
    let receiver = Receiver::start(vec![
        status("503 Service Unavailable"),
        Reply::Closed,
        hangs,
        ok(),
    ]);
    let service = serve_for(&receiver, 5).await;
    let begun = Instant::now();
    let told = deliver(&service, &invoice()).await;
    assert_eq!(told["delivered"], true, "{told}");
    let made = attempts(&told);
    assert_eq!(made.len(), 4);
    assert_eq!(made[0]["answer"]["status"], 503);
    assert_eq!(made[1]["failure"]["kind"], "no_answer");
    assert_eq!(made[2]["failure"]["kind"], "timed_out");
    assert_eq!(made[3]["answer"]["status"], 200);
    // Pauses of 0.25, 0.5 and 1 s, and the second that the third attempt was given.
    let after: Vec<u64> = made
        .iter()
        .filter_map(|one| one["after_ms"].as_u64())
        .collect();
    for (after, least) in after.iter().zip([0, 250, 750, 2_750]) {
        assert!(
            (least..least + 700).contains(after),
            "{after} after {least}"
        );
    }
    assert!(begun.elapsed() < Duration::from_secs(8));
    assert_eq!((receiver.calls(), receiver.effects()), (4, 1));
    let heard = receiver.heard();
    assert!(heard.iter().all(|one| one.body == heard[0].body));
    // Each attempt is signed for its own moment.
    assert_ne!(
        heard[0].header("webhook-timestamp"),
        heard[3].header("webhook-timestamp")
    );
    assert_ne!(
        heard[0].header("webhook-signature"),
        heard[3].header("webhook-signature")
    );
}

#[actix_web::test]
async fn the_same_document_sent_again_is_known_by_its_key() {
    let receiver = Receiver::start(vec![ok()]);
    let service = serve_for(&receiver, 1).await;
    let mut turned = invoice();
    let fields = turned["document"].as_object_mut().expect("fields");
    let turned_fields = fields.clone().into_iter().rev().collect();
    *fields = turned_fields;
    assert_ne!(invoice().to_string(), turned.to_string());
    for sent in [&invoice(), &invoice(), &turned] {
        deliver(&service, sent).await;
    }
    assert_eq!((receiver.calls(), receiver.effects()), (3, 1));
    let mut other = invoice();
    other["document"]["total"] = json!("7145.01");
    deliver(&service, &other).await;
    assert_eq!(receiver.effects(), 2);
    // The caller's own key is passed on, and the id stays the document's.
    let post = service.post("/v1/deliveries").json(&other);
    let post = post.header("Idempotency-Key", "payment run 7").send().await;
    let told: Value = post.expect("an answer").json().await.expect("JSON");
    assert_eq!(told["idempotency_key"], "payment run 7");
    let heard = receiver.heard();
    assert_eq!(heard[4].header("idempotency-key"), Some("payment run 7"));
    assert_eq!(heard[4].header("webhook-id"), heard[3].header("webhook-id"));
}

#[actix_web::test]
async fn a_document_of_another_format_goes_out_as_its_text() {
    let receiver = Receiver::start(vec![ok()]);
    let service = serve_for(&receiver, 1).await;
    let xml = "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<Invoice>\u{5d0} &amp; \u{fc}</Invoice>";
    for (media_type, header) in [
        ("application/xml", "application/xml"),
        ("text/csv", "text/csv; charset=utf-8"),
        ("application/json", "application/json"),
    ] {
        let document = json!({"text": xml, "media_type": media_type});
        let sent = json!({"destination": "archive", "document": document});
        let told = deliver(&service, &sent).await;
        assert_eq!(
            (&told["delivered"], &told["media_type"]),
            (&json!(true), &json!(media_type))
        );
        let heard = receiver.heard().pop().expect("a call");
        assert_eq!(heard.header("content-type"), Some(header));
        assert_eq!(String::from_utf8_lossy(&heard.body), xml);
    }
}

#[actix_web::test]
async fn what_will_not_change_is_not_tried_again() {
    for (start, code) in [
        ("400 Bad Request", 400),
        ("401 Unauthorized", 401),
        ("409 Conflict", 409),
        ("410 Gone", 410),
        ("422 Unprocessable Content", 422),
        ("501 Not Implemented", 501),
    ] {
        let receiver = Receiver::start(vec![status(start), ok()]);
        let service = serve_for(&receiver, 3).await;
        let told = deliver(&service, &invoice()).await;
        assert_eq!(
            (&told["delivered"], receiver.calls()),
            (&json!(false), 1),
            "{told}"
        );
        assert_eq!(attempts(&told)[0]["answer"]["status"], code);
        let why = told["why"].as_str().expect("text");
        assert!(
            why.contains(&code.to_string()) && why.contains("does not change"),
            "{why}"
        );
    }
}

#[actix_web::test]
async fn what_passes_is_tried_as_often_as_set() {
    for start in [
        "408 Request Timeout",
        "425 Too Early",
        "429 Too Many Requests",
        "500 Internal Server Error",
        "502 Bad Gateway",
        "504 Gateway Timeout",
    ] {
        let receiver = Receiver::start(vec![status(start)]);
        let service = serve_for(&receiver, 2).await;
        let told = deliver(&service, &invoice()).await;
        assert_eq!(
            (&told["delivered"], receiver.calls()),
            (&json!(false), 2),
            "{told}"
        );
        assert!(
            told["why"]
                .as_str()
                .is_some_and(|why| why.contains("every attempt"))
        );
    }
}
