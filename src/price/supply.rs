//! Concrete by the truck, from a volumetric trailer or in bags: what each comes to, and below which volume
//! one pays before the other.
//!
//! Invariants: the order itself is not changed; each way allows its own waste, carries its own fees and
//! the hours of placing it; a way without a price is left out. Absent here: a pump, the crew's other work.

use super::Parts;
use super::labour::hour;
use crate::catalog::{Catalog, PriceList};
use crate::job::Placing;
use crate::quantity::money::{Amount, Decimal4, UnitPrice, extend};
use crate::quantity::{Area, Span, Volume, ceil};
use crate::takeoff::{
    WasteAsked, allow_waste, charge_waiting, count_bags, measure_shortfall, measure_unloading,
    mix_code, order_up, share_loads,
};

/// How concrete comes to the site.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Way {
    /// By the truck of a plant.
    ReadyMix,
    /// Mixed at the forms by a trailer, and paid by what it made.
    Volumetric,
    /// In bags, mixed by the crew.
    Bags,
}

impl Way {
    /// Every way.
    pub const ALL: [Self; 3] = [Self::ReadyMix, Self::Volumetric, Self::Bags];

    /// The word of the answer.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::ReadyMix => "ready_mix",
            Self::Volumetric => "volumetric",
            Self::Bags => "bags",
        }
    }
}

/// What one way comes to.
#[derive(Clone, Debug, PartialEq)]
pub struct WayCost {
    /// Which.
    pub way: Way,
    /// What is ordered, in its unit.
    pub order: Decimal4,
    /// The unit.
    pub unit: &'static str,
    /// Concrete, fees and the trailer's visit.
    pub bought: Amount,
    /// Person-hours of mixing and placing.
    pub hours: Span,
    /// Those hours at a labourer's rate.
    pub labour: Amount,
}

impl WayCost {
    /// All of it.
    pub fn cost(&self) -> Amount {
        self.bought + self.labour
    }
}

/// The ways of one pour, the cheapest first, and the break-even volumes.
#[derive(Clone, Debug, PartialEq)]
pub struct Supply {
    /// The cheapest first.
    pub ways: Vec<WayCost>,
    /// The smallest and the largest volume in the forms at which bags cost no more than a truck.
    pub bags_pay: Option<(Volume, Volume)>,
    /// The same of a volumetric trailer.
    pub volumetric_pays: Option<(Volume, Volume)>,
}

/// Compares the ways of the concrete that we place with the ramp; none where nothing is ours or no price is
/// known.
pub fn compare_supply(parts: Parts<'_>, catalog: &Catalog, list: &PriceList) -> Option<Supply> {
    let net = parts.takeoff.concrete.net;
    if net.is_zero() {
        return None;
    }
    let area = parts.takeoff.measures.surface_area + parts.takeoff.measures.step_area;
    let pour = Pour {
        parts,
        catalog,
        list,
        wage: hour("labourer", list).ok()?.unit_price,
    };
    let mut ways: Vec<WayCost> = Way::ALL
        .into_iter()
        .filter_map(|way| pour.cost(way, (net, area)))
        .collect();
    ways.sort_by_key(WayCost::cost);
    let [bags_pay, volumetric_pays] = pour.find_paying((net, area));
    Some(Supply {
        ways,
        bags_pay,
        volumetric_pays,
    })
}

struct Pour<'a> {
    parts: Parts<'a>,
    catalog: &'a Catalog,
    list: &'a PriceList,
    wage: UnitPrice,
}

