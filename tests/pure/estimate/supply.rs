//! Concrete by the truck, from a trailer and in bags: sums by hand, break-even, what is left out.

use crate::worked::priced;
use crossfall::price::{Supply, Way, WayCost};

/// A short ramp of one depth, with so much width.
fn pour(width: &str) -> Supply {
    let job = format!(
        r#"{{"ramp": {{"width": "{width}", "path": [{{"kind": "landing", "length": "5 ft"}},
        {{"kind": "run", "rise": "2 in", "length": "2 ft"}}, {{"kind": "landing", "length": "5 ft"}}]}}}}"#
    );
    priced(&job).supply.expect("ways")
}

fn way(supply: &Supply, way: Way) -> &WayCost {
    supply
        .ways
        .iter()
        .find(|cost| cost.way == way)
        .expect("the way")
}

/// Worked by hand from the rows and the invented prices. A labourer's hour is what the estimate pays.
#[test]
fn each_way_is_its_concrete_its_fees_and_its_hours() {
    let estimate = priced(
        r#"{"ramp": {"path": [{"kind": "landing"}, {"kind": "run", "rise": "28 in", "length": "28 ft"}, {"kind": "landing"}]}}"#,
    );
    let supply = estimate.supply.as_ref().expect("ways");
    let truck = way(supply, Way::ReadyMix);
    // The same fees and the same order as in the price itself.
    let lines = estimate.priced.lines.iter();
    let of_truck = |code: &str| {
        ["concrete-", "short-load", "truck-wait"]
            .iter()
            .any(|start| code.starts_with(start))
    };
    let charged: f64 = lines
        .filter(|line| of_truck(&line.code))
        .map(|line| line.extended.number())
        .sum();
    assert_eq!(truck.bought.number(), charged);
    let yards = estimate.takeoff.concrete.net.cubic_yards();
    assert!((truck.hours.hours() - 0.65 * yards).abs() < 1e-9);
    let bags = way(supply, Way::Bags);
    assert_eq!(
        bags.order.number(),
        f64::from(estimate.takeoff.concrete.bags)
    );
    assert!((bags.hours.hours() - 7.0 * yards).abs() < 1e-9);
    let hour = bags.labour.number() / (7.0 * yards);
    assert!((truck.labour.number() - hour * 0.65 * yards).abs() < 0.02 * hour);
    for cost in &supply.ways {
        assert_eq!(cost.cost(), cost.bought + cost.labour);
    }
    assert!(supply.ways.is_sorted_by_key(WayCost::cost));
}

/// 12 x 4 ft of 5 in is 0.74 yd3: a truck would be short of four. At 12 x 20 ft the truck is cheapest.
#[test]
fn the_truck_is_cheapest_above_the_break_even_volumes_and_not_below() {
    let (small, large) = (pour("4 ft"), pour("20 ft"));
    assert_ne!(small.ways[0].way, Way::ReadyMix);
    assert_eq!(large.ways[0].way, Way::ReadyMix);
    for supply in [&small, &large] {
        let (from, to) = supply.volumetric_pays.expect("pays somewhere");
        assert!(
            from <= to && (0.5..5.0).contains(&to.cubic_yards()),
            "{to:?}"
        );
        let bags = supply.bags_pay.map_or(0.0, |(_, to)| to.cubic_yards());
        assert!(bags < to.cubic_yards(), "{bags}");
    }
}

/// No plant of the demo book sells 8,000 psi.
#[test]
fn a_way_without_a_price_is_left_out_and_nothing_breaks_even_with_it() {
    let supply = priced(
        r#"{"slab": {"concrete": {"strength": "8000 psi"}}, "ramp": {"path": [{"kind": "landing"}, {"kind": "run", "rise": "28 in", "length": "28 ft"}, {"kind": "landing"}]}}"#,
    )
    .supply
    .expect("ways");
    assert!(supply.ways.iter().all(|cost| cost.way != Way::ReadyMix) && !supply.ways.is_empty());
    assert_eq!((supply.bags_pay, supply.volumetric_pays), (None, None));
}
