//! The change order around a comparison: number, date, parties, reason, the new sum.
//!
//! Invariants: what is told of it was checked to stand on a document; a change dated before a slip
//! that it takes in is refused. Absent: how it looks.

use super::sent::CompareRequest;
use super::side::SideExtra;
use super::slip::{ContractSum, Slips, price_slips};
use crate::billing::{Party, check_number, check_text};
use crate::job::Day;
use crate::quantity::money::Currency;
use crate::quantity::{Fault, Faults};
use serde::Serialize;

/// What makes a change order of a comparison; what was not sent is left out.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "service", derive(utoipa::ToSchema))]
pub struct ChangeOrder {
    /// Its number.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub number: Option<String>,
    /// Its date.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub date: Option<Day>,
    /// Who does the work.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub seller: Option<Party>,
    /// For whom.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub customer: Option<Party>,
    /// Why the contract changes.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub reason: Option<String>,
}

const REASON_AT_MOST: usize = 600;

impl ChangeOrder {
    /// Reads it and prices its slips, at the rates for extras and in the currency of the earlier side.
    ///
    /// # Errors
    /// Every fault.
    pub fn read(
        sent: &CompareRequest,
        extras: &[SideExtra],
        currency: &Currency,
    ) -> Result<(Self, Slips), Faults> {
        let mut faults = Faults::default();
        let slips = price_slips(sent, extras, currency);
        let order = Self {
            number: sent.number.clone(),
            date: sent.date,
            seller: sent.seller.clone(),
            customer: sent.customer.clone(),
            reason: sent.reason.clone(),
        };
        order.check(&mut faults);
        if let (Some(date), Ok(slips)) = (order.date, &slips) {
            check_dates(date, slips, &mut faults);
        }
        match slips {
            Ok(slips) => faults.or((order, slips)),
            Err(more) => {
                faults.0.extend(more.0);
                Err(faults)
            }
        }
    }

    fn check(&self, faults: &mut Faults) {
        if let Some(number) = &self.number {
            check_number(number, ("/number", faults));
        }
        if let Some(reason) = &self.reason {
            check_text(reason, REASON_AT_MOST, ("/reason", faults));
        }
        if let Some(seller) = &self.seller {
            seller.check("/seller", faults);
        }
        if let Some(customer) = &self.customer {
            customer.check("/customer", faults);
        }
    }
}

fn check_dates(date: Day, slips: &Slips, faults: &mut Faults) {
    for (index, slip) in slips.slips.iter().enumerate() {
        if slip.date > date {
            let accepted = format!("a day that is not after the change order, {date}");
            let at = format!("/slips/{index}/date");
            faults.push(Fault::new(at, slip.date.to_string(), accepted, None));
        }
    }
}

impl ContractSum {
    /// The same for a comparison.
    pub fn after(told: &super::Comparison, slips: &Slips) -> Self {
        Self::of(told.before.total, told.net, slips)
    }
}
