//! Reads a quantity as people write it: `28 in`, `2'-4 1/2"`, `1:12`, `8.33 %`, `4.5 yd3`.
//!
//! Invariants: a text is one number and one unit, or a larger unit and a smaller one of the same
//! kind (feet and inches, hours and minutes); a bare number is refused; a minus stands only before
//! the whole; what is returned is finite. No text makes this panic. Absent here: limits of any
//! kind, thousands marks, decimal commas, exponents.

use super::Quantity;
use super::error::{Problem, QuantityError};
use super::notation::{DECIMALS, DENOMINATORS, TEXT_AT_MOST, WHOLE_DIGITS, lowered, normalise};
use super::units::{Dimension, UnitRow};

/// A larger unit that may be followed by a smaller one.
pub(super) struct Pair {
    /// The first symbol of the larger unit.
    pub large: &'static str,
    /// The first symbol of the smaller unit.
    pub small: &'static str,
    /// How many of the smaller make the larger; the second number stays below it.
    pub below: u32,
}

/// Feet and inches, hours and minutes.
pub(super) fn pair(dimension: Dimension) -> Option<Pair> {
    match dimension {
        Dimension::Length => Some(Pair {
            large: "ft",
            small: "in",
            below: 12,
        }),
        Dimension::Span => Some(Pair {
            large: "h",
            small: "min",
            below: 60,
        }),
        _ => None,
    }
}

/// The largest number taken from outside, in any unit; its texts have twelve whole digits.
pub(super) const NUMBER_BELOW: f64 = 1e12;

/// A number as written.
#[derive(Clone, Copy)]
struct Number {
    value: f64,
    form: Form,
}

#[derive(Clone, Copy, PartialEq)]
enum Form {
    Whole,
    Decimal,
    Fraction,
}

/// Reads `text` as a quantity of kind `Q`.
///
/// # Errors
/// What was wrong with the text, what is accepted, and an example.
pub fn parse_quantity<Q: Quantity>(text: &str) -> Result<Q, QuantityError> {
    let refuse = |problem| QuantityError::new(problem, Q::DIMENSION, format!("\"{text}\""));
    if text.chars().count() > TEXT_AT_MOST {
        return Err(refuse(Problem::TooLong));
    }
    let plain = normalise(text);
    let (sign, body) = match plain.strip_prefix('-') {
        Some(rest) => (-1.0, rest.strip_prefix(' ').unwrap_or(rest)),
        None => (1.0, plain.as_str()),
    };
    if body.is_empty() {
        return Err(refuse(Problem::Empty));
    }
    read(Q::DIMENSION, sign, body)
        .map(Q::from_si)
        .map_err(refuse)
}

/// Reads a number in the unit `symbol`, as the object form gives it.
pub(super) fn from_parts<Q: Quantity>(value: f64, symbol: &str) -> Result<Q, QuantityError> {
    let refuse =
        |problem| QuantityError::new(problem, Q::DIMENSION, format!("{value} \"{symbol}\""));
    let row = Q::DIMENSION
        .row(symbol)
        .ok_or_else(|| refuse(Problem::UnknownUnit))?;
    if !value.is_finite() || value.abs() > NUMBER_BELOW {
        return Err(refuse(Problem::OutOfRange));
    }
    to_si(row, value).map(Q::from_si).map_err(refuse)
}

fn read(dimension: Dimension, sign: f64, body: &str) -> Result<f64, Problem> {
    let (first, rest) = number(body)?.ok_or(Problem::NoNumber)?;
    if dimension == Dimension::Slope
        && let Some(run) = after_ratio_mark(rest)
    {
        return ratio(first, run).map(|slope| sign * slope);
    }
    let rest = rest.strip_prefix(' ').unwrap_or(rest);
    if rest.is_empty() {
        return Err(Problem::NoUnit);
    }
    if let Some(row) = dimension.row(&lowered(rest)) {
        return to_si(row, sign * first.value);
    }
    match pair(dimension) {
        Some(pair) => read_pair(dimension, &pair, sign, (first, rest)),
        None => Err(Problem::UnknownUnit),
    }
}

/// The second half of feet and inches: `rest` begins with the larger unit.
fn read_pair(
    dimension: Dimension,
    pair: &Pair,
    sign: f64,
    (first, rest): (Number, &str),
) -> Result<f64, Problem> {
    let (row, after) = leading_unit(dimension, rest).ok_or(Problem::UnknownUnit)?;
    // `2 ft.5 in` is five inches after an abbreviated foot, so the point cannot open a number here.
    let after = Some(separated(after)).filter(|after| !after.starts_with('.'));
    let (second, unit) = number(after.unwrap_or_default())?.ok_or(Problem::UnknownUnit)?;
    let unit = unit.strip_prefix(' ').unwrap_or(unit);
    if unit.is_empty() {
        return Err(Problem::NoUnit);
    }
    let small = dimension.row(unit).ok_or(Problem::UnknownUnit)?;
    if row.symbol() != pair.large || small.symbol() != pair.small || first.form != Form::Whole {
        return Err(Problem::PartsOutOfOrder);
    }
    if second.value >= f64::from(pair.below) {
        return Err(Problem::SmallPartTooLarge);
    }
    // Summed in the smaller unit, so that 2 ft 4 in and 28 in are the same bits.
    to_si(
        small,
        sign * (first.value * f64::from(pair.below) + second.value),
    )
}

