//! What a contract comes to: before tax, the tax that is charged on it, and both together.
//!
//! Invariants: the tax of a sum is reckoned on all that stands up to it, rounded once, as bills
//! reckon theirs, and the tax of a part is what it adds to that; so the parts add up to the new sum
//! in each column. Slips, an agreed sum and earlier changes are before tax. Absent: what changed.

use super::compare::{Comparison, SideTold};
use super::order::ChangeOrder;
use super::slip::Slips;
use crate::quantity::money::{Amount, Percentage};
use serde::Serialize;

/// A sum without and with the tax that is charged on it.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "service", derive(utoipa::ToSchema))]
pub struct Taxed {
    /// Without the tax charged on it.
    pub before_tax: Amount,
    /// The tax charged on it; nothing where the estimate charges none.
    pub tax: Amount,
    /// Both together.
    pub with_tax: Amount,
}

impl Taxed {
    /// Both parts of a sum.
    pub fn of(before_tax: Amount, tax: Amount) -> Self {
        Self {
            before_tax,
            tax,
            with_tax: before_tax + tax,
        }
    }
}

/// What a contract comes to.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "service", derive(utoipa::ToSchema))]
pub struct ContractSum {
    /// Rate of the tax on the new sum, that of the later side; null where none is charged.
    pub tax_rate: Option<Percentage>,
    /// The sum that was `agreed`, else the earlier side's price.
    pub original: Option<Taxed>,
    /// What `changes_before` add.
    pub earlier: Taxed,
    /// What the comparison changes; null while a line has no price.
    pub change: Option<Taxed>,
    /// Signed slips.
    pub signed_slips: Taxed,
    /// What this change comes to on a bill, before tax: `change` and `signed_slips`; the `amount` of its row in
    /// `changes` of `POST /v1/invoices`.
    pub to_bill: Option<Amount>,
    /// All of `original`, `earlier`, `change` and `signed_slips`; null while one of them is.
    pub new: Option<Taxed>,
    /// What unsigned slips would add; no part of it.
    pub unsigned_slips: Taxed,
}

/// Sums that are added one after the other.
struct Sum {
    so_far: Amount,
    tax: Amount,
}

impl Sum {
    /// What a part adds, before tax and in tax, at the rate of one side.
    fn add(&mut self, part: Amount, side: &SideTold) -> Taxed {
        self.so_far += part;
        let rate = side.tax_rate.unwrap_or_default();
        let priced = side.before_tax().zip(side.tax);
        let whole = match priced {
            // As the estimate has it, whatever decimals of its rate came along.
            Some((before_tax, tax)) if before_tax == self.so_far => tax,
            _ => self.so_far.percent(rate),
        };
        let tax = whole - self.tax;
        self.tax = whole;
        Taxed::of(part, tax)
    }
}

impl ContractSum {
    /// From a comparison, what was agreed before it, and the slips.
    pub fn after(told: &Comparison, order: &ChangeOrder, slips: &Slips) -> Self {
        let zero = Amount::zero(&told.currency);
        let mut sum = Sum {
            so_far: zero,
            tax: zero,
        };
        let (was, is) = (&told.before, &told.after);
        let original = order.agreed.or(was.before_tax());
        let original = original.map(|original| sum.add(original, was));
        let earlier = order.changes_before.iter().flatten();
        let earlier = zero + earlier.map(|change| change.amount).sum::<Amount>();
        let earlier = sum.add(earlier, was);
        let change = is.before_tax().zip(was.before_tax());
        let change = change.map(|(now, before)| sum.add(now - before, is));
        let signed_slips = sum.add(slips.signed, is);
        let new = Taxed::of(sum.so_far, sum.tax);
        Self {
            tax_rate: is.tax_rate,
            original,
            earlier,
            change,
            signed_slips,
            to_bill: change.map(|change| change.before_tax + slips.signed),
            new: original.and(change).map(|_| new),
            unsigned_slips: sum.add(slips.unsigned, is),
        }
    }

    /// True where tax is charged before or after the change.
    pub fn is_taxed(&self) -> bool {
        let taxed = |sum: Option<Taxed>| sum.is_some_and(|sum| !sum.tax.is_zero());
        self.tax_rate.is_some() || taxed(self.original)
    }
}

impl SideTold {
    /// The price without the tax charged on it.
    pub fn before_tax(&self) -> Option<Amount> {
        Some(self.total? - self.tax?)
    }
}
