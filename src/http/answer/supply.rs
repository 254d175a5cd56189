//! How concrete could come, as a caller reads it.

use super::View;
use crate::price::{Supply, WayCost};
use crate::quantity::money::Amount;
use crate::quantity::shown::{H, Shown, Yd3M3};
use serde::Serialize;
use utoipa::ToSchema;

/// Concrete by the truck, from a volumetric trailer and in bags.
#[derive(Debug, Serialize, ToSchema)]
pub struct SupplyAnswer {
    /// The cheapest first; a way without a price is left out.
    pub ways: Vec<WayAnswer>,
    /// Volumes in the forms for which bags cost no more than a truck, at this depth and these prices; null
    /// where they always cost more.
    pub bags_pay: Option<PaysAnswer>,
    /// The same of a volumetric trailer.
    pub volumetric_pays: Option<PaysAnswer>,
}

/// From one break-even volume to the other, to the quarter yard.
#[derive(Debug, Serialize, ToSchema)]
pub struct PaysAnswer {
    /// The smallest.
    pub from: Yd3M3,
    /// The largest.
    pub to: Yd3M3,
}

/// One way.
#[derive(Debug, Serialize, ToSchema)]
pub struct WayAnswer {
    /// `ready_mix`, `volumetric` or `bags`.
    pub way: &'static str,
    /// What would be ordered.
    pub order: Shown,
    /// Concrete with its fees.
    pub bought: Amount,
    /// Person-hours of mixing and placing.
    pub hours: H,
    /// Those hours at a labourer's rate.
    pub labour: Amount,
    /// Both.
    pub cost: Amount,
}

impl SupplyAnswer {
    /// The ways, shown.
    pub(super) fn of(supply: &Supply, view: View) -> Self {
        let pays = |(from, to)| PaysAnswer {
            from: Yd3M3::of(from, view.system),
            to: Yd3M3::of(to, view.system),
        };
        let way = |way: &WayCost| WayAnswer {
            way: way.way.as_str(),
            order: Shown::new(way.order.number(), way.unit, 4),
            bought: way.bought,
            hours: H::of(way.hours, view.system),
            labour: way.labour,
            cost: way.cost(),
        };
        Self {
            ways: supply.ways.iter().map(way).collect(),
            bags_pay: supply.bags_pay.map(pays),
            volumetric_pays: supply.volumetric_pays.map(pays),
        }
    }
}
