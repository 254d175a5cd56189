//! What was wrong with an input, said so that a person can mend it.
//!
//! A fault names the place (JSON Pointer into the request as sent), what was found there, what is
//! accepted, and an example. Faults are collected, never stopped at the first. Absent here: status
//! codes and any decision about how a fault is shown.

use deserr::{
    DeserializeError, ErrorKind, IntoValue, MergeWithError, Value, ValueKind, ValuePointerRef,
};
use std::ops::ControlFlow;

/// One thing to mend.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize)]
#[cfg_attr(feature = "service", derive(utoipa::ToSchema))]
pub struct Fault {
    /// JSON Pointer (RFC 6901) into the request as it was sent; empty for the whole body.
    pub pointer: String,
    /// What stands there now, shortened; `nothing` when it is missing.
    pub found: String,
    /// What would be accepted instead.
    pub accepted: String,
    /// A value that would be accepted, where one can be given.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub example: Option<String>,
    /// In a table: the row as a spreadsheet numbers it; the heading is 1.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub row: Option<u32>,
    /// In a table: the column as the caller wrote it; empty where the whole row is meant.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[cfg_attr(feature = "service", schema(value_type = Option<String>))]
    pub column: Option<Box<str>>,
}

/// Every fault of one input, in the order of its parts.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Faults(pub Vec<Fault>);

/// Most faults that one answer lists. A body of a megabyte can have a million, and their texts take a
/// hundred times what it takes.
pub const LISTED_AT_MOST: usize = 1_000;

/// Longest piece of the caller's own text that is repeated back.
const FOUND_AT_MOST: usize = 60;

impl Fault {
    /// A fault at `pointer`; `found` is shortened to sixty characters.
    pub fn new(
        pointer: impl Into<String>,
        found: impl AsRef<str>,
        accepted: impl Into<String>,
        example: Option<&str>,
    ) -> Self {
        Self {
            pointer: pointer.into(),
            found: shorten(found.as_ref()),
            accepted: accepted.into(),
            example: example.map(str::to_owned),
            row: None,
            column: None,
        }
    }

    /// The same fault, in a row and a column of a table.
    #[must_use]
    pub fn in_row(self, row: u64, column: &str) -> Self {
        Self {
            // No table has so many rows that the number does not fit.
            row: Some(u32::try_from(row).unwrap_or(u32::MAX)),
            ..self.in_column(column)
        }
    }

    /// The same fault, in a column of a row that the caller knows.
    #[must_use]
    pub fn in_column(self, column: &str) -> Self {
        Self {
            column: Some(column.into()),
            ..self
        }
    }

    /// The same fault, in a row of a table, whatever its column.
    #[must_use]
    pub fn at_row(self, row: u64) -> Self {
        let column = self.column.clone().unwrap_or_default();
        self.in_row(row, &column)
    }

    /// All of it on one line, for a person: where, what stands there, what to write instead.
    pub fn sentence(&self) -> String {
        let column = self.column.as_deref().filter(|column| !column.is_empty());
        let place = column.unwrap_or(&self.pointer);
        let example = self.example.as_ref();
        let example = example.map_or_else(String::new, |example| format!(", like {example}"));
        let gap = if place.is_empty() { "" } else { ": " };
        // The end is what gets lost, so what was found goes before the long list of what may stand.
        let said = format!(
            "{place}{gap}found {}; write {}{example}",
            self.found, self.accepted
        );
        said.replace(['\r', '\n'], " ")
    }
}

impl Faults {
    /// Adds one fault.
    pub fn push(&mut self, fault: Fault) {
        self.0.push(fault);
    }

    /// True when nothing was wrong.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// `Ok(value)` when nothing was wrong, else all faults.
    ///
    /// # Errors
    /// Every fault collected so far.
    pub fn or<T>(self, value: T) -> Result<T, Self> {
        if self.is_empty() {
            Ok(value)
        } else {
            Err(self)
        }
    }
}

impl std::fmt::Display for Faults {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        for (index, fault) in self.0.iter().enumerate() {
            let gap = if index == 0 { "" } else { "; " };
            write!(
                f,
                "{gap}{}: found {}, accepted: {}",
                fault.pointer, fault.found, fault.accepted
            )?;
        }
        Ok(())
    }
}

