//! The demo book prices all that a takeoff can name, and says that it is invented.

use super::*;
use crate::catalog::{
    PriceList, check_code, check_item, check_price, check_supplier, check_wage, sum_components,
};
use crate::quantity::Faults;
use std::{collections::BTreeSet, sync::Arc};

/// Every code that a takeoff can name, by the families in which they come.
fn codes() -> BTreeSet<String> {
    let families: [(&str, &[&str], &str); 9] = [
        ("concrete-", &["3500", "4000", "4500", "5000"], "-air"),
        ("concrete-", &["2500", "3000", "4000"], ""),
        ("stone-", &["dense-graded", "clean-3-4in"], ""),
        ("xps-iv-", &["1", "1-1-2", "2", "3"], "in-4x8"),
        ("bar-no", &["3", "4", "5", "6"], "-20ft"),
        ("bar-no", &["3", "4", "5", "6"], "-40ft"),
        (
            "",
            &[
                "plate-compactor",
                "early-entry-saw",
                "wet-saw",
                "sprayer",
                "breaker",
                "mini-excavator",
            ],
            "-day",
        ),
        ("wire-6x6-w", &["1-4", "2-1", "2-9", "4-0"], "-5x10"),
        ("", &["silane", "siloxane", "silicate", "acrylic"], "-5gal"),
    ];
    let named = families.iter().flat_map(|(head, middles, tail)| {
        middles
            .iter()
            .map(move |middle| format!("{head}{middle}{tail}"))
    });
    let boards = ["2x4", "2x6", "2x8", "2x10", "2x12"]
        .iter()
        .flat_map(|section| {
            ["10", "12", "16"]
                .iter()
                .map(move |feet| format!("board-{section}-{feet}ft"))
        });
    let single = "bag-80lb tie-wire-roll bar-chair stake-24in concrete-screw-3in \
        release-agent-gal filler-1-2in-10ft sealant-29oz curing-cover curing-compound-gal \
        handrail-ft short-load-yd3 truck-wait-min stone-delivery permit-fee \
        concrete-pump-visit handrail-set-ft haul-load dowel-adhesive rail-anchor form-kicker \
        blade-early-entry-ft blade-wet-ft volumetric-yd3 volumetric-visit \
        blanket-ft2 concrete-heated-yd3 concrete-cooled-yd3 accelerator-yd3 retarder-yd3 \
        evaporation-film-gal windbreak-ft sheet-ft2";
    named
        .chain(boards)
        .chain(single.split_whitespace().map(str::to_owned))
        .collect()
}

fn list(as_of: &str) -> PriceList {
    let history = Arc::new(demo_history().expect("the demo book can be read"));
    PriceList::new(history, None, as_of.parse().expect("a day")).expect("it has a revision")
}

#[test]
fn the_demo_book_prices_every_item_and_no_other() {
    let list = list("2026-05-04");
    let priced: BTreeSet<String> = list
        .items()
        .filter(|item| list.quote(&item.code).is_ok())
        .map(|item| item.code.clone())
        .collect();
    assert_eq!(priced, codes());
}

#[test]
fn the_demo_book_says_that_it_is_invented() {
    let list = list("2026-05-04");
    assert!(list.is_demo() && list.name().contains("invented"));
    for item in list.items() {
        let quote = list.quote(&item.code).expect("priced");
        assert!(quote.from.supplier.contains("invented"), "{}", item.code);
    }
}

#[test]
fn the_demo_book_keeps_to_the_bounds() {
    let (head, change) = demo_book().expect("the demo book can be read");
    let mut faults = Faults::default();
    check_code(&head.code, "", &mut faults);
    for supplier in &change.suppliers {
        check_supplier(supplier, &supplier.code, &mut faults);
    }
    for item in &change.items {
        check_code(&item.code, &item.code, &mut faults);
        check_item(item, &item.code, &mut faults);
    }
    for price in &change.prices {
        check_price(price, &price.item, &mut faults);
    }
    for wage in &change.wages {
        check_wage(wage, &wage.class, &mut faults);
    }
    assert!(faults.is_empty(), "{faults}");
}

#[test]
fn an_older_day_has_an_older_price() {
    let price = |as_of| {
        list(as_of)
            .quote("concrete-4500-air")
            .expect("priced")
            .unit_price
    };
    assert_eq!(price("2026-03-01").to_string(), "171.50");
    assert_eq!(price("2026-03-02").to_string(), "178.00");
    let terms = list("2026-05-04").terms("concrete-4500-air");
    assert_eq!(
        terms.short_load_below_yd3,
        Some("5".parse().expect("a decimal"))
    );
}

#[test]
fn an_hour_of_the_demo_crew_is_the_sum_of_its_parts() {
    for (as_of, finisher, labourer) in [
        ("2025-12-31", "56.0996", "42.00"),
        ("2026-01-01", "58.40", "43.75"),
    ] {
        let list = list(as_of);
        let hour = |class| {
            let (wage, _) = list.wage(class).expect("a wage");
            sum_components(&wage.components()).to_string()
        };
        assert_eq!(
            (hour("finisher").as_str(), hour("labourer").as_str()),
            (finisher, labourer)
        );
    }
}
