//! Writes a quantity in the shortest exact text that reads back as the same quantity.
//!
//! Invariants: what is printed parses, to within 1e-12 of itself, and then prints the same again.
//! Absent here: rounding for a reader (`tape`, `shown`).

use super::units::{Dimension, INCH, MILLIMETRE};
use super::{Quantity, parse_quantity};

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

fn print_length(metres: f64) -> String {
    let sign = if metres < 0.0 { "-" } else { "" };
    let size = metres.abs();
    let sixteenths = libm::round(INCH.from_si(size) * SIXTEENTHS);
    if same(INCH.to_si(sixteenths / SIXTEENTHS), size) && sixteenths < 1e12 {
        return format!("{sign}{}", feet_and_inches(sixteenths));
    }
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
    let inches = inches(rest / 16, rest % 16);
    match (feet, rest) {
        (0, _) => format!("{inches} in"),
        (_, 0) => format!("{feet} ft"),
        _ => format!("{feet} ft {inches} in"),
    }
}

fn inches(whole: u64, sixteenths: u64) -> String {
    if sixteenths == 0 {
        return whole.to_string();
    }
    let shift = sixteenths.trailing_zeros();
    let fraction = format!("{}/{}", sixteenths >> shift, 16 >> shift);
    if whole == 0 {
        fraction
    } else {
        format!("{whole} {fraction}")
    }
}

fn print_shortest(dimension: Dimension, si: f64) -> String {
    let units = dimension.rows().iter().filter(|row| {
        // These repeat another unit of their dimension, and would only surprise in print.
        !matches!(
            row.symbol(),
            "in2" | "in/ft" | "mm/m" | "kPa" | "lb/yd3" | "t/m3"
        )
    });
    let mut texts: Vec<String> = Vec::new();
    if dimension == Dimension::Slope && si != 0.0 && si.abs() <= 1.0 {
        let sign = if si < 0.0 { "-" } else { "" };
        texts.push(format!("{sign}1:{}", decimal(1.0 / si.abs())));
    }
    texts.extend(units.map(|row| {
        let value = row.scale.from_si(si);
        let number = if dimension == Dimension::Temperature {
            degrees(value)
        } else {
            decimal(value)
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
    trimmed(if rounded.abs() < 1e-6 {
        format!("{rounded:.20}")
    } else {
        rounded.to_string()
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
