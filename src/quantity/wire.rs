//! How a quantity travels: read from a text or from `{"value": 28, "unit": "in"}`, written as text.
//!
//! Invariants: one reader for all quantities and both libraries; a bare number is refused with the
//! way to write it; unknown keys are refused. Absent here: the published schema.

use super::error::{Problem, QuantityError};
use super::parse::from_parts;
use super::{Faults, Quantity, parse_quantity};
use deserr::{
    DeserializeError, ErrorKind, IntoValue, Map, Value, ValuePointerRef, take_cf_content,
};
use serde::de::{self, Deserializer, MapAccess, Visitor};
use std::marker::PhantomData;

/// Gives one quantity its readers, its writer and, in the service, its schema.
macro_rules! impl_wire {
    ($name:ident) => {
        impl serde::Serialize for $name {
            fn serialize<S: serde::Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
                to.serialize_str(&print_quantity(*self))
            }
        }

        impl<'de> serde::Deserialize<'de> for $name {
            fn deserialize<D: serde::Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
                $crate::quantity::wire::read_serde(from)
            }
        }

        impl deserr::Deserr<$crate::quantity::Faults> for $name {
            fn deserialize_from_value<V: deserr::IntoValue>(
                value: deserr::Value<V>,
                location: deserr::ValuePointerRef,
            ) -> Result<Self, $crate::quantity::Faults> {
                $crate::quantity::wire::read_deserr(value, location)
            }
        }

        #[cfg(feature = "service")]
        impl utoipa::PartialSchema for $name {
            fn schema() -> utoipa::openapi::RefOr<utoipa::openapi::Schema> {
                $crate::quantity::schema::quantity_schema(<Self as Quantity>::DIMENSION)
            }
        }

        #[cfg(feature = "service")]
        impl utoipa::ToSchema for $name {
            fn name() -> std::borrow::Cow<'static, str> {
                std::borrow::Cow::Borrowed(<Self as Quantity>::NAME)
            }
        }
    };
}
pub(super) use impl_wire;

/// The object form.
#[derive(serde::Deserialize)]
#[serde(deny_unknown_fields)]
struct Parts {
    value: f64,
    unit: String,
}

pub(super) fn read_serde<'de, Q: Quantity, D: Deserializer<'de>>(from: D) -> Result<Q, D::Error> {
    from.deserialize_any(QuantityVisitor(PhantomData))
}

struct QuantityVisitor<Q>(PhantomData<Q>);

impl<Q: Quantity> QuantityVisitor<Q> {
    fn bare<E: de::Error>(number: impl std::fmt::Display) -> Result<Q, E> {
        let error = QuantityError::new(Problem::NoUnit, Q::DIMENSION, number.to_string());
        Err(E::custom(error))
    }
}

impl<'de, Q: Quantity> Visitor<'de> for QuantityVisitor<Q> {
    type Value = Q;

    fn expecting(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(Q::DIMENSION.noun())?;
        f.write_str(" written with its unit")
    }

    fn visit_str<E: de::Error>(self, text: &str) -> Result<Q, E> {
        parse_quantity(text).map_err(E::custom)
    }

    fn visit_map<A: MapAccess<'de>>(self, map: A) -> Result<Q, A::Error> {
        use serde::Deserialize as _;
        let parts = Parts::deserialize(de::value::MapAccessDeserializer::new(map))?;
        from_parts(parts.value, &parts.unit).map_err(de::Error::custom)
    }

    fn visit_i64<E: de::Error>(self, number: i64) -> Result<Q, E> {
        Self::bare(number)
    }

    fn visit_u64<E: de::Error>(self, number: u64) -> Result<Q, E> {
        Self::bare(number)
    }

    fn visit_f64<E: de::Error>(self, number: f64) -> Result<Q, E> {
        Self::bare(number)
    }
}

