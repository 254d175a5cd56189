//! The terms of a proposal, every open one answered by a row, and listed.
//!
//! Invariant: no default is taken without being listed. Absent: sentences.

use super::ProposalDefault;
use super::request::{ProposalPayment, ProposalRequest};
use crate::job::{Day, Scope};
use crate::quantity::Percent;
use serde::Deserialize;
use std::sync::LazyLock;

#[derive(Debug, Deserialize)]
struct Row {
    days: Option<u32>,
    day: Option<u32>,
    percent: Option<u32>,
    years: Option<u32>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Rows {
    valid: Row,
    notice: Row,
    retained: Row,
    release: Row,
    net: Row,
    billing: Row,
    deposit: Row,
    warranty: Row,
}

static ROWS: LazyLock<Rows> = LazyLock::new(|| {
    toml::from_str(include_str!("defaults.toml")).expect("the embedded rows are read by a test")
});

/// The terms, all of them answered.
#[derive(Clone, Debug)]
pub(super) struct Terms {
    pub(super) date: Day,
    pub(super) valid_days: u32,
    /// None for a budget, which is good until no day.
    pub(super) valid_until: Option<Day>,
    pub(super) notice_days: u32,
    pub(super) scope: Scope,
    pub(super) retained: String,
    pub(super) release_days: u32,
    pub(super) net_days: u32,
    pub(super) billing_day: u32,
    pub(super) deposit: String,
    pub(super) warranty_years: u32,
    pub(super) defaulted: Vec<ProposalDefault>,
}

struct Filler {
    defaulted: Vec<ProposalDefault>,
}

impl Filler {
    fn of<T>(&mut self, at: &str, sent: Option<T>, (usual, words): (T, String)) -> T {
        sent.unwrap_or_else(|| {
            self.defaulted.push(ProposalDefault {
                pointer: at.to_owned(),
                value: words,
            });
            usual
        })
    }

    fn days(&mut self, at: &str, sent: Option<u32>, row: &Row) -> u32 {
        let usual = row.days.or(row.day).or(row.years).unwrap_or_default();
        self.of(at, sent, (usual, usual.to_string()))
    }

    fn percent(&mut self, at: &str, sent: Option<Percent>, row: &Row) -> String {
        let usual = format!("{} %", row.percent.unwrap_or_default());
        self.of(
            at,
            sent.map(|sent| sent.to_string()),
            (usual.clone(), usual),
        )
    }
}

/// So many days later; a day beyond the calendar's end is its last.
fn days_after(date: Day, days: u32) -> Day {
    let later = date.0.checked_add_days(chrono::Days::new(days.into()));
    Day(later.unwrap_or(chrono::NaiveDate::MAX))
}

/// The last day on which an offer of a day is good.
pub(super) fn good_until(request: &ProposalRequest, date: Day) -> Day {
    let days = request.valid_days.or(ROWS.valid.days);
    days_after(date, days.unwrap_or_default())
}

impl Terms {
    /// The terms of a request; `priced` is the day of its prices, `scope` that of its job.
    pub(super) fn of(request: &ProposalRequest, (priced, scope): (Day, Option<Scope>)) -> Self {
        let mut filler = Filler {
            defaulted: Vec::new(),
        };
        let none = ProposalPayment {
            kind: None,
            retained: None,
            net_days: None,
            billing_day: None,
            deposit: None,
        };
        let payment = request.payment.as_ref().unwrap_or(&none);
        let date = filler.of("/date", request.date, (priced, priced.to_string()));
        let is_budget = request.budget.unwrap_or(false);
        let valid_days = match is_budget {
            true => 0,
            false => filler.days("/valid_days", request.valid_days, &ROWS.valid),
        };
        let usual = scope.unwrap_or(Scope::Sub);
        let words = usual.as_str().to_owned();
        let scope = filler.of("/payment/kind", payment.kind, (usual, words));
        let is_sub = scope == Scope::Sub;
        let mut terms = Self {
            date,
            valid_days,
            valid_until: (!is_budget).then(|| days_after(date, valid_days)),
            notice_days: filler.days("/notice_days", request.notice_days, &ROWS.notice),
            scope,
            retained: String::new(),
            release_days: ROWS.release.days.unwrap_or_default(),
            net_days: filler.days("/payment/net_days", payment.net_days, &ROWS.net),
            billing_day: 0,
            deposit: String::new(),
            warranty_years: filler.days("/warranty_years", request.warranty_years, &ROWS.warranty),
            defaulted: Vec::new(),
        };
        // Only what the kind of payment asks for is taken, and listed.
        if is_sub {
            terms.retained = filler.percent("/payment/retained", payment.retained, &ROWS.retained);
            terms.billing_day =
                filler.days("/payment/billing_day", payment.billing_day, &ROWS.billing);
        } else {
            terms.deposit = filler.percent("/payment/deposit", payment.deposit, &ROWS.deposit);
        }
        terms.defaulted = filler.defaulted;
        terms
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_holds_what_is_asked_of_it() {
        assert!(ROWS.retained.percent.is_some() && ROWS.deposit.percent.is_some());
        assert!(ROWS.release.days.is_some() && ROWS.warranty.years.is_some());
    }
}
