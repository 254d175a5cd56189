//! Quantities and money as texts and as objects.
//!
//! Invariants: what is read is finite, prints as a text that reads back as the same, and then prints the
//! same again; both readers of JSON say the same.

use crossfall::quantity::money::{Amount, Decimal4, Percentage, UnitPrice};
use crossfall::quantity::{
    Area, Coverage, Density, Dimension, Faults, Length, Mass, Percent, Quantity, Slope, Span,
    Speed, Stress, Temperature, Volume, parse_quantity, print_quantity,
};
use crossfall::sheet::{Delimiter, Dialect, plain_number};
use serde::de::DeserializeOwned;
use serde_json::Value;
use std::fmt::{Debug, Display};

/// A text as every quantity, as money, as a cell; where it is JSON, that as every quantity.
pub fn quantity(bytes: &[u8]) {
    let Ok(text) = std::str::from_utf8(bytes) else {
        return;
    };
    let value = serde_json::from_str(text).unwrap_or(Value::Null);
    let value = value.is_object().then_some(&value);
    both::<Length>(text, value);
    both::<Area>(text, value);
    both::<Volume>(text, value);
    both::<Mass>(text, value);
    both::<Slope>(text, value);
    both::<Temperature>(text, value);
    both::<Span>(text, value);
    both::<Stress>(text, value);
    both::<Percent>(text, value);
    both::<Coverage>(text, value);
    both::<Density>(text, value);
    both::<Speed>(text, value);
    exact(text, Amount::parse);
    exact(text, UnitPrice::parse);
    exact(text, Decimal4::parse);
    exact(text, Percentage::parse);
    for delimiter in [Delimiter::Comma, Delimiter::Semicolon, Delimiter::Tab] {
        cell(text, Dialect { delimiter });
    }
}

fn both<Q: Quantity + DeserializeOwned + deserr::Deserr<Faults>>(
    text: &str,
    value: Option<&Value>,
) {
    if let Ok(read) = parse_quantity::<Q>(text) {
        goes_round(read, text);
    }
    let Some(value) = value else { return };
    let strict = serde_json::from_value::<Q>(value.clone());
    let listing = deserr::deserialize::<Q, _, Faults>(value.clone());
    assert_eq!(
        strict.is_ok(),
        listing.is_ok(),
        "{text}: the readers differ"
    );
    if let (Ok(strict), Ok(listing)) = (strict, listing) {
        assert!(strict == listing, "{text}: the readers read differently");
        goes_round(strict, text);
    }
}

/// To one in a million million; a temperature, which counts from another zero, to 1e-10 of a degree.
fn goes_round<Q: Quantity>(read: Q, text: &str) {
    let si = read.si();
    assert!(si.is_finite(), "{text} is {si}");
    let printed = print_quantity(read);
    if !could_be_read(&printed) && si != 0.0 {
        return;
    }
    let again = parse_quantity::<Q>(&printed)
        .unwrap_or_else(|error| panic!("{text} prints as {printed}: {error}"));
    let off = (again.si() - si).abs();
    let degree = Q::DIMENSION == Dimension::Temperature && off <= 1e-10;
    let near = off <= 1e-12 * si.abs().max(again.si().abs());
    assert!(near || degree, "{text} prints as {printed}, off by {off}");
    assert_eq!(
        print_quantity(again),
        printed,
        "{text} does not stand still"
    );
}

/// Whether a number is one that reads back: what is large or small in one unit may be too much so in the
/// one printed.
fn could_be_read(printed: &str) -> bool {
    let end = printed.find(|c: char| !matches!(c, '0'..='9' | '.' | '-'));
    let number = printed[..end.unwrap_or(printed.len())].parse::<f64>();
    let size = number.expect(printed).abs();
    (1e-16..1e12).contains(&size)
}

fn exact<T: PartialEq + Debug + Display, E: Debug>(
    text: &str,
    parse: impl Fn(&str) -> Result<T, E>,
) {
    if let Ok(read) = parse(text) {
        let printed = read.to_string();
        assert_eq!(parse(&printed).expect(&printed), read, "{text}");
    }
}

/// A number of a cell is written with a point, and reads as itself.
fn cell(text: &str, dialect: Dialect) {
    let Ok(plain) = plain_number(text.trim(), dialect) else {
        return;
    };
    let value: f64 = plain
        .parse()
        .unwrap_or_else(|_| panic!("{text:?} is {plain:?}"));
    assert!(value.is_finite(), "{text:?} is {plain:?}");
    let again = plain_number(&plain, Dialect::default());
    assert_eq!(again.as_ref(), Ok(&plain), "{text:?}");
}
