//! Figures that others published, and ours beside them.

use crossfall::crew::{Modifier, RateRow, Rates, Stint, man_days, price_overtime, work_days};
use crossfall::quantity::Span;
use crossfall::quantity::money::{Currency, Decimal4, UnitPrice};

fn row(code: &str) -> &'static RateRow {
    let mut rows = Rates::built_in().rows().into_iter();
    rows.find(|row| row.code == code)
        .expect("a row of that code")
}

/// Navy training manual Builder Advanced, NAVEDTRA 14045, online page 69 (second hand):
/// 16,000 ft2 at 33 man-hours per 1,000 ft2 in days of 8 h are 66 man-days.
#[test]
fn sixteen_thousand_square_feet_are_66_man_days() {
    let days = man_days(
        16_000.0,
        1_000.0,
        Span::from_hours(33.0),
        Span::from_hours(8.0),
    );
    assert!((days - 66.0).abs() < 1e-9, "{days}");
}

/// The same manual, online page 71 (second hand): 70 man-days, a crew of 12, availability 0.75,
/// efficiency 0.9375 are 8.3 working days, so 9. Exact: 8.296.
#[test]
fn seventy_man_days_are_9_work_days_of_a_crew_of_12() {
    let (exact, whole) = work_days(70.0, 12, 0.75, 0.9375);
    assert!((exact - 8.296_296_296).abs() < 1e-6, "{exact}");
    assert_eq!(whole, 9);
}

/// The manual's delay factor turns 66 man-days into 70; an even number of days buys no day more.
#[test]
fn an_even_number_of_days_stays_what_it_is() {
    assert_eq!(work_days(72.0, 12, 0.75, 1.0), (8.0, 8));
}

fn stint(hours: u32, rate: &str) -> Stint {
    Stint {
        hours: Decimal4::whole(hours),
        rate: UnitPrice::parse(rate).expect("a price"),
    }
}

/// An employment-law note on 29 CFR 778.115 (second hand): 21 h at $8.50 and 26 h at $9.00 are
/// $412.50 straight; regular rate $8.78, half of it $4.39, premium for 7 h $30.73.
#[test]
fn a_week_at_two_rates_has_a_premium_of_30_73() {
    let dollars = Currency::of_code("USD").expect("a currency");
    let week = [stint(21, "8.50"), stint(26, "9.00")];
    let pay = price_overtime(&week, Decimal4::whole(40), &dollars).expect("a week with hours");
    assert_eq!(pay.straight.to_string(), "412.50");
    assert_eq!(pay.regular_rate.to_string(), "8.78");
    assert_eq!(pay.half_rate.to_string(), "4.39");
    assert_eq!(pay.premium.to_string(), "30.73");
}

/// Department of Labor, 29 CFR 778.110, older text (second hand): $6 an hour, 46 h are $294.
#[test]
fn a_week_at_one_rate_is_294() {
    let dollars = Currency::of_code("USD").expect("a currency");
    let week = [stint(46, "6.00")];
    let pay = price_overtime(&week, Decimal4::whole(40), &dollars).expect("a week with hours");
    assert_eq!((pay.straight + pay.premium).to_string(), "294.00");
    let none = price_overtime(&[stint(40, "6.00")], Decimal4::whole(40), &dollars);
    assert!(none.is_some_and(|pay| pay.premium.is_zero()));
    assert_eq!(price_overtime(&[], Decimal4::whole(40), &dollars), None);
}

/// A cubic yard of slab 5 in thick covers 64.8 ft2 (324 over the inches).
const FT2_OF_5_IN: f64 = 64.8;

fn flatwork_per_yd3(of: fn(&RateRow) -> f64, place: &str) -> f64 {
    let surface: f64 = ["strike-off", "finish", "cover-on"]
        .iter()
        .map(|code| of(row(code)))
        .sum();
    of(row(place)) + surface * FT2_OF_5_IN
}

