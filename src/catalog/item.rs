//! What can be bought: an item, how it is sold, and how it is charged to a job.
//!
//! Invariants: an order step and a pay step are above zero; the class says where a line stands in
//! the build-up. Absent here: what anything costs, and how much of it a job needs.

use super::word::words;
use crate::quantity::money::Decimal4;
use serde::{Deserialize, Serialize};

words! {
    /// Where an item's lines stand in the build-up of a price.
    Class as "CostClass" {
        /// Goes into the work or is used up by it.
        Material = "material",
        /// Hours of the crew's own people.
        Labour = "labour",
        /// Machines and tools, owned or rented.
        Equipment = "equipment",
        /// What is charged beside goods: short loads, waiting, delivery, permits.
        Fee = "fee",
        /// Work done by another firm.
        Sub = "sub",
    }
}

words! {
    /// A unit in which something is sold or used up.
    SaleUnit {
        /// Pieces, rolls, pails, days, visits.
        Each = "each",
        /// Cubic yards.
        Yd3 = "yd3",
        /// Cubic metres.
        M3 = "m3",
        /// Cubic feet.
        Ft3 = "ft3",
        /// Short tons of 2,000 lb.
        Ton = "ton",
        /// Tonnes of 1,000 kg.
        Tonne = "t",
        /// Pounds.
        Lb = "lb",
        /// Kilograms.
        Kg = "kg",
        /// US gallons.
        Gal = "gal",
        /// US fluid ounces.
        FluidOunce = "floz",
        /// Litres.
        Litre = "L",
        /// Feet.
        Ft = "ft",
        /// Metres.
        M = "m",
        /// Square feet.
        Ft2 = "ft2",
        /// Square metres.
        M2 = "m2",
        /// Hours.
        Hour = "h",
        /// Minutes.
        Minute = "min",
    }
}

/// How an item is charged to a job.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Charge {
    /// The whole order is charged, what is left over included.
    BoughtForJob,
    /// What is used, waste included, is charged by the share of its life that the job takes.
    FromStock {
        /// Jobs that one piece serves, one or more.
        uses: u32,
        /// The charged quantity is rounded up to a multiple of this, in the sale unit.
        pay_step: Decimal4,
    },
}

/// What one sale unit holds, in the unit in which it is used: a 20-ft bar holds 20 ft.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Holds {
    /// How much, above zero.
    pub quantity: Decimal4,
    /// Of what.
    pub unit: SaleUnit,
}

/// Something that can be bought.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Item {
    /// Stable name, as takeoff lines use it: `concrete-4500-air`.
    pub code: String,
    /// What it is, in the trade's words.
    pub description: String,
    /// Where its lines stand in the build-up.
    pub class: Class,
    /// The unit that its unit price is for.
    pub sale_unit: SaleUnit,
    /// Orders are multiples of this, in the sale unit; above zero.
    pub order_step: Decimal4,
    /// The least that can be ordered, in the sale unit; zero where anything goes.
    pub minimum: Decimal4,
    /// What one sale unit holds, where it is used in another unit.
    pub holds: Option<Holds>,
    /// How it is charged.
    pub charge: Charge,
    /// Code of the supplier whose price counts before those of others.
    pub supplier: Option<String>,
    /// Code of the price index that follows what it costs.
    pub index: Option<String>,
}

impl Item {
    /// The step to which a charged quantity is rounded: the pay step of stock, else the order step.
    pub const fn pay_step(&self) -> Decimal4 {
        match self.charge {
            Charge::BoughtForJob => self.order_step,
            Charge::FromStock { pay_step, .. } => pay_step,
        }
    }
}
