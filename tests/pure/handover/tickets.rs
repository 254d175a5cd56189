//! Delivery tickets beside the order, by hand.

use super::{handed, sent_with, whole};
use crossfall::quantity::System;
use crossfall::quantity::shown::Yd3M3;
use serde_json::{Value, json};

fn ticket(number: &str, volume: &str) -> Value {
    json!({"number": number, "plant": "River plant (invented)", "volume": volume})
}

fn concrete(tickets: Value) -> Value {
    handed(&sent_with(json!({"tickets": tickets})))["concrete"].clone()
}

#[test]
fn without_tickets_nothing_is_known_of_what_came() {
    let told = concrete(json!([]));
    assert_eq!(told["delivered"], Value::Null);
    assert!(
        told["remarks"].to_string().contains("No delivery ticket"),
        "{told}"
    );
}

/// By hand: three and one and a quarter yards.
#[test]
fn tickets_sum_beside_the_order_and_the_drawing() {
    let told = whole(&sent_with(
        json!({"tickets": [ticket("1", "3 yd3"), ticket("2", "1.25 yd3")]}),
    ));
    let sum = told.concrete.delivered.expect("two tickets").shown();
    assert_eq!((sum.value, sum.unit), (4.25, "yd3"));
    let (net, order) = (
        told.concrete.net.shown().value,
        told.concrete.ordered.shown().value,
    );
    assert!(net > 3.0 && net <= order, "{net} {order}");
    let exact =
        |yards: f64| concrete(json!([ticket("1", &format!("{yards} yd3"))]))["remarks"].clone();
    assert_eq!(exact(order), json!([]), "the order itself");
    let less = exact(net - 0.01).to_string();
    assert!(
        less.contains("a ticket is missing, or the slab is thinner"),
        "{less}"
    );
    let more = exact(order + 0.25).to_string();
    assert!(more.contains("more than the"), "{more}");
    // The same volume in metric: 0.764554857984 m3 in a cubic yard (NIST SP 811, B.8).
    let metric = Yd3M3::of(
        crossfall::quantity::Volume::from_cubic_yards(order),
        System::Metric,
    );
    let metric = metric.shown().value;
    assert!((metric - order * 0.764_554_857_984).abs() < 0.000_6);
}

/// ASTM C94, second hand: a truck is empty within 90 minutes of batching. By hand: 7:40 to 9:10 is 90, 9:11 is 91.
#[test]
fn a_truck_that_was_late_is_told() {
    let of = |emptied: &str| {
        let mut one = ticket("7", "6 yd3");
        one["batched"] = json!("07:40");
        one["emptied"] = json!(emptied);
        concrete(json!([one]))
    };
    let good = of("09:10");
    assert_eq!(good["tickets"][0]["minutes"], 90);
    assert!(
        !good["remarks"].to_string().contains("after batching"),
        "{good}"
    );
    let late = of("09:11");
    assert!(
        late["remarks"]
            .to_string()
            .contains("91 min after batching"),
        "{late}"
    );
}

/// The fields of a job: 6 % and 1.5 % either way at 3/4 in stone in severe exposure (ACI 318, second hand).
#[test]
fn air_outside_its_target_is_told_where_it_freezes() {
    let of = |air: &str, exposure: &str| {
        let mut one = ticket("7", "6 yd3");
        one["air"] = json!(air);
        let mut all = sent_with(json!({"tickets": [one]}));
        all["job"]["site"] = json!({"exposure": exposure});
        all["job"]["slab"] = json!({"concrete": {"aggregate": "3/4 in"}});
        handed(&all)["concrete"]["remarks"].to_string()
    };
    for (air, told) in [
        ("4.4 %", true),
        ("4.5 %", false),
        ("7.5 %", false),
        ("7.6 %", true),
    ] {
        assert_eq!(of(air, "F3").contains("of air, outside"), told, "{air}");
    }
    assert!(!of("1 %", "F0").contains("of air"));
}
