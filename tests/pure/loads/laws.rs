//! Laws of every plan: what is delivered, what is never exceeded, what changes nothing.

use super::{Plant, Small, any, measure, planned, read};
use crossfall::loads::{Asked, Breaks, Load, Plan};
use proptest::prelude::*;
use serde_json::Value;

fn any_plan() -> impl Strategy<Value = (Plant, Vec<Small>)> {
    let pour = (any::pour(2, 2), 1_u32..=4).prop_map(|(pour, times)| Small {
        // Some are greater than a truck.
        eighths: pour.eighths * times,
        ..pour
    });
    (any::plant(), prop::collection::vec(pour, 2..=9))
}

/// Keeps the pours that can be reached; fewer than two are no plan.
fn reached(plant: &Plant, pours: &[Small]) -> Option<Vec<Small>> {
    let alone = |pour: &&Small| {
        let twice = [(*pour).clone(), (*pour).clone()];
        read(&plant.body(&twice)).is_ok()
    };
    let kept: Vec<Small> = pours.iter().filter(alone).cloned().collect();
    (kept.len() > 1).then_some(kept)
}

fn keeps_hours(asked: &Asked, load: &Load) -> bool {
    let first = |place: usize| {
        let stop = &load.stops[place];
        let pour = &asked.pours[stop.pour];
        // A pour of several loads has its hours for the first of them.
        let whole = stop.ends - stop.starts == pour.placing;
        !whole || (pour.from <= stop.starts && stop.starts <= pour.to)
    };
    (0..load.stops.len()).all(first)
}

/// What happens when one stop begins later: whether the load still keeps every later hour and the limit.
fn holds(asked: &Asked, load: &Load, (held, late): (usize, u32)) -> bool {
    let mut now = load.stops[held].starts + late + load.stops[held].ends - load.stops[held].starts;
    for pair in load.stops[held..].windows(2) {
        let (before, next) = (&pair[0], &pair[1]);
        let pour = &asked.pours[next.pour];
        let first = pour.placing - (next.ends - next.starts);
        now += next.arrives - before.ends;
        let start = now.max(pour.from + first);
        if start > pour.to + first || start + next.ends - next.starts > 24 * 60 {
            return false;
        }
        now = start + next.ends - next.starts;
    }
    now - load.batched <= asked.haul.limit
}

fn check_plan(asked: &Asked, plan: &Plan) -> Result<(), TestCaseError> {
    let mut delivered = vec![0.0; asked.pours.len()];
    let mut placed = vec![0; asked.pours.len()];
    for load in &plan.loads {
        prop_assert!(load.order.at_least(load.volume()), "{load:?}");
        prop_assert!(load.order.at_most(load.truck), "{load:?}");
        prop_assert!(load.ride <= asked.haul.limit, "{load:?}");
        prop_assert!(
            load.stops.len() <= asked.haul.most_stops as usize,
            "{load:?}"
        );
        prop_assert!(keeps_hours(asked, load), "{load:?}");
        prop_assert!(load.leaves - load.batched == asked.haul.loading);
        for stop in &load.stops {
            let pour = &asked.pours[stop.pour];
            prop_assert_eq!((pour.day, &pour.mix), (load.day, &load.mix));
            prop_assert!(stop.arrives <= stop.starts && stop.starts <= stop.ends);
            delivered[stop.pour] += stop.volume.cubic_yards();
            placed[stop.pour] += stop.ends - stop.starts;
        }
    }
    for (pour, (delivered, placed)) in asked.pours.iter().zip(delivered.iter().zip(placed)) {
        prop_assert!(
            (delivered - pour.volume.cubic_yards()).abs() < 1e-9,
            "{pour:?}"
        );
        prop_assert_eq!(placed, pour.placing);
    }
    Ok(())
}

