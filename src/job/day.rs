//! A calendar day on the wire: `YYYY-MM-DD`.
//!
//! Invariant: always a day that exists. Absent: the clock.

use super::spelled::read_spelled;
use chrono::NaiveDate;
use deserr::{DeserializeError, Deserr, IntoValue, Value, ValuePointerRef};
use serde::{Deserialize, Serialize};

/// A calendar day.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(try_from = "String")]
pub struct Day(pub NaiveDate);

impl Day {
    /// Reads `YYYY-MM-DD`; `None` for anything else, also for days that do not exist.
    pub fn parse(text: &str) -> Option<Self> {
        // The calendar's own reader also takes spaces and single digits.
        let shape = |(at, byte): (usize, u8)| match at {
            4 | 7 => byte == b'-',
            _ => byte.is_ascii_digit(),
        };
        if text.len() != 10 || !text.bytes().enumerate().all(shape) {
            return None;
        }
        NaiveDate::parse_from_str(text, "%Y-%m-%d").ok().map(Self)
    }
}

impl TryFrom<String> for Day {
    type Error = &'static str;

    fn try_from(text: String) -> Result<Self, Self::Error> {
        Self::parse(&text).ok_or("a day that exists is needed, written YYYY-MM-DD")
    }
}

impl std::fmt::Display for Day {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}", self.0.format("%Y-%m-%d"))
    }
}

impl<E: DeserializeError> Deserr<E> for Day {
    fn deserialize_from_value<V: IntoValue>(
        value: Value<V>,
        location: ValuePointerRef,
    ) -> Result<Self, E> {
        let wanted = ("a day that exists, YYYY-MM-DD", "2026-05-11");
        read_spelled((value, location), Self::parse, wanted)
    }
}

#[cfg(feature = "service")]
mod schema {
    use super::Day;
    use utoipa::openapi::{KnownFormat, ObjectBuilder, RefOr, Schema, SchemaFormat, Type};

    impl utoipa::PartialSchema for Day {
        fn schema() -> RefOr<Schema> {
            ObjectBuilder::new()
                .schema_type(Type::String)
                .format(Some(SchemaFormat::KnownFormat(KnownFormat::Date)))
                .examples([serde_json::json!("2026-05-11")])
                .build()
                .into()
        }
    }

    impl utoipa::ToSchema for Day {}
}
