//! Two answers line by line, worked by hand.

use crossfall::answered::Answered;
use crossfall::change::{Cause, Comparison, LineChangeKind, Side, compare_by_lines};
use serde_json::{Value, json};

/// An answer of few lines; invented, and small enough to add up on paper.
fn answer(lines: Value, steps: [&str; 3], total: Value) -> Value {
    json!({
        "name": "Paper ramp (invented)",
        "fingerprint": "sha256:0",
        "computed_with": {"as_of": "2026-05-04", "units": "us"},
        "price": {
            "currency": "USD",
            "lines": lines,
            "unpriced": [],
            "build_up": [
                {"step": "direct", "amount": steps[0]},
                {"step": "overhead", "rate": {"value": 10, "unit": "%"}, "base": steps[0], "amount": steps[1]},
                {"step": "profit", "rate": {"value": 20, "unit": "%"}, "basis": "markup",
                 "base": total_of(steps[0], steps[1]), "amount": steps[2]},
            ],
            "total": total,
        }
    })
}

fn total_of(direct: &str, overhead: &str) -> String {
    let cents = |text: &str| text.replace('.', "").parse::<i64>().expect("cents");
    let sum = cents(direct) + cents(overhead);
    format!("{}.{:02}", sum / 100, sum % 100)
}

fn line(code: &str, class: &str, [quantity, unit, price, extended]: [&str; 4]) -> Value {
    let quantity: f64 = quantity.parse().expect("a number");
    json!({"code": code, "description": code, "class": class,
        "quantity": {"value": quantity, "unit": unit}, "unit_price": price, "extended": extended})
}

fn side(answer: &Value) -> Side {
    let answer: Answered = serde_json::from_str(&answer.to_string()).expect("an answer");
    Side::of_answer(&answer, "/estimate").unwrap_or_else(|faults| panic!("{faults}"))
}

fn cause(told: &Comparison, cause: Cause) -> String {
    let step = told.causes.iter().find(|step| step.causes == [cause]);
    let amount = step.and_then(|step| step.amount).expect("an amount");
    amount.to_string()
}

/// By hand:
///
/// | line | before | new quantity at the old price | after |
/// | --- | --- | --- | --- |
/// | stone | 5 ton x 24.00 = 120.00 | 7 x 24.00 = 168.00 | 7 x 25.50 = 178.50 |
/// | boards | 4 x 9.33 = 37.32 | gone | 0.00 |
/// | geotextile | | new | 2 x 31.10 = 62.20 |
/// | finisher | 10 h x 52.00 = 520.00 | 12.25 x 52.00 = 637.00 | 12.25 x 54.00 = 661.50 |
/// | direct | 677.32 | | 902.20 |
/// | overhead 10 % | 67.73 | | 90.22 |
/// | profit 20 % | 20 % of 745.05 = 149.01 | | 20 % of 992.42 = 198.48 |
/// | price | 894.06 | | 1190.90 |
///
/// Quantity: 48.00 - 37.32 + 62.20 = 72.88. Hours: 117.00. Price: 10.50 + 24.50 = 35.00. What stands
/// on the lines: 22.49 + 49.47 = 71.96. Net: 72.88 + 117.00 + 35.00 + 71.96 = 296.84.
#[test]
fn quantity_comes_at_the_old_price_and_price_at_the_new_quantity() {
    let before = answer(
        json!([
            line("stone", "material", ["5", "ton", "24.00", "120.00"]),
            line("boards", "material", ["4", "each", "9.33", "37.32"]),
            line("labour-finisher", "labour", ["10", "h", "52.00", "520.00"]),
        ]),
        ["677.32", "67.73", "149.01"],
        json!("894.06"),
    );
    let after = answer(
        json!([
            line("stone", "material", ["7", "ton", "25.50", "178.50"]),
            line("geotextile", "material", ["2", "roll", "31.10", "62.20"]),
            line(
                "labour-finisher",
                "labour",
                ["12.25", "h", "54.00", "661.50"]
            ),
        ]),
        ["902.20", "90.22", "198.48"],
        json!("1190.90"),
    );
    let told = compare_by_lines(&side(&before), &side(&after));
    assert_eq!(told.net.expect("a net").to_string(), "296.84");
    assert_eq!(cause(&told, Cause::Quantity), "72.88");
    assert_eq!(cause(&told, Cause::Rate), "117.00");
    assert_eq!(cause(&told, Cause::Price), "35.00");
    assert_eq!(cause(&told, Cause::BuildUp), "71.96");
    assert_eq!(cause(&told, Cause::Settings), "0.00");
    let kinds: Vec<_> = told
        .lines
        .iter()
        .map(|line| (line.code.as_str(), line.kind))
        .collect();
    assert_eq!(
        kinds,
        [
            ("stone", LineChangeKind::Changed),
            ("boards", LineChangeKind::Gone),
            ("labour-finisher", LineChangeKind::Changed),
            ("geotextile", LineChangeKind::New),
        ]
    );
    let stone = &told.lines[0];
    assert_eq!(stone.by_quantity.to_string(), "48.00");
    assert_eq!(stone.by_price.to_string(), "10.50");
    let hours = &told.figures.paid_by_item[0].hours;
    assert_eq!(hours.change.map(|change| change.value), Some(2.25));
    assert_eq!(told.figures.concrete_net.change, None);
}

#[test]
fn a_line_without_a_price_leaves_the_net_open_and_is_named() {
    let lines = json!([line("stone", "material", ["5", "ton", "24.00", "120.00"])]);
    let steps = ["120.00", "12.00", "26.40"];
    let whole = answer(lines.clone(), steps, json!("158.40"));
    let mut open = answer(lines, steps, Value::Null);
    open["price"]["unpriced"] =
        json!([{"code": "pump", "description": "Pump", "of": "/", "why": "none"}]);
    for (before, after, said) in [
        (&whole, &open, "after has no price for pump"),
        (&open, &whole, "before has no price for pump"),
    ] {
        let told = compare_by_lines(&side(before), &side(after));
        assert_eq!(told.net, None);
        assert_eq!(told.net_unknown.as_deref(), Some(said));
        assert!(told.causes.iter().all(|step| step.amount.is_none()));
    }
}
