//! Money against a decimal library: products, percentages, margins and texts to the last cent.

use crate::config;
use crossfall::quantity::Percent;
use crossfall::quantity::money::{Amount, Currency, Decimal4, Percentage, UnitPrice, extend};
use proptest::prelude::*;
use rust_decimal::{Decimal, RoundingStrategy};
use std::str::FromStr;

/// Currencies of every number of decimals.
const CODES: [&str; 4] = ["JPY", "USD", "KWD", "CLF"];

fn currency() -> impl Strategy<Value = Currency> {
    proptest::sample::select(CODES.to_vec())
        .prop_map(|code| Currency::of_code(code).expect("a code of three capitals"))
}

/// Half away from zero, to the currency's decimals.
fn rounded(exact: Decimal, currency: Currency) -> Decimal {
    let places = u32::from(currency.exponent());
    exact.round_dp_with_strategy(places, RoundingStrategy::MidpointAwayFromZero)
}

fn same(amount: Amount, wanted: Decimal) -> bool {
    Decimal::new(amount.minor(), u32::from(amount.places())) == wanted
}

/// Ten-thousandths that often end in the fives and zeros on which rounding turns.
fn ten_thousandths() -> impl Strategy<Value = i64> {
    prop_oneof![
        -10_000_000_000..10_000_000_000_i64,
        (-2_000_000..2_000_000_i64).prop_map(|n| n * 50),
        -20_000..20_000_i64,
    ]
}

proptest! {
    #![proptest_config(config())]

    #[test]
    fn a_line_is_the_exact_product_rounded_once(
        quantity in ten_thousandths(), price in ten_thousandths(), currency in currency(),
    ) {
        let line = extend(
            Decimal4::from_ten_thousandths(quantity),
            UnitPrice::from_ten_thousandths(price),
            &currency,
        );
        let exact = Decimal::new(quantity, 4) * Decimal::new(price, 4);
        prop_assert!(same(line, rounded(exact, currency)), "{} is not {}", line, exact);
    }

    #[test]
    fn shares_and_margins_are_rounded_once(
        minor in -10_000_000_000..10_000_000_000_i64, share in 0..1_500_000_i64,
        currency in currency(),
    ) {
        let base = Amount::from_minor(minor, &currency);
        let exact = Decimal::new(minor, u32::from(currency.exponent()));
        let part = Decimal::new(share, 6);
        let share = Percentage::from_millionths(share);
        prop_assert!(same(base.percent(share), rounded(exact * part, currency)));
        let rest = Decimal::ONE - part;
        let margin = (rest > Decimal::ZERO).then(|| rounded(exact * part / rest, currency));
        prop_assert_eq!(base.margin(share).is_some(), margin.is_some());
        if let (Some(profit), Some(wanted)) = (base.margin(share), margin) {
            prop_assert!(same(profit, wanted), "{} is not {}", profit, wanted);
        }
    }

    #[test]
    fn sums_are_exact(minors in proptest::collection::vec(-1_000_000_000..1_000_000_000_i64, 0..50),
        currency in currency())
    {
        let amounts = minors.iter().map(|minor| Amount::from_minor(*minor, &currency));
        let sum: Amount = amounts.clone().sum();
        prop_assert_eq!(sum.minor(), minors.iter().sum::<i64>());
        prop_assert_eq!(amounts.fold(Amount::ZERO, |sum, one| sum + one), sum);
        prop_assert_eq!(sum - sum, Amount::ZERO);
        prop_assert_eq!(-sum + sum, Amount::zero(&currency));
    }

    #[test]
    fn texts_read_back_and_agree_with_the_library(number in ten_thousandths(), currency in currency()) {
        let price = UnitPrice::from_ten_thousandths(number);
        prop_assert_eq!(UnitPrice::parse(&price.to_string()).ok(), Some(price));
        prop_assert_eq!(Decimal::from_str(&price.to_string()).ok(), Some(Decimal::new(number, 4)));
        let quantity = Decimal4::from_ten_thousandths(number);
        prop_assert_eq!(Decimal4::parse(&quantity.to_string()).ok(), Some(quantity));
        let plain = Decimal::new(number, 4).normalize().to_string();
        prop_assert_eq!(quantity.to_string(), plain);
        let amount = Amount::from_minor(number, &currency);
        let wanted = Decimal::new(number, u32::from(currency.exponent())).to_string();
        prop_assert_eq!(amount.to_string(), wanted);
        prop_assert_eq!(Amount::parse(&amount.to_string()).ok(), Some(amount));
        let share = Percentage::from_millionths(number);
        prop_assert_eq!(Percentage::parse(&share.to_string()).ok(), Some(share));
    }

    #[test]
    fn what_the_library_cannot_read_is_refused_and_nothing_panics(
        text in prop_oneof![any::<String>(), "[-+0-9.,eE %$]{0,12}"],
    ) {
        if let Ok(price) = UnitPrice::parse(&text) {
            let other = Decimal::from_str(&text);
            prop_assert_eq!(other.ok(), Some(Decimal::new(price.ten_thousandths(), 4)));
        }
        if let Ok(amount) = Amount::parse(&text) {
            prop_assert!(Decimal::from_str(&text).is_ok_and(|other| same(amount, other)));
        }
        let _ = (Decimal4::parse(&text), Percentage::parse(&text), Currency::of_code(&text));
    }

    #[test]
    fn a_step_is_never_missed_nor_passed(count in 0..100_000_u32, step in 1..20_000_i64, less in 0.01..0.99_f64) {
        let step = Decimal4::from_ten_thousandths(step);
        let whole = Decimal4::from_ten_thousandths(i64::from(count) * step.ten_thousandths());
        prop_assert_eq!(Decimal4::up_to_step(whole.number(), step), Some(whole));
        let within = (f64::from(count) - less) * step.number();
        prop_assert_eq!(Decimal4::up_to_step(within, step), Some(whole));
        let near = if less < 0.5 { Some(whole) } else { Some(whole - step) };
        prop_assume!((less - 0.5).abs() > 1e-6);
        prop_assert_eq!(Decimal4::nearest_step(within, step), near);
    }
}

