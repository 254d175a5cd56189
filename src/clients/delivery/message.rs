//! What is sent: the bytes, what they are, and by what name a repetition is known.
//!
//! Invariants: the same document has the same id, whatever its blanks and the order of its fields, on any
//! machine and in any year; an id is plain letters. Absent: what the document says.

use serde_json::Value;
use sha2::{Digest as _, Sha256};
use std::fmt::Write as _;

/// What a document may be sent as, and the header that says so.
pub const MEDIA_TYPES: [(&str, &str); 5] = [
    ("application/json", "application/json"),
    ("application/xml", "application/xml"),
    ("text/csv", "text/csv; charset=utf-8"),
    ("text/plain", "text/plain; charset=utf-8"),
    ("text/html", "text/html; charset=utf-8"),
];

/// One document on its way.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Message {
    /// Its id: the same for the same document.
    pub id: String,
    /// By which the receiver knows a repetition; the id, unless the caller gave another.
    pub key: String,
    /// One of [`MEDIA_TYPES`].
    pub media_type: &'static str,
    /// As it is sent and signed.
    pub body: Vec<u8>,
}

impl Message {
    /// A JSON document: its text as it came, and its value.
    pub fn of_json(text: &str, value: &Value) -> Self {
        let mut ordered = String::new();
        write_ordered(value, &mut ordered);
        Self::of("application/json", &ordered, text)
    }

    /// A document of another media type, which has to be one of [`MEDIA_TYPES`].
    pub fn of_text(media_type: &'static str, text: &str) -> Self {
        Self::of(media_type, text, text)
    }

    fn of(media_type: &'static str, hashed: &str, text: &str) -> Self {
        let mut hash = Sha256::new();
        hash.update(media_type);
        hash.update([0]);
        hash.update(hashed);
        let id = hash
            .finalize()
            .iter()
            .fold("msg_".to_owned(), |mut id, byte| {
                // Writing into a text cannot fail.
                let _ = write!(id, "{byte:02x}");
                id
            });
        Self {
            key: id.clone(),
            id,
            media_type,
            body: text.as_bytes().to_vec(),
        }
    }

    /// The same with another key.
    #[must_use]
    pub fn with_key(self, key: Option<String>) -> Self {
        Self {
            key: key.unwrap_or(self.key),
            ..self
        }
    }

    /// The value of `Content-Type`.
    pub(super) fn content_type(&self) -> &'static str {
        let mut all = MEDIA_TYPES.iter();
        let found = all.find(|(media_type, _)| *media_type == self.media_type);
        found.map_or("application/octet-stream", |(_, header)| header)
    }
}

/// Writes a value without blanks, the fields of each object in the order of their names.
fn write_ordered(value: &Value, into: &mut String) {
    match value {
        Value::Object(fields) => {
            let mut fields: Vec<_> = fields.iter().collect();
            fields.sort_by_key(|(name, _)| name.as_str());
            let fields = fields.into_iter().map(|(name, value)| (Some(name), value));
            write_parts(('{', '}'), fields, into);
        }
        Value::Array(items) => write_parts(('[', ']'), items.iter().map(|item| (None, item)), into),
        plain => into.push_str(&plain.to_string()),
    }
}

fn write_parts<'a>(
    (opens, closes): (char, char),
    parts: impl Iterator<Item = (Option<&'a String>, &'a Value)>,
    into: &mut String,
) {
    into.push(opens);
    for (number, (name, value)) in parts.enumerate() {
        if number > 0 {
            into.push(',');
        }
        if let Some(name) = name {
            into.push_str(&Value::from(name.as_str()).to_string());
            into.push(':');
        }
        write_ordered(value, into);
    }
    into.push(closes);
}

#[cfg(test)]
mod tests {
    use super::*;

    fn id(text: &str) -> String {
        let value = serde_json::from_str(text).expect("JSON");
        Message::of_json(text, &value).id
    }

    /// By hand: `printf 'application/json\0{"a":1,"b":["x",null]}' | sha256sum`.
    #[test]
    fn the_same_document_has_the_same_id_in_any_order() {
        let one = id(r#"{"b": ["x", null], "a": 1}"#);
        assert_eq!(one, id("{\"a\":1,\n \"b\":[\"x\",null]}"));
        assert_eq!(one, WANTED);
        for other in [
            r#"{"a":1,"b":[null,"x"]}"#,
            r#"{"a":2,"b":["x",null]}"#,
            r#"{"a":"1","b":["x",null]}"#,
            r#"{"a":1,"b":["x",null],"c":null}"#,
        ] {
            assert_ne!(one, id(other), "{other}");
        }
    }

    const WANTED: &str = "msg_e7528b5269867838e5c4f807952fc54374edd53b8d93f23e28305d7af2c435d4";

    #[test]
    fn what_is_sent_is_what_came() {
        let text = "{\"total\": 1.10, \"a\": \"\u{202e}<&>\"}";
        let value = serde_json::from_str(text).expect("JSON");
        assert_eq!(Message::of_json(text, &value).body, text.as_bytes());
        let xml = Message::of_text("application/xml", "<a/>");
        assert_ne!(xml.id, Message::of_text("text/plain", "<a/>").id);
        assert_eq!(xml.clone().with_key(Some("k".into())).id, xml.id);
    }

    #[test]
    fn every_media_type_has_its_header() {
        for (media_type, header) in MEDIA_TYPES {
            assert_eq!(Message::of_text(media_type, "").content_type(), header);
            assert!(header.starts_with(media_type));
        }
    }
}
