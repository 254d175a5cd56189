//! The change order around a comparison: number, date, parties, reason, what was agreed before.
//!
//! Invariants: what is told of it was checked to stand on a document; a change dated before a slip
//! that it takes in is refused, and so is one that counts anything twice. Absent: how it looks, and the new sum.

use super::sent::CompareRequest;
use super::side::SideExtra;
use super::slip::{Slips, price_slips};
use crate::answered::held;
use crate::billing::{Party, check_number, check_text};
use crate::job::Day;
use crate::quantity::money::{Amount, Currency};
use crate::quantity::{CountBounds, Fault, Faults};
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
    pub buyer: Option<Party>,
    /// Why the contract changes.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub reason: Option<String>,
    /// The contract sum that was agreed, before tax and without earlier changes.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub agreed: Option<Amount>,
    /// Changes that were agreed before this one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub changes_before: Option<Vec<ChangeBefore>>,
}

/// A change of the contract that was agreed before.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "service", derive(utoipa::ToSchema))]
pub struct ChangeBefore {
    /// Its number.
    pub number: String,
    /// What it added, before tax.
    pub amount: Amount,
}

const CHANGES_BEFORE: CountBounds = CountBounds::new("changes_before", 0, 200);

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
            buyer: sent.buyer.clone(),
            reason: sent.reason.clone(),
            agreed: read_agreed(sent, currency, &mut faults),
            changes_before: read_before(sent, currency, &mut faults),
        };
        order.check(&mut faults);
        check_numbers(sent, &mut faults);
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
        if let Some(buyer) = &self.buyer {
            buyer.check("/buyer", faults);
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

fn read_agreed(sent: &CompareRequest, currency: &Currency, faults: &mut Faults) -> Option<Amount> {
    let agreed = held(sent.agreed?, currency, ("/agreed", faults));
    if agreed <= Amount::zero(currency) {
        let accepted = "a contract sum above nothing, before tax";
        let found = agreed.to_string();
        faults.push(Fault::new("/agreed", found, accepted, Some("8000.00")));
    }
    Some(agreed)
}

fn read_before(
    sent: &CompareRequest,
    currency: &Currency,
    faults: &mut Faults,
) -> Option<Vec<ChangeBefore>> {
    let changes = sent.changes_before.as_ref()?;
    let many = u32::try_from(changes.len()).unwrap_or(u32::MAX);
    let many = CHANGES_BEFORE.check(many, "/changes_before");
    faults.0.extend(many.err());
    let changes = changes.iter().take(CHANGES_BEFORE.most as usize);
    let read = changes.enumerate().map(|(index, change)| {
        let at = format!("/changes_before/{index}");
        check_number(&change.number, (&format!("{at}/number"), faults));
        ChangeBefore {
            number: change.number.clone(),
            amount: held(change.amount, currency, (&format!("{at}/amount"), faults)),
        }
    });
    Some(read.collect())
}

/// What was agreed before counts once: not again as this change, as another of them, or as a slip sent along.
fn check_numbers(sent: &CompareRequest, faults: &mut Faults) {
    let changes = sent.changes_before.as_deref().unwrap_or_default();
    let changes = changes
        .get(..CHANGES_BEFORE.most as usize)
        .unwrap_or(changes);
    let slips = sent.slips.as_deref().unwrap_or_default();
    for (index, change) in changes.iter().enumerate() {
        let number = &change.number;
        let mut earlier = changes.iter().take(index);
        let again = earlier.any(|other| other.number == *number)
            || sent.number.as_ref() == Some(number)
            || slips.iter().any(|slip| slip.number == *number);
        if again {
            let accepted =
                "a number that no other earlier change has, nor this one, nor a slip sent along";
            let at = format!("/changes_before/{index}/number");
            faults.push(Fault::new(at, number, accepted, None));
        }
    }
}
