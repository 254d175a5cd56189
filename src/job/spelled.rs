//! Reading what is spelled as one text: a day, a moment, a time of the day.
//!
//! Invariant: anything else than a text is told to be no text, any other text with what was found, what is
//! accepted and an example. Absent: what the texts mean.

use deserr::{DeserializeError, ErrorKind, IntoValue, Value, ValueKind, ValuePointerRef};

/// Reads a text by `parse`; `wanted` is what is accepted, and an example.
///
/// # Errors
/// What was found instead, for the place where it stands.
pub(super) fn read_spelled<T, V: IntoValue, E: DeserializeError>(
    (value, location): (Value<V>, ValuePointerRef<'_>),
    parse: impl Fn(&str) -> Option<T>,
    (accepted, example): (&str, &str),
) -> Result<T, E> {
    let Value::String(text) = value else {
        return Err(deserr::take_cf_content(E::error(
            None,
            ErrorKind::IncorrectValueKind {
                actual: value,
                accepted: &[ValueKind::String],
            },
            location,
        )));
    };
    parse(&text).ok_or_else(|| {
        let msg = format!("\"{text}\"|{accepted}|{example}");
        deserr::take_cf_content(E::error::<V>(None, ErrorKind::Unexpected { msg }, location))
    })
}
