//! A part of a job that may deliberately be left out by writing `none`.
//!
//! Invariant: leaving the field away means the default, `none` means nothing; the two never mix.

use deserr::{DeserializeError, Deserr, ErrorKind, IntoValue, Value, ValuePointerRef};
use serde::{Deserialize, Deserializer, Serialize, Serializer};

/// A thing, or the word `none` where there shall be nothing of it.
#[derive(Clone, Debug, PartialEq)]
pub enum OrNone<T> {
    /// Deliberately nothing.
    None,
    /// This thing.
    Some(T),
}

impl<T> OrNone<T> {
    /// The thing, if there is one.
    pub const fn as_option(&self) -> Option<&T> {
        match self {
            Self::None => None,
            Self::Some(thing) => Some(thing),
        }
    }

    /// The thing, if there is one.
    pub fn into_option(self) -> Option<T> {
        match self {
            Self::None => None,
            Self::Some(thing) => Some(thing),
        }
    }
}

impl<T> From<Option<T>> for OrNone<T> {
    fn from(thing: Option<T>) -> Self {
        thing.map_or(Self::None, Self::Some)
    }
}

const NONE: &str = "none";

impl<T: Serialize> Serialize for OrNone<T> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match self {
            Self::None => serializer.serialize_str(NONE),
            Self::Some(thing) => thing.serialize(serializer),
        }
    }
}

impl<'de, T: Deserialize<'de>> Deserialize<'de> for OrNone<T> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Either<T>(std::marker::PhantomData<T>);
        impl<'de, T: Deserialize<'de>> serde::de::Visitor<'de> for Either<T> {
            type Value = OrNone<T>;

            fn expecting(&self, f: &mut std::fmt::Formatter) -> std::fmt::Result {
                f.write_str("an object or the word `none`")
            }

            fn visit_str<E: serde::de::Error>(self, text: &str) -> Result<Self::Value, E> {
                if text == NONE {
                    return Ok(OrNone::None);
                }
                Err(E::invalid_value(serde::de::Unexpected::Str(text), &self))
            }

            fn visit_map<A: serde::de::MapAccess<'de>>(
                self,
                map: A,
            ) -> Result<Self::Value, A::Error> {
                T::deserialize(serde::de::value::MapAccessDeserializer::new(map)).map(OrNone::Some)
            }
        }
        deserializer.deserialize_any(Either(std::marker::PhantomData))
    }
}

impl<T: Deserr<E>, E: DeserializeError> Deserr<E> for OrNone<T> {
    fn deserialize_from_value<V: IntoValue>(
        value: Value<V>,
        location: ValuePointerRef,
    ) -> Result<Self, E> {
        match value {
            Value::String(text) if text == NONE => Ok(Self::None),
            Value::String(text) => Err(deserr::take_cf_content(E::error::<V>(
                None,
                ErrorKind::Unexpected {
                    msg: format!("\"{text}\"|an object or the word none|none"),
                },
                location,
            ))),
            other => T::deserialize_from_value(other, location).map(Self::Some),
        }
    }
}

#[cfg(feature = "service")]
mod schema {
    use super::OrNone;
    use utoipa::openapi::{ObjectBuilder, OneOfBuilder, RefOr, Schema, Type};

    impl<T: utoipa::ToSchema> utoipa::PartialSchema for OrNone<T> {
        fn schema() -> RefOr<Schema> {
            let none = ObjectBuilder::new()
                .schema_type(Type::String)
                .enum_values(Some(["none"]))
                .build();
            let thing = RefOr::Ref(utoipa::openapi::Ref::from_schema_name(T::name()));
            Schema::OneOf(OneOfBuilder::new().item(none).item(thing).build()).into()
        }
    }

    impl<T: utoipa::ToSchema> utoipa::ToSchema for OrNone<T> {
        fn name() -> std::borrow::Cow<'static, str> {
            format!("{}OrNone", T::name()).into()
        }

        fn schemas(schemas: &mut Vec<(String, RefOr<Schema>)>) {
            schemas.push((T::name().into_owned(), T::schema()));
            T::schemas(schemas);
        }
    }
}
