//! A job between two others: some of its parts from the one, the rest from the other.
//!
//! Invariants: both are expanded jobs, so that no default depends on the mixture; what moves no
//! price (how inputs are known) is left out of it. Absent: whether the mixture can be built.

use super::cause::{Cause, cause_of, is_divided};
use crate::quantity::pointer_part;
use serde::Serialize;
use serde_json::{Map, Value};

/// One value that differs.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "service", derive(utoipa::ToSchema))]
pub struct Changed {
    /// JSON Pointer into the expanded job.
    pub pointer: String,
    /// What stood there; null where nothing did.
    pub before: Value,
    /// What stands there now; null where nothing does.
    pub after: Value,
}

/// The fields of an object.
type Fields = Map<String, Value>;

/// Two values at one place.
#[derive(Clone, Copy)]
struct Pair<'a> {
    before: Option<&'a Value>,
    after: Option<&'a Value>,
}

impl<'a> Pair<'a> {
    /// Both, where both are objects.
    fn objects(self) -> Option<(&'a Fields, &'a Fields)> {
        match (self.before, self.after) {
            (Some(Value::Object(before)), Some(Value::Object(after))) => Some((before, after)),
            _ => None,
        }
    }

    /// The pairs of all fields that either side has.
    fn fields(self) -> Vec<(&'a String, Self)> {
        let Some((before, after)) = self.objects() else {
            return Vec::new();
        };
        let new = after.keys().filter(|key| !before.contains_key(*key));
        let keys = before.keys().chain(new);
        keys.map(|key| {
            let pair = Self {
                before: before.get(key),
                after: after.get(key),
            };
            (key, pair)
        })
        .collect()
    }
}

/// `before` with those parts of `after` that have one of the causes `taken`.
pub(super) fn mix(before: &Value, after: &Value, taken: &[Cause]) -> Value {
    let pair = Pair {
        before: Some(before),
        after: Some(after),
    };
    mix_at("", pair, taken).unwrap_or_default()
}

fn mix_at(pointer: &str, pair: Pair<'_>, taken: &[Cause]) -> Option<Value> {
    if !is_divided(pointer) || pair.objects().is_none() {
        let cause = cause_of(pointer)?;
        let side = if taken.contains(&cause) {
            pair.after
        } else {
            pair.before
        };
        return side.cloned();
    }
    let mixed = pair.fields().into_iter().filter_map(|(key, pair)| {
        let place = format!("{pointer}/{}", pointer_part(key));
        Some((key.clone(), mix_at(&place, pair, taken)?))
    });
    Some(Value::Object(mixed.collect()))
}

/// Every value that differs and moves a price for the cause `of`.
pub(super) fn differences(before: &Value, after: &Value, of: Cause) -> Vec<Changed> {
    let mut found = Vec::new();
    let pair = Pair {
        before: Some(before),
        after: Some(after),
    };
    find_at(String::new(), pair, &mut |changed: Changed| {
        if cause_of(&changed.pointer) == Some(of) {
            found.push(changed);
        }
    });
    found
}

fn find_at(pointer: String, pair: Pair<'_>, tell: &mut impl FnMut(Changed)) {
    if pair.before == pair.after {
        return;
    }
    if pair.objects().is_some() {
        for (key, pair) in pair.fields() {
            find_at(format!("{pointer}/{}", pointer_part(key)), pair, tell);
        }
        return;
    }
    if let (Some(Value::Array(before)), Some(Value::Array(after))) = (pair.before, pair.after) {
        for index in 0..before.len().max(after.len()) {
            let pair = Pair {
                before: before.get(index),
                after: after.get(index),
            };
            find_at(format!("{pointer}/{index}"), pair, tell);
        }
        return;
    }
    let value = |side: Option<&Value>| side.cloned().unwrap_or_default();
    tell(Changed {
        pointer,
        before: value(pair.before),
        after: value(pair.after),
    });
}
