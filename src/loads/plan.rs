//! The plan: which pours share a load, when each truck comes, and what that saves.
//!
//! Invariants: every pour is delivered exactly once; a load holds one mix on one day; the plan is never
//! dearer than ordering one by one; pours that no truck can join are solved apart, so that the work is
//! bounded by the largest knot of pours. Absent: words, and how a plan is written.

use super::alone::{Alone, Quoted, quote_alone};
use super::asked::Asked;
use super::bucket::{Bucket, Group, buckets, columns_of, knots};
use super::charge::{Charges, Order};
use super::key::Key;
use super::partition::{Solved, partition};
use crate::job::Day;
use crate::quantity::Volume;
use crate::quantity::money::Amount;

/// How pours are supplied.
#[derive(Clone, Debug, PartialEq)]
pub struct Plan {
    /// Every load, by day and hour.
    pub loads: Vec<Load>,
    /// What it costs.
    pub cost: Sums,
    /// What ordering each pour by itself costs.
    pub one_by_one: Sums,
    /// No plan within the same rules costs less.
    pub bound: Amount,
    /// True when that is the cost of this plan.
    pub proven: bool,
    /// What was weighed.
    pub work: Work,
}

/// What was weighed.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Work {
    /// Sets of pours that one truck can serve.
    pub shared_loads: u64,
    /// How often one of them was tried in a plan.
    pub tried: u64,
}

/// Sums of a plan.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Sums {
    /// Loads.
    pub loads: u32,
    /// Ordered.
    pub ordered: Volume,
    /// Charged.
    pub charges: Charges,
}

impl Sums {
    fn add(&mut self, order: &Order) {
        self.loads += 1;
        self.ordered += order.volume;
        self.charges = self.charges + order.charges;
    }
}

/// One truck's load.
#[derive(Clone, Debug, PartialEq)]
pub struct Load {
    /// Its day.
    pub day: Day,
    /// Its mix.
    pub mix: String,
    /// The smallest truck that carries it.
    pub truck: Volume,
    /// Ordered.
    pub order: Volume,
    /// Minute of the day in which it is batched.
    pub batched: u32,
    /// Minute in which it leaves the plant.
    pub leaves: u32,
    /// From batching to the end of discharge, in minutes.
    pub ride: u32,
    /// The pours that it serves.
    pub stops: Vec<Stop>,
    /// What it costs.
    pub charges: Charges,
}

impl Load {
    /// What it delivers.
    pub fn volume(&self) -> Volume {
        self.stops.iter().map(|stop| stop.volume).sum()
    }
}

/// One stop of a truck; times are minutes of the day.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stop {
    /// The pour, an index into those asked.
    pub pour: usize,
    /// Delivered.
    pub volume: Volume,
    /// The truck is there.
    pub arrives: u32,
    /// The pour takes its first concrete from it.
    pub starts: u32,
    /// The last.
    pub ends: u32,
    /// How much later it may begin, in minutes, until something breaks.
    pub spare: u32,
    /// What breaks first.
    pub breaks: Breaks,
}

/// What breaks when a truck is held too long.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Breaks {
    /// The time from batching to the end of discharge.
    Limit,
    /// The last hour of the stop of this number.
    Hours(usize),
}

/// Plans the loads; `trials` is how many columns each knot of pours may try.
///
/// Every pour must be reached by some truck, which reading makes sure of.
pub fn plan_loads(asked: &Asked, trials: u64) -> Plan {
    let reached = asked.pours.iter().map(|pour| {
        quote_alone(pour, asked).expect("reading refuses a pour that no truck reaches in time")
    });
    let alone: Vec<Alone> = reached.collect();
    let mut draft = Draft::new(asked, &alone);
    let fixed = (0..alone.len()).filter(|at| alone[*at].shared.is_none());
    for pour in fixed {
        draft.known += alone[pour].best.key.0;
        draft.supply_alone(pour, &alone[pour].best);
    }
    for members in buckets(&asked.pours, &alone) {
        let bucket = Bucket {
            asked,
            terms: asked.terms_of(&asked.pours[members[0]]),
            members,
            alone: &alone,
        };
        draft.take(&bucket, trials);
    }
    draft.finish(&alone)
}

