//! Deliveries of the real binary, checked by the library of the Standard Webhooks specification; addresses,
//! judged by Python's copy of the registries.
//!
//! Invariants: the library sees what went over the wire; both secrets in use are good, a third is not.

use super::{ask, interpreter};
use crate::binary::Binary;
use crate::programs::{folder, succeed};
use crossfall::clients::delivery::is_public;
use serde_json::{Value, json};
use std::io::{BufRead as _, BufReader};
use std::net::{IpAddr, Ipv4Addr, Ipv6Addr};
use std::process::{Child, Command, Stdio};

/// A secret.
pub(crate) const NEW: &str = "whsec_AAECAwQFBgcICQoLDA0ODxAREhMUFRYXGBkaGxwdHh8=";
const OLD: &str = "whsec_QEFCQ0RFRkdISUpLTE1OT1BRUlNUVVZXWFlaW1xdXl8=";
const OTHER: &str = "whsec_gIGCg4SFhoeIiYqLjI2Oj5CRkpOUlZaXmJmam5ydnp8=";

/// A receiver that knows one secret.
pub(crate) struct Receiver {
    child: Child,
    /// Where it listens.
    pub(crate) port: String,
}

impl Receiver {
    pub(crate) fn start(secret: &str) -> Self {
        let mut command = Command::new(interpreter());
        command.arg("-B").arg(folder().join("oracles/receiver.py"));
        command.arg(secret).stdout(Stdio::piped());
        let mut child = command.spawn().expect("the interpreter starts");
        let out = child.stdout.take().expect("its output is ours");
        let mut port = String::new();
        let read = BufReader::new(out).read_line(&mut port);
        read.expect("a line comes");
        let port = port.trim().to_owned();
        Self { child, port }
    }
}

impl Drop for Receiver {
    fn drop(&mut self) {
        // It has nothing to lose.
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// What becomes of a document that is signed with two secrets, where the receiver knows one.
fn delivered_to(known: &str, document: &Value) -> Value {
    let receiver = Receiver::start(known);
    let service = Binary::set(|folder| {
        let secrets = folder.join("secrets");
        std::fs::write(&secrets, format!("{NEW}\n{OLD}\n")).expect("a place for secrets");
        format!(
            "[[destination]]\nname = \"books\"\naddress = \"http://127.0.0.1:{}/\"\n\
             secret_file = \"{}\"\nallow_private = true\nattempts = 1\n",
            receiver.port,
            secrets.display()
        )
    });
    let body = json!({"destination": "books", "document": document}).to_string();
    let address = format!("{}/v1/deliveries", service.base);
    let words = [
        "-s",
        "-H",
        "Content-Type: application/json",
        "-d",
        &body,
        &address,
    ];
    serde_json::from_str(&succeed("curl", &words)).expect("JSON")
}

#[test]
fn a_real_delivery_is_taken_by_the_library_of_the_specification() {
    let documents = [
        json!({"number": "2026-014", "customer": "Mill & Sons \u{5d0}\u{202e} \u{1f4a7} (invented)"}),
        json!({"text": "<Invoice>\u{fc}</Invoice>\r\n", "media_type": "application/xml"}),
    ];
    for document in &documents {
        for (known, good) in [(NEW, true), (OLD, true), (OTHER, false)] {
            let told = delivered_to(known, document);
            let status = if good { 204 } else { 401 };
            assert_eq!(told["delivered"], good, "{told}");
            assert_eq!(told["attempts"][0]["answer"]["status"], status, "{told}");
        }
    }
}

/// What is refused here and public there: Python's release of the registries leaves out the relays of 6to4
/// and all but a few addresses of 192.0.0.0/24, and calls reserved parts of IPv6 global.
fn stricter(address: IpAddr) -> bool {
    match address {
        IpAddr::V4(four) => {
            let octets = four.octets();
            octets.starts_with(&[192, 88, 99]) || octets.starts_with(&[192, 0, 0])
        }
        IpAddr::V6(six) => {
            let first = six.segments()[0];
            first >> 13 != 1 || first == 0x2002 || (first == 0x3fff && six.segments()[1] < 0x1000)
        }
    }
}

#[test]
fn what_python_calls_private_is_never_public() {
    let fours = (0..=255_u8).flat_map(|a| {
        let ends = [
            0, 1, 63, 64, 88, 127, 128, 168, 169, 170, 171, 172, 254, 255_u8,
        ];
        ends.into_iter().flat_map(move |b| {
            [0, 1, 2, 99, 100, 113, 255].map(|c| IpAddr::from(Ipv4Addr::new(a, b, c, 9)))
        })
    });
    let second = [
        0, 1, 2, 0x10, 0x1ff, 0x200, 0xdb8, 0xfff, 0x1000, 0xffff_u16,
    ];
    let sixes = (0..=0xffff_u16)
        .step_by(61)
        .chain([0x2001, 0x2002, 0x3fff, 0xfe80, 0xff02]);
    let sixes =
        sixes.flat_map(|a| second.map(|b| IpAddr::from(Ipv6Addr::new(a, b, 0, 0, 0, 0, 0, 9))));
    let all: Vec<IpAddr> = fours.chain(sixes).collect();
    let texts: Vec<String> = all.iter().map(ToString::to_string).collect();
    let theirs = ask("addresses.py", &json!(texts));
    let theirs: Vec<bool> = serde_json::from_value(theirs).expect("one of each");
    assert_eq!(theirs.len(), all.len());
    let mut public = 0;
    for (address, theirs) in all.into_iter().zip(theirs) {
        public += usize::from(is_public(address));
        let wanted = theirs && !stricter(address);
        assert_eq!(is_public(address), wanted, "{address}");
    }
    assert!(public > 5_000, "{public}");
}