/// What stands between feet and inches: spaces, or one dash with or without them.
fn separated(text: &str) -> &str {
    let text = text.strip_prefix(' ').unwrap_or(text);
    let text = text.strip_prefix('-').unwrap_or(text);
    text.strip_prefix(' ').unwrap_or(text)
}

fn leading_unit(dimension: Dimension, text: &str) -> Option<(&'static UnitRow, &str)> {
    let symbols = dimension
        .rows()
        .iter()
        .flat_map(|row| row.symbols.iter().map(move |s| (row, *s)));
    let longest = symbols
        .filter(|(_, s)| text.starts_with(s))
        .max_by_key(|(_, s)| s.len())?;
    Some((longest.0, &text[longest.1.len()..]))
}

/// `: 12` or ` in 12`, without its mark.
fn after_ratio_mark(rest: &str) -> Option<&str> {
    let tight = rest.strip_prefix(' ').unwrap_or(rest);
    if let Some(run) = tight.strip_prefix(':') {
        return Some(run.strip_prefix(' ').unwrap_or(run));
    }
    rest.strip_prefix(" in ")
}

fn ratio(rise: Number, run: &str) -> Result<f64, Problem> {
    let (run, rest) = number(run)?.ok_or(Problem::NoNumber)?;
    if rise.form == Form::Fraction || run.form == Form::Fraction || !rest.is_empty() {
        return Err(Problem::NoNumber);
    }
    if run.value < 1.0 {
        return Err(Problem::OutOfRange);
    }
    Ok(rise.value / run.value)
}

fn to_si(row: &UnitRow, value: f64) -> Result<f64, Problem> {
    let si = row.scale.to_si(value).filter(|si| si.is_finite());
    si.ok_or(Problem::OutOfRange)
}

/// The number `text` begins with, and what follows it; `None` when there is none.
fn number(text: &str) -> Result<Option<(Number, &str)>, Problem> {
    let (whole, rest) = digits(text, WHOLE_DIGITS)?;
    if let Some(after) = rest.strip_prefix('.') {
        let (decimals, after) = digits(after, DECIMALS)?;
        if !decimals.is_empty() {
            let value = value_of(&text[..whole.len() + 1 + decimals.len()])?;
            return Ok(Some((
                Number {
                    value,
                    form: Form::Decimal,
                },
                after,
            )));
        }
    }
    if whole.is_empty() {
        return Ok(None);
    }
    if let Some((value, after)) = fraction(text)? {
        return Ok(Some((
            Number {
                value,
                form: Form::Fraction,
            },
            after,
        )));
    }
    let value = value_of(whole)?;
    let parted = rest.strip_prefix([' ', '-']).unwrap_or_default();
    Ok(Some(match fraction(parted)? {
        Some((part, after)) => (
            Number {
                value: value + part,
                form: Form::Fraction,
            },
            after,
        ),
        None => (
            Number {
                value,
                form: Form::Whole,
            },
            rest,
        ),
    }))
}

/// `3/8`: a fraction of the tape, below one.
fn fraction(text: &str) -> Result<Option<(f64, &str)>, Problem> {
    let (above, rest) = digits(text, WHOLE_DIGITS)?;
    let Some(rest) = rest.strip_prefix('/').filter(|_| !above.is_empty()) else {
        return Ok(None);
    };
    let (below, rest) = digits(rest, WHOLE_DIGITS)?;
    if below.is_empty() {
        return Ok(None);
    }
    let plain = !above.starts_with('0') && !below.starts_with('0');
    match (above.parse::<u32>(), below.parse::<u32>()) {
        (Ok(above), Ok(below)) if plain && above < below && DENOMINATORS.contains(&below) => {
            Ok(Some((f64::from(above) / f64::from(below), rest)))
        }
        _ => Err(Problem::NoNumber),
    }
}

fn digits(text: &str, most: usize) -> Result<(&str, &str), Problem> {
    let end = text
        .find(|mark: char| !mark.is_ascii_digit())
        .unwrap_or(text.len());
    if end > most {
        Err(Problem::OutOfRange)
    } else {
        Ok(text.split_at(end))
    }
}

fn value_of(digits: &str) -> Result<f64, Problem> {
    digits.parse().map_err(|_| Problem::NoNumber)
}
