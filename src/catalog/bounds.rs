//! What may enter a price book: shapes of codes and texts, least and most of numbers.
//!
//! Invariants: every fault is found, not only the first; a bound is a row. Absent here: whether a
//! code is known, which only the book can say.

use super::{Charge, Item, Price, Supplier};
use crate::quantity::{
    Fault, Faults,
    money::{Decimal4, UnitPrice},
};
use chrono::Datelike;

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
const UNIT_PRICE: Bound = Bound {
    least: 0,
    most: 9_999_999_999_999,
    accepted: "a price as decimal text from \"0\" to \"999999999.9999\"",
    example: "178.00",
};

const CODE_AT_MOST: usize = 64;
const TEXT_AT_MOST: usize = 200;
const USES_AT_MOST: u32 = 1_000;
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
    check_unit_price(price.unit_price, &format!("{at}/unit_price"), faults);
    if !YEARS.contains(&price.effective_from.year()) {
        faults.push(Fault::new(
            format!("{at}/effective_from"),
            price.effective_from.to_string(),
            format!("a day from the year {} to {}", YEARS.start(), YEARS.end()),
            Some("2026-03-02"),
        ));
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
            check_quantity(value, bound, &format!("{at}/terms/{name}"), faults);
        }
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
    let fits = text.chars().count() <= TEXT_AT_MOST && !text.chars().any(char::is_control);
    if text.trim().is_empty() || !fits {
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
