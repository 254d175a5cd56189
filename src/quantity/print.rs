//! Writes a quantity in the shortest exact text that reads back as the same quantity.
//!
//! Invariants: what is printed parses, to within 1e-12 of itself (a temperature to within 1e-10 K),
//! and then prints the same again, for all that could have been read: below 1e12, and nothing or
//! above 1e-16, in the unit printed.
//! Absent here: rounding for a reader (`tape`, `shown`).

use super::factors::{INCH, MILLIMETRE, Scale};
use super::notation::DECIMALS;
use super::units::{Dimension, UnitRow};
use super::{Quantity, parse_quantity};
use std::cell::RefCell;
use std::collections::BTreeMap;
use std::fmt::Write as _;

/// Two SI numbers this close, relatively, are one text.
const EXACT: f64 = 1e-13;
/// Digits after the first: a text of fourteen digits is stable against the last bits of a factor.
const DIGITS: usize = 13;
/// Steps of the printing tape in an inch.
const SIXTEENTHS: f64 = 16.0;

/// The shortest exact text that reads back as `quantity`.
///
/// Lengths are feet and inches when they are whole sixteenths of an inch, else millimetres when
/// whole tenths of one, else decimal inches; others take the unit with the shortest text.
pub fn print_quantity<Q: Quantity>(quantity: Q) -> String {
    if Q::DIMENSION == Dimension::Length
        && let Some(text) = print_sixteenths(quantity.si())
    {
        // A whole count of sixteenths reads back as the same count.
        return text;
    }
    remembered(Q::DIMENSION, quantity.si(), || print_until_still(quantity))
}

/// Most texts that a thread remembers.
const REMEMBERED: usize = 1_024;

/// A text that was printed before: most quantities of most jobs are the same defaults.
fn remembered(dimension: Dimension, si: f64, print: impl FnOnce() -> String) -> String {
    thread_local! {
        static TEXTS: RefCell<BTreeMap<(u8, u64), Box<str>>> = RefCell::default();
    }
    let key = (dimension as u8, si.to_bits());
    TEXTS.with_borrow_mut(|texts| {
        if let Some(text) = texts.get(&key) {
            return String::from(&**text);
        }
        if texts.len() >= REMEMBERED {
            texts.clear();
        }
        let text = print();
        texts.insert(key, text.clone().into());
        text
    })
}

fn print_until_still<Q: Quantity>(quantity: Q) -> String {
    let mut text = print_once(Q::DIMENSION, quantity.si());
    // The text is read back until it stands still, so that printing what was read changes nothing.
    for _ in 0..4 {
        let Ok(again) = parse_quantity::<Q>(&text) else {
            return text;
        };
        let next = print_once(Q::DIMENSION, again.si());
        if next == text {
            break;
        }
        text = next;
    }
    text
}

fn print_once(dimension: Dimension, si: f64) -> String {
    let si = if si == 0.0 { 0.0 } else { si };
    match dimension {
        Dimension::Length => print_length(si),
        _ => print_shortest(dimension, si),
    }
}

/// A length that is a whole count of sixteenths of an inch.
fn print_sixteenths(metres: f64) -> Option<String> {
    let size = metres.abs();
    let sixteenths = libm::round(INCH.from_si(size) * SIXTEENTHS);
    let whole = same(INCH.to_si(sixteenths / SIXTEENTHS), size) && sixteenths < 1e12;
    whole.then(|| {
        let text = feet_and_inches(sixteenths);
        if metres < 0.0 {
            format!("-{text}")
        } else {
            text
        }
    })
}

fn print_length(metres: f64) -> String {
    if let Some(text) = print_sixteenths(metres) {
        return text;
    }
    let sign = if metres < 0.0 { "-" } else { "" };
    let size = metres.abs();
    let tenths = libm::round(MILLIMETRE.from_si(size) * 10.0);
    if same(MILLIMETRE.to_si(tenths / 10.0), size) && tenths < 1e12 {
        return format!("{sign}{} mm", decimal(tenths / 10.0));
    }
    format!("{sign}{} in", decimal(INCH.from_si(size)))
}

fn same(a: f64, b: f64) -> bool {
    (a - b).abs() <= EXACT * b.abs()
}

/// `2 ft 4 1/2 in` from a whole count of sixteenths of an inch.
pub(super) fn feet_and_inches(sixteenths: f64) -> String {
    // Counts here are whole and far below 2^53, so the conversion loses nothing.
    let count = sixteenths as u64;
    let (feet, rest) = (count / 192, count % 192);
    let mut text = String::with_capacity(16);
    // Writing into a text never fails.
    let _ = match (feet, rest) {
        (0, _) => Ok(()),
        (_, 0) => write!(text, "{feet} ft"),
        _ => write!(text, "{feet} ft "),
    };
    if feet == 0 || rest > 0 {
        write_inches(&mut text, (rest / 16, rest % 16));
    }
    text
}

fn write_inches(text: &mut String, (whole, sixteenths): (u64, u64)) {
    let shift = sixteenths.trailing_zeros();
    let _ = match (whole, sixteenths) {
        (_, 0) => write!(text, "{whole} in"),
        (0, _) => write!(text, "{}/{} in", sixteenths >> shift, 16 >> shift),
        _ => write!(text, "{whole} {}/{} in", sixteenths >> shift, 16 >> shift),
    };
}

/// Symbols that are read and never printed: they repeat another unit of their dimension.
const NEVER_PRINTED: &[&str] = &["in2", "in/ft", "mm/m", "kPa", "lb/yd3", "t/m3"];

fn print_shortest(dimension: Dimension, si: f64) -> String {
    // Above 45 degrees an angle has too few digits left for its tangent.
    let steep = dimension == Dimension::Slope && si.abs() > 1.0;
    let printed = |row: &&UnitRow| {
        let angle = row.scale == Scale::Degrees;
        !(NEVER_PRINTED.contains(&row.symbol()) || (steep && angle))
    };
    let units = dimension.rows().iter().filter(printed);
    let mut texts: Vec<String> = Vec::new();
    if dimension == Dimension::Slope && !steep && si.abs() > 1e-9 {
        let sign = if si < 0.0 { "-" } else { "" };
        texts.push(format!("{sign}1:{}", decimal(1.0 / si.abs())));
    }
    texts.extend(units.map(|row| {
        let value = row.scale.from_si(si);
        let number = match dimension {
            Dimension::Temperature => degrees(value),
            _ => decimal(value),
        };
        format!("{number} {}", row.symbol())
    }));
    texts
        .into_iter()
        .min_by_key(String::len)
        .unwrap_or_default()
}

/// Fourteen significant digits, without an exponent or trailing zeros.
pub(super) fn decimal(value: f64) -> String {
    let rounded: f64 = format!("{value:.DIGITS$e}").parse().unwrap_or(value);
    let text = rounded.to_string();
    let decimals = text
        .split_once('.')
        .map_or(0, |(_, decimals)| decimals.len());
    trimmed(if decimals > DECIMALS {
        format!("{rounded:.DECIMALS$}")
    } else {
        text
    })
}

/// Ten decimals: near zero degrees the digits of a temperature are those of its kelvins.
fn degrees(value: f64) -> String {
    trimmed(format!("{value:.10}"))
}

fn trimmed(text: String) -> String {
    if !text.contains('.') {
        return text;
    }
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" {
        "0".to_owned()
    } else {
        text.to_owned()
    }
}
