//! The grammar of a quantity's text as a regular expression, made from the rows of the reader.
//!
//! Invariants: every text that fits is read by `parse`; held to it by a property test. Only what
//! ECMA 262, Rust and Python read alike is used: classes, counts and groups. Absent here: the
//! reader itself.

use super::factors::Scale;
use super::notation::{DECIMALS, DENOMINATORS, MARKS, RAISED, VULGAR, WHOLE_DIGITS};
use super::parse::{Pair, pair};
use super::units::{Dimension, UnitRow};

/// The whole part of an angle below ninety degrees.
const BELOW_NINETY: &str = "[0-8]?[0-9]";

/// The pattern of all texts of `dimension`, anchored at both ends.
pub fn pattern(dimension: Dimension) -> String {
    let space = class(' ');
    let (angles, others): (Vec<_>, Vec<_>) = dimension
        .rows()
        .iter()
        .partition(|row| row.scale == Scale::Degrees);
    let mut forms = vec![format!(
        "{}{space}{{0,2}}{}",
        number(&whole()),
        symbols(&others)
    )];
    if !angles.is_empty() {
        forms.push(format!(
            "{}{space}{{0,2}}{}",
            number(BELOW_NINETY),
            symbols(&angles)
        ));
    }
    if let Some(pair) = pair(dimension) {
        forms.extend(pair_pattern(dimension, &pair));
    }
    if dimension == Dimension::Slope {
        let (decimal, mark) = (decimal(), class(':'));
        let run = format!(
            "[1-9][0-9]{{0,{}}}(?:\\.[0-9]{{1,{DECIMALS}}})?",
            WHOLE_DIGITS - 1
        );
        forms.push(format!(
            "{decimal}(?:{space}?{mark}{space}?|{space}in{space}){run}"
        ));
    }
    format!("^(?:{}{space}?)?(?:{})$", class('-'), forms.join("|"))
}

fn pair_pattern(dimension: Dimension, pair: &Pair) -> Option<String> {
    let (large, small) = (dimension.row(pair.large)?, dimension.row(pair.small)?);
    let (space, dash) = (class(' '), class('-'));
    let (large, small) = (symbols(&[large]), symbols(&[small]));
    let whole = whole();
    let below = match pair.below {
        12 => "(?:1[01]|0?[0-9])",
        _ => "[0-5]?[0-9]",
    };
    let second = format!("(?:{})", mixed(below));
    Some(format!(
        "{whole}{space}?{large}{space}?(?:{dash}{space}?)?{second}{space}{{0,2}}{small}"
    ))
}

fn whole() -> String {
    format!("[0-9]{{1,{WHOLE_DIGITS}}}")
}

fn decimal() -> String {
    format!(
        "(?:{}(?:\\.[0-9]{{1,{DECIMALS}}})?|\\.[0-9]{{1,{DECIMALS}}})",
        whole()
    )
}

/// Any number with that whole part; one that begins with its point stands only where no unit's full
/// stop can stand before it.
fn number(whole: &str) -> String {
    format!("(?:{}|\\.[0-9]{{1,{DECIMALS}}})", mixed(whole))
}

/// A number whose whole part is `whole`: decimal, fraction, or whole and fraction.
fn mixed(whole: &str) -> String {
    let (space, dash) = (class(' '), class('-'));
    let vulgar: String = VULGAR.iter().map(|(mark, _)| *mark).collect();
    let fraction = fraction();
    format!(
        "{whole}(?:\\.[0-9]{{1,{DECIMALS}}})?|(?:{whole}(?:{space}|{dash}))?{fraction}\
         |(?:{whole}(?:{space}|{dash})?)?[{vulgar}]"
    )
}

/// Every fraction of the tape that is below one.
fn fraction() -> String {
    let bar = class('/');
    let all = DENOMINATORS.iter().map(|below| {
        let above: Vec<String> = (1..*below).map(|above| above.to_string()).collect();
        format!("(?:{}){bar}{below}", above.join("|"))
    });
    format!("(?:{})", all.collect::<Vec<_>>().join("|"))
}

/// Every way to write the units, the longest first, so that no reader stops at a shorter one.
fn symbols(rows: &[&UnitRow]) -> String {
    let mut all: Vec<&str> = rows
        .iter()
        .flat_map(|row| row.symbols.iter().copied())
        .collect();
    all.sort_by_key(|symbol| std::cmp::Reverse(symbol.len()));
    let written = all.into_iter().map(|symbol| {
        let mut before = None;
        let marks = symbol.chars().map(|mark| {
            let text = mark_pattern(mark, before);
            before = Some(mark);
            text
        });
        marks.collect::<String>()
    });
    format!("(?:{})", written.collect::<Vec<_>>().join("|"))
}

fn mark_pattern(mark: char, before: Option<char>) -> String {
    if let Some((_, raised)) = RAISED
        .iter()
        .find(|(digit, _)| *digit == mark && before.is_some())
    {
        return format!("[{mark}{raised}]");
    }
    match mark {
        '"' => format!("(?:{}|{}{{2}})", class('"'), class('\'')),
        '.' => "\\.".to_owned(),
        _ => class(mark),
    }
}

/// A mark and all that stand for it, as a class; the mark itself where it stands alone.
fn class(mark: char) -> String {
    match MARKS.iter().find(|(plain, _)| *plain == mark) {
        // A dash stands first, where it cannot mean a range.
        Some((_, alike)) => format!("[{mark}{}]", alike.iter().collect::<String>()),
        None => mark.to_string(),
    }
}
