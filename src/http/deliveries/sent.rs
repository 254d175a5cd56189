//! What a caller sends to be delivered.
//!
//! Invariants: a JSON document keeps its text, to the last digit; a field that stands twice is refused,
//! since two readers could take different ones. Absent: where it goes.

use crate::clients::delivery::{MEDIA_TYPES, Message};
use crate::http::body::read_value;
use crate::quantity::{Fault, Faults};
use deserr::{ErrorKind, IntoValue, ValueKind, ValuePointerRef};
use serde::Deserialize;
use serde::de::{Deserializer, Error};
use serde_json::value::{RawValue, Value};
use std::ops::ControlFlow;
use utoipa::ToSchema;

/// A document, and where to send it.
#[derive(Debug, Deserialize, deserr::Deserr, ToSchema)]
#[serde(deny_unknown_fields)]
#[deserr(error = Faults, deny_unknown_fields)]
pub struct DeliveryRequest {
    /// A destination that the operator has set, by its name.
    pub destination: String,
    /// A JSON document of this service, sent on as it is; or, for one in another format, an object of
    /// `text` and `media_type` (`application/xml`, `text/csv`, `text/plain`, `text/html`, `application/json`)
    /// and nothing else.
    #[schema(value_type = Object)]
    pub document: SentDocument,
}

/// A document as it came.
#[derive(Debug)]
pub struct SentDocument(Box<RawValue>);

impl<'de> Deserialize<'de> for SentDocument {
    fn deserialize<D: Deserializer<'de>>(reader: D) -> Result<Self, D::Error> {
        let text = Box::<RawValue>::deserialize(reader)?;
        match text.get().starts_with('{') {
            true => Ok(Self(text)),
            false => Err(D::Error::custom("a document is an object")),
        }
    }
}

/// Only says what is wrong: a body that is read this way is refused in any case.
impl deserr::Deserr<Faults> for SentDocument {
    fn deserialize_from_value<V: IntoValue>(
        value: deserr::Value<V>,
        location: ValuePointerRef<'_>,
    ) -> Result<Self, Faults> {
        if let deserr::Value::Map(_) = value {
            return Ok(Self(RawValue::NULL.to_owned()));
        }
        let accepted = &[ValueKind::Map];
        let error = ErrorKind::IncorrectValueKind {
            actual: value,
            accepted,
        };
        match <Faults as deserr::DeserializeError>::error(None, error, location) {
            ControlFlow::Break(faults) | ControlFlow::Continue(faults) => Err(faults),
        }
    }
}

impl SentDocument {
    /// The message that it becomes.
    ///
    /// # Errors
    /// Fields that stand twice; a text without its media type, or of one that is not known.
    pub(super) fn read(&self) -> Result<Message, Faults> {
        let text = self.0.get();
        let refused = |error: serde_json::Error| {
            let found = error.to_string();
            Faults(vec![Fault::new("/document", found, "a JSON object", None)])
        };
        let (value, twice) = read_value(text.as_bytes()).map_err(refused)?;
        let twice = twice.0.into_iter().map(|fault| Fault {
            pointer: format!("/document{}", fault.pointer),
            ..fault
        });
        let twice = Faults(twice.collect());
        let fields = value.as_object();
        let names = || fields.into_iter().flat_map(|fields| fields.keys());
        let mut known = names().map(String::as_str);
        let is_text = known.all(|name| ["text", "media_type"].contains(&name));
        if !twice.is_empty() {
            return Err(twice);
        }
        if names().next().is_none() {
            let accepted = "a JSON document, or `text` with its `media_type`";
            let fault = Fault::new("/document", "an empty object", accepted, None);
            return Err(Faults(vec![fault]));
        }
        match is_text {
            true => read_text(&value),
            false => Ok(Message::of_json(text, &value)),
        }
    }
}

fn read_text(value: &Value) -> Result<Message, Faults> {
    let known: Vec<&str> = MEDIA_TYPES
        .iter()
        .map(|(media_type, _)| *media_type)
        .collect();
    let media_type = value.get("media_type").and_then(Value::as_str);
    let found = known.iter().copied().find(|one| Some(*one) == media_type);
    let text = value.get("text").and_then(Value::as_str);
    let text = text.filter(|text| !text.is_empty());
    if let (Some(media_type), Some(text)) = (found, text) {
        return Ok(Message::of_text(media_type, text));
    }
    let mut faults = Faults::default();
    let shown = |name: &str| match value.get(name) {
        None => "nothing".to_owned(),
        Some(value) => value.to_string(),
    };
    if found.is_none() {
        let at = "/document/media_type";
        faults.push(Fault::new(
            at,
            shown("media_type"),
            known.join(", "),
            Some("application/xml"),
        ));
    }
    if text.is_none() {
        let accepted = "the document's text, as it was answered";
        faults.push(Fault::new(
            "/document/text",
            shown("text"),
            accepted,
            Some("<Invoice>...</Invoice>"),
        ));
    }
    Err(faults)
}
