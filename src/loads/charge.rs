//! What one load costs, and how much of it is best ordered.
//!
//! Invariants: each charge is rounded to the minor unit once; a load orders a whole number of steps,
//! never less than it delivers, never more than a truck carries, and of all such orders the one that
//! costs least, the smaller one where two cost the same. So a charge for a small load is never more
//! than the concrete that would avoid it.

use super::asked::Terms;
use super::short_load::{ShortFee, find_tier};
use crate::quantity::money::{Amount, Decimal4, UnitPrice, extend};
use crate::quantity::{Volume, ceil, ceil_to, floor};

/// What is charged for one load, or for several.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Charges {
    /// The concrete ordered.
    pub concrete: Amount,
    /// The charge for each load.
    pub per_load: Amount,
    /// For small loads.
    pub short_load: Amount,
    /// For stops after the first.
    pub extra_stops: Amount,
    /// For time on site beyond the free time.
    pub waiting: Amount,
}

impl Charges {
    /// All of it.
    pub fn total(&self) -> Amount {
        self.concrete + self.per_load + self.short_load + self.extra_stops + self.waiting
    }
}

impl std::ops::Add for Charges {
    type Output = Self;

    fn add(self, other: Self) -> Self {
        Self {
            concrete: self.concrete + other.concrete,
            per_load: self.per_load + other.per_load,
            short_load: self.short_load + other.short_load,
            extra_stops: self.extra_stops + other.extra_stops,
            waiting: self.waiting + other.waiting,
        }
    }
}

/// What a load does.
#[derive(Clone, Copy, Debug)]
pub(super) struct Service {
    /// What it delivers.
    pub(super) volume: Volume,
    /// Pours that it serves.
    pub(super) stops: u32,
    /// Minutes from its arrival at the first until it is empty.
    pub(super) on_site: u32,
}

/// What is ordered for a load, and what that costs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Order {
    pub(super) volume: Volume,
    pub(super) charges: Charges,
}

/// Steps that the largest truck carries.
pub(super) fn most_steps(terms: &Terms) -> u32 {
    let most = terms.trucks.last().copied().unwrap_or(Volume::ZERO);
    // Bounds keep this to a few hundred.
    floor(most / terms.step) as u32
}

/// The order that costs least; none where no truck carries so much.
pub(super) fn choose_order(terms: &Terms, service: Service) -> Option<Order> {
    let least = ceil(service.volume.max(terms.least) / terms.step) as u32;
    let mut best: Option<Order> = None;
    for steps in least..=most_steps(terms) {
        let volume = terms.step * f64::from(steps);
        let concrete = extend(yards(volume), terms.price, &terms.currency);
        let dearer = |best: &Order| concrete >= best.charges.total();
        if best.as_ref().is_some_and(dearer) {
            break;
        }
        let charges = charge(terms, service, volume);
        if best.is_none_or(|best| charges.total() < best.charges.total()) {
            best = Some(Order { volume, charges });
        }
    }
    best
}

fn charge(terms: &Terms, service: Service, order: Volume) -> Charges {
    let times = |count, price: UnitPrice| extend(count, price, &terms.currency);
    let more = service.stops.saturating_sub(1);
    let free = terms.free_a_yard * order.cubic_yards();
    let beyond = ceil_to(f64::from(service.on_site) - free.minutes(), 1.0).max(0.0);
    Charges {
        concrete: times(yards(order), terms.price),
        per_load: times(Decimal4::ONE, terms.per_load),
        short_load: match find_tier(&terms.short_load, order).map(|tier| (tier.fee, tier.below)) {
            Some((ShortFee::Flat(fee), _)) => times(Decimal4::ONE, fee),
            Some((ShortFee::EachMissing(each), below)) => times(yards(below - order), each),
            None => times(Decimal4::ZERO, terms.price),
        },
        extra_stops: times(Decimal4::whole(more), terms.extra_stop),
        waiting: times(Decimal4::whole(beyond as u32), terms.wait),
    }
}

/// A volume as it is charged; bounds keep it far below what the type holds.
fn yards(volume: Volume) -> Decimal4 {
    Decimal4::nearest(volume.cubic_yards(), 4).unwrap_or(Decimal4::ZERO)
}
