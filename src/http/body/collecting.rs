//! The second reading of a refused body: into a JSON value, noting each field written twice.
//!
//! A plain JSON value keeps the last of two equal fields without a word, where the strict reader
//! refuses them. Invariant: the nesting was bounded before. Absent: any knowledge of the type.

use crate::quantity::{Fault, Faults, pointer_part};
use serde::de::{DeserializeSeed, Deserializer, Error, MapAccess, SeqAccess, Visitor};
use serde_json::{Map, Value};
use std::fmt;

/// The value of a body, and a fault for each field that stands in it twice.
///
/// # Errors
/// The body is not JSON.
pub(in crate::http) fn read_value(bytes: &[u8]) -> Result<(Value, Faults), serde_json::Error> {
    let mut faults = Faults::default();
    let mut reader = serde_json::Deserializer::from_slice(bytes);
    let place = Place {
        pointer: String::new(),
        faults: &mut faults,
    };
    let value = place.deserialize(&mut reader)?;
    reader.end()?;
    Ok((value, faults))
}

/// Where the reader stands.
struct Place<'a> {
    pointer: String,
    faults: &'a mut Faults,
}

impl Place<'_> {
    fn below(&mut self, part: &str) -> Place<'_> {
        Place {
            pointer: format!("{}/{}", self.pointer, pointer_part(part)),
            faults: self.faults,
        }
    }
}

impl<'de> DeserializeSeed<'de> for Place<'_> {
    type Value = Value;

    fn deserialize<D: Deserializer<'de>>(self, reader: D) -> Result<Value, D::Error> {
        reader.deserialize_any(self)
    }
}

impl<'de> Visitor<'de> for Place<'_> {
    type Value = Value;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a JSON value")
    }

    fn visit_unit<E: Error>(self) -> Result<Value, E> {
        Ok(Value::Null)
    }

    fn visit_bool<E: Error>(self, truth: bool) -> Result<Value, E> {
        Ok(truth.into())
    }

    fn visit_u64<E: Error>(self, number: u64) -> Result<Value, E> {
        Ok(number.into())
    }

    fn visit_i64<E: Error>(self, number: i64) -> Result<Value, E> {
        Ok(number.into())
    }

    fn visit_f64<E: Error>(self, number: f64) -> Result<Value, E> {
        Ok(number.into())
    }

    fn visit_str<E: Error>(self, text: &str) -> Result<Value, E> {
        Ok(text.into())
    }

    fn visit_seq<A: SeqAccess<'de>>(mut self, mut items: A) -> Result<Value, A::Error> {
        let mut all = Vec::new();
        while let Some(item) = items.next_element_seed(self.below(&all.len().to_string()))? {
            all.push(item);
        }
        Ok(Value::Array(all))
    }

    fn visit_map<A: MapAccess<'de>>(mut self, mut members: A) -> Result<Value, A::Error> {
        let mut all = Map::new();
        while let Some(name) = members.next_key::<String>()? {
            let place = self.below(&name);
            if all.contains_key(&name) {
                let fault = Fault::new(
                    place.pointer.as_str(),
                    "the same field twice",
                    "each field once",
                    None,
                );
                place.faults.push(fault);
            }
            let value = members.next_value_seed(place)?;
            all.insert(name, value);
        }
        Ok(Value::Object(all))
    }
}