/// IS 7272 (Part 1):1974, Table 1 (second hand): plain concrete mixed by machine, placed and cured
/// takes 20.0 h/m3, 15.3 h/yd3. Ready-mix, even when little goes well, takes under half of that;
/// bags mixed on site come near it.
#[test]
fn ready_mix_takes_well_under_the_published_constant_for_site_mixing() {
    let published = 15.3;
    for place in ["place-chute", "place-barrow", "place-buggy", "place-pump"] {
        let ours = flatwork_per_yd3(|row| row.high, place);
        assert!(ours < published / 2.0, "{place}: {ours} h/yd3");
    }
    let bags = flatwork_per_yd3(|row| row.likely, "place-bags");
    assert!(bags < published && bags > published / 3.0, "{bags} h/yd3");
}

/// The same table: erecting and stripping forms takes at least 2 h/m2, 0.186 h/ft2.
#[test]
fn forms_take_less_than_the_published_constant() {
    let ours = row("form-side").likely + row("strip-side").likely;
    assert!(ours < 2.0 / 10.7639, "{ours} h/ft2");
}

/// "Concrete Construction: Methods and Costs", 1908, page 124 (second hand): two masons and two
/// labourers lay 500 ft2 of walk in a day of 10 h, hand mixing included: 0.080 h/ft2.
#[test]
fn flatwork_takes_less_than_hand_mixing_did_in_1908() {
    let published = 4.0 * 10.0 / 500.0;
    let ours = flatwork_per_yd3(|row| row.likely, "place-chute") / FT2_OF_5_IN;
    assert!(ours < published, "{ours} h/ft2");
    assert!(
        ours > published / 4.0,
        "{ours} h/ft2 is too good to be true"
    );
}

/// Published work beside a row of ours: task, hours by others for a cubic yard, and the shares of them
/// between which our low and our high must lie.
struct Beside {
    task: &'static str,
    published: f64,
    shares: (f64, f64),
}

/// Days of 8 hours for a cubic metre, all trades together, as hours for a cubic yard (0.764555 m3).
fn by_days(days: f64) -> f64 {
    days * 8.0 * 0.764_555
}

fn hold(rows: &[Beside]) {
    for Beside {
        task,
        published,
        shares: (least, most),
    } in rows
    {
        let row = row(task);
        let (low, high) = (row.low / published, row.high / published);
        assert!(
            low >= *least,
            "{task}: {low} of {published} h/yd3 is too little"
        );
        assert!(
            high <= *most,
            "{task}: {high} of {published} h/yd3 is too much"
        );
    }
}

/// IS 7272 (Part 1):1974, Table 1 (second hand; water carriers are labourers): digging hard soil by hand
/// over areas 0.06 + 0.62 days a m3, trenches in soft soil 0.05 + 0.50, backfill rammed in layers 0.25 +
/// 0.02. Work by hand is work by hand: ours lies near, from a fifth of the constant up to all of it.
#[test]
fn hand_work_lies_near_the_published_constants() {
    hold(&[
        Beside {
            task: "dig-hand",
            published: by_days(0.68),
            shares: (0.2, 1.0),
        },
        Beside {
            task: "dig-hand",
            published: by_days(0.55),
            shares: (0.2, 1.0),
        },
        Beside {
            task: "fill-back",
            published: by_days(0.27),
            shares: (0.2, 1.0),
        },
    ]);
    assert!(
        row("dig-machine").high < by_days(0.55) / 4.0,
        "a machine is no spade"
    );
}

/// The same table: mixing alone, by machine at the banker, 0.50 + 0.10 + 0.07 days a m3; plain concrete
/// mixed, placed and cured 2.50; reinforced concrete in footings, without forms and steel, 3.14. Bags are
/// mixed and placed, so they lie between the first two; ready-mix is well below all that is mixed on site.
#[test]
fn what_is_not_mixed_on_site_is_well_below_what_is() {
    let (mixing, placed, footings) = (
        by_days(0.67),
        by_days(2.50),
        by_days(0.17 + 2.0 + 0.9 + 0.07),
    );
    let bags = row("place-bags");
    assert!(mixing < bags.low && bags.high < placed, "{bags:?}");
    for task in ["place-chute", "place-barrow", "place-buggy", "place-pump"] {
        hold(&[Beside {
            task,
            published: placed,
            shares: (0.02, 0.15),
        }]);
    }
    hold(&[Beside {
        task: "footings-walls",
        published: footings,
        shares: (0.02, 0.15),
    }]);
}

