//! Costs worked by hand.

use super::{cause, estimate, tell, told};
use crossfall::catalog::Class;
use crossfall::cost::{AmountFrom, CostCause, QuantityFrom};
use serde_json::json;

/// By hand:
///
/// | line | estimated | at the estimated price | actual |
/// | --- | --- | --- | --- |
/// | stone, 5.5 ton received, two bills of 70.00 and 72.50 | 120.00 | 5.5 x 24.00 = 132.00 | 142.50 |
/// | concrete, one bill of 2.25 yd3 | 360.00 | 2.25 x 180.00 = 405.00 | 400.50 |
/// | finisher, 6 h at 50.00 and 3.5 h at 75.00 | 400.00 | 9.5 x 50.00 = 475.00 | 300.00 + 262.50 = 562.50 |
/// | delivery, two of 60.00, nothing sent | 120.00 | | open |
/// | a saw blade of 41.25 that no line has | | | 41.25 |
///
/// Quantity 12.00 + 45.00 = 57.00; price 10.50 - 4.50 = 6.00; hours 75.00; wage 87.50; not estimated
/// 41.25; together 266.75 = 1146.75 - 880.00.
#[test]
fn each_difference_has_its_cause() {
    let told = told(json!({
        "quantities": [{"code": "stone", "quantity": "5.5"}],
        "hours": [
            {"visit": 1, "class": "finisher", "hours": "6 h"},
            {"visit": 2, "class": "finisher", "hours": "3.5 h", "paid": "75.00"},
        ],
        "bills": [
            {"code": "stone", "supplier": "Invented quarry", "amount": "70.00", "document": "1", "quantity": "3"},
            {"code": "stone", "supplier": "Invented quarry", "amount": "72.50", "document": "2"},
            {"code": "concrete", "supplier": "Invented plant", "amount": "400.50", "document": "7", "quantity": "2.25"},
            {"code": "saw-blade", "supplier": "Invented tools", "amount": "41.25", "document": "9"},
        ],
    }));
    let causes = [
        (CostCause::Quantity, "57.00"),
        (CostCause::Price, "6.00"),
        (CostCause::Hours, "75.00"),
        (CostCause::Wage, "87.50"),
        (CostCause::NotEstimated, "41.25"),
    ];
    for (of, amount) in causes {
        assert_eq!(cause(&told, of), amount, "{of}");
    }
    assert_eq!(told.total.estimated.to_string(), "1000.00");
    assert_eq!(told.total.open.to_string(), "120.00");
    assert_eq!(told.total.actual.to_string(), "1146.75");
    assert_eq!(told.total.variance.to_string(), "266.75");
    assert_eq!(told.open[0].code, "delivery");
    assert_eq!(told.not_estimated[0].of, "/actual/bills/3");
    assert_eq!(
        told.not_estimated[0].supplier.as_deref(),
        Some("Invented tools")
    );
    let from: Vec<_> = told.lines.iter().map(|line| line.quantity_from).collect();
    assert_eq!(
        from,
        [
            QuantityFrom::Quantities,
            QuantityFrom::Bills,
            QuantityFrom::Hours
        ]
    );
    // Visit 1: 6 h paid of 5 h; visit 2: 3.5 h of 3 h.
    let visits: Vec<_> = told.visits.iter().map(|visit| visit.ratio).collect();
    assert_eq!(visits, [Some(1.2), Some(1.167)]);
    assert_eq!(told.visits[0].tasks, ["place-barrow"]);
    let labour = told
        .classes
        .iter()
        .find(|of| of.class == Some(Class::Labour));
    assert_eq!(labour.expect("labour").sums.variance.to_string(), "162.50");
}

/// Hours of visit 1 alone, 5 of 8 paid hours: 5/8 of 8 h and 400.00 are due, 150.00 are open. By hand: 6.5 h x
/// 50.00 = 325.00 is 75.00 more than 5 h x 50.00 = 250.00.
#[test]
fn hours_of_visits_that_are_still_to_come_are_open_and_no_saving() {
    let told = told(json!({"hours": [{"visit": 1, "class": "finisher", "hours": "6.5 h"}]}));
    assert_eq!(cause(&told, CostCause::Hours), "75.00");
    assert_eq!(told.lines[0].quantity_estimated.to_string(), "5");
    let open = told.open.iter().find(|line| line.code == "labour-finisher");
    assert_eq!(open.expect("a rest").estimated.to_string(), "150.00");
    assert_eq!(told.total.estimated.to_string(), "1000.00");
}

