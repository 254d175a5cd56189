//! How money travels: always a decimal text, never a JSON number.
//!
//! Invariants: a JSON number is refused, since it may already have lost a cent. Absent here: what
//! the texts mean (`decimal`, `amount`).

use super::super::Faults;
use super::{Amount, Currency, Decimal4, MoneyError, Percentage, UnitPrice};
use deserr::{Deserr, IntoValue, Value, ValuePointerRef};
use serde::de::{Deserialize, Deserializer, Error, Visitor};
use std::marker::PhantomData;

/// A kind of text of this room.
trait Text: Sized {
    /// What is accepted, for messages.
    const ACCEPTED: &'static str;
    /// A text that is accepted.
    const EXAMPLE: &'static str;

    /// Reads it; `None` when it is not accepted.
    fn read(text: &str) -> Option<Self>;
}

struct TextVisitor<T>(PhantomData<T>);

impl<T: Text> Visitor<'_> for TextVisitor<T> {
    type Value = T;

    fn expecting(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}, for example \"{}\"", T::ACCEPTED, T::EXAMPLE)
    }

    fn visit_str<E: Error>(self, text: &str) -> Result<T, E> {
        T::read(text).ok_or_else(|| E::invalid_value(serde::de::Unexpected::Str(text), &self))
    }
}

fn read_value<T: Text, V: IntoValue>(
    value: Value<V>,
    location: ValuePointerRef,
) -> Result<T, Faults> {
    let found = match value {
        Value::String(text) => match T::read(&text) {
            Some(read) => return Ok(read),
            None => format!("\"{}\"", text.replace('|', "¦")),
        },
        Value::Null => "null".to_owned(),
        Value::Boolean(flag) => flag.to_string(),
        Value::Integer(number) => number.to_string(),
        Value::NegativeInteger(number) => number.to_string(),
        Value::Float(number) => number.to_string(),
        Value::Sequence(_) => "an array".to_owned(),
        Value::Map(_) => "an object".to_owned(),
    };
    let message = format!("{found}|{}|{}", T::ACCEPTED, T::EXAMPLE);
    Err(super::super::wire::fault::<V>(message, location))
}

macro_rules! texts {
    ($($name:ident: $accepted:literal, $example:literal, $pattern:literal, $read:expr;)*) => { $(
        impl Text for $name {
            const ACCEPTED: &'static str = $accepted;
            const EXAMPLE: &'static str = $example;

            fn read(text: &str) -> Option<Self> {
                $read(text)
            }
        }

        impl std::str::FromStr for $name {
            type Err = MoneyError;
            fn from_str(text: &str) -> Result<Self, MoneyError> {
                let found = || text.chars().take(40).collect();
                Self::read(text).ok_or_else(|| MoneyError::NotDecimal { found: found(), example: $example })
            }
        }

        impl serde::Serialize for $name {
            fn serialize<S: serde::Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
                to.collect_str(self)
            }
        }

        impl<'de> Deserialize<'de> for $name {
            fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
                from.deserialize_str(TextVisitor(PhantomData))
            }
        }

        impl Deserr<Faults> for $name {
            fn deserialize_from_value<V: IntoValue>(
                value: Value<V>,
                location: ValuePointerRef,
            ) -> Result<Self, Faults> {
                read_value(value, location)
            }
        }

        #[cfg(feature = "service")]
        impl utoipa::PartialSchema for $name {
            fn schema() -> utoipa::openapi::RefOr<utoipa::openapi::Schema> {
                super::super::schema::text_schema($accepted, $pattern, $example)
            }
        }

        #[cfg(feature = "service")]
        impl utoipa::ToSchema for $name {}
    )* };
}

texts! {
    UnitPrice: "a price as decimal text, at most 9 digits and 4 decimals", "178.00",
        "^-?[0-9]{1,9}(?:\\.[0-9]{1,4})?$", |text| UnitPrice::parse(text).ok();
    Decimal4: "a quantity as decimal text, at most 9 digits and 4 decimals", "4.25",
        "^-?[0-9]{1,9}(?:\\.[0-9]{1,4})?$", |text| Decimal4::parse(text).ok();
    Amount: "an amount as decimal text, at most 14 digits and 4 decimals", "845.50",
        "^-?[0-9]{1,14}(?:\\.[0-9]{1,4})?$", |text| Amount::parse(text).ok();
    Percentage: "a percentage as text", "6.25 %",
        "^-?[0-9]{1,9}(?:\\.[0-9]{1,4})? ?%$", |text| Percentage::parse(text).ok();
    Currency: "an ISO 4217 currency code", "USD", "^[A-Z]{3}$", Currency::of_code;
}
