//! Figures that others published, and ours beside them.

use crossfall::crew::{RateRow, Rates, Stint, man_days, price_overtime, work_days};
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