/// A quantity without a bill is taken at the estimated price, a bill without a quantity at the estimated
/// quantity.
#[test]
fn what_nobody_said_is_taken_as_estimated_and_said_to_be() {
    let told = told(json!({
        "quantities": [{"of": "/price/lines/0", "quantity": "6"}],
        "bills": [{"code": "delivery", "supplier": "Invented plant", "amount": "150.00", "document": "7"}],
    }));
    let [stone, delivery] = told.lines.as_slice() else {
        panic!("{:?}", told.lines)
    };
    assert_eq!(stone.amount_from, AmountFrom::Estimate);
    assert_eq!(
        (stone.by_quantity.to_string(), stone.by_price.is_zero()),
        ("24.00".to_owned(), true)
    );
    // Two lines of one item, unit and price are one of 120.00.
    assert_eq!(delivery.quantity_from, QuantityFrom::Estimate);
    assert_eq!(delivery.estimated.to_string(), "120.00");
    assert_eq!(
        (
            delivery.by_quantity.is_zero(),
            delivery.by_price.to_string()
        ),
        (true, "30.00".to_owned())
    );
}

/// The paper ramp with 5 % paid on its material (480.00: 24.00) and a markup of 15 % on 1024.00 + 102.40 = 1126.40
/// (168.96), which is 1295.36, on which 6.25 % are charged: 80.96. By hand: 60 % of 1295.36 is 777.22 (777.216), of
/// the 24.00 paid 14.40; it cost 400.50, so that 362.32 is left; as estimated 777.22 - 600.00 - 14.40 = 162.82. The
/// 80.96 are nobody's income here.
#[test]
fn no_tax_is_earned() {
    let percent = |rate: f64| json!({"value": rate, "unit": "%"});
    let steps = json!([
        {"step": "direct", "amount": "1000.00"},
        {"step": "tax_paid", "rate": percent(5.0), "base": "480.00", "amount": "24.00"},
        {"step": "overhead", "rate": percent(10.0), "base": "1024.00", "amount": "102.40"},
        {"step": "profit", "rate": percent(15.0), "basis": "markup", "base": "1126.40", "amount": "168.96"},
        {"step": "tax_charged", "rate": percent(6.25), "base": "1295.36", "amount": "80.96"},
    ]);
    let mut answer = estimate();
    answer["price"]["build_up"] = steps;
    answer["price"]["total"] = json!("1376.32");
    let bills = json!({"bills": [{"code": "concrete", "supplier": "Invented plant", "amount": "400.50", "document": "7"}]});
    let told = tell(
        bills,
        json!({"percent_complete": "60 %", "estimate": answer}),
    );
    let told = told.unwrap_or_else(|faults| panic!("{faults}"));
    let earned = told.earned.expect("it is said");
    assert_eq!(earned.earned.to_string(), "777.22");
    assert_eq!(earned.tax_paid.to_string(), "14.40");
    assert_eq!(earned.margin.to_string(), "362.32");
    assert_eq!(earned.margin_estimated.to_string(), "162.82");
}

/// By hand: 60 % of 1265.00 is 759.00; it cost 400.50, so that 358.50 is left; as estimated it would be 759.00 -
/// 600.00 = 159.00. Of 759.00, 500.00 were billed.
#[test]
fn what_is_earned_and_not_billed() {
    let bills = json!({"bills": [{"code": "concrete", "supplier": "Invented plant", "amount": "400.50", "document": "7"}]});
    let told = tell(
        bills.clone(),
        json!({"percent_complete": "60 %", "billed": "500.00"}),
    );
    let earned = told.ok().and_then(|told| told.earned).expect("it is said");
    assert_eq!(earned.earned.to_string(), "759.00");
    assert_eq!(earned.margin.to_string(), "358.50");
    assert_eq!(earned.margin_estimated.to_string(), "159.00");
    assert_eq!(
        earned.not_billed.map(|open| open.to_string()).as_deref(),
        Some("259.00")
    );
    assert_eq!(
        tell(bills, json!({})).ok().and_then(|told| told.earned),
        None
    );
}