/// A plan while it is made.
struct Draft<'a> {
    asked: &'a Asked,
    loads: Vec<Load>,
    cost: Sums,
    /// Sum of the keys that are certain, and of the bounds of the others.
    known: i128,
    proven: bool,
    work: Work,
}

impl<'a> Draft<'a> {
    fn new(asked: &'a Asked, alone: &[Alone]) -> Self {
        Self {
            asked,
            loads: Vec::with_capacity(alone.len()),
            cost: Sums::default(),
            known: 0,
            proven: true,
            work: Work::default(),
        }
    }

    fn take(&mut self, bucket: &Bucket<'_>, trials: u64) {
        let calls = bucket.calls();
        let groups = bucket.groups(&calls);
        self.work.shared_loads += (groups.len() - calls.len()) as u64;
        for knot in knots(&groups, calls.len()) {
            let (columns, own) = columns_of(&groups, knot);
            let solved: Solved = partition(&columns, knot.count_ones() as usize, trials);
            self.known += solved.bound;
            self.proven &= solved.proven;
            self.work.tried += solved.tried;
            for column in solved.chosen {
                self.supply(bucket, own[column]);
            }
        }
    }

    fn supply(&mut self, bucket: &Bucket<'_>, group: &Group) {
        let Some((route, order)) = &group.shared else {
            let pour = bucket.members[group.set.trailing_zeros() as usize];
            self.supply_alone(pour, &bucket.alone[pour].best);
            return;
        };
        let mut stops = Vec::with_capacity(route.order.len());
        for (member, start) in route.order.iter().zip(&route.starts) {
            let pour = bucket.members[*member];
            let quoted = bucket.shared_way(*member);
            let Some((quoted, rest)) = quoted.and_then(|way| Some((way, way.way.rest?))) else {
                continue;
            };
            self.supply_own(pour, quoted, *start - rest.after);
            stops.push((pour, rest.volume, *start, rest.placing));
        }
        self.drive(&stops, *order);
    }

    fn supply_alone(&mut self, pour: usize, quoted: &Quoted) {
        self.supply_own(pour, quoted, quoted.way.from);
        if let (Some(rest), Some(order)) = (quoted.way.rest, quoted.orders.last()) {
            let start = quoted.way.from + rest.after;
            self.drive(&[(pour, rest.volume, start, rest.placing)], *order);
        }
    }

    fn supply_own(&mut self, pour: usize, quoted: &Quoted, first: u32) {
        for (load, order) in quoted.way.own.iter().zip(&quoted.orders) {
            self.drive(
                &[(pour, load.volume, first + load.after, load.placing)],
                *order,
            );
        }
    }

    /// Adds a load that begins each stop at its minute.
    fn drive(&mut self, stops: &[(usize, Volume, u32, u32)], order: Order) {
        let [(first, _, begins, _), ..] = stops else {
            return;
        };
        let pour = &self.asked.pours[*first];
        let terms = self.asked.terms_of(pour);
        let leaves = begins - self.asked.travel.out[pour.area];
        let batched = leaves - self.asked.haul.loading;
        let truck = terms
            .trucks
            .iter()
            .find(|truck| order.volume.at_most(**truck));
        let stops = super::stops::time_stops(self.asked, stops, batched);
        self.cost.add(&order);
        self.loads.push(Load {
            day: pour.day,
            mix: pour.mix.clone(),
            truck: truck.copied().unwrap_or(order.volume),
            order: order.volume,
            batched,
            leaves,
            ride: stops.last().map_or(0, |last| last.ends - batched),
            stops,
            charges: order.charges,
        });
    }

    fn finish(mut self, alone: &[Alone]) -> Plan {
        let place = |load: &Load| {
            (
                load.day,
                load.batched,
                load.stops.first().map(|stop| stop.pour),
            )
        };
        self.loads.sort_by_key(place);
        let mut one_by_one = Sums::default();
        for order in alone.iter().flat_map(|alone| &alone.best.orders) {
            one_by_one.add(order);
        }
        let cost = self.cost.charges.total();
        let bound = Key(self.known).amount(&self.asked.currency).min(cost);
        Plan {
            bound,
            loads: self.loads,
            cost: self.cost,
            one_by_one,
            proven: self.proven || bound == cost,
            work: self.work,
        }
    }
}
