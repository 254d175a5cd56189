//! From whom to buy: terms of suppliers on the price, and the cheapest whole order.

use super::*;
use crossfall::catalog::{ReadyMixTerms, ShortLoadStep, Zone};
use crossfall::price::PriceLine;
use crossfall::quantity::money::{Amount, UnitPrice};

fn money(text: &str) -> UnitPrice {
    text.parse().expect("a price")
}

fn zones(of: &[(&str, &str)]) -> Vec<Zone> {
    let zone = |(name, fee): &(&str, &str)| Zone {
        name: (*name).to_owned(),
        fee: money(fee),
    };
    of.iter().map(zone).collect()
}

/// The demo book with further suppliers and prices.
fn book(suppliers: Vec<Supplier>, prices: Vec<Price>) -> PriceList {
    let change = Change {
        suppliers,
        prices,
        ..Change::default()
    };
    list_of(&write(&demo(), &change), "2026-05-04")
}

fn line<'a>(found: &'a Estimate, code: &str) -> Option<&'a PriceLine> {
    found.priced.lines.iter().find(|line| line.code == code)
}

/// What a job pays for goods and fees: all but labour, tax and percentages.
fn bought(found: &Estimate) -> Amount {
    let lines = found.priced.lines.iter();
    let goods = lines.filter(|line| matches!(line.class, Class::Material | Class::Fee));
    goods.map(|line| line.extended).sum()
}

/// A second plant: dearer by the yard, with no charge for small loads.
fn hill_plant() -> (Supplier, Vec<Price>) {
    let plant = Supplier {
        terms: ReadyMixTerms {
            short_load_below_yd3: Some(decimal("1")),
            truck_most_yd3: Some(decimal("10")),
            free_unloading_min_per_yd3: Some(decimal("20")),
        },
        ..seller("hill-plant")
    };
    let of = |item: &str, dollars: &str| price(item, "hill-plant", dollars, "2026-03-02");
    let prices = vec![
        of("concrete-4500-air", "186"),
        of("short-load-yd3", "60"),
        of("truck-wait-min", "3"),
    ];
    (plant, prices)
}

