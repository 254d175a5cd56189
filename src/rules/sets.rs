//! Rule sets read from their files, every fault of every file named at once.
//!
//! Invariants: ids are unique over all sets; a set has one row a measure but for banded ones; bands
//! join from the base row to the steepest slope, so that nothing falls through; the table of door clearances has a
//! base row for every way to come to a door. Absent here: files (texts arrive as arguments), the job.

use super::finding::Force;
use super::finding::Measured;
use super::measure::{Kind, Measure};
use super::row::{Clearance, ClearanceRow, Limit, Rule, RuleRow, RuleSet, Sense, read_number};
use crate::job::{Approach, Opens};
use crate::quantity::{Citation, Compared, Length, Slope};
use serde::Deserialize;
use std::collections::BTreeSet;
use std::sync::LazyLock;

/// The built-in texts, one a document.
pub const BUILT_IN: [&str; 2] = [
    include_str!("ada-2010.toml"),
    include_str!("advice-us.toml"),
];

/// Every rule set that a job may name.
#[derive(Clone, Debug, PartialEq)]
pub struct RuleSets {
    sets: Vec<RuleSet>,
}

static SETS: LazyLock<RuleSets> =
    LazyLock::new(|| RuleSets::read(&BUILT_IN).expect("the embedded rule sets are read by a test"));

/// A file as it is written; rows stay unread, so that each can name its own fault.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct SetFile {
    id: String,
    version: u32,
    title: String,
    document: String,
    edition: String,
    force: Force,
    unit: String,
    advisory: Option<String>,
    #[serde(default)]
    rule: Vec<toml::Value>,
    #[serde(default)]
    clearance: Vec<toml::Value>,
}

impl RuleSets {
    /// The sets that come with the program.
    pub fn built_in() -> &'static Self {
        &SETS
    }

    /// Reads rule sets, one a text.
    ///
    /// # Errors
    /// Every fault of every text: what does not parse, ids out of shape or used twice, numbers of the
    /// wrong kind or unit, ranges the wrong way round, missing base rows.
    pub fn read(texts: &[&str]) -> Result<Self, Vec<String>> {
        let mut faults = Vec::new();
        let mut sets = Vec::with_capacity(texts.len());
        for (index, text) in texts.iter().enumerate() {
            match toml::from_str::<SetFile>(text) {
                Ok(file) => sets.push(read_set(file, &mut faults)),
                Err(error) => faults.push(format!("rule file {}: {error}", index + 1)),
            }
        }
        check_across(&sets, &mut faults);
        if faults.is_empty() {
            Ok(Self { sets })
        } else {
            Err(faults)
        }
    }

    /// The set of this id.
    pub fn get(&self, id: &str) -> Option<&RuleSet> {
        self.sets.iter().find(|set| set.id == id)
    }

    /// Every set, in the order in which they were read.
    pub fn all(&self) -> &[RuleSet] {
        &self.sets
    }
}

fn read_set(file: SetFile, faults: &mut Vec<String>) -> RuleSet {
    let mut set = RuleSet {
        id: file.id,
        version: file.version,
        title: file.title,
        document: file.document,
        edition: file.edition,
        force: file.force,
        unit: file.unit,
        advisory: file.advisory,
        rules: Vec::with_capacity(file.rule.len()),
        clearances: Vec::with_capacity(file.clearance.len()),
    };
    for (index, value) in file.rule.into_iter().enumerate() {
        let name = row_name(&set.id, &value, index);
        match value.try_into::<RuleRow>() {
            Ok(row) => match read_rule(&set, row) {
                Ok(rule) => set.rules.push(rule),
                Err(found) => faults.extend(found.into_iter().map(|f| format!("{name}: {f}"))),
            },
            Err(error) => faults.push(format!("{name}: {}", error.message())),
        }
    }
    for (index, value) in file.clearance.into_iter().enumerate() {
        let name = format!("{}, clearance {}", set.id, index + 1);
        match value.try_into::<ClearanceRow>() {
            Ok(row) => match read_clearance(&set, row) {
                Ok(clearance) => set.clearances.push(clearance),
                Err(fault) => faults.push(format!("{name}: {fault}")),
            },
            Err(error) => faults.push(format!("{name}: {}", error.message())),
        }
    }
    check_set(&set, faults);
    set
}

/// What a faulty row is called: its id where it has one.
fn row_name(set: &str, value: &toml::Value, index: usize) -> String {
    let id = value.get("id").and_then(toml::Value::as_str);
    id.map_or_else(|| format!("{set}, rule {}", index + 1), str::to_owned)
}

