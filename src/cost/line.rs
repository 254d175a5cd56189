//! One line of the estimate beside what happened.
//!
//! Invariants: the quantity's part is the actual quantity at the estimated price, rounded once, less
//! what was estimated; the price's part is all that remains; both add up to the variance. Where
//! nobody said how much was used, the estimated quantity is taken and said to be. Hours of visits that
//! nobody has come to yet are open: their part of a line, by the paid hours of the visits.

use crate::answered::Line;
use crate::catalog::{Class, words};
use crate::quantity::money::{Amount, Currency, Decimal4, UnitPrice, extend};
use serde::Serialize;

words! {
    /// Where an actual quantity came from.
    QuantityFrom {
        /// It was sent as a quantity.
        Quantities = "quantities",
        /// The bills say it, each of them.
        Bills = "bills",
        /// The sum of hours.
        Hours = "hours",
        /// Nobody said; the estimated quantity.
        Estimate = "estimate",
    }
}

words! {
    /// Where an actual amount came from.
    AmountFrom {
        /// Suppliers' bills.
        Bills = "bills",
        /// Hours at what they really cost.
        Hours = "hours",
        /// No bill yet: the actual quantity at the estimated price.
        Estimate = "estimate",
    }
}

/// A line of which something is known.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "service", derive(utoipa::ToSchema))]
pub struct CostLine {
    /// Item code.
    pub code: String,
    /// What it is.
    pub description: String,
    /// Where it stands in the build-up.
    pub class: Class,
    /// Unit of both quantities.
    pub unit: String,
    /// Estimated quantity.
    pub quantity_estimated: Decimal4,
    /// Actual quantity.
    pub quantity_actual: Decimal4,
    /// Where the actual quantity came from.
    pub quantity_from: QuantityFrom,
    /// Estimated price of one.
    pub unit_price: UnitPrice,
    /// Estimated amount.
    pub estimated: Amount,
    /// Actual amount.
    pub actual: Amount,
    /// Where the actual amount came from.
    pub amount_from: AmountFrom,
    /// The actual quantity at the estimated price, less what was estimated.
    pub by_quantity: Amount,
    /// What remains: a dearer price, a higher wage.
    pub by_price: Amount,
    /// Actual less estimated; above zero it cost more.
    pub variance: Amount,
}

/// A line of which nothing is known yet.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "service", derive(utoipa::ToSchema))]
pub struct OpenLine {
    /// Item code.
    pub code: String,
    /// What it is.
    pub description: String,
    /// Where it stands in the build-up.
    pub class: Class,
    /// Estimated amount.
    pub estimated: Amount,
}

/// A line of the estimate with all that was sent for it; lines of one item, unit and price are one.
#[derive(Clone, Debug)]
pub(super) struct Account {
    pub(super) code: String,
    pub(super) description: String,
    pub(super) class: Class,
    pub(super) unit: String,
    pub(super) unit_price: UnitPrice,
    pub(super) quantity: Decimal4,
    pub(super) estimated: Amount,
    /// Sent as a quantity.
    pub(super) used: Option<Decimal4>,
    /// Bills: amount, and the quantity where the bill states one.
    pub(super) bills: Vec<(Amount, Option<Decimal4>)>,
    /// Hours: how many, and what they cost.
    pub(super) hours: Vec<(Decimal4, Amount)>,
    /// How much of the estimated hours is due; none where all of it is.
    pub(super) part: Option<(i64, i64)>,
}

impl Account {
    pub(super) fn of(line: &Line) -> Self {
        Self {
            code: line.code.clone(),
            description: line.description.clone(),
            class: line.class,
            unit: line.unit.clone(),
            unit_price: line.unit_price,
            quantity: line.quantity,
            estimated: line.extended,
            used: None,
            bills: Vec::new(),
            hours: Vec::new(),
            part: None,
        }
    }

    /// What of it is due: quantity and amount.
    fn due(&self, currency: &Currency) -> (Decimal4, Amount) {
        let Some((part, all)) = self.part.filter(|_| !self.hours.is_empty()) else {
            return (self.quantity, self.estimated);
        };
        let quantity = UnitPrice::from_ten_thousandths(self.quantity.ten_thousandths());
        // The rounding of a price times a ratio is that of a quantity times it.
        let due = quantity.times_ratio(part, all).unwrap_or_default();
        let due = Decimal4::from_ten_thousandths(due.ten_thousandths());
        (due, extend(due, self.unit_price, currency))
    }

    fn open(&self, estimated: Amount) -> OpenLine {
        OpenLine {
            code: self.code.clone(),
            description: self.description.clone(),
            class: self.class,
            estimated,
        }
    }

    /// Whether another line of the estimate belongs here.
    pub(super) fn takes(&self, line: &Line) -> bool {
        let same = self.code == line.code && self.class == line.class && self.unit == line.unit;
        same && self.unit_price == line.unit_price
    }

    fn is_open(&self) -> bool {
        self.used.is_none() && self.bills.is_empty() && self.hours.is_empty()
    }

    fn quantity_used(&self, due: Decimal4) -> (Decimal4, QuantityFrom) {
        if let Some(used) = self.used {
            return (used, QuantityFrom::Quantities);
        }
        if !self.hours.is_empty() {
            let hours = self.hours.iter().map(|(hours, _)| *hours);
            return (hours.sum(), QuantityFrom::Hours);
        }
        let billed: Option<Vec<Decimal4>> = self.bills.iter().map(|(_, billed)| *billed).collect();
        match billed.filter(|billed| !billed.is_empty()) {
            Some(billed) => (billed.into_iter().sum(), QuantityFrom::Bills),
            None => (due, QuantityFrom::Estimate),
        }
    }

    /// What is told of it: what is known, and what is still open.
    pub(super) fn tell(&self, currency: &Currency) -> (Option<CostLine>, Option<OpenLine>) {
        if self.is_open() {
            return (None, Some(self.open(self.estimated)));
        }
        let due = self.due(currency);
        let rest = self.estimated - due.1;
        let open = (!rest.is_zero()).then(|| self.open(rest));
        (Some(self.tell_due(due, currency)), open)
    }

    fn tell_due(&self, (due, estimated): (Decimal4, Amount), currency: &Currency) -> CostLine {
        let zero = Amount::zero(currency);
        let (used, quantity_from) = self.quantity_used(due);
        let at_estimate = match quantity_from {
            // Lines that are one here were rounded one by one.
            QuantityFrom::Estimate => estimated,
            _ if used == due => estimated,
            _ => extend(used, self.unit_price, currency),
        };
        let bills = self.bills.iter().map(|(amount, _)| *amount);
        let hours = self.hours.iter().map(|(_, amount)| *amount);
        let (actual, amount_from) = match (self.bills.is_empty(), self.hours.is_empty()) {
            (true, true) => (at_estimate, AmountFrom::Estimate),
            (true, false) => (zero + hours.sum::<Amount>(), AmountFrom::Hours),
            (false, _) => (zero + bills.chain(hours).sum::<Amount>(), AmountFrom::Bills),
        };
        CostLine {
            code: self.code.clone(),
            description: self.description.clone(),
            class: self.class,
            unit: self.unit.clone(),
            quantity_estimated: due,
            quantity_actual: used,
            quantity_from,
            unit_price: self.unit_price,
            estimated,
            actual,
            amount_from,
            by_quantity: at_estimate - estimated,
            by_price: actual - at_estimate,
            variance: actual - estimated,
        }
    }
}
