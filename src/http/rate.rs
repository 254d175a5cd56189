//! How often a key may call: a steady rate and a burst by role.
//!
//! Invariants: each key has a bucket of its own, in this process alone, on a clock that never goes
//! back; a bucket exists only for a key that was found good. Absent: a limit where no key is asked
//! for, and one shared by replicas.

use super::problem::ApiError;
use crate::book::{Caller, Role};
use governor::{
    DefaultDirectRateLimiter, Quota, RateLimiter,
    clock::{Clock as _, DefaultClock},
};
use std::{
    collections::HashMap,
    fmt,
    num::NonZeroU32,
    sync::{Arc, PoisonError, RwLock},
};

/// What keys of a role may do when nothing else was said of them.
struct Allowance {
    /// Calls a minute, in the long run.
    per_minute: NonZeroU32,
    /// Calls at once after a rest.
    burst: NonZeroU32,
}

const fn calls(number: u32) -> NonZeroU32 {
    match NonZeroU32::new(number) {
        Some(number) => number,
        None => NonZeroU32::MIN,
    }
}

/// The table of allowances.
///
/// # Source
/// Common practice, no source; a spreadsheet recalculates all its cells at once, and then rests.
const fn allowance(role: Role) -> Allowance {
    let (per_minute, burst) = match role {
        Role::Cell => (600, 2_000),
        Role::Estimate | Role::Prices | Role::Deliver | Role::Admin => (1_200, 300),
    };
    Allowance {
        per_minute: calls(per_minute),
        burst: calls(burst),
    }
}

/// The bucket's size for a caller. A rate of its own also bounds the burst: who was given ten calls
/// a minute gets no three hundred at once.
fn quota(caller: &Caller) -> Quota {
    let usual = allowance(caller.role);
    match caller.per_minute.and_then(NonZeroU32::new) {
        Some(own) => Quota::per_minute(own).allow_burst(usual.burst.min(own)),
        None => Quota::per_minute(usual.per_minute).allow_burst(usual.burst),
    }
}

/// The buckets of all keys that called.
#[derive(Default)]
pub(super) struct Rates {
    buckets: RwLock<HashMap<Arc<str>, Arc<DefaultDirectRateLimiter>>>,
    clock: DefaultClock,
}

impl Rates {
    /// Counts one call, or says after how many seconds the next one is let in.
    pub(super) fn check(&self, caller: &Caller) -> Result<(), ApiError> {
        let early = match self.bucket(caller).check() {
            Ok(()) => return Ok(()),
            Err(early) => early,
        };
        let wait = early.wait_time_from(self.clock.now());
        // Up to the whole second, so that whoever waits as told is let in.
        let seconds = wait.as_secs() + u64::from(wait.subsec_nanos() > 0);
        Err(ApiError::TooManyRequests {
            seconds: seconds.max(1),
        })
    }

    fn bucket(&self, caller: &Caller) -> Arc<DefaultDirectRateLimiter> {
        // A bucket is whole at any instant, so that a lock left by a panic still guards good ones.
        let known = self.buckets.read().unwrap_or_else(PoisonError::into_inner);
        if let Some(bucket) = known.get(&caller.id) {
            return bucket.clone();
        }
        drop(known);
        let mut all = self.buckets.write().unwrap_or_else(PoisonError::into_inner);
        let make = || Arc::new(RateLimiter::direct(quota(caller)));
        all.entry(caller.id.clone()).or_insert_with(make).clone()
    }
}

impl fmt::Debug for Rates {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Rates").finish_non_exhaustive()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn caller(id: &str, role: Role, per_minute: Option<u32>) -> Caller {
        Caller {
            id: id.into(),
            name: "a test".into(),
            role,
            per_minute,
        }
    }

    fn let_in_at_once(rates: &Rates, caller: &Caller) -> u32 {
        (0..3_000)
            .take_while(|_| rates.check(caller).is_ok())
            .count()
            .try_into()
            .expect("few")
    }

    /// A bucket refills while it is emptied, so that a few more than its size may come through.
    fn is_about(found: u32, size: u32) -> bool {
        (size..size + size / 20 + 3).contains(&found)
    }

    #[test]
    fn each_role_has_its_burst_and_each_key_a_bucket_of_its_own() {
        let rates = Rates::default();
        for (id, role, burst) in [
            ("a", Role::Cell, 2_000),
            ("b", Role::Estimate, 300),
            ("c", Role::Admin, 300),
        ] {
            let found = let_in_at_once(&rates, &caller(id, role, None));
            assert!(is_about(found, burst), "{role}: {found}");
        }
    }

    #[test]
    fn a_rate_of_its_own_wins_and_says_how_long_to_wait() {
        let rates = Rates::default();
        let slow = caller("a", Role::Cell, Some(2));
        assert_eq!(let_in_at_once(&rates, &slow), 2);
        let refused = rates.check(&slow).expect_err("over the rate");
        // Two a minute is one in thirty seconds.
        assert!(
            matches!(refused, ApiError::TooManyRequests { seconds: 29..=30 }),
            "{refused:?}"
        );
    }
}
