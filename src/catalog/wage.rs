//! What an hour of work costs, built from its components.
//!
//! Invariants: each component is rounded to the ten-thousandth once, and an hour is the sum of the
//! components as printed; the overtime premium is a part of the base, never of the fringe. Absent
//! here: who works how long, and who is owed overtime.

use crate::quantity::money::{Percentage, UnitPrice};
use chrono::NaiveDate;

/// Name of the schedule that holds where a job names none.
pub const OWN_WAGES: &str = "own";
/// The class of hours in the office, which no crew has.
pub const OFFICE_CLASS: &str = "office";

/// What a burden is reckoned on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BurdenOn {
    /// A part of the base of each hour.
    Base {
        /// How large a part.
        share: Percentage,
        /// True when it is also owed on the overtime premium.
        on_premium: bool,
    },
    /// Money for each hour.
    Hour(UnitPrice),
}

/// One thing that comes on top of a wage.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Burden {
    /// What it is: payroll tax, insurance, small tools.
    pub name: String,
    /// How it is reckoned.
    pub on: BurdenOn,
}

/// A class of a wage schedule from a day on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Wage {
    /// Name of the schedule: `own`, or one that a contract sets.
    pub schedule: String,
    /// Class of worker, as crews name it: `finisher`.
    pub class: String,
    /// The first day on which it holds.
    pub effective_from: NaiveDate,
    /// Paid to the worker for an hour.
    pub base: UnitPrice,
    /// Benefits for an hour, paid out or into funds; not multiplied by overtime.
    pub fringe: UnitPrice,
    /// On top of the base for each hour of overtime: 50 % for time and a half.
    pub premium: Percentage,
    /// What else an hour costs, by name.
    pub burdens: Vec<Burden>,
}

/// A part of what an hour costs.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Component {
    /// What it is.
    pub name: String,
    /// For one hour.
    pub unit_price: UnitPrice,
}

impl Wage {
    /// What one paid hour is made of, in the order: base, fringe, burdens.
    pub fn components(&self) -> Vec<Component> {
        let mut components = vec![part("base", self.base)];
        if self.fringe != UnitPrice::ZERO {
            components.push(part("fringe", self.fringe));
        }
        for burden in &self.burdens {
            components.push(match burden.on {
                BurdenOn::Base { share, .. } => part(
                    &format!("{}, {share} of the base", burden.name),
                    self.base.share(share),
                ),
                BurdenOn::Hour(cost) => part(&burden.name, cost),
            });
        }
        components
    }

    /// What the premium of one hour of overtime is made of; the hour itself is paid beside it.
    pub fn premium_components(&self) -> Vec<Component> {
        let premium = self.base.share(self.premium);
        let mut components = vec![part(&format!("{} of the base", self.premium), premium)];
        for burden in &self.burdens {
            if let BurdenOn::Base {
                share,
                on_premium: true,
            } = burden.on
            {
                components.push(part(
                    &format!("{}, {share} of the premium", burden.name),
                    premium.share(share),
                ));
            }
        }
        components
    }
}

fn part(name: &str, unit_price: UnitPrice) -> Component {
    Component {
        name: name.to_owned(),
        unit_price,
    }
}

/// The sum of components as printed.
pub fn sum_components(components: &[Component]) -> UnitPrice {
    components
        .iter()
        .fold(UnitPrice::ZERO, |sum, part| sum + part.unit_price)
}
