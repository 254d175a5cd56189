//! Room for batches: how many are answered at the same time, and of whom.
//!
//! Invariants: a place is given back when its batch has ended, however it ends; no key takes all of
//! them. Absent: threads, which `pool` holds.

use crate::book::Caller;
use crate::http::problem::ApiError;
use std::collections::HashMap;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

/// Batches that are answered at the same time; each holds a thread that reads and a few groups.
const AT_ONCE: usize = 64;

/// Of these, those of one key.
const OF_ONE: usize = 32;

/// Places for batches.
#[derive(Clone, Debug, Default)]
pub(super) struct Room(Arc<Mutex<Taken>>);

#[derive(Debug, Default)]
struct Taken {
    all: usize,
    by_key: HashMap<Arc<str>, usize>,
}

/// A place that is taken.
#[derive(Debug)]
pub(super) struct Place {
    room: Room,
    size: usize,
    key: Option<Arc<str>>,
}

impl Room {
    /// Takes a place for a caller, none where no key is asked for; `size` is how many usual batches it
    /// weighs.
    ///
    /// # Errors
    /// [`ApiError::Overloaded`].
    pub(super) fn enter(&self, caller: Option<&Caller>, size: usize) -> Result<Place, ApiError> {
        let mut taken = self.lock();
        if taken.all + size > AT_ONCE {
            return Err(ApiError::Overloaded("Many batches are being answered."));
        }
        let key = caller.map(|caller| caller.id.clone());
        if let Some(key) = &key {
            let of_this = taken.by_key.entry(key.clone()).or_default();
            if *of_this + size > OF_ONE {
                return Err(ApiError::Overloaded(
                    "Many batches of this key are being answered.",
                ));
            }
            *of_this += size;
        }
        taken.all += size;
        drop(taken);
        let room = self.clone();
        Ok(Place { room, size, key })
    }

    fn lock(&self) -> MutexGuard<'_, Taken> {
        // Counts are whole between any two statements.
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl Drop for Place {
    fn drop(&mut self) {
        let mut taken = self.room.lock();
        taken.all -= self.size;
        let Some(key) = &self.key else {
            return;
        };
        if let Some(of_this) = taken.by_key.get_mut(key) {
            *of_this -= self.size;
            if *of_this == 0 {
                taken.by_key.remove(key);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::book::Role;

    fn caller(id: &str) -> Caller {
        Caller {
            id: id.into(),
            name: "a test".into(),
            role: Role::Estimate,
            per_minute: None,
        }
    }

    fn enter(room: &Room, key: &str, times: usize) -> Vec<Place> {
        let caller = caller(key);
        let entered = (0..times).map_while(|_| room.enter(Some(&caller), 1).ok());
        entered.collect()
    }

    #[test]
    fn one_key_leaves_room_for_others_and_all_together_are_bounded() {
        let room = Room::default();
        let first = enter(&room, "a", AT_ONCE);
        assert_eq!(first.len(), OF_ONE);
        let second = enter(&room, "b", AT_ONCE);
        assert_eq!(first.len() + second.len(), AT_ONCE);
        assert!(room.enter(Some(&caller("c")), 1).is_err());
        drop(first);
        assert_eq!(enter(&room, "a", 1).len(), 1, "places are given back");
        drop(second);
        assert_eq!(room.lock().all, 0);
        assert!(room.lock().by_key.is_empty());
    }

    #[test]
    fn what_weighs_more_takes_more_of_the_room() {
        let room = Room::default();
        let caller = caller("a");
        let large = (0..AT_ONCE).map_while(|_| room.enter(Some(&caller), 8).ok());
        let large: Vec<Place> = large.collect();
        assert_eq!(large.len() * 8, OF_ONE);
        assert!(room.enter(Some(&caller), 1).is_err());
        drop(large);
        assert_eq!(enter(&room, "a", OF_ONE).len(), OF_ONE);
    }
}
