//! Every plan there is, tried: partitions of the pours, orders of each load, minutes of arrival, orders
//! of concrete, in whole cents.
//!
//! Written from the rules in words, with nothing of the search; the reference is the enumeration itself.

use super::{LOADING, Measured, Plant, Small, any, measure, planned};
use proptest::prelude::*;

/// All orders of a few.
fn orders(of: &[usize]) -> Vec<Vec<usize>> {
    if of.is_empty() {
        return vec![Vec::new()];
    }
    let mut all = Vec::new();
    for (at, first) in of.iter().enumerate() {
        let rest = [&of[..at], &of[at + 1..]].concat();
        for mut order in orders(&rest) {
            order.insert(0, *first);
            all.push(order);
        }
    }
    all
}

/// All ways to put things into heaps.
fn heaps(count: usize) -> Vec<Vec<Vec<usize>>> {
    let mut all = vec![Vec::new()];
    for next in 0..count {
        let mut more = Vec::new();
        for heaps in all {
            for at in 0..heaps.len() {
                let mut with: Vec<Vec<usize>> = heaps.clone();
                with[at].push(next);
                more.push(with);
            }
            let mut with = heaps;
            with.push(vec![next]);
            more.push(with);
        }
        all = more;
    }
    all
}

fn halves_up(number: u64, by: u64) -> u64 {
    (2 * number + by) / (2 * by)
}

/// Cents for a load that delivers so many eighths and stands so long.
fn cheapest_order(plant: &Plant, eighths: u32, (stops, on_site): (u32, u32)) -> Option<u64> {
    let cents = |quarters: u32| {
        let concrete = halves_up(u64::from(plant.price) * u64::from(quarters), 4);
        let tier = plant.tiers.iter().find(|(below, ..)| quarters < *below);
        let small = tier.map_or(0, |(below, cents, each)| {
            if *each {
                halves_up(u64::from(*cents) * u64::from(below - quarters), 4)
            } else {
                u64::from(*cents)
            }
        });
        let beyond = (4 * on_site)
            .saturating_sub(plant.free * quarters)
            .div_ceil(4);
        let rest = plant.per_load + (stops - 1) * plant.extra_stop + beyond * plant.wait;
        concrete + small + u64::from(rest)
    };
    (eighths.div_ceil(2)..=plant.truck * 4).map(cents).min()
}

/// Minutes waited and minutes from batching, for one order and one minute of arrival.
fn follow(plant: &Plant, stops: &[&Small], arrival: u32) -> Option<(u32, u32)> {
    let lead = LOADING + plant.out[stops[0].area];
    let (mut now, mut waited) = (arrival, 0);
    if arrival < lead {
        return None;
    }
    for (place, stop) in stops.iter().enumerate() {
        if place > 0 {
            now += plant.between[usize::from(stops[place - 1].area != stop.area)];
        } else if now < stop.from {
            return None;
        }
        let start = now.max(stop.from);
        waited += start - now;
        now = start + stop.placing;
        if start > stop.to || now > 24 * 60 {
            return None;
        }
    }
    let ride = lead + now - arrival;
    (ride <= plant.limit).then_some((waited, ride))
}

fn best_load(plant: &Plant, pours: &[Small], heap: &[usize]) -> Option<Measured> {
    let like = |a: &Small, b: &Small| (a.day, a.mix) == (b.day, b.mix);
    let together = heap.iter().all(|at| like(&pours[*at], &pours[heap[0]]));
    if !together || heap.len() > plant.most_stops as usize {
        return None;
    }
    let eighths = heap.iter().map(|at| pours[*at].eighths).sum();
    let mut best: Option<Measured> = None;
    for order in orders(heap) {
        let stops: Vec<&Small> = order.iter().map(|at| &pours[*at]).collect();
        let hours = stops[0].from..=stops[0].to;
        for (waited, ride) in hours.filter_map(|arrival| follow(plant, &stops, arrival)) {
            // From the arrival at the first pour until the truck is empty.
            let on_site = ride - LOADING - plant.out[stops[0].area];
            let service = (heap.len() as u32, on_site);
            let cents = cheapest_order(plant, eighths, service)?;
            let measured = (cents as i64, 1, waited, ride);
            best = Some(best.map_or(measured, |best| best.min(measured)));
        }
    }
    best
}

fn best_plan(plant: &Plant, pours: &[Small]) -> Option<Measured> {
    let plans = heaps(pours.len()).into_iter().filter_map(|plan| {
        let mut sum = (0, 0, 0, 0);
        for heap in &plan {
            let load = best_load(plant, pours, heap)?;
            sum = (
                sum.0 + load.0,
                sum.1 + load.1,
                sum.2 + load.2,
                sum.3 + load.3,
            );
        }
        Some(sum)
    });
    plans.min()
}

proptest! {
    #![proptest_config(crate::config())]

    #[test]
    fn no_plan_of_all_is_better(
        plant in any::plant(),
        pours in prop::collection::vec(any::pour(1, 1), 2..=5),
    ) {
        let alone = pours.iter().enumerate().all(|(at, _)| best_load(&plant, &pours, &[at]).is_some());
        prop_assume!(alone);
        let (_, plan) = planned(&plant.body(&pours));
        prop_assert!(plan.proven);
        prop_assert_eq!(Some(measure(&plan)), best_plan(&plant, &pours));
        prop_assert_eq!(plan.bound, plan.cost.charges.total());
    }

    #[test]
    fn nor_where_days_and_mixes_keep_pours_apart(
        plant in any::plant(),
        pours in prop::collection::vec(any::pour(2, 2), 6..=6),
    ) {
        let alone = pours.iter().enumerate().all(|(at, _)| best_load(&plant, &pours, &[at]).is_some());
        prop_assume!(alone);
        let (_, plan) = planned(&plant.body(&pours));
        prop_assert_eq!(Some(measure(&plan)), best_plan(&plant, &pours));
    }
}
