//! What may stand in the query of a read.
//!
//! Invariant: an unknown name is refused. Absent: the day of today, which is handed in.

use super::{ApiError, Today};
use crate::job::Day;
use chrono::NaiveDate;
use serde::Deserialize;
use utoipa::IntoParams;

/// Rows of a page when the caller does not say.
const PAGE: usize = 1_000;

/// Which prices are meant.
#[derive(Debug, Deserialize, IntoParams)]
#[into_params(parameter_in = Query)]
#[serde(deny_unknown_fields)]
pub(super) struct PinQuery {
    /// The day on which prices hold, `YYYY-MM-DD`; today when left out.
    #[param(format = Date, example = "2026-05-04")]
    as_of: Option<String>,
    /// The revision as known at which; the newest when left out.
    #[param(minimum = 1, example = 1)]
    pub(super) revision: Option<i64>,
}

/// Which items are meant.
#[derive(Debug, Deserialize, IntoParams)]
#[into_params(parameter_in = Query)]
#[serde(deny_unknown_fields)]
pub(super) struct ItemsQuery {
    /// The day on which prices hold, `YYYY-MM-DD`; today when left out.
    #[param(format = Date, example = "2026-05-04")]
    as_of: Option<String>,
    /// The revision as known at which; the newest when left out.
    #[param(minimum = 1, example = 1)]
    pub(super) revision: Option<i64>,
    /// Only items whose code comes after this one.
    pub(super) after: Option<String>,
    /// Rows at most; 1,000 when left out.
    #[param(minimum = 1, maximum = 1000)]
    limit: Option<usize>,
}

/// Which revisions are meant.
#[derive(Debug, Deserialize, IntoParams)]
#[into_params(parameter_in = Query)]
#[serde(deny_unknown_fields)]
pub(super) struct RevisionsQuery {
    /// Only revisions after this one.
    #[param(minimum = 0)]
    after: Option<i64>,
    /// Rows at most; 1,000 when left out.
    #[param(minimum = 1, maximum = 1000)]
    limit: Option<usize>,
}

impl PinQuery {
    /// The day, or today.
    pub(super) fn as_of(&self, today: &Today) -> Result<NaiveDate, ApiError> {
        read_day(self.as_of.as_deref(), today)
    }
}

impl ItemsQuery {
    /// The day, or today.
    pub(super) fn as_of(&self, today: &Today) -> Result<NaiveDate, ApiError> {
        read_day(self.as_of.as_deref(), today)
    }

    /// Rows at most.
    pub(super) fn limit(&self) -> Result<usize, ApiError> {
        read_limit(self.limit)
    }
}

impl RevisionsQuery {
    /// The revision before the first that is meant; zero where all are.
    pub(super) fn after(&self) -> Result<i64, ApiError> {
        let after = self.after.unwrap_or(0);
        if after < 0 {
            return Err(ApiError::BadQuery(format!(
                "after takes the number of a revision, or 0 for all; found {after}."
            )));
        }
        Ok(after)
    }

    /// Rows at most.
    pub(super) fn limit(&self) -> Result<usize, ApiError> {
        read_limit(self.limit)
    }
}

fn read_day(text: Option<&str>, today: &Today) -> Result<NaiveDate, ApiError> {
    let Some(text) = text else {
        return Ok(today.date());
    };
    let read = Day::parse(text).map(|day| day.0);
    read.ok_or_else(|| {
        let shown: String = text.chars().take(40).collect();
        ApiError::BadQuery(format!(
            "as_of takes a day that exists, like 2026-05-04; found \"{shown}\"."
        ))
    })
}

fn read_limit(limit: Option<usize>) -> Result<usize, ApiError> {
    let limit = limit.unwrap_or(PAGE);
    if !(1..=PAGE).contains(&limit) {
        return Err(ApiError::BadQuery(format!(
            "limit takes a whole number from 1 to {PAGE}; found {limit}."
        )));
    }
    Ok(limit)
}