/// "Concrete Construction: Methods and Costs", 1908 (second hand): on page 116 ten men wheel, mix and place
/// 4.5 yd3 of pavement base in an hour; on page 113 a retaining wall of about 424 yd3 took 2,398 hours of
/// labourers and 224 of the foreman, mixing by hand included.
#[test]
fn placing_takes_less_than_wheeling_and_mixing_did_in_1908() {
    let (base, wall) = (10.0 / 4.5, (2_398.0 + 224.0) / 424.0);
    for task in ["place-chute", "place-barrow", "place-buggy", "place-pump"] {
        hold(&[Beside {
            task,
            published: base,
            shares: (0.2, 0.75),
        }]);
    }
    hold(&[Beside {
        task: "footings-walls",
        published: wall,
        shares: (0.1, 0.5),
    }]);
}

/// The same book, page 124: 0.080 h/ft2 of walk in all. Wheeled, struck off, finished and covered when
/// little goes well, ours still stays below; the finishing alone below a half.
#[test]
fn a_walk_takes_less_than_in_1908_even_when_little_goes_well() {
    let published = 4.0 * 10.0 / 500.0;
    let wheeled = flatwork_per_yd3(|row| row.high, "place-barrow") / FT2_OF_5_IN;
    assert!(wheeled < published, "{wheeled} h/ft2");
    let finishing = row("strike-off").high + row("finish").high;
    assert!(finishing < published / 2.0, "{finishing} h/ft2");
    let least = row("strike-off").low + row("finish").low;
    assert!(
        least > published / 8.0,
        "{least} h/ft2 is too good to be true"
    );
}

fn modifier(code: &str) -> &'static Modifier {
    let mut modifiers = Rates::built_in().modifiers.iter();
    let found = modifiers.find(|modifier| modifier.code == code);
    found.expect("a modifier of that code")
}

/// The same page: labour for 100 ft2 is $5.59 on a walk of 6 ft and $6.73 on one of 4 ft. Our rows describe
/// 5 ft. With a part by area and one by length, a + b / width, b = 1.14 / (1/4 - 1/6) = 13.68 and a = 3.31:
/// $6.046 at 5 ft, so 1.113 at 4 ft; in a straight line $6.16, so 1.093. From 6 ft it is 1.204 in all.
#[test]
fn a_narrow_walk_takes_what_it_took_in_1908() {
    let (wide, narrow) = (5.59, 6.73);
    let by_length = (narrow - wide) / (1.0 / 4.0 - 1.0 / 6.0);
    let by_area = wide - by_length / 6.0;
    let most = narrow / (by_area + by_length / 5.0);
    let least = narrow / f64::midpoint(wide, narrow);
    assert!(
        (least - 1.0925).abs() < 1e-4 && (most - 1.1131).abs() < 1e-4,
        "{least} {most}"
    );
    let ours = modifier("narrow");
    assert!(least < ours.likely && ours.likely < most, "{ours:?}");
    assert!((ours.high - narrow / wide).abs() < 0.005, "{ours:?}");
    assert!(1.0 < ours.low && ours.low < least, "{ours:?}");
}

/// The float's share of the row that floats, edges and brooms, from our own rows: both sides of a slab 5 ft
/// wide edged at the rate of a tooled joint, and a broom that goes over as fast as compound is sprayed.
#[test]
fn the_float_s_share_is_what_edge_and_broom_leave() {
    let edge = 2.0 / 5.0 * row("joint-tooled").likely;
    let left = row("finish").likely - edge - row("cure-compound").likely;
    let share = left / row("finish").likely;
    let ours = &Rates::built_in().figures.float_share;
    assert!((share - 0.477).abs() < 0.001, "{share}");
    assert!((ours.likely - share).abs() < 0.05, "{share}");
    assert!(ours.low < share && share < ours.high);
}
