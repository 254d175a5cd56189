//! Rows of wages, of the crew's own rates, and of price indices.

use super::{BookError, quantity};
use crate::catalog::{
    Burden, BurdenOn, IndexValue, Learned, OwnRate, TaskMinutes, Wage, parse_month,
};
use crate::quantity::money::{Percentage, UnitPrice};
use chrono::NaiveDate;

/// Which wage a row belongs to: schedule, class, day and revision.
pub(in crate::book) type WagePlace = (String, String, String, i64);

/// Row of `wage`.
#[derive(sqlx::FromRow)]
pub(in crate::book) struct WageRow {
    schedule: String,
    class: String,
    effective_from: String,
    revision: i64,
    base_e4: i64,
    fringe_e4: i64,
    premium_e6: i64,
}

/// Row of `wage_burden`.
#[derive(sqlx::FromRow)]
pub(in crate::book) struct BurdenRow {
    schedule: String,
    class: String,
    effective_from: String,
    revision: i64,
    name: String,
    share_e6: Option<i64>,
    hourly_e4: Option<i64>,
    on_premium: i64,
}

/// Row of `own_rate`.
#[derive(sqlx::FromRow)]
pub(in crate::book) struct RateRow {
    task: String,
    revision: i64,
    setup_e4: Option<i64>,
    low_e4: Option<i64>,
    likely_e4: Option<i64>,
    high_e4: Option<i64>,
}

/// Row of `index_value`.
#[derive(sqlx::FromRow)]
pub(in crate::book) struct IndexRow {
    series: String,
    month: String,
    revision: i64,
    value_e4: i64,
}

impl WageRow {
    /// Which wage it is.
    pub(in crate::book) fn place(&self) -> WagePlace {
        let day = self.effective_from.clone();
        (
            self.schedule.clone(),
            self.class.clone(),
            day,
            self.revision,
        )
    }

    /// The wage with what comes on top of it, which must stand by name.
    pub(in crate::book) fn read(self, burdens: Vec<Burden>) -> Result<Learned<Wage>, BookError> {
        let effective_from = NaiveDate::parse_from_str(&self.effective_from, "%Y-%m-%d")
            .map_err(|_| BookError::damaged(format!("day of a wage of {}", self.class)))?;
        let value = Wage {
            schedule: self.schedule,
            class: self.class,
            effective_from,
            base: UnitPrice::from_ten_thousandths(self.base_e4),
            fringe: UnitPrice::from_ten_thousandths(self.fringe_e4),
            premium: Percentage::from_millionths(self.premium_e6),
            burdens,
        };
        Ok(Learned {
            revision: self.revision,
            value,
        })
    }
}

impl BurdenRow {
    /// Which wage it belongs to.
    pub(in crate::book) fn place(&self) -> WagePlace {
        let day = self.effective_from.clone();
        (
            self.schedule.clone(),
            self.class.clone(),
            day,
            self.revision,
        )
    }

    /// What it adds.
    pub(in crate::book) fn read(self) -> Result<Burden, BookError> {
        let on = match (self.share_e6, self.hourly_e4) {
            (Some(share), None) => BurdenOn::Base {
                share: Percentage::from_millionths(share),
                on_premium: self.on_premium != 0,
            },
            (None, Some(cost)) => BurdenOn::Hour(UnitPrice::from_ten_thousandths(cost)),
            _ => return Err(BookError::damaged(format!("burden {}", self.name))),
        };
        Ok(Burden {
            name: self.name,
            on,
        })
    }
}

impl RateRow {
    /// The rate.
    pub(in crate::book) fn read(self) -> Result<Learned<OwnRate>, BookError> {
        let minutes = match (self.setup_e4, self.low_e4, self.likely_e4, self.high_e4) {
            (Some(setup), Some(low), Some(likely), Some(high)) => Some(TaskMinutes {
                setup: quantity(setup),
                low: quantity(low),
                likely: quantity(likely),
                high: quantity(high),
            }),
            (None, None, None, None) => None,
            _ => return Err(BookError::damaged(format!("rate of {}", self.task))),
        };
        let value = OwnRate {
            task: self.task,
            minutes,
        };
        Ok(Learned {
            revision: self.revision,
            value,
        })
    }
}

impl IndexRow {
    /// The value.
    pub(in crate::book) fn read(self) -> Result<Learned<IndexValue>, BookError> {
        let damaged = || BookError::damaged(format!("month of index {}", self.series));
        let value = IndexValue {
            month: parse_month(&self.month).ok_or_else(damaged)?,
            series: self.series,
            value: quantity(self.value_e4),
        };
        Ok(Learned {
            revision: self.revision,
            value,
        })
    }
}