proptest! {
    #![proptest_config(crate::config())]

    #[test]
    fn every_pour_gets_what_it_needs_in_its_hours_within_truck_and_limit((plant, pours) in any_plan()) {
        let Some(pours) = reached(&plant, &pours) else { return Ok(()) };
        let (asked, plan) = planned(&plant.body(&pours));
        check_plan(&asked, &plan)?;
        let (cost, apart) = (plan.cost.charges.total(), plan.one_by_one.charges.total());
        prop_assert!(cost <= apart, "{cost} one by one {apart}");
        prop_assert!(plan.bound <= cost, "{} is not a bound of {cost}", plan.bound);
        let summed: i64 = plan.loads.iter().map(|load| load.charges.total().minor()).sum();
        prop_assert_eq!(summed, cost.minor());
    }

    #[test]
    fn a_stop_may_be_held_by_its_slack_and_not_by_a_minute_more((plant, pours) in any_plan()) {
        let Some(pours) = reached(&plant, &pours) else { return Ok(()) };
        let (asked, plan) = planned(&plant.body(&pours));
        for load in &plan.loads {
            for (number, stop) in load.stops.iter().enumerate() {
                prop_assert!(holds(&asked, load, (number, stop.spare)), "{load:?}");
                prop_assert!(!holds(&asked, load, (number, stop.spare + 1)), "{load:?}");
                let later = !matches!(stop.breaks, Breaks::Hours(later) if later <= number);
                prop_assert!(later, "{load:?}");
            }
        }
    }

    #[test]
    fn a_pour_more_never_makes_a_plan_cheaper((plant, pours) in any_plan()) {
        let Some(pours) = reached(&plant, &pours) else { return Ok(()) };
        prop_assume!(pours.len() > 2);
        // Only where no detour is a short cut, as on a map.
        let nearest = plant.out.iter().min().copied().unwrap_or(0);
        let out = plant.out.map(|out| out.min(nearest + plant.between[0].min(plant.between[1])));
        let plant = Plant { out, ..plant };
        let (_, plan) = planned(&plant.body(&pours));
        let (_, less) = planned(&plant.body(&pours[1..]));
        prop_assert!(plan.proven && less.proven);
        prop_assert!(less.cost.charges.total() <= plan.cost.charges.total());
    }

    #[test]
    fn the_same_pours_in_another_order_are_the_same_plan((plant, pours) in any_plan(), turn in 0_usize..9) {
        let Some(pours) = reached(&plant, &pours) else { return Ok(()) };
        let body = plant.body(&pours);
        let (asked, plan) = planned(&body);
        let mut turned = body;
        let list = turned["pours"].as_array_mut().expect("pours");
        let by = turn % list.len();
        list.rotate_left(by);
        list.reverse();
        let (other, same) = planned(&turned);
        let named = |asked: &Asked, plan: &Plan| -> Vec<Vec<(String, u32, u32)>> {
            let stops = plan.loads.iter().map(|load| load.stops.iter());
            stops
                .map(|stops| stops.map(|stop| (asked.pours[stop.pour].name.clone(), stop.starts, stop.spare)).collect())
                .collect()
        };
        prop_assert_eq!(measure(&plan), measure(&same));
        prop_assert_eq!(named(&asked, &plan), named(&other, &same));
    }

    #[test]
    fn longer_hours_and_a_longer_limit_never_cost_more((plant, pours) in any_plan(), more in 1_u32..30) {
        // Of a pour greater than a truck other trucks are filled first where the limit is longer.
        let most = plant.truck * 8;
        let pours: Vec<Small> = pours.into_iter().map(|pour| Small { eighths: pour.eighths.min(most), ..pour }).collect();
        let Some(pours) = reached(&plant, &pours) else { return Ok(()) };
        let (_, plan) = planned(&plant.body(&pours));
        let wider = Plant { limit: plant.limit + more, ..plant.clone() };
        let later: Vec<Small> = pours.iter().map(|pour| Small { to: pour.to + more, ..pour.clone() }).collect();
        for body in [wider.body(&pours), plant.body(&later)] as [Value; 2] {
            let (_, eased) = planned(&body);
            prop_assert!(eased.cost.charges.total() <= plan.cost.charges.total());
        }
    }
}