fn read_rule(set: &RuleSet, row: RuleRow) -> Result<Rule, Vec<String>> {
    let mut faults = Vec::new();
    faults.extend(check_id(set, &row));
    faults.extend(check_fields(&row));
    let limit = read_limit(set, &row, &mut faults);
    let band = read_band(&row, &mut faults);
    let document = row.document.as_deref().unwrap_or(&set.title);
    let source = Citation::new(document, Some(&row.section), row.verified);
    match limit {
        Some(limit) if faults.is_empty() => Ok(Rule {
            row,
            limit,
            band,
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
        Sense::AtMost | Sense::AtLeast | Sense::MoreThan | Sense::LessThan => {
            number("value", &row.value).map(Limit::One)
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

fn read_band(row: &RuleRow, faults: &mut Vec<String>) -> Option<(Slope, Slope)> {
    let (Some(above), Some(most)) = (&row.steeper_than, &row.not_steeper_than) else {
        if row.measures.is_banded() {
            faults.push("`steeper_than` and `not_steeper_than` are missing".to_owned());
        }
        return None;
    };
    let mut slope = |text: &str| match Slope::parse(text) {
        Ok(slope) => Some(slope),
        Err(fault) => {
            faults.push(fault.to_string());
            None
        }
    };
    let band = slope(above).zip(slope(most))?;
    if band.1.at_most(band.0) {
        faults.push("`steeper_than` is not below `not_steeper_than`".to_owned());
    }
    Some(band)
}

/// Fields that the row's sense or measure has no use for.
fn check_fields(row: &RuleRow) -> Vec<String> {
    let single = matches!(
        row.sense,
        Sense::AtMost | Sense::AtLeast | Sense::MoreThan | Sense::LessThan
    );
    let range = row.sense == Sense::Within;
    let banded = row.measures.is_banded();
    let fields = [
        ("value", &row.value, single),
        ("least", &row.least, range),
        ("most", &row.most, range),
        ("steeper_than", &row.steeper_than, banded),
        ("not_steeper_than", &row.not_steeper_than, banded),
    ];
    let unused = fields
        .iter()
        .filter(|(_, text, used)| text.is_some() && !used);
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

fn read_clearance(set: &RuleSet, row: ClearanceRow) -> Result<Clearance, String> {
    let length = |text: &str| match read_published(set, Kind::Length, text)? {
        Measured::Length(length) if length >= Length::ZERO => Ok(length),
        _ => Err(format!("{text:?} is below zero")),
    };
    let (depth, strip) = (length(&row.depth)?, length(&row.strip)?);
    Ok(Clearance { row, depth, strip })
}

fn check_set(set: &RuleSet, faults: &mut Vec<String>) {
    let mut seen = BTreeSet::new();
    for rule in &set.rules {
        let measure = rule.row.measures;
        if !seen.insert(measure) && !measure.is_banded() {
            faults.push(format!(
                "{}: {} is measured twice",
                rule.row.id,
                measure.as_str()
            ));
        }
    }
    check_bands(set, faults);
    if set.rule(Measure::DoorDepth).is_some() {
        check_doors(set, faults);
    }
}

/// Bands join: the first begins at the base row's slope, the last ends at the steepest allowed.
fn check_bands(set: &RuleSet, faults: &mut Vec<String>) {
    let slope = |measure: Measure| set.rule(measure).and_then(Rule::slope);
    let mut bands = set.bands(Measure::SteepRise).peekable();
    if bands.peek().is_none() {
        return;
    }
    let (Some(base), Some(cap)) = (slope(Measure::RunSlope), slope(Measure::SteepestRun)) else {
        faults.push(format!(
            "{}: bands of slopes without base rows run_slope and steepest_run",
            set.id
        ));
        return;
    };
    let mut end = base;
    for band in bands {
        let Some((above, most)) = band.band else {
            continue;
        };
        if above.compare(end) != Compared::At {
            faults.push(format!(
                "{}: does not begin where the row before it ends",
                band.row.id
            ));
        }
        end = most;
    }
    if end.compare(cap) != Compared::At {
        faults.push(format!(
            "{}: the bands do not end at the steepest slope",
            set.id
        ));
    }
}

fn check_doors(set: &RuleSet, faults: &mut Vec<String>) {
    for approach in Approach::ALL {
        for opens in Opens::ALL {
            let base = |clearance: &Clearance| {
                let row = &clearance.row;
                row.approach == *approach && row.opens == *opens && row.with.is_none()
            };
            if !set.clearances.iter().any(base) {
                faults.push(format!(
                    "{}: no clearance for approach {approach}, opens {opens}",
                    set.id
                ));
            }
        }
    }
}

fn check_across(sets: &[RuleSet], faults: &mut Vec<String>) {
    let mut ids = BTreeSet::new();
    for set in sets {
        if !ids.insert(set.id.as_str()) {
            faults.push(format!("{}: two rule sets have this id", set.id));
        }
        for rule in &set.rules {
            if !ids.insert(rule.row.id.as_str()) {
                faults.push(format!("{}: two rules have this id", rule.row.id));
            }
        }
        if let Some(advisory) = &set.advisory {
            let companion = sets.iter().find(|other| other.id == *advisory);
            if !companion.is_some_and(|other| other.force == Force::Advisory) {
                faults.push(format!("{}: no advisory rule set {advisory}", set.id));
            }
        }
    }
}
