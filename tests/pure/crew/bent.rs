//! Laws of what bends hours, on jobs that state any facts.

use super::jobs::{Solved, with};
use crossfall::crew::{CrewHours, Task};
use proptest::prelude::*;
use serde_json::{Value, json};

fn plan(job: Value) -> CrewHours {
    Solved::of(job).hours()
}

/// What a job may say that bends hours.
fn any_facts() -> impl Strategy<Value = Value> {
    let placing = prop::sample::select(vec!["chute", "barrow", "buggy", "pump", "bags"]);
    let said = (any::<bool>(), any::<bool>(), any::<bool>(), -20_i32..=115);
    (
        36_u32..=84,
        4_u32..=30,
        said,
        0_u32..=400,
        0_u32..=60,
        placing,
    )
        .prop_map(
            |(width, rise, (limited, occupied, first, air), away, curved, placing)| {
                let access = if limited { "limited" } else { "open" };
                json!({
                    "site": {"access": access, "occupied": occupied, "air": format!("{air} degF"),
                        "truck_to_pour": format!("{away} ft")},
                    "ramp": {"width": format!("{width} in"), "path": [
                        {"kind": "landing"},
                        {"kind": "run", "rise": format!("{rise} in"), "length": "20 ft"},
                        {"kind": "landing"}]},
                    "forms": {"curved": format!("{curved} ft")},
                    "crew": {"first_of_its_kind": first, "placing": placing}
                })
            },
        )
}

fn reckoned(task: &Task) -> f64 {
    let (mut factor, mut by_slope) = (1.0, 0.0);
    for one in &task.modifiers {
        let more = one.share.unwrap_or(1.0) * (one.factor - 1.0);
        match one.code.as_str() {
            "sloped" | "steep" => by_slope += more,
            _ => factor *= 1.0 + more,
        }
    }
    factor * (1.0 + by_slope)
}

proptest! {
    #![proptest_config(crate::config())]

    #[test]
    fn a_factor_is_what_its_modifiers_say_and_never_makes_hours_less(facts in any_facts()) {
        for task in &plan(facts).tasks {
            prop_assert!((task.factor - reckoned(task)).abs() < 1e-9, "{task:?}");
            prop_assert!(task.factor >= 1.0, "{task:?}");
            let unbent = (task.hours.hours() - task.setup.hours()) / task.factor;
            prop_assert!(task.hours.hours() + 1e-9 >= task.setup.hours() + unbent, "{task:?}");
        }
    }

    #[test]
    fn a_further_fact_never_takes_fewer_hours(facts in any_facts()) {
        let before = plan(facts.clone()).totals;
        for (pointer, value) in [
            ("/site/access", json!("limited")),
            ("/site/occupied", json!(true)),
            ("/site/air", json!("35 degF")),
            ("/crew/first_of_its_kind", json!(true)),
            ("/forms/curved", json!("80 ft")),
            ("/site/truck_to_pour", json!("500 ft")),
        ] {
            let after = plan(with(facts.clone(), pointer, value)).totals;
            prop_assert!(after.task.hours() >= before.task.hours() - 1e-6, "{pointer}");
            prop_assert!(after.paid.hours() >= before.paid.hours() - 1e-6, "{pointer}");
        }
    }

    /// Wider by so much: of a factor that ends at a width nothing may jump.
    #[test]
    fn a_wider_ramp_never_takes_fewer_hours_whatever_bends_it(
        facts in any_facts(), width in 36_u32..=84, wider in 1_u32..=12,
    ) {
        let of = |inches: u32| {
            let width = json!(format!("{inches} in"));
            Solved::of(with(facts.clone(), "/ramp/width", width))
        };
        let (ramp, larger) = (of(width), of(width + wider));
        let joints = |solved: &Solved| solved.takeoff.measures.joint_length;
        prop_assume!(joints(&larger) >= joints(&ramp));
        let (less, more) = (ramp.hours().totals, larger.hours().totals);
        prop_assert!(more.task.hours() >= less.task.hours() - 1e-6, "{less:?} {more:?}");
        prop_assert!(more.paid.hours() >= less.paid.hours() - 1e-6, "{less:?} {more:?}");
    }
}
