//! A value as canonical JSON: the keys of every object in one order, no blanks.
//!
//! Invariants: the same value gives the same bytes, in whatever order its fields are declared; the
//! tests hold it to an independent library byte for byte. Departs: a number with a fraction is
//! refused, since nothing that is hashed holds one. Absent: hashing.
//!
//! Source: RFC 8785 (JSON Canonicalization Scheme), sections 3.2.1 to 3.2.3.

use serde::Serialize;
use serde_json::ser::{CharEscape, CompactFormatter, Formatter, Serializer};
use std::cmp::Ordering;
use std::io;
use std::ops::Range;

/// Appends the canonical form of a value.
///
/// # Errors
/// A value that JSON cannot hold, or a number with a fraction.
pub fn write_canonical<T: Serialize>(value: &T, into: &mut Vec<u8>) -> serde_json::Result<()> {
    let ordering = Ordered {
        text: into,
        open: Vec::new(),
        sorted: Vec::new(),
    };
    // All bytes go into the text that the formatter orders.
    value.serialize(&mut Serializer::with_formatter(io::sink(), ordering))
}

/// Writes compact JSON, and brings the properties of each object into order as it ends.
struct Ordered<'a> {
    text: &'a mut Vec<u8>,
    open: Vec<Object>,
    sorted: Vec<u8>,
}

/// An object that is being written: its properties stand one behind the other without commas.
struct Object {
    start: usize,
    properties: Vec<Property>,
}

struct Property {
    /// The key without its quotes.
    key: Range<usize>,
    /// From the key's quote to the end of the value.
    whole: Range<usize>,
}

impl Ordered<'_> {
    fn at(&self) -> usize {
        self.text.len()
    }

    fn last(&mut self) -> Option<&mut Property> {
        self.open.last_mut()?.properties.last_mut()
    }

    fn put_in_order(&mut self, mut object: Object) {
        let text = &self.text;
        let key = |property: &Property| &text[property.key.clone()];
        object.properties.sort_by(|a, b| compare(key(a), key(b)));
        self.sorted.clear();
        self.sorted.push(b'{');
        for (index, property) in object.properties.iter().enumerate() {
            if index > 0 {
                self.sorted.push(b',');
            }
            self.sorted
                .extend_from_slice(&self.text[property.whole.clone()]);
        }
        self.sorted.push(b'}');
        self.text.truncate(object.start);
        self.text.extend_from_slice(&self.sorted);
    }
}

/// By UTF-16 code units, as the standard asks; of plain ASCII that is the order of the bytes.
fn compare(a: &[u8], b: &[u8]) -> Ordering {
    let plain = |key: &[u8]| key.iter().all(|byte| byte.is_ascii() && *byte != b'\\');
    if plain(a) && plain(b) {
        return a.cmp(b);
    }
    let units = |key: &[u8]| -> Vec<u16> {
        let quoted = [b"\"", key, b"\""].concat();
        let text: String = serde_json::from_slice(&quoted).unwrap_or_default();
        text.encode_utf16().collect()
    };
    units(a).cmp(&units(b))
}

macro_rules! as_compact {
    ($($name:ident($($value:ident: $kind:ty)?);)*) => { $(
        fn $name<W: ?Sized + io::Write>(&mut self, _: &mut W $(, $value: $kind)?) -> io::Result<()> {
            CompactFormatter.$name(self.text $(, $value)?)
        }
    )* };
}

