//! Things by names that a caller chooses.
//!
//! Invariant: a fault of any of them is told, at its name; the map of the reading library forgets its
//! faults. Absent: any order but that of the names.

use deserr::{
    DeserializeError, Deserr, ErrorKind, IntoValue, Map, Value, ValueKind, ValuePointerRef,
};
use std::collections::{BTreeMap, btree_map};
use std::ops::{ControlFlow, Deref};

/// Things by names.
#[derive(Clone, Debug, PartialEq, serde::Deserialize)]
#[serde(transparent)]
pub struct ByName<T>(pub BTreeMap<String, T>);

impl<T> Deref for ByName<T> {
    type Target = BTreeMap<String, T>;

    fn deref(&self) -> &Self::Target {
        &self.0
    }
}

impl<'a, T> IntoIterator for &'a ByName<T> {
    type Item = (&'a String, &'a T);
    type IntoIter = btree_map::Iter<'a, String, T>;

    fn into_iter(self) -> Self::IntoIter {
        self.0.iter()
    }
}

impl<T: Deserr<E>, E: DeserializeError> Deserr<E> for ByName<T> {
    fn deserialize_from_value<V: IntoValue>(
        value: Value<V>,
        location: ValuePointerRef,
    ) -> Result<Self, E> {
        let map = match value {
            Value::Map(map) => map,
            actual => {
                let accepted = &[ValueKind::Map];
                let kind = ErrorKind::IncorrectValueKind { actual, accepted };
                return Err(deserr::take_cf_content(E::error(None, kind, location)));
            }
        };
        let (mut all, mut faults) = (BTreeMap::new(), None);
        for (name, value) in map.into_iter() {
            let place = location.push_key(&name);
            match T::deserialize_from_value(value.into_value(), place) {
                Ok(thing) => drop(all.insert(name, thing)),
                Err(more) => match E::merge(faults, more, place) {
                    ControlFlow::Continue(merged) => faults = Some(merged),
                    ControlFlow::Break(merged) => return Err(merged),
                },
            }
        }
        faults.map_or(Ok(Self(all)), Err)
    }
}
