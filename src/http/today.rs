//! The date of today, as a value a handler is given.
//!
//! Invariant: no handler asks a clock itself, so that a date in an answer has one origin. Absent:
//! the clock, which `startup` brings.

use chrono::NaiveDate;
use std::{fmt, sync::Arc};

/// Tells the date of today in the operator's time zone.
#[derive(Clone)]
pub struct Today(Arc<dyn Fn() -> NaiveDate + Send + Sync>);

impl Today {
    /// Asks `tell` each time.
    pub fn new(tell: impl Fn() -> NaiveDate + Send + Sync + 'static) -> Self {
        Self(Arc::new(tell))
    }

    /// Always the same day; for tests.
    pub fn fixed(day: NaiveDate) -> Self {
        Self::new(move || day)
    }

    /// The date of today.
    pub fn date(&self) -> NaiveDate {
        (self.0)()
    }
}

impl fmt::Debug for Today {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_tuple("Today").field(&self.date()).finish()
    }
}