impl Formatter for Ordered<'_> {
    as_compact! {
        write_null();
        write_bool(value: bool);
        write_i8(value: i8);
        write_i16(value: i16);
        write_i32(value: i32);
        write_i64(value: i64);
        write_u8(value: u8);
        write_u16(value: u16);
        write_u32(value: u32);
        write_u64(value: u64);
        begin_string();
        end_string();
        write_string_fragment(fragment: &str);
        write_char_escape(escape: CharEscape);
        begin_array();
        end_array();
        begin_array_value(first: bool);
        end_array_value();
    }

    fn write_f32<W: ?Sized + io::Write>(&mut self, _: &mut W, _: f32) -> io::Result<()> {
        Err(io::Error::other("a number with a fraction"))
    }

    fn write_f64<W: ?Sized + io::Write>(&mut self, _: &mut W, _: f64) -> io::Result<()> {
        Err(io::Error::other("a number with a fraction"))
    }

    fn write_i128<W: ?Sized + io::Write>(&mut self, _: &mut W, _: i128) -> io::Result<()> {
        Err(io::Error::other("a number beyond 64 bits"))
    }

    fn write_u128<W: ?Sized + io::Write>(&mut self, _: &mut W, _: u128) -> io::Result<()> {
        Err(io::Error::other("a number beyond 64 bits"))
    }

    fn write_number_str<W: ?Sized + io::Write>(&mut self, _: &mut W, _: &str) -> io::Result<()> {
        Err(io::Error::other("a number as text"))
    }

    fn write_raw_fragment<W: ?Sized + io::Write>(&mut self, _: &mut W, _: &str) -> io::Result<()> {
        Err(io::Error::other("JSON as text"))
    }

    fn begin_object<W: ?Sized + io::Write>(&mut self, _: &mut W) -> io::Result<()> {
        self.open.push(Object {
            start: self.at(),
            properties: Vec::with_capacity(16),
        });
        Ok(())
    }

    fn begin_object_key<W: ?Sized + io::Write>(&mut self, _: &mut W, _: bool) -> io::Result<()> {
        let at = self.at();
        if let Some(object) = self.open.last_mut() {
            object.properties.push(Property {
                key: at + 1..at,
                whole: at..at,
            });
        }
        Ok(())
    }

    fn end_object_key<W: ?Sized + io::Write>(&mut self, _: &mut W) -> io::Result<()> {
        let end = self.at() - 1;
        if let Some(property) = self.last() {
            property.key.end = end;
        }
        Ok(())
    }

    fn begin_object_value<W: ?Sized + io::Write>(&mut self, _: &mut W) -> io::Result<()> {
        self.text.push(b':');
        Ok(())
    }

    fn end_object_value<W: ?Sized + io::Write>(&mut self, _: &mut W) -> io::Result<()> {
        let end = self.at();
        if let Some(property) = self.last() {
            property.whole.end = end;
        }
        Ok(())
    }

    fn end_object<W: ?Sized + io::Write>(&mut self, _: &mut W) -> io::Result<()> {
        if let Some(object) = self.open.pop() {
            self.put_in_order(object);
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use serde_json::{Map, Value, json};

    fn canonical(value: &Value) -> String {
        let mut bytes = Vec::new();
        write_canonical(value, &mut bytes).expect("it has no fraction");
        String::from_utf8(bytes).expect("JSON is UTF-8")
    }

    #[test]
    fn the_keys_of_the_standard_stand_in_its_order() {
        // RFC 8785, section 3.2.3: the order of its own example.
        let value = json!({
            "\u{20ac}": "Euro Sign", "\r": "Carriage Return", "\u{fb33}": "Hebrew Letter Dalet With Dagesh",
            "1": "One", "\u{1f600}": "Emoji: Grinning Face", "\u{80}": "Control", "\u{f6}": "Latin Small Letter O With Diaeresis"
        });
        let text = canonical(&value);
        let places: Vec<usize> = [
            "Carriage Return",
            "One",
            "Control",
            "Latin Small",
            "Euro Sign",
            "Emoji",
            "Hebrew",
        ]
        .iter()
        .map(|name| text.find(name).expect("it is there"))
        .collect();
        assert!(places.is_sorted(), "{text}");
    }

    #[test]
    fn a_fraction_is_refused() {
        assert!(write_canonical(&0.5, &mut Vec::new()).is_err());
    }

    fn any_value() -> impl Strategy<Value = Value> {
        let leaf = prop_oneof![
            Just(Value::Null),
            any::<bool>().prop_map(Value::from),
            any::<i32>().prop_map(Value::from),
            any::<String>().prop_map(Value::from),
        ];
        leaf.prop_recursive(4, 64, 8, |inner| {
            prop_oneof![
                prop::collection::vec(inner.clone(), 0..6).prop_map(Value::from),
                prop::collection::vec((any::<String>(), inner), 0..8)
                    .prop_map(|pairs| Value::from(pairs.into_iter().collect::<Map<_, _>>())),
            ]
        })
    }

    proptest! {
        /// The oracle is the library `serde_json_canonicalizer`.
        #[test]
        fn it_agrees_with_an_independent_library(value in any_value()) {
            let theirs = serde_json_canonicalizer::to_string(&value).expect("it has no fraction");
            prop_assert_eq!(canonical(&value), theirs);
        }
    }
}
