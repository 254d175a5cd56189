//! Money in words, as it stands beside its figures: US English.
//!
//! Invariants: the words say exactly the amount; a currency without a row is named by its code, its parts as
//! a fraction. Absent: any other language.

use super::text::CURRENCIES;
use crate::quantity::money::{Amount, Currency};

const SMALL: [&str; 20] = [
    "zero",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
    "thirteen",
    "fourteen",
    "fifteen",
    "sixteen",
    "seventeen",
    "eighteen",
    "nineteen",
];
const TENS: [&str; 10] = [
    "", "", "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety",
];
const GROUPS: [&str; 7] = [
    "",
    " thousand",
    " million",
    " billion",
    " trillion",
    " quadrillion",
    " quintillion",
];

/// A whole number in words: `eight thousand seventy-six`.
pub fn number_in_words(number: u64) -> String {
    if number == 0 {
        return SMALL[0].to_owned();
    }
    let mut rest = number;
    let mut groups = Vec::new();
    for name in GROUPS {
        let group = (rest % 1000) as usize;
        if group > 0 {
            groups.push(format!("{}{name}", below_thousand(group)));
        }
        rest /= 1000;
    }
    groups.reverse();
    groups.join(" ")
}

fn below_thousand(number: usize) -> String {
    let (hundreds, rest) = (number / 100, number % 100);
    let tail = match rest {
        0..20 => SMALL[rest].to_owned(),
        _ if rest.is_multiple_of(10) => TENS[rest / 10].to_owned(),
        _ => format!("{}-{}", TENS[rest / 10], SMALL[rest % 10]),
    };
    match (hundreds, rest) {
        (0, _) => tail,
        (_, 0) => format!("{} hundred", SMALL[hundreds]),
        _ => format!("{} hundred {tail}", SMALL[hundreds]),
    }
}

/// An amount in words: `eight thousand seventy-six US dollars and fifty-nine cents`.
pub fn money_in_words(amount: Amount, currency: &Currency) -> String {
    let amount = amount.in_currency(currency);
    let places = u32::from(currency.exponent());
    let scale = 10_u64.pow(places);
    let minor = amount.minor().unsigned_abs();
    let (whole, part) = (minor / scale, minor % scale);
    let minus = if amount.minor() < 0 { "minus " } else { "" };
    let words = number_in_words(whole);
    let Some(row) = CURRENCIES.get(currency.code()) else {
        let code = currency.code();
        return match places {
            0 => format!("{minus}{words} {code}"),
            _ => format!(
                "{minus}{words} and {part:0width$}/{scale} {code}",
                width = places as usize
            ),
        };
    };
    let unit = if whole == 1 { &row.one } else { &row.many };
    let part_name = if part == 1 { &row.part } else { &row.parts };
    match part_name {
        Some(name) if places > 0 => {
            format!("{minus}{words} {unit} and {} {name}", number_in_words(part))
        }
        _ => format!("{minus}{words} {unit}"),
    }
}

/// An amount in figures with its currency: `USD 8,076.59`.
pub fn money_in_figures(amount: Amount, currency: &Currency) -> String {
    format!(
        "{} {}",
        currency.code(),
        grouped(amount.in_currency(currency))
    )
}

/// An amount with a comma between thousands.
pub fn grouped(amount: Amount) -> String {
    let text = amount.to_string();
    let (sign, text) = match text.strip_prefix('-') {
        Some(text) => ("-", text),
        None => ("", text.as_str()),
    };
    let (whole, part) = text
        .split_once('.')
        .map_or((text, None), |(whole, part)| (whole, Some(part)));
    let mut figures = String::new();
    for (n, digit) in whole.chars().enumerate() {
        if n > 0 && (whole.len() - n).is_multiple_of(3) {
            figures.push(',');
        }
        figures.push(digit);
    }
    let part = part.map_or_else(String::new, |part| format!(".{part}"));
    format!("{sign}{figures}{part}")
}
