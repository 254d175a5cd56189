//! In which order one truck goes to several pours, and when.
//!
//! Invariants: the truck comes to each pour in its hours, waits where it is early, and is empty within
//! the limit; of all orders those are kept that no other beats in time on site, in waiting and in the age
//! of the concrete at once; of equal ones the one that goes to the earlier pours first. Among times with
//! equal waiting it is the earliest. Absent: money.
//!
//! With no waiting a stop begins `offset` minutes after the first. The first arrival may not be later
//! than the least of last hour less offset, and with one not earlier than the greatest of first hour
//! less offset nobody waits; so the lesser of the two waits least.

use crate::quantity::Compared;
use crate::quantity::slack::compare;
use std::collections::BTreeMap;

/// Ways by the set of pours that they serve.
pub(super) type Routes = BTreeMap<u32, Vec<Route>>;

/// What a truck finds at one place.
#[derive(Clone, Copy, Debug)]
pub(super) struct Call {
    /// The first minute in which it may arrive.
    pub(super) from: u32,
    /// The last.
    pub(super) to: u32,
    pub(super) placing: u32,
    pub(super) area: usize,
    /// Steps of an order are counted elsewhere; this is what it takes, as a share of the truck.
    pub(super) share: f64,
}

/// What holds for all trucks.
#[derive(Clone, Copy, Debug)]
pub(super) struct Road<'a> {
    pub(super) calls: &'a [Call],
    pub(super) out: &'a [u32],
    pub(super) between: &'a [Vec<u32>],
    pub(super) loading: u32,
    pub(super) limit: u32,
    pub(super) most_stops: usize,
}

/// One truck's way.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Route {
    /// Minutes waited.
    pub(super) idle: u32,
    /// Minutes from batching to the end of discharge.
    pub(super) ride: u32,
    /// Minutes from the arrival at the first pour until it is empty, the road between pours included.
    pub(super) on_site: u32,
    /// The pours in their order.
    pub(super) order: Vec<usize>,
    /// When the first minute of each begins; the first also arrives then.
    pub(super) starts: Vec<u32>,
}

impl Road<'_> {
    /// The best way to serve these in this order; none where there is none.
    pub(super) fn time(&self, order: &[usize]) -> Option<Route> {
        let (first, rest) = order.split_first()?;
        let lead = self.loading + self.out[self.calls[*first].area];
        let (mut offset, mut least, mut most) = (0, lead, self.calls[*first].to);
        least = least.max(self.calls[*first].from);
        let soonest = least;
        let mut before = *first;
        for next in rest {
            offset += self.calls[before].placing + self.drive(before, *next);
            let call = &self.calls[*next];
            most = most.min(call.to.checked_sub(offset)?);
            least = least.max(call.from.saturating_sub(offset));
            before = *next;
        }
        if most < soonest {
            return None;
        }
        self.follow(order, (least.min(most), lead))
    }

    fn drive(&self, from: usize, to: usize) -> u32 {
        self.between[self.calls[from].area][self.calls[to].area]
    }

    fn follow(&self, order: &[usize], (arrival, lead): (u32, u32)) -> Option<Route> {
        let (mut now, mut idle, mut starts) = (arrival, 0, Vec::with_capacity(order.len()));
        for (place, at) in order.iter().enumerate() {
            if let Some(before) = place.checked_sub(1) {
                now += self.drive(order[before], *at);
            }
            let call = &self.calls[*at];
            let start = now.max(call.from);
            if start > call.to {
                return None;
            }
            idle += start - now;
            starts.push(start);
            now = start + call.placing;
        }
        let on_site = now - arrival;
        let ride = lead + on_site;
        (ride <= self.limit).then(|| Route {
            idle,
            ride,
            on_site,
            order: order.to_vec(),
            starts,
        })
    }

    /// The ways worth keeping for every set of calls that one truck can serve, by set, each a bit.
    ///
    /// A way is only ever made longer at its end: what cannot be done with fewer stops cannot be done
    /// with more, so that no set is missed.
    pub(super) fn find_routes(&self) -> Routes {
        let mut found = Routes::new();
        let mut order = Vec::with_capacity(self.most_stops);
        for first in 0..self.calls.len() {
            self.lengthen(&mut order, first, &mut found);
        }
        found
    }

    fn lengthen(&self, order: &mut Vec<usize>, next: usize, found: &mut Routes) {
        order.push(next);
        let taken: f64 = order.iter().map(|at| self.calls[*at].share).sum();
        let fits = compare(taken, 1.0) != Compared::Above;
        let route = if fits { self.time(order) } else { None };
        if let Some(route) = route {
            let set = order.iter().fold(0, |set, at| set | 1 << at);
            keep(found.entry(set).or_default(), route);
            self.lengthen_further(order, found);
        }
        order.pop();
    }

    fn lengthen_further(&self, order: &mut Vec<usize>, found: &mut Routes) {
        if order.len() == self.most_stops {
            return;
        }
        for next in 0..self.calls.len() {
            if !order.contains(&next) {
                self.lengthen(order, next, found);
            }
        }
    }
}

/// Adds a way unless a kept one is as good in all, and drops those that it beats.
fn keep(kept: &mut Vec<Route>, route: Route) {
    let as_good =
        |a: &Route, b: &Route| a.on_site <= b.on_site && a.idle <= b.idle && a.ride <= b.ride;
    // Ways come in the order of their pours, so that of equal ones the first stays.
    if !kept.iter().any(|other| as_good(other, &route)) {
        kept.retain(|other| !as_good(&route, other));
        kept.push(route);
    }
}
