//! From net concrete to an order: waste, step, neighbouring orders, loads, waiting, bags.
//!
//! Invariants: an order is a whole number of steps and never below net and waste; more concrete
//! never orders less; loads add up to the order. Absent here: what is poured where, prices.

use crate::catalog::{BagRow, ConcreteRows};
use crate::job::WasteRule;
use crate::quantity::{Area, Citation, Length, Percent, Span, Volume, ceil, ceil_to};
use std::borrow::Cow;

/// The concrete that is ordered.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ConcreteOrder {
    /// As drawn.
    pub net: Volume,
    /// What is poured, and how much of it.
    pub parts: Vec<(String, Volume)>,
    /// Allowed for loss.
    pub waste: Volume,
    /// Ordered.
    pub order: Volume,
    /// Trucks, as even as the step allows.
    pub loads: Vec<Volume>,
    /// What the loads miss to the limit of a short load.
    pub short_of_minimum: Volume,
    /// One step less, the order, one step more.
    pub neighbours: [OrderChoice; 3],
    /// Unloading time in the price.
    pub unload_minutes_free: Span,
    /// Unloading time that this crew needs.
    pub unload_minutes_needed: Span,
    /// Bags that would make as much, each of the catalog's first size.
    pub bags: u32,
    /// Below this volume bags pay.
    pub bags_break_even: Volume,
}

/// An order and what it absorbs.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct OrderChoice {
    /// Ordered.
    pub order: Volume,
    /// More than the net volume; negative when less.
    pub spare: Volume,
    /// Depth error over the whole surface that the spare absorbs once the fixed loss is taken off;
    /// negative when the order is short.
    pub depth_error: Length,
}

/// What waste is allowed on.
#[derive(Clone, Copy, Debug)]
pub struct WasteAsked {
    /// Net volume.
    pub net: Volume,
    /// Surface.
    pub area: Area,
    /// The slab lies on boards.
    pub on_board: bool,
    /// Mixed on site from bags, so that no truck and chute keep any.
    pub bagged: bool,
    /// Rule.
    pub rule: WasteRule,
    /// A stated percentage, which replaces the rule.
    pub stated: Option<Percent>,
}

/// What is allowed for loss.
#[derive(Clone, Debug, PartialEq)]
pub struct Allowance<'a> {
    /// Lost whatever the size; zero under a percentage.
    pub lost: Volume,
    /// Depth error; zero under a percentage.
    pub depth: Length,
    /// The percentage; zero under the rule for small orders.
    pub share: Percent,
    /// All of it.
    pub volume: Volume,
    /// The row.
    pub source: Cow<'a, Citation>,
}

/// What is allowed for loss in an order.
///
/// Departs: above the handbook's first row the allowance never falls below what that row gives at
/// its end, so that more concrete never orders less.
pub fn allow_waste<'a>(asked: &WasteAsked, rows: &'a ConcreteRows) -> Allowance<'a> {
    let small = &rows.small_order;
    if let Some(share) = asked.stated {
        let source = Citation {
            document: "the job".to_owned(),
            ..Citation::practice()
        };
        return by_share(share, asked.net * share.fraction(), Cow::Owned(source));
    }
    if asked.rule == WasteRule::BySize && asked.net < small.below {
        let lost = if asked.bagged {
            Volume::ZERO
        } else {
            small.lost
        };
        let depth = if asked.on_board {
            small.depth_on_board
        } else {
            small.depth
        };
        let volume = lost + asked.area * depth;
        let source = Cow::Borrowed(&small.source);
        return Allowance {
            lost,
            depth,
            share: Percent::ZERO,
            volume,
            source,
        };
    }
    let mut least = Volume::ZERO;
    for row in &rows.handbook {
        let here = row.to.is_none_or(|to| asked.net.at_most(to));
        if here {
            let volume = (asked.net * row.waste.fraction()).max(least);
            return by_share(row.waste, volume, Cow::Borrowed(&row.source));
        }
        least = row.to.map_or(least, |to| to * row.waste.fraction());
    }
    by_share(Percent::ZERO, least, Cow::Borrowed(&small.source))
}

fn by_share(share: Percent, volume: Volume, source: Cow<'_, Citation>) -> Allowance<'_> {
    Allowance {
        lost: Volume::ZERO,
        depth: Length::ZERO,
        share,
        volume,
        source,
    }
}

/// Up to the next step of an order.
pub fn order_up(volume: Volume, step: Volume) -> Volume {
    step * ceil(volume / step)
}

/// An order and what it absorbs over `area`, once `lost` is taken off.
pub fn choose_order(order: Volume, (net, lost): (Volume, Volume), area: Area) -> OrderChoice {
    let spare = order - net;
    let depth_error = if area > Area::ZERO {
        (spare - lost) / area
    } else {
        Length::ZERO
    };
    OrderChoice {
        order,
        spare,
        depth_error,
    }
}

/// Fewest trucks, filled as evenly as the step of an order allows, the fuller ones first: even
/// loads are short less often than one full truck and a rest.
pub fn share_loads(order: Volume, rows: &ConcreteRows) -> Vec<Volume> {
    let step = rows.order.step;
    let trucks = ceil(order / rows.truck.payload);
    if trucks < 1.0 {
        return Vec::new();
    }
    let steps = ceil(order / step);
    let each = libm::floor(steps / trucks);
    let fuller = steps - each * trucks;
    // Bounds rows keep this to a few thousand trucks.
    (0..trucks as u32)
        .map(|truck| step * (each + f64::from(u8::from(f64::from(truck) < fuller))))
        .collect()
}

/// What loads miss to the limit of a short load.
pub fn measure_shortfall(loads: &[Volume], rows: &ConcreteRows) -> Volume {
    let missing = |load: &Volume| (rows.short_load.below - *load).max(Volume::ZERO);
    loads.iter().map(missing).sum()
}

/// Bags that make a volume.
pub fn count_bags(volume: Volume, bag: &BagRow) -> u32 {
    // The cast saturates far above any job.
    ceil(volume / bag.makes) as u32
}

/// Time to place a volume with so many people.
pub fn measure_unloading(volume: Volume, hours_a_yard: Span, people: u32) -> Span {
    hours_a_yard * (volume.cubic_yards() / f64::from(people.max(1)))
}

/// Minutes that are charged: up to the next whole one.
pub fn charge_waiting(free: Span, needed: Span) -> Span {
    Span::from_minutes(ceil_to((needed - free).minutes().max(0.0), 1.0))
}
