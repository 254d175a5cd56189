//! Rows read from a rule file: numbers in the set's unit, classes of runs, ids in shape.
//!
//! Invariant: every fault of a row is named, by its field. Absent: what holds between rows.

use super::class::Class;
use super::finding::Measured;
use super::measure::{Kind, Measure};
use super::row::{Clearance, ClearanceRow, Limit, Rule, RuleRow, RuleSet, Sense, read_number};
use crate::quantity::{Citation, Length, Slope};

pub(super) fn read_rule(set: &RuleSet, row: RuleRow) -> Result<Rule, Vec<String>> {
    let mut faults = Vec::new();
    faults.extend(check_id(set, &row));
    faults.extend(check_fields(&row));
    let limit = read_limit(set, &row, &mut faults);
    let class = read_class(set, &row, &mut faults);
    let document = row.document.as_deref().unwrap_or(&set.title);
    let source = Citation::new(document, Some(&row.section), row.verified);
    match limit {
        Some(limit) if faults.is_empty() => Ok(Rule {
            row,
            limit,
            class,
            source,
        }),
        _ => Err(faults),
    }
}

/// The number that the row's sense asks for.
fn read_limit(set: &RuleSet, row: &RuleRow, faults: &mut Vec<String>) -> Option<Limit> {
    let mut number = |name: &str, text: &Option<String>| {
        let number = match text {
            None => Err(format!("`{name}` is missing")),
            Some(text) => read_published(set, row.measures.kind(), text)
                .map_err(|fault| format!("`{name}`: {fault}")),
        };
        number.map_err(|fault| faults.push(fault)).ok()
    };
    match row.sense {
        Sense::Condition | Sense::Table => {
            if row.measures.kind() != Kind::Nothing {
                faults.push(format!("{} needs a number", row.measures.as_str()));
            }
            Some(Limit::Nothing)
        }
        Sense::Within => {
            let (least, most) = (number("least", &row.least), number("most", &row.most));
            let (least, most) = least.zip(most)?;
            if !most.minus(least).is_some_and(is_positive) {
                faults.push("`least` is not below `most`".to_owned());
            }
            Some(Limit::Range(least, most))
        }
        // A going is reckoned whole; a slope also has a steepest.
        _ if row.reckoned.is_some()
            && row.value.is_none()
            && row.measures == Measure::RunLength =>
        {
            Some(Limit::Nothing)
        }
        Sense::AtMost | Sense::AtLeast | Sense::MoreThan | Sense::LessThan => {
            let limit = number("value", &row.value)?;
            if row.sense == Sense::AtLeast && limit == Measured::Count(0.0) {
                faults.push("at least none asks nothing".to_owned());
            }
            Some(Limit::One(limit))
        }
    }
}

fn is_positive(room: Measured) -> bool {
    match room {
        Measured::Length(length) => length > Length::ZERO,
        Measured::Slope(slope) => slope > Slope::ZERO,
        Measured::Points(number) | Measured::Count(number) => number > 0.0,
    }
}

/// A number in the unit column of its set.
fn read_published(set: &RuleSet, kind: Kind, text: &str) -> Result<Measured, String> {
    let number = read_number(kind, text)?;
    if kind == Kind::Length && text.split_whitespace().last() != Some(set.unit.as_str()) {
        return Err(format!("{text:?} is not in the set's unit, {}", set.unit));
    }
    Ok(number)
}

/// The runs that a row holds for.
fn read_class(set: &RuleSet, row: &RuleRow, faults: &mut Vec<String>) -> Class {
    let mut slope = |name: &str, text: &Option<String>| match Slope::parse(text.as_deref()?) {
        Ok(slope) => Some(slope),
        Err(fault) => {
            faults.push(format!("`{name}`: {fault}"));
            None
        }
    };
    let (steeper_than, as_steep_as) = (
        slope("steeper_than", &row.steeper_than),
        slope("as_steep_as", &row.as_steep_as),
    );
    let not_steeper_than = slope("not_steeper_than", &row.not_steeper_than);
    let mut length = |name: &str, text: &Option<String>| match read_published(
        set,
        Kind::Length,
        text.as_deref()?,
    ) {
        Ok(Measured::Length(length)) => Some(length),
        Ok(_) => None,
        Err(fault) => {
            faults.push(format!("`{name}`: {fault}"));
            None
        }
    };
    let class = Class {
        steeper_than,
        as_steep_as,
        not_steeper_than,
        up_to_length: length("up_to_length", &row.up_to_length),
        up_to_rise: length("up_to_rise", &row.up_to_rise),
    };
    check_class(row, &class, faults);
    class
}

fn check_class(row: &RuleRow, class: &Class, faults: &mut Vec<String>) {
    let lower = class.steeper_than.or(class.as_steep_as);
    if class.steeper_than.is_some() && class.as_steep_as.is_some() {
        faults.push("`steeper_than` and `as_steep_as` exclude each other".to_owned());
    }
    if lower
        .zip(class.not_steeper_than)
        .is_some_and(|(least, most)| most.at_most(least))
    {
        faults.push("the slope that it begins with is not below `not_steeper_than`".to_owned());
    }
    if row.measures == Measure::SteepRise
        && (row.steeper_than.is_none() || row.not_steeper_than.is_none())
    {
        faults.push("`steeper_than` and `not_steeper_than` are missing".to_owned());
    }
}

/// Fields that the row's sense or measure has no use for.
fn check_fields(row: &RuleRow) -> Vec<String> {
    let single = matches!(
        row.sense,
        Sense::AtMost | Sense::AtLeast | Sense::MoreThan | Sense::LessThan
    );
    let range = row.sense == Sense::Within;
    let classed = row.measures.is_classed();
    let reckoned = single && row.measures.may_be_reckoned();
    let fields = [
        ("value", row.value.is_some(), single),
        ("least", row.least.is_some(), range),
        ("most", row.most.is_some(), range),
        ("reckoned", row.reckoned.is_some(), reckoned),
        ("steeper_than", row.steeper_than.is_some(), classed),
        ("as_steep_as", row.as_steep_as.is_some(), classed),
        ("not_steeper_than", row.not_steeper_than.is_some(), classed),
        ("up_to_length", row.up_to_length.is_some(), classed),
        ("up_to_rise", row.up_to_rise.is_some(), classed),
    ];
    let unused = fields.iter().filter(|(_, told, used)| *told && !used);
    unused
        .map(|(name, ..)| format!("`{name}` is not used by this row"))
        .collect()
}

/// An id is the set's, then the section it comes from, then a letter where there are several.
fn check_id(set: &RuleSet, row: &RuleRow) -> Option<String> {
    let section = row.section.split([',', ';']).next().unwrap_or_default();
    let rest = row.id.strip_prefix(&format!("{}/{section}", set.id));
    let well_formed = rest.is_some_and(|rest| {
        let letter = rest.strip_prefix('-');
        rest.is_empty()
            || letter.is_some_and(|l| l.len() == 1 && l.bytes().all(|b| b.is_ascii_lowercase()))
    });
    let shape = format!(
        "{}/{section}, with a letter such as -a where there are several",
        set.id
    );
    (!well_formed).then(|| format!("the id is not {shape}"))
}

pub(super) fn read_clearance(set: &RuleSet, row: ClearanceRow) -> Result<Clearance, String> {
    let length = |text: &str| match read_published(set, Kind::Length, text)? {
        Measured::Length(length) if length >= Length::ZERO => Ok(length),
        _ => Err(format!("{text:?} is below zero")),
    };
    let (depth, strip) = (length(&row.depth)?, length(&row.strip)?);
    Ok(Clearance { row, depth, strip })
}
