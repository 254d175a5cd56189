//! What may enter a price book: shapes of codes and texts, least and most of numbers.
//!
//! Invariants: every fault is found, not only the first; a bound is a row. Absent here: whether a
//! code is known, which only the book can say.

use super::{BurdenOn, Charge, IndexValue, Item, OwnRate, Price, Settings, Supplier, Wage};
use crate::quantity::{
    Fault, Faults, is_line,
    money::{Decimal4, Percentage, UnitPrice},
};
use chrono::{Datelike, NaiveDate};

/// Least and most of a number, both allowed, in ten-thousandths.
struct Bound {
    least: i64,
    most: i64,
    accepted: &'static str,
    example: &'static str,
}

const STEP: Bound = Bound {
    least: 1,
    most: 10_000_000_000,
    accepted: "a decimal from \"0.0001\" to \"1000000\"",
    example: "0.25",
};
const AMOUNT: Bound = Bound {
    least: 0,
    most: 10_000_000_000,
    accepted: "a decimal from \"0\" to \"1000000\"",
    example: "1",
};
const MINUTES: Bound = Bound {
    least: 0,
    most: 100_000_000,
    accepted: "minutes from \"0\" to \"10000\"",
    example: "1.5",
};
const SHARE: Bound = Bound {
    least: 0,
    most: 10_000_000,
    accepted: "a percentage from 0 % to 1000 %",
    example: "7.65 %",
};
const MARGIN: Bound = Bound {
    least: 0,
    most: 999_999,
    accepted: "a margin from 0 % to below 100 %",
    example: "15 %",
};
const UNIT_PRICE: Bound = Bound {
    least: 0,
    most: 9_999_999_999_999,
    accepted: "a price as decimal text from \"0\" to \"999999999.9999\"",
    example: "178.00",
};

const CODE_AT_MOST: usize = 64;
const TEXT_AT_MOST: usize = 200;
const USES_AT_MOST: u32 = 1_000;
const MINUTES_AT_MOST: u32 = 24 * 60;
const AGE_DAYS: std::ops::RangeInclusive<u32> = 1..=36_500;
const YEARS: std::ops::RangeInclusive<i32> = 1990..=2200;

/// True for a code: 1 to 64 of `a` to `z`, digits, `-`, `.` and `_`, a letter or digit first.
pub fn is_code(text: &str) -> bool {
    let inner = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || "-._".contains(c);
    let first = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit();
    text.len() <= CODE_AT_MOST && text.starts_with(first) && text.chars().all(inner)
}

/// Adds every fault of `item`, whose fields stand below the pointer `at`; its code is not among
/// them, since it may stand in the path.
pub fn check_item(item: &Item, at: &str, faults: &mut Faults) {
    check_text(&item.description, &format!("{at}/description"), faults);
    check_quantity(item.order_step, &STEP, &format!("{at}/order_step"), faults);
    check_quantity(item.minimum, &AMOUNT, &format!("{at}/minimum"), faults);
    if let Some(holds) = item.holds {
        check_quantity(
            holds.quantity,
            &STEP,
            &format!("{at}/holds/quantity"),
            faults,
        );
    }
    for (code, name) in [
        (&item.supplier, "preferred_supplier"),
        (&item.index, "index"),
    ] {
        if let Some(code) = code {
            check_code(code, &format!("{at}/{name}"), faults);
        }
    }
    if let Charge::FromStock { uses, pay_step } = item.charge {
        check_quantity(pay_step, &STEP, &format!("{at}/pay_step"), faults);
        if !(1..=USES_AT_MOST).contains(&uses) {
            let accepted = format!("a whole number from 1 to {USES_AT_MOST}");
            let place = format!("{at}/uses");
            faults.push(Fault::new(place, uses.to_string(), accepted, Some("4")));
        }
    }
}