impl Pour<'_> {
    fn cost(&self, way: Way, (net, area): (Volume, Area)) -> Option<WayCost> {
        let asked = WasteAsked {
            net,
            area,
            on_board: self.parts.job.insulation.as_option().is_some(),
            bagged: way != Way::ReadyMix,
            rule: self.parts.job.slab.waste_rule,
            stated: self.parts.job.slab.waste,
        };
        let all = net + allow_waste(&asked, &self.catalog.concrete).volume;
        let (order, unit, bought) = match way {
            Way::ReadyMix => self.buy_ready_mix(all)?,
            Way::Volumetric => self.buy_volumetric(all)?,
            Way::Bags => self.buy_bags(all)?,
        };
        let hours = self.hours_a_yard(way)? * net.cubic_yards();
        let paid = Decimal4::nearest(hours.hours(), 2)?;
        Some(WayCost {
            way,
            order,
            unit,
            bought,
            hours,
            labour: extend(paid, self.wage, &self.list.currency()),
        })
    }

    fn buy(&self, code: &str, quantity: Decimal4) -> Option<Amount> {
        let quote = self.list.quote_for(code, quantity).ok()?;
        Some(extend(quantity, quote.unit_price, &self.list.currency()))
    }

    /// The truck with its short load and its wait.
    fn buy_ready_mix(&self, all: Volume) -> Option<(Decimal4, &'static str, Amount)> {
        let rows = &self.catalog.concrete;
        let order = order_up(all, rows.order.step);
        let yards = Decimal4::nearest(order.cubic_yards(), 4)?;
        let mut bought = self.buy(&mix_code(self.parts.job, self.catalog), yards)?;
        let short = measure_shortfall(&share_loads(order, rows), rows);
        if !short.is_zero() {
            bought += self.buy("short-load-yd3", Decimal4::nearest(short.cubic_yards(), 4)?)?;
        }
        let free = rows.unloading.free_a_yard * order.cubic_yards();
        let people = self.parts.job.crew.people();
        let needed = measure_unloading(order, self.hours_a_yard(Way::ReadyMix)?, people);
        let wait = charge_waiting(free, needed);
        if !wait.is_zero() {
            bought += self.buy("truck-wait-min", Decimal4::nearest(wait.minutes(), 0)?)?;
        }
        Some((yards, "yd3", bought))
    }

    /// What the trailer made, and its visit.
    fn buy_volumetric(&self, all: Volume) -> Option<(Decimal4, &'static str, Amount)> {
        let row = &self.catalog.concrete.volumetric;
        let order = order_up(all.max(row.least), row.step);
        let yards = Decimal4::nearest(order.cubic_yards(), 4)?;
        let visit = self.buy(&row.visit, Decimal4::ONE)?;
        Some((yards, "yd3", self.buy(&row.code, yards)? + visit))
    }

    fn buy_bags(&self, all: Volume) -> Option<(Decimal4, &'static str, Amount)> {
        let bag = self.catalog.concrete.bag.first()?;
        let bags = Decimal4::whole(count_bags(all, bag));
        Some((bags, "each", self.buy(&bag.code, bags)?))
    }

    /// Person-hours a cubic yard; a truck is placed as the job says, or by chute where that says bags.
    fn hours_a_yard(&self, way: Way) -> Option<Span> {
        let method = match (way, self.parts.job.crew.placing) {
            (Way::Bags, _) => Placing::Bags,
            (_, Placing::Bags) => Placing::Chute,
            (_, placing) => placing,
        };
        let rows = &self.catalog.concrete.placing;
        let row = rows.iter().find(|row| row.method == method.as_str())?;
        Some(row.hours_a_yard)
    }

    /// The first and the last quarter yard, of a pour as deep as this one, at which bags and a trailer cost no
    /// more than the truck; beyond the size of a short load the truck is at its best, and nobody need look.
    fn find_paying(&self, (net, area): (Volume, Area)) -> [Option<(Volume, Volume)>; 2] {
        let step = self.catalog.concrete.order.step;
        let steps = ceil(self.catalog.concrete.short_load.below / step);
        let mut paying = [None, None];
        // A bounds row keeps a short load to a truck.
        for number in 1..=steps as u32 {
            let volume = step * f64::from(number);
            let alike = (volume, area * (volume / net));
            let Some(truck) = self.cost(Way::ReadyMix, alike) else {
                continue;
            };
            for (way, paying) in [Way::Bags, Way::Volumetric].into_iter().zip(&mut paying) {
                let cost = self.cost(way, alike);
                if cost.is_some_and(|cost| cost.cost() <= truck.cost()) {
                    let (from, _) = paying.unwrap_or((volume, volume));
                    *paying = Some((from, volume));
                }
            }
        }
        paying
    }
}