impl std::error::Error for Faults {}

/// Writes a key or an index into a JSON Pointer (RFC 6901, section 3: `~` and `/` are escaped).
pub fn pointer_part(part: &str) -> String {
    part.replace('~', "~0").replace('/', "~1")
}

fn shorten(text: &str) -> String {
    let mut head: String = text.chars().take(FOUND_AT_MOST).collect();
    if head.len() < text.len() {
        head.push('…');
    }
    match head.trim().is_empty() {
        // A blank text that stood there would read as nothing being said.
        true => format!("\"{head}\""),
        false => head,
    }
}

fn pointer(location: ValuePointerRef) -> String {
    match location {
        ValuePointerRef::Origin => String::new(),
        ValuePointerRef::Key { key, prev } => format!("{}/{}", pointer(*prev), pointer_part(key)),
        ValuePointerRef::Index { index, prev } => format!("{}/{index}", pointer(*prev)),
    }
}

fn found<V: IntoValue>(value: &Value<V>) -> String {
    match value {
        Value::Null => "null".to_owned(),
        Value::Boolean(b) => b.to_string(),
        Value::Integer(n) => n.to_string(),
        Value::NegativeInteger(n) => n.to_string(),
        Value::Float(x) => x.to_string(),
        Value::String(s) => format!("\"{s}\""),
        Value::Sequence(_) => "an array".to_owned(),
        Value::Map(_) => "an object".to_owned(),
    }
}

fn kinds(accepted: &[ValueKind]) -> String {
    let names: Vec<&str> = accepted
        .iter()
        .map(|kind| match kind {
            ValueKind::Null => "null",
            ValueKind::Boolean => "true or false",
            ValueKind::Integer | ValueKind::NegativeInteger => "a whole number",
            ValueKind::Float => "a number",
            ValueKind::String => "text",
            ValueKind::Sequence => "an array",
            ValueKind::Map => "an object",
        })
        .collect();
    names.join(" or ")
}

impl MergeWithError<Faults> for Faults {
    fn merge(
        self_: Option<Self>,
        other: Faults,
        _location: ValuePointerRef,
    ) -> ControlFlow<Self, Self> {
        let mut all = self_.unwrap_or_default();
        all.0.extend(other.0);
        // One more than is listed, so that it can be told whether there are more.
        if all.0.len() > LISTED_AT_MOST {
            return ControlFlow::Break(all);
        }
        ControlFlow::Continue(all)
    }
}

impl DeserializeError for Faults {
    fn error<V: IntoValue>(
        self_: Option<Self>,
        error: ErrorKind<V>,
        location: ValuePointerRef,
    ) -> ControlFlow<Self, Self> {
        let place = pointer(location);
        let fault = match error {
            ErrorKind::IncorrectValueKind { actual, accepted } => {
                Fault::new(place, found(&actual), kinds(accepted), None)
            }
            ErrorKind::MissingField { field } => Fault::new(
                format!("{place}/{}", pointer_part(field)),
                "nothing",
                "this field is required",
                None,
            ),
            ErrorKind::UnknownKey { key, accepted } => Fault::new(
                format!("{place}/{}", pointer_part(key)),
                "an unknown field",
                accepted.join(", "),
                accepted.first().copied(),
            ),
            ErrorKind::UnknownValue { value, accepted } => Fault::new(
                place,
                format!("\"{value}\""),
                accepted.join(", "),
                accepted.first().copied(),
            ),
            ErrorKind::BadSequenceLen { expected, .. } => {
                Fault::new(place, "an array", format!("an array of {expected}"), None)
            }
            // The message is written by our own readers as "found|accepted|example".
            ErrorKind::Unexpected { msg } => {
                let mut parts = msg.splitn(3, '|');
                let found = parts.next().unwrap_or_default().to_owned();
                let accepted = parts.next().unwrap_or("a readable value").to_owned();
                Fault::new(place, found, accepted, parts.next())
            }
        };
        Self::merge(self_, Self(vec![fault]), location)
    }
}
