//! What a caller can put into the log of the real binary: no line, and nothing that steers a terminal.

use crate::launched::{Binary, client};
use serde_json::Value;
use std::{
    io::{Read as _, Write as _},
    net::TcpStream,
};

const FORGED: &str = "{\"level\":\"ERROR\",\"message\":\"forged\"}";

fn send(address: &str, sent: &[u8]) {
    let mut stream = TcpStream::connect(address).expect("it listens");
    stream.write_all(sent).expect("it reads");
    let mut all = Vec::new();
    // Whatever is answered, and however it ends.
    let _ = stream.read_to_end(&mut all);
}

#[actix_web::test]
async fn nobody_adds_a_line_or_a_colour_to_the_log() {
    let binary = Binary::serve(&["--log", "debug"]);
    let address = binary.address().to_owned();
    for target in [
        format!("/v1/%0a{}", FORGED.replace('"', "%22")),
        format!("/v1/{FORGED}"),
        "/v1/\u{9b}31mred".to_owned(),
        "/v1/%1b[31mred".to_owned(),
        "/v1/\u{202e}x".to_owned(),
        format!("/v1/nothing?a=%0a{FORGED}"),
    ] {
        for method in ["GET", "BREW"] {
            let head = format!(
                "{method} {target} HTTP/1.1\r\nHost: localhost\r\nX-Request-Id: a\" {FORGED}\r\n\
                 User-Agent: {FORGED}\r\nX-Forwarded-For: {FORGED}\r\nConnection: close\r\n\r\n"
            );
            send(&address, head.as_bytes());
        }
    }
    let url = format!("http://{address}/v1/estimates");
    let job = client().post(url).body(format!("{{\"name\": \"\n{FORGED}"));
    job.send().await.expect("an answer");
    for broken in ["\x16\x03\x01\x02", "GET / HTTP/1.1\r\nX Y: z\r\n\r\n"] {
        send(&address, broken.as_bytes());
    }
    let log = binary.said();
    let mut answers = 0;
    for line in log.lines() {
        let line: Value = serde_json::from_str(line).expect("each line is one of ours");
        assert_ne!(line["message"], "forged");
        assert_ne!(line["level"], "ERROR", "no fault of ours: {line}");
        answers += usize::from(line["message"] == "answered");
    }
    assert!(answers > 5, "{log}");
    assert!(!log.chars().any(|c| c.is_control() && c != '\n'), "{log:?}");
}