pub(super) fn read_deserr<Q: Quantity, V: IntoValue>(
    value: Value<V>,
    location: ValuePointerRef,
) -> Result<Q, Faults> {
    let refuse = |problem, found: String| {
        let error = QuantityError::new(problem, Q::DIMENSION, found);
        Err(fault::<V>(error.message(), location))
    };
    match value {
        Value::String(text) => {
            parse_quantity(&text).map_err(|error| fault::<V>(error.message(), location))
        }
        Value::Map(map) => read_object(map, location),
        Value::Integer(number) => refuse(Problem::NoUnit, number.to_string()),
        Value::NegativeInteger(number) => refuse(Problem::NoUnit, number.to_string()),
        Value::Float(number) => refuse(Problem::NoUnit, number.to_string()),
        Value::Null => refuse(Problem::WrongShape, "null".to_owned()),
        Value::Boolean(flag) => refuse(Problem::WrongShape, flag.to_string()),
        Value::Sequence(_) => refuse(Problem::WrongShape, "an array".to_owned()),
    }
}

fn read_object<Q: Quantity, M: Map>(map: M, location: ValuePointerRef) -> Result<Q, Faults> {
    let (mut number, mut unit, mut faults) = (None, None, None);
    for (key, value) in map.into_iter() {
        let result = match key.as_str() {
            "value" => read_number(value, location.push_key("value")).map(|v| number = Some(v)),
            "unit" => read_unit(value, location.push_key("unit")).map(|u| unit = Some(u)),
            _ => Err(take_cf_content(Faults::error::<M::Value>(
                None,
                ErrorKind::UnknownKey {
                    key: &key,
                    accepted: &["value", "unit"],
                },
                location,
            ))),
        };
        if let Err(more) = result {
            merge(&mut faults, more);
        }
    }
    for (field, missing) in [("value", number.is_none()), ("unit", unit.is_none())] {
        let said = faults.as_ref().is_some_and(|said| names(said, field));
        if missing && !said {
            let kind = ErrorKind::MissingField { field };
            merge(
                &mut faults,
                take_cf_content(Faults::error::<M::Value>(None, kind, location)),
            );
        }
    }
    match (faults, number, unit) {
        (None, Some(number), Some(unit)) => {
            from_parts(number, &unit).map_err(|error| fault::<M::Value>(error.message(), location))
        }
        (faults, _, _) => Err(faults.unwrap_or_default()),
    }
}

fn merge(faults: &mut Option<Faults>, more: Faults) {
    faults.get_or_insert_default().0.extend(more.0);
}

/// True when a fault already stands at this field.
fn names(faults: &Faults, field: &str) -> bool {
    faults
        .0
        .iter()
        .any(|fault| fault.pointer.ends_with(&format!("/{field}")))
}

fn read_number<V: IntoValue>(value: V, location: ValuePointerRef) -> Result<f64, Faults> {
    match value.into_value() {
        // A count beyond 2^53 loses its last digits here, and is refused as too large later.
        Value::Integer(number) => Ok(number as f64),
        Value::NegativeInteger(number) => Ok(number as f64),
        Value::Float(number) => Ok(number),
        other => Err(wrong_kind(other, deserr::ValueKind::Float, location)),
    }
}

fn read_unit<V: IntoValue>(value: V, location: ValuePointerRef) -> Result<String, Faults> {
    match value.into_value() {
        Value::String(text) => Ok(text),
        other => Err(wrong_kind(other, deserr::ValueKind::String, location)),
    }
}

fn wrong_kind<V: IntoValue>(
    actual: Value<V>,
    wanted: deserr::ValueKind,
    location: ValuePointerRef,
) -> Faults {
    let kind = ErrorKind::IncorrectValueKind {
        actual,
        accepted: &[wanted],
    };
    take_cf_content(Faults::error::<V>(None, kind, location))
}

/// A fault in the form `found|accepted|example`.
pub(super) fn fault<V: IntoValue>(message: String, location: ValuePointerRef) -> Faults {
    take_cf_content(Faults::error::<V>(
        None,
        ErrorKind::Unexpected { msg: message },
        location,
    ))
}
