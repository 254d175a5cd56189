//! A time of the day on the wire: `HH:MM`, as a plant's dispatcher writes it.
//!
//! Invariant: a whole minute from 00:00 to 23:59. Absent: the zone, which is the site's.

use super::spelled::read_spelled;
use deserr::{DeserializeError, Deserr, IntoValue, Value, ValuePointerRef};
use serde::{Deserialize, Serialize, Serializer};

/// Minutes of a day.
pub(crate) const DAY_MINUTES: u32 = 24 * 60;

/// A time of the day.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
#[serde(try_from = "String")]
pub struct TimeOfDay(u32);

impl TimeOfDay {
    /// So many minutes after midnight.
    pub const fn from_minutes(minutes: u32) -> Self {
        Self(minutes)
    }

    /// Minutes after midnight.
    pub const fn minutes(self) -> u32 {
        self.0
    }

    /// Reads `07:30`; `None` for anything else.
    pub fn parse(text: &str) -> Option<Self> {
        let (hours, minutes) = text.split_once(':')?;
        let number = |part: &str, below: u32| {
            let digits = part.len() == 2 && part.bytes().all(|byte| byte.is_ascii_digit());
            part.parse::<u32>()
                .ok()
                .filter(|read| digits && *read < below)
        };
        Some(Self(number(hours, 24)? * 60 + number(minutes, 60)?))
    }
}

impl TryFrom<String> for TimeOfDay {
    type Error = &'static str;

    fn try_from(text: String) -> Result<Self, Self::Error> {
        Self::parse(&text).ok_or("a time of the day is needed, written HH:MM from 00:00 to 23:59")
    }
}

impl std::fmt::Display for TimeOfDay {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{:02}:{:02}", self.0 / 60, self.0 % 60)
    }
}

impl Serialize for TimeOfDay {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.collect_str(self)
    }
}

impl<E: DeserializeError> Deserr<E> for TimeOfDay {
    fn deserialize_from_value<V: IntoValue>(
        value: Value<V>,
        location: ValuePointerRef,
    ) -> Result<Self, E> {
        let wanted = ("a time of the day, HH:MM from 00:00 to 23:59", "07:30");
        read_spelled((value, location), Self::parse, wanted)
    }
}

#[cfg(feature = "service")]
impl utoipa::PartialSchema for TimeOfDay {
    fn schema() -> utoipa::openapi::RefOr<utoipa::openapi::Schema> {
        utoipa::openapi::ObjectBuilder::new()
            .schema_type(utoipa::openapi::Type::String)
            .pattern(Some("^(?:[01][0-9]|2[0-3]):[0-5][0-9]$"))
            .description(Some("a time of the day where the site is, HH:MM"))
            .examples([serde_json::json!("07:30")])
            .build()
            .into()
    }
}

#[cfg(feature = "service")]
impl utoipa::ToSchema for TimeOfDay {}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_time_goes_round() {
        for minutes in 0..DAY_MINUTES {
            let time = TimeOfDay::from_minutes(minutes);
            assert_eq!(TimeOfDay::parse(&time.to_string()), Some(time));
        }
        for wrong in [
            "", "7:30", "07:60", "24:00", "07.30", "0730", "07:3", "+7:30", "-1:00",
        ] {
            assert_eq!(TimeOfDay::parse(wrong), None, "{wrong}");
        }
    }
}
