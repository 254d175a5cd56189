//! Rule sets read from their files, every fault of every file named at once.
//!
//! Invariants: ids are unique over all files; a set has one row a measure but for classed ones; bands
//! join from the base row to the steepest slope, so that nothing falls through; the table of door clearances has a
//! base row for every way to come to a door; what extends another set holds all its rows but those it
//! replaces or drops. Absent here: files (texts arrive as arguments), the job.

use super::extend::extend_sets;
use super::finding::Force;
use super::measure::Measure;
use super::read_row::{read_clearance, read_rule};
use super::row::{Clearance, ClearanceRow, Rule, RuleRow, RuleSet};
use crate::job::{Approach, Opens};
use crate::quantity::Compared;
use serde::Deserialize;
use std::collections::BTreeSet;
use std::sync::LazyLock;

/// Declares the files that come with the program.
macro_rules! built_in {
    ($($name:literal,)+) => {
        /// The built-in texts, one a document or a part of it, by the name of their file.
        pub const BUILT_IN: &[(&str, &str)] = &[$(($name, include_str!($name)),)+];
    };
}

built_in! {
    "ada-2010.toml",
    "advice-us.toml",
    "california-11b.toml",
    "ibc-2024-egress.toml",
    "ibc-2024-other.toml",
    "ibc-2024-dwelling.toml",
    "irc-2024-egress-door.toml",
    "irc-2024-other.toml",
    "prowag-2011.toml",
    "england-k-m.toml",
    "ireland-m-dwellings.toml",
    "ireland-m-other.toml",
    "ontario-2012.toml",
    "british-columbia-2024.toml",
    "australia-1428-1.toml",
    "germany-18040-1.toml",
    "france-new.toml",
    "france-existing.toml",
    "new-zealand.toml",
}

/// Every rule set that a job may name.
#[derive(Clone, Debug, PartialEq)]
pub struct RuleSets {
    sets: Vec<RuleSet>,
}

static SETS: LazyLock<RuleSets> =
    LazyLock::new(|| RuleSets::read(BUILT_IN).expect("the embedded rule sets are read by a test"));

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
    extends: Option<String>,
    #[serde(default)]
    drops: Vec<String>,
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

    /// Reads rule sets, one a text; each text comes with the name of its file.
    ///
    /// # Errors
    /// Every fault of every text: what does not parse, ids out of shape or used twice, numbers of the
    /// wrong kind or unit, ranges the wrong way round, missing base rows, extensions of nothing or of
    /// themselves.
    pub fn read(files: &[(&str, &str)]) -> Result<Self, Vec<String>> {
        let mut faults = Vec::new();
        let mut sets = Vec::with_capacity(files.len());
        for (name, text) in files {
            match toml::from_str::<SetFile>(text) {
                Ok(file) => sets.push(read_set(file, &mut faults)),
                Err(error) => faults.push(format!("{name}: {}", unreadable(text, &error))),
            }
        }
        check_ids(&sets, &mut faults);
        if faults.is_empty() {
            sets = extend_sets(sets, &mut faults);
            sets.iter().for_each(|set| check_set(set, &mut faults));
        }
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
        extends: file.extends,
        drops: file.drops,
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
    set
}

/// What a faulty row is called: its id where it has one.
fn row_name(set: &str, value: &toml::Value, index: usize) -> String {
    let id = value.get("id").and_then(toml::Value::as_str);
    id.map_or_else(|| format!("{set}, rule {}", index + 1), str::to_owned)
}

fn check_set(set: &RuleSet, faults: &mut Vec<String>) {
    let mut seen = BTreeSet::new();
    for rule in &set.rules {
        let measure = rule.row.measures;
        if !seen.insert(measure) && !measure.is_classed() {
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
    let mut bands = set.rows_of(Measure::SteepRise).peekable();
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
        let Some((above, most)) = band.class.band() else {
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

/// Why a file is no rule set, and in which line; the line itself may be of any length.
fn unreadable(text: &str, error: &toml::de::Error) -> String {
    let before = error.span().and_then(|span| text.get(..span.start));
    let line = before.map_or(1, |before| before.matches('\n').count() + 1);
    format!("line {line}: {}", error.message())
}

/// Ids stand once over all files, and companions are there.
fn check_ids(sets: &[RuleSet], faults: &mut Vec<String>) {
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
