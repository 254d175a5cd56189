//! Shared loads of ready-mix against CP-SAT, a solver that searches by other means.

use super::ask;
use super::solids::Numbers;
use crossfall::book::demo_history;
use crossfall::catalog::PriceList;
use crossfall::loads::{LoadPlanRequest, TRIALS, plan_loads, read_request};
use serde_json::{Value, json};
use std::sync::Arc;

impl Numbers {
    /// A whole number from `least` to below `most`.
    fn below(&mut self, least: u32, most: u32) -> u32 {
        self.next(f64::from(least), f64::from(most)) as u32
    }
}

/// A plant in whole numbers; every price can be split in four.
fn plant(numbers: &mut Numbers) -> Value {
    let within = numbers.below(2, 8);
    let mut below = numbers.below(6, 14);
    let mut tiers = Vec::new();
    for _ in 0..numbers.below(0, 3) {
        tiers.push(json!([
            below,
            4 * numbers.below(0, 4000),
            numbers.below(0, 2) == 1
        ]));
        below += numbers.below(1, 12);
    }
    json!({
        "price": 4 * numbers.below(1000, 5000), "per_load": numbers.below(0, 8000),
        "extra_stop": numbers.below(0, 4000), "tiers": tiers, "free": numbers.below(0, 10),
        "wait": numbers.below(0, 400), "truck": numbers.below(6, 11), "limit": numbers.below(80, 121),
        "loading": 10, "most_stops": numbers.below(2, 5),
        "out": [numbers.below(5, 26), numbers.below(5, 26)],
        "between": [within, within + numbers.below(0, 8)],
    })
}

fn pour(numbers: &mut Numbers) -> Value {
    let from = 15 * numbers.below(26, 36);
    json!({
        "eighths": numbers.below(1, 30), "area": numbers.below(0, 2), "day": 0,
        "mix": numbers.below(0, 8) / 6, "from": from, "to": from + 15 * numbers.below(0, 12),
        "placing": 5 * numbers.below(2, 8),
    })
}

/// The same as a caller sends it.
fn sent(plant: &Value, pours: &[Value]) -> LoadPlanRequest {
    let number = |value: &Value| value.as_u64().expect("a whole number");
    let money = |value: &Value| format!("{}.{:02}", number(value) / 100, number(value) % 100);
    let minutes = |value: &Value| format!("{} min", number(value));
    let clock = |value: &Value| format!("{:02}:{:02}", number(value) / 60, number(value) % 60);
    let tiers = plant["tiers"].as_array().expect("steps").iter().map(|tier| {
        let field = if tier[2] == true { "each_missing_yd3" } else { "fee" };
        json!({"below": format!("{} yd3", number(&tier[0]) as f64 / 4.0), field: money(&tier[1])})
    });
    let sent = pours.iter().enumerate().map(|(at, pour)| {
        json!({
            "name": format!("pour {at}"), "volume": format!("{} yd3", number(&pour["eighths"]) as f64 / 8.0),
            "area": pour["area"].to_string(), "mix": pour["mix"].to_string(),
            "arrive": {"day": "2026-06-02", "from": clock(&pour["from"]), "to": clock(&pour["to"])},
            "placing": minutes(&pour["placing"]),
        })
    });
    let known = |area: &usize| pours.iter().any(|pour| pour["area"] == *area);
    let trips = (0..2).filter(known).map(|area| {
        json!({"from": "plant", "to": area.to_string(), "time": minutes(&plant["out"][area])})
    });
    serde_json::from_value(json!({
        "pours": sent.collect::<Value>(), "trucks": [format!("{} yd3", plant["truck"])],
        "short_load": tiers.collect::<Value>(), "price": money(&plant["price"]),
        "per_load": money(&plant["per_load"]), "extra_stop": money(&plant["extra_stop"]),
        "waiting": {"free_a_yd3": minutes(&plant["free"]), "price_a_minute": money(&plant["wait"])},
        "limit": minutes(&plant["limit"]), "loading": minutes(&plant["loading"]),
        "most_stops": plant["most_stops"],
        "travel": {"within_area": minutes(&plant["between"][0]), "between_areas": minutes(&plant["between"][1]),
            "table": trips.collect::<Value>()},
    }))
    .expect("a request")
}

/// How many questions are asked.
const QUESTIONS: usize = 500;

/// OR-tools 9.15, CP-SAT: the least cost, and the fewest loads among plans of that cost.
#[test]
fn no_plan_of_a_constraint_solver_is_cheaper() {
    let history = demo_history().expect("the demo book can be read");
    let day = chrono::NaiveDate::from_ymd_opt(2026, 5, 4).expect("a day that exists");
    let list = PriceList::new(Arc::new(history), None, day).expect("it has a revision");
    let mut numbers = Numbers(90);
    let (mut ours, mut asked) = (Vec::new(), Vec::new());
    while asked.len() < QUESTIONS {
        let plant = plant(&mut numbers);
        let pours: Vec<Value> = (0..3 + asked.len() % 5)
            .map(|_| pour(&mut numbers))
            .collect();
        // What no truck reaches in time is refused, and is no question for a solver.
        let Ok(read) = read_request(&sent(&plant, &pours), Some(&list)) else {
            continue;
        };
        let plan = plan_loads(&read.asked, TRIALS);
        assert!(plan.proven);
        ours.push(json!([plan.cost.charges.total().minor(), plan.cost.loads]));
        asked.push(json!({"plant": plant, "pours": pours}));
    }
    let shared = ours.iter().zip(&asked).filter(|(ours, asked)| {
        ours[1].as_u64() < asked["pours"].as_array().map(|pours| pours.len() as u64)
    });
    assert!(
        shared.count() > 250,
        "too few of the questions are questions"
    );
    let theirs = ask("loads.py", &Value::Array(asked));
    for (case, ours) in ours.iter().enumerate() {
        assert_eq!(ours, &theirs[case], "case {case}");
    }
}