/// Adds every fault of `price`, whose fields stand below the pointer `at`; its item is not among
/// them.
pub fn check_price(price: &Price, at: &str, faults: &mut Faults) {
    check_code(&price.supplier, &format!("{at}/supplier"), faults);
    if let Some(unit_price) = price.unit_price {
        check_unit_price(unit_price, &format!("{at}/unit_price"), faults);
    }
    check_quantity(
        price.from_quantity,
        &AMOUNT,
        &format!("{at}/from_quantity"),
        faults,
    );
    check_day(
        price.effective_from,
        &format!("{at}/effective_from"),
        faults,
    );
    if let Some(until) = price.valid_until {
        check_until(until, price.effective_from, (at, faults));
    }
    if let Some(job) = &price.quoted_for {
        check_text(job, &format!("{at}/quoted_for"), faults);
    }
}

fn check_until(until: NaiveDate, from: NaiveDate, (at, faults): (&str, &mut Faults)) {
    let at = format!("{at}/valid_until");
    if until < from {
        let accepted = format!("a day from effective_from, {from}, on");
        faults.push(Fault::new(
            at,
            until.to_string(),
            accepted,
            Some("2026-06-30"),
        ));
    } else {
        check_day(until, &at, faults);
    }
}

/// Adds a fault when `day` is one that no price book can mean.
pub fn check_day(day: NaiveDate, at: &str, faults: &mut Faults) {
    if !YEARS.contains(&day.year()) {
        let accepted = format!("a day from the year {} to {}", YEARS.start(), YEARS.end());
        faults.push(Fault::new(
            at,
            day.to_string(),
            accepted,
            Some("2026-03-02"),
        ));
    }
}

/// Adds every fault of `wage`, whose fields stand below the pointer `at`.
pub fn check_wage(wage: &Wage, at: &str, faults: &mut Faults) {
    check_code(&wage.schedule, &format!("{at}/schedule"), faults);
    check_code(&wage.class, &format!("{at}/class"), faults);
    check_day(wage.effective_from, &format!("{at}/effective_from"), faults);
    check_unit_price(wage.base, &format!("{at}/base"), faults);
    check_unit_price(wage.fringe, &format!("{at}/fringe"), faults);
    check_share(
        wage.premium,
        &SHARE,
        &format!("{at}/overtime_premium"),
        faults,
    );
    for burden in &wage.burdens {
        let at = format!("{at}/burdens");
        check_text(&burden.name, &at, faults);
        match burden.on {
            BurdenOn::Base { share, .. } => check_share(share, &SHARE, &at, faults),
            BurdenOn::Hour(cost) => check_unit_price(cost, &at, faults),
        }
    }
}

/// Adds every fault of `rate`, whose fields stand below the pointer `at`; whether the task is known
/// is not among them.
pub fn check_rate(rate: &OwnRate, at: &str, faults: &mut Faults) {
    let Some(minutes) = rate.minutes else {
        return;
    };
    let rising = [
        ("setup_min", minutes.setup),
        ("low_min", minutes.low),
        ("likely_min", minutes.likely),
        ("high_min", minutes.high),
    ];
    for (name, value) in rising {
        check_quantity(value, &MINUTES, &format!("{at}/{name}"), faults);
    }
    if minutes.low > minutes.likely || minutes.likely > minutes.high {
        let found = format!("{}, {}, {}", minutes.low, minutes.likely, minutes.high);
        let accepted = "low at most likely, and likely at most high";
        faults.push(Fault::new(
            format!("{at}/likely_min"),
            found,
            accepted,
            None,
        ));
    }
}

/// Adds every fault of `value`, whose fields stand below the pointer `at`.
pub fn check_index(value: &IndexValue, at: &str, faults: &mut Faults) {
    check_code(&value.series, &format!("{at}/series"), faults);
    check_day(value.month, &format!("{at}/month"), faults);
    check_quantity(value.value, &STEP, &format!("{at}/value"), faults);
}