#[test]
fn the_plant_is_chosen_by_all_that_it_would_charge() {
    let (plant, prices) = hill_plant();
    let list = book(vec![plant], prices);
    let cheapest = estimate(&list, &straight(r#""book": {"buying": "cheapest"},"#));
    let preferred = estimate(&list, &straight(""));
    let mix = |found: &Estimate| {
        line(found, "concrete-4500-air")
            .expect("concrete")
            .supplier
            .clone()
    };
    assert_eq!(
        mix(&preferred).as_deref(),
        Some("pit-road-plant"),
        "cheaper by the yard"
    );
    assert_eq!(
        mix(&cheapest).as_deref(),
        Some("hill-plant"),
        "cheaper all in all"
    );
    assert!(bought(&cheapest) < bought(&preferred));
    let choice = &cheapest.priced.choices[0];
    let next = choice.runner_up.as_ref().expect("the other plant");
    assert_eq!(choice.supplier, "hill-plant");
    assert_eq!(next.suppliers, ["Pit road plant (invented)"]);
    assert_eq!(next.difference, next.landed - choice.landed);
    assert_eq!(
        next.difference,
        bought(&preferred) - bought(&cheapest),
        "that is what it saves"
    );
    assert!(preferred.priced.choices.is_empty());
}

#[test]
fn waiting_is_priced_by_the_plant_that_brings_the_concrete() {
    let (plant, mut prices) = hill_plant();
    prices.retain(|price| price.item != "concrete-4500-air");
    let list = book(vec![plant], prices);
    let found = estimate(&list, &straight(""));
    let short = line(&found, "short-load-yd3").expect("a short load");
    assert_eq!(short.supplier.as_deref(), Some("pit-road-plant"));
    assert_eq!(short.unit_price.to_string(), "45.00");
}

#[test]
fn a_plant_s_own_steps_take_the_place_of_the_charge_by_the_yard() {
    let step = |below: &str, fee: &str| ShortLoadStep {
        below_yd3: decimal(below),
        fee: money(fee),
    };
    let list = list_of(&demo(), "2026-05-04");
    let known = list.supplier("pit-road-plant").expect("known").clone();
    let plant = Supplier {
        short_load_steps: vec![step("2", "150"), step("4.5", "85"), step("6", "40")],
        ..known
    };
    let found = estimate(&book(vec![plant], Vec::new()), &straight(""));
    assert!(line(&found, "short-load-yd3").is_none());
    let order = found.headline.concrete_order.cubic_yards();
    let fee = line(&found, "short-load-pit-road-plant").expect("a short load");
    let expected = if order < 4.5 { "85.00" } else { "40.00" };
    assert!((2.0..6.0).contains(&order), "{order} yd3");
    assert_eq!(
        (
            fee.quantity.to_string().as_str(),
            fee.unit_price.to_string().as_str()
        ),
        ("1", expected)
    );
    assert_eq!(found.headline.short_load_fee, Some(fee.extended));
}

#[test]
fn a_delivery_costs_what_its_zone_does_and_is_left_open_without_one() {
    let list = list_of(&demo(), "2026-05-04");
    let known = list.supplier("quarry-yard").expect("known").clone();
    let quarry = Supplier {
        zones: zones(&[("A", "55"), ("B", "80")]),
        ..known
    };
    let list = book(vec![quarry], Vec::new());
    let near = estimate(&list, &straight(r#""site": {"zone": "a"},"#));
    let fee = line(&near, "delivery-quarry-yard").expect("a delivery");
    assert_eq!(fee.unit_price.to_string(), "55.00");
    assert!(line(&near, "stone-delivery").is_none(), "not charged twice");
    assert!(near.priced.complete());
    for (zone, says) in [
        ("", "site.zone"),
        (r#""site": {"zone": "C"},"#, "no zone \"C\""),
    ] {
        let open = estimate(&list, &straight(zone));
        assert!(!open.priced.complete());
        let why = &open.priced.unpriced[0].why;
        assert!(why.contains(says) && why.contains("A, B"), "{why}");
    }
}

#[test]
fn a_least_order_is_made_up_and_a_large_enough_one_is_not() {
    let list = list_of(&demo(), "2026-05-04");
    let with = |least: &str| {
        let known = list.supplier("quarry-yard").expect("known").clone();
        let quarry = Supplier {
            minimum_order: Some(money(least)),
            ..known
        };
        estimate(&book(vec![quarry], Vec::new()), &straight(""))
    };
    let found = with("1000");
    let stone = line(&found, "stone-dense-graded").expect("stone").extended;
    let fee = line(&found, "least-order-quarry-yard").expect("made up");
    assert_eq!((stone + fee.extended).to_string(), "1000.00");
    assert!(line(&with("10"), "least-order-quarry-yard").is_none());
    assert!(
        line(&with(&stone.to_string()), "least-order-quarry-yard").is_none(),
        "just enough"
    );
}

/// Two yards sell steel and boards. The near one is a little cheaper by the piece for the steel,
/// but its delivery is dear, so one supplier for both is cheaper.
#[test]
fn one_delivery_can_be_cheaper_than_the_cheapest_pieces() {
    let list = list_of(&demo(), "2026-05-04");
    let mut suppliers = vec![Supplier {
        zones: zones(&[("A", "90")]),
        ..seller("near-yard")
    }];
    let steel = list.supplier("steel-yard").expect("known").clone();
    suppliers.push(Supplier {
        zones: zones(&[("A", "40")]),
        ..steel
    });
    let list = book(
        suppliers,
        vec![price("bar-no4-20ft", "near-yard", "12.00", "2026-04-13")],
    );
    let job = |buying: &str| {
        straight(&format!(
            r#""site": {{"zone": "A"}}, "book": {{"buying": "{buying}"}},"#
        ))
    };
    let cheapest = estimate(&list, &job("cheapest"));
    let by_piece = estimate(&list, &job("preferred"));
    let seller = |found: &Estimate| line(found, "bar-no4-20ft").expect("steel").supplier.clone();
    assert_eq!(
        seller(&by_piece).as_deref(),
        Some("near-yard"),
        "cheaper by the piece"
    );
    assert_eq!(
        seller(&cheapest).as_deref(),
        Some("steel-yard"),
        "its chairs and wire come along"
    );
    assert!(bought(&cheapest) < bought(&by_piece));
    let choice = cheapest
        .priced
        .choices
        .iter()
        .find(|choice| choice.supplier == "steel-yard");
    let next = choice
        .and_then(|choice| choice.runner_up.clone())
        .expect("the other yard");
    assert_eq!(next.difference, bought(&by_piece) - bought(&cheapest));
}

/// Every way of buying four goods from three yards, tried one by one, is the model. Least orders are
/// left out: buying one of the goods dearer to reach one is the only thing that is not weighed.
#[test]
fn no_other_way_of_buying_is_cheaper() {
    let goods = [
        "bar-no4-20ft",
        "tie-wire-roll",
        "bar-chair",
        "filler-1-2in-10ft",
    ];
    let yards = ["yard-a", "yard-b", "yard-c"];
    let mut dearest_saving = 0;
    for seed in 0..6_i64 {
        let fee = |yard: usize| (20 + (seed * 7 + yard as i64 * 13) % 50).to_string();
        let suppliers = yards.iter().enumerate().map(|(index, code)| Supplier {
            zones: zones(&[("A", &fee(index))]),
            ..seller(code)
        });
        let list = book(suppliers.collect(), offers(&goods, &yards, seed));
        let job = |buying: &str| {
            straight(&format!(
                r#""site": {{"zone": "A"}}, "book": {{"buying": "{buying}"}},"#
            ))
        };
        let found = bought(&estimate(&list, &job("cheapest")));
        let (mut least, mut most) = (None, found);
        for way in 0..81_usize {
            let of = |g: usize| yards[way / 3_usize.pow(g as u32) % 3].to_owned();
            let codes = goods.iter().enumerate();
            let chosen = codes.map(|(g, code)| ((*code).to_owned(), of(g))).collect();
            let other = bought(&estimate(&list.choosing(chosen), &job("preferred")));
            least = Some(least.map_or(other, |least: Amount| least.min(other)));
            most = most.max(other);
        }
        assert_eq!(Some(found), least, "seed {seed}");
        dearest_saving = dearest_saving.max((most - found).minor());
    }
    assert!(dearest_saving > 0, "the ways differ");
}

/// Prices of every yard for each of the goods, and the end of those who sold them before.
fn offers(goods: &[&str], yards: &[&str], seed: i64) -> Vec<Price> {
    let mut prices = Vec::new();
    for (g, code) in goods.iter().enumerate() {
        for (y, yard) in yards.iter().enumerate() {
            let cents = 400 + (seed * 97 + g as i64 * 131 + y as i64 * 59) % 900;
            let dollars = format!("{}.{:02}", cents / 100, cents % 100);
            prices.push(price(code, yard, &dollars, "2026-05-01"));
        }
    }
    for (code, yard, from) in [
        ("bar-no4-20ft", "steel-yard", "2026-04-13"),
        ("tie-wire-roll", "steel-yard", "2026-04-13"),
        ("bar-chair", "steel-yard", "2026-04-13"),
        ("filler-1-2in-10ft", "board-yard", "2026-01-05"),
    ] {
        prices.push(Price {
            unit_price: None,
            ..price(code, yard, "0", from)
        });
    }
    prices
}
