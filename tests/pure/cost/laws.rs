//! Laws over random costs of the answer on paper.

use super::told;
use crossfall::cost::JobCost;
use proptest::prelude::*;
use serde_json::{Value, json};

fn money(cents: u32) -> String {
    format!("{}.{:02}", cents / 100, cents % 100)
}

fn bill() -> impl Strategy<Value = Value> {
    let code = prop_oneof![
        Just(json!({"code": "stone"})),
        Just(json!({"code": "concrete"})),
        Just(json!({"code": "delivery"})),
        Just(json!({"code": "nowhere"})),
        Just(json!({"class": "sub"})),
    ];
    (code, 0..90_000_u32, proptest::option::of(0..900_u32)).prop_map(
        |(mut bill, cents, quantity)| {
            bill["supplier"] = json!("Invented");
            bill["amount"] = json!(money(cents));
            if let Some(quantity) = quantity {
                bill["quantity"] = json!(money(quantity));
            }
            bill
        },
    )
}

fn actual() -> impl Strategy<Value = Value> {
    let hours = ("finisher|labourer", 1..4000_u32, 0..9000_u32).prop_map(|(class, minutes, paid)| {
        json!({"class": class, "hours": format!("{minutes} min"), "paid": money(paid)})
    });
    let used = proptest::option::of(0..2000_u32);
    (proptest::collection::vec(bill(), 0..9), proptest::collection::vec(hours, 0..5), used).prop_map(
        |(mut bills, hours, used)| {
            for (number, bill) in bills.iter_mut().enumerate() {
                bill["document"] = json!(number.to_string());
            }
            let used = used.map(|used| json!({"code": "stone", "quantity": money(used)}));
            json!({"bills": bills, "hours": hours, "quantities": used.into_iter().collect::<Vec<_>>()})
        },
    )
}

/// Everything that was sent as an amount, and all hours at what they cost, in cents.
fn sent_bills(actual: &Value) -> i64 {
    let bills = actual["bills"].as_array().expect("bills").iter();
    bills
        .map(|bill| {
            let amount = bill["amount"].as_str().expect("an amount");
            amount.replace('.', "").parse::<i64>().expect("cents")
        })
        .sum()
}

fn told_bills(told: &JobCost, hours_of_lines: i64) -> i64 {
    let lines = told.lines.iter();
    let billed = lines.filter(|line| line.amount_from.word() == "bills");
    let billed: i64 = billed.map(|line| line.actual.minor()).sum();
    let others = told
        .not_estimated
        .iter()
        .filter(|one| one.supplier.is_some());
    billed + others.map(|one| one.amount.minor()).sum::<i64>() - hours_of_lines
}

proptest! {
    #![proptest_config(crate::config())]

    /// Causes and classes add up to the variance, the variance is what happened less what was estimated
    /// of it, every line is whole, and no bill is lost.
    #[test]
    fn causes_and_classes_add_up_to_the_variance(actual in actual()) {
        let told = told(actual.clone());
        let total = &told.total;
        let causes: i64 = told.causes.iter().map(|of| of.amount.minor()).sum();
        prop_assert_eq!(causes, total.variance.minor());
        prop_assert_eq!(total.variance, total.actual - (total.estimated - total.open));
        prop_assert_eq!(total.estimated.to_string(), "1000.00");
        let classes = |of: fn(&crossfall::cost::TotalCost) -> i64| -> i64 {
            told.classes.iter().map(|class| of(&class.sums)).sum()
        };
        prop_assert_eq!(classes(|of| of.variance.minor()), total.variance.minor());
        prop_assert_eq!(classes(|of| of.actual.minor()), total.actual.minor());
        prop_assert_eq!(classes(|of| of.estimated.minor()), total.estimated.minor());
        for line in &told.lines {
            prop_assert_eq!(line.by_quantity + line.by_price, line.variance);
            prop_assert_eq!(line.actual - line.estimated, line.variance);
        }
        prop_assert_eq!(told_bills(&told, 0), sent_bills(&actual));
    }
}