#[test]
fn only_plain_decimal_text_is_money() {
    for text in [
        "",
        "-",
        ".5",
        "5.",
        "1,000",
        "1e3",
        "$5",
        "+5",
        "5 ",
        "0.00001",
        "1234567890",
        "٣",
    ] {
        assert!(UnitPrice::parse(text).is_err(), "{text}");
    }
    for (text, printed) in [
        ("178", "178.00"),
        ("-0.1", "-0.10"),
        ("007.5", "7.50"),
        ("-0", "0.00"),
    ] {
        assert_eq!(
            UnitPrice::parse(text)
                .map(|price| price.to_string())
                .as_deref(),
            Ok(printed)
        );
    }
}

#[test]
fn beyond_any_job_money_stops_and_does_not_wrap() {
    let most = Amount::from_minor(i64::MAX, &Currency::USD);
    assert_eq!(most + most, most);
    assert_eq!(-most - most, Amount::from_minor(i64::MIN, &Currency::USD));
    assert_eq!(Decimal4::nearest(f64::NAN, 2), None);
    assert_eq!(Decimal4::nearest(1e9, 2), None);
    assert_eq!(
        Decimal4::nearest(2.675, 2),
        Some(Decimal4::from_ten_thousandths(26_800))
    );
    assert_eq!(Decimal4::up_to_step(1.0, Decimal4::ZERO), None);
}

#[test]
fn a_price_is_changed_by_a_share_of_itself() {
    let price = UnitPrice::from_ten_thousandths(1_780_000);
    let more = Percentage::of(Percent::from_percent(6.25));
    assert_eq!(price.changed(more).to_string(), "189.125");
    assert_eq!(
        Percentage::of(Percent::from_percent(6.25)).millionths(),
        62_500
    );
    assert_eq!(
        price
            .changed(Percentage::from_millionths(-500_000))
            .to_string(),
        "89.00"
    );
}

#[test]
fn a_currency_is_three_capital_letters() {
    assert_eq!(Currency::of_code("USD"), Some(Currency::USD));
    assert_eq!(Currency::of_code("JPY").map(|yen| yen.exponent()), Some(0));
    assert_eq!(
        Currency::of_code("KWD").map(|dinar| dinar.exponent()),
        Some(3)
    );
    for code in ["usd", "US", "USDX", "U D", "ÜS"] {
        assert_eq!(Currency::of_code(code), None, "{code}");
    }
}
