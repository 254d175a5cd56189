//! Thirty pours at once: proven where days and hours keep them apart, bounded where they do not.

use super::{Plant, Small, planned, read};
use crossfall::loads::plan_loads;

fn plant() -> Plant {
    Plant {
        price: 17_800,
        per_load: 3_500,
        extra_stop: 2_500,
        tiers: vec![(20, 4_500, true)],
        free: 7,
        wait: 250,
        truck: 10,
        limit: 90,
        most_stops: 4,
        out: [15, 20, 25],
        between: [4, 10],
    }
}

/// Thirty pours that differ in a fixed way, over so many days.
fn thirty(days: u32, span: u32) -> Vec<Small> {
    let one = |number: u32| Small {
        eighths: 4 + (number * 7) % 23,
        area: (number % 3) as usize,
        day: number % days,
        from: 420 + (number * 35) % span,
        to: 480 + (number * 35) % span + (number * 13) % 60,
        placing: 10 + (number * 5) % 20,
        mix: 0,
    };
    (0..30).map(one).collect()
}

#[test]
fn thirty_pours_of_a_few_days_are_proven() {
    for (days, span) in [(1, 240), (2, 480), (3, 240), (5, 480)] {
        let (asked, plan) = planned(&plant().body(&thirty(days, span)));
        assert!(plan.proven, "{days} days");
        assert_eq!(plan.bound, plan.cost.charges.total(), "{days} days");
        // Cut short, it says so unless its bound shows that nothing was missed.
        let cut = plan_loads(&asked, 0);
        assert!(cut.bound <= plan.bound && plan.bound <= cut.cost.charges.total());
        assert_eq!(
            cut.proven,
            cut.bound == cut.cost.charges.total(),
            "{days} days"
        );
        assert!(cut.cost.charges.total() <= plan.one_by_one.charges.total());
    }
}

/// All at the same hours in one place, so that nearly every set of pours would do.
#[test]
fn what_cannot_be_searched_to_its_end_has_a_bound() {
    let alike = |number: u32| Small {
        eighths: 6 + number % 3,
        area: 0,
        day: 0,
        from: 420,
        to: 900,
        placing: 5,
        mix: 0,
    };
    let pours: Vec<Small> = (0..30).map(alike).collect();
    let plant = Plant {
        wait: 0,
        between: [1, 1],
        ..plant()
    };
    let read = read(&plant.body(&pours)).expect("no fault");
    let plan = plan_loads(&read.asked, 100_000);
    let cost = plan.cost.charges.total();
    assert!(!plan.proven);
    assert_eq!(plan.work.tried, 100_000);
    assert!(plan.bound < cost && cost < plan.one_by_one.charges.total());
    // Within five percent of the best, as far as anybody can tell.
    assert!((cost - plan.bound).number() < 0.05 * cost.number());
}
