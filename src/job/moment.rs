//! An hour of a day on the wire: `2026-05-18T07:00`, on the clock of the site.
//!
//! Invariant: a moment that exists, to the minute. Absent: zones; the clock.

use super::spelled::read_spelled;
use chrono::NaiveDateTime;
use deserr::{DeserializeError, Deserr, IntoValue, Value, ValuePointerRef};
use serde::{Deserialize, Serialize, Serializer};

/// A moment on the clock of the site.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
#[serde(try_from = "String")]
pub struct Moment(pub NaiveDateTime);

/// How it is written.
const FORM: &str = "%Y-%m-%dT%H:%M";

impl Moment {
    /// Reads `2026-05-18T07:00`, with `:00` seconds or without; `None` for anything else.
    pub fn parse(text: &str) -> Option<Self> {
        let text = match text.len() {
            19 => text.strip_suffix(":00")?,
            _ => text,
        };
        // The calendar's own reader also takes spaces and single digits.
        let shape = |(at, byte): (usize, u8)| match at {
            4 | 7 => byte == b'-',
            10 => byte == b'T',
            13 => byte == b':',
            _ => byte.is_ascii_digit(),
        };
        if text.len() != 16 || !text.bytes().enumerate().all(shape) {
            return None;
        }
        NaiveDateTime::parse_from_str(text, FORM).ok().map(Self)
    }
}

impl TryFrom<String> for Moment {
    type Error = &'static str;

    fn try_from(text: String) -> Result<Self, Self::Error> {
        Self::parse(&text).ok_or("a moment that exists is needed, written YYYY-MM-DDTHH:MM")
    }
}

impl std::fmt::Display for Moment {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}", self.0.format(FORM))
    }
}

impl Serialize for Moment {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.collect_str(self)
    }
}

impl<E: DeserializeError> Deserr<E> for Moment {
    fn deserialize_from_value<V: IntoValue>(
        value: Value<V>,
        location: ValuePointerRef,
    ) -> Result<Self, E> {
        let wanted = (
            "an hour on the clock of the site, YYYY-MM-DDTHH:MM, without a zone",
            "2026-05-18T07:00",
        );
        read_spelled((value, location), Self::parse, wanted)
    }
}

#[cfg(feature = "service")]
mod schema {
    use super::Moment;
    use utoipa::openapi::{ObjectBuilder, RefOr, Schema, Type};

    impl utoipa::PartialSchema for Moment {
        fn schema() -> RefOr<Schema> {
            ObjectBuilder::new()
                .schema_type(Type::String)
                .pattern(Some(
                    "^[0-9]{4}-[0-9]{2}-[0-9]{2}T(?:[01][0-9]|2[0-3]):[0-5][0-9](?::00)?$",
                ))
                .description(Some("an hour on the clock of the site, YYYY-MM-DDTHH:MM"))
                .examples([serde_json::json!("2026-05-18T07:00")])
                .build()
                .into()
        }
    }

    impl utoipa::ToSchema for Moment {}
}

#[cfg(test)]
mod tests {
    use super::Moment;

    #[test]
    fn a_moment_goes_round_and_nothing_else_is_read() {
        for text in ["2026-05-18T07:00", "2024-02-29T23:59"] {
            let moment = Moment::parse(text).expect("a moment");
            assert_eq!(moment.to_string(), text);
            assert_eq!(Moment::parse(&format!("{text}:00")), Some(moment));
        }
        for wrong in [
            "2026-02-29T07:00",
            "2026-05-18 07:00",
            "2026-05-18T24:00",
            "2026-05-18T07:00Z",
            "2026-05-18T07:00+02:00",
            "2026-05-18T07:00:30",
            "2026-05-18T7:00",
            "2026-05-18",
            "",
        ] {
            assert_eq!(Moment::parse(wrong), None, "{wrong}");
        }
    }
}
