//! One reading of a level: a slope, a gap under its raised end, or none.
//!
//! Invariants: what is neither is refused with the way to write it; a reading that was not taken is
//! `null` or `missing`, never zero. Absent: the length of the level.

use crate::quantity::{Faults, Length, Slope};
use deserr::{Deserr, ErrorKind, IntoValue, Value, ValuePointerRef};
use serde::{Deserialize, Deserializer};

/// One reading of a level.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum LevelReading {
    /// The slope that it shows, positive where it rises in the direction walked.
    Slope(Slope),
    /// The gap under its raised end with the level held level, positive where the ground rises in the
    /// direction walked.
    Gap(Length),
    /// Not taken.
    Missing,
}

const MISSING: &str = "missing";
const ACCEPTED: &str = "a slope, a gap with its unit, or null where none was taken";

impl LevelReading {
    /// Reads `8.2 %`, `1:12`, `1 7/8 in` or `missing`; nothing where the text is none of them.
    pub fn parse(text: &str) -> Option<Self> {
        if text.trim() == MISSING {
            return Some(Self::Missing);
        }
        let slope = Slope::parse(text).ok().map(Self::Slope);
        slope.or_else(|| Length::parse(text).ok().map(Self::Gap))
    }
}

impl<'de> Deserialize<'de> for LevelReading {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        let Some(text) = Option::<String>::deserialize(from)? else {
            return Ok(Self::Missing);
        };
        Self::parse(&text).ok_or_else(|| serde::de::Error::custom(ACCEPTED))
    }
}

impl Deserr<Faults> for LevelReading {
    fn deserialize_from_value<V: IntoValue>(
        value: Value<V>,
        location: ValuePointerRef,
    ) -> Result<Self, Faults> {
        let found = match value {
            Value::Null => return Ok(Self::Missing),
            Value::String(text) => match Self::parse(&text) {
                Some(reading) => return Ok(reading),
                None => format!("\"{text}\""),
            },
            Value::Integer(number) => number.to_string(),
            Value::NegativeInteger(number) => number.to_string(),
            Value::Float(number) => number.to_string(),
            Value::Boolean(flag) => flag.to_string(),
            Value::Map(_) => "an object".to_owned(),
            Value::Sequence(_) => "an array".to_owned(),
        };
        let msg = format!("{found}|{ACCEPTED}|8.2 %");
        Err(deserr::take_cf_content(
            <Faults as deserr::DeserializeError>::error::<V>(
                None,
                ErrorKind::Unexpected { msg },
                location,
            ),
        ))
    }
}

#[cfg(feature = "service")]
impl utoipa::PartialSchema for LevelReading {
    fn schema() -> utoipa::openapi::RefOr<utoipa::openapi::Schema> {
        use utoipa::openapi::schema::{ObjectBuilder, SchemaType, Type};
        ObjectBuilder::new()
            .schema_type(SchemaType::from_iter([Type::String, Type::Null]))
            .description(Some(ACCEPTED))
            .examples(["8.2 %", "1 7/8 in"])
            .into()
    }
}

#[cfg(feature = "service")]
impl utoipa::ToSchema for LevelReading {
    fn name() -> std::borrow::Cow<'static, str> {
        "LevelReading".into()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_reading_is_a_slope_a_gap_or_none() {
        let read = LevelReading::parse;
        assert_eq!(
            read("8.2 %"),
            Some(LevelReading::Slope(Slope::from_percent(8.2)))
        );
        assert_eq!(
            read("1 7/8 in"),
            Some(LevelReading::Gap(Length::from_inches(1.875)))
        );
        assert_eq!(read("missing"), Some(LevelReading::Missing));
        assert_eq!(read("8.2"), None);
        let read = |text| serde_json::from_str::<LevelReading>(text).ok();
        assert_eq!(read("null"), Some(LevelReading::Missing));
        assert_eq!(read("8"), None);
    }
}