/// Adds every fault of `settings`, whose fields stand below the pointer `at`.
pub fn check_settings(settings: &Settings, at: &str, faults: &mut Faults) {
    let (profit, bound) = match settings.profit {
        super::Profit::Margin(rate) => (rate, &MARGIN),
        super::Profit::Markup(rate) => (rate, &SHARE),
    };
    for (name, value, bound) in [
        ("overhead", settings.overhead, &SHARE),
        ("contingency", settings.contingency, &SHARE),
        ("profit", profit, bound),
        ("warranty", settings.warranty, &SHARE),
        ("sales_tax", settings.sales_tax.rate, &SHARE),
    ] {
        check_share(value, bound, &format!("{at}/{name}"), faults);
    }
    let whole = [
        (
            "travel_minutes",
            settings.travel_minutes,
            0..=MINUTES_AT_MOST,
        ),
        ("price_age_days", settings.price_age_days, AGE_DAYS),
    ];
    for (name, value, range) in whole {
        if !range.contains(&value) {
            let accepted = format!("a whole number from {} to {}", range.start(), range.end());
            faults.push(Fault::new(
                format!("{at}/{name}"),
                value.to_string(),
                accepted,
                Some("30"),
            ));
        }
    }
}

/// Adds every fault of `supplier`, whose fields stand below the pointer `at`.
pub fn check_supplier(supplier: &Supplier, at: &str, faults: &mut Faults) {
    check_code(&supplier.code, &format!("{at}/code"), faults);
    check_text(&supplier.name, &format!("{at}/name"), faults);
    let terms = supplier.terms;
    for (name, value, bound) in [
        ("short_load_below_yd3", terms.short_load_below_yd3, &STEP),
        ("truck_most_yd3", terms.truck_most_yd3, &STEP),
        (
            "free_unloading_min_per_yd3",
            terms.free_unloading_min_per_yd3,
            &AMOUNT,
        ),
    ] {
        if let Some(value) = value {
            check_quantity(value, bound, &format!("{at}/{name}"), faults);
        }
    }
    if let Some(least) = supplier.minimum_order {
        check_unit_price(least, &format!("{at}/minimum_order"), faults);
    }
    for step in &supplier.short_load_steps {
        let at = format!("{at}/short_load_steps");
        check_quantity(step.below_yd3, &STEP, &at, faults);
        check_unit_price(step.fee, &at, faults);
    }
    for zone in &supplier.zones {
        let at = format!("{at}/zones");
        check_text(&zone.name, &at, faults);
        check_unit_price(zone.fee, &at, faults);
    }
}

/// Adds a fault when `code` does not have the shape of a code.
pub fn check_code(code: &str, at: &str, faults: &mut Faults) {
    if !is_code(code) {
        let accepted = format!(
            "1 to {CODE_AT_MOST} of a to z, 0 to 9, \"-\", \".\" and \"_\", a letter or digit first"
        );
        faults.push(Fault::new(
            at,
            format!("\"{code}\""),
            accepted,
            Some("stone-dense-graded"),
        ));
    }
}

/// Adds a fault when `text` is blank, too long, or holds what cannot be printed on one line.
pub fn check_text(text: &str, at: &str, faults: &mut Faults) {
    if text.trim().is_empty() || !is_line(text, TEXT_AT_MOST) {
        let accepted = format!("one line of 1 to {TEXT_AT_MOST} characters");
        faults.push(Fault::new(
            at,
            format!("\"{text}\""),
            accepted,
            Some("Crushed stone"),
        ));
    }
}

fn check_quantity(value: Decimal4, bound: &Bound, at: &str, faults: &mut Faults) {
    check_number(
        value.ten_thousandths(),
        &value.to_string(),
        (bound, at),
        faults,
    );
}

fn check_share(value: Percentage, bound: &Bound, at: &str, faults: &mut Faults) {
    check_number(value.millionths(), &value.to_string(), (bound, at), faults);
}

fn check_unit_price(value: UnitPrice, at: &str, faults: &mut Faults) {
    check_number(
        value.ten_thousandths(),
        &value.to_string(),
        (&UNIT_PRICE, at),
        faults,
    );
}

fn check_number(number: i64, shown: &str, (bound, at): (&Bound, &str), faults: &mut Faults) {
    if !(bound.least..=bound.most).contains(&number) {
        faults.push(Fault::new(
            at,
            format!("\"{shown}\""),
            bound.accepted,
            Some(bound.example),
        ));
    }
}
