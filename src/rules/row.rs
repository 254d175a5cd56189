//! Rows of a rule set: as they stand in its file, and with their texts read as quantities.
//!
//! Invariants: a rule that was read has the number its sense asks for, of its measure's kind; the
//! published text stays beside it. Absent here: the job, any judgement.

use super::class::{Class, Classed};
use super::finding::{Force, Measured};
use super::measure::{Kind, Measure};
use crate::job::{Approach, Opens};
use crate::quantity::{Citation, Length, Slope, Verified};
use serde::{Deserialize, Serialize};

/// How a measured value stands to a rule's number.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "service", derive(utoipa::ToSchema))]
#[serde(rename_all = "snake_case")]
pub enum Sense {
    /// Not more than `value`; exactly at it complies.
    AtMost,
    /// Not less than `value`; exactly at it complies.
    AtLeast,
    /// From `least` to `most`, both included.
    Within,
    /// More than `value`; exactly at it does not count.
    MoreThan,
    /// Less than `value`; exactly at it does not count.
    LessThan,
    /// By the set's table of door clearances.
    Table,
    /// No number: something to be kept, that a job cannot show.
    Condition,
}

/// One rule as it stands in its file.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "service", derive(utoipa::ToSchema))]
#[serde(deny_unknown_fields)]
pub struct RuleRow {
    /// `<rule set>/<section>[-<letter>]`; never reused.
    pub id: String,
    /// Section, table or exception in the document.
    pub section: String,
    /// What it measures.
    pub measures: Measure,
    /// How the measured value stands to the number.
    pub sense: Sense,
    /// The number, in the published unit.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub value: Option<String>,
    /// Least, of a range.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub least: Option<String>,
    /// Most, of a range.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub most: Option<String>,
    /// The number follows from the run.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reckoned: Option<Reckoned>,
    /// The rule holds for slopes steeper than this.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub steeper_than: Option<String>,
    /// The rule holds for this slope and steeper ones.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub as_steep_as: Option<String>,
    /// The rule holds for slopes not steeper than this.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub not_steeper_than: Option<String>,
    /// The rule holds for runs no longer than this, on plan.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub up_to_length: Option<String>,
    /// The rule holds for runs that rise no more than this.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub up_to_rise: Option<String>,
    /// Id of the row of the extended set whose place this one takes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub replaces: Option<String>,
    /// What it says, in a few words.
    pub title: String,
    /// Document of this row, where it is not the set's.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub document: Option<String>,
    /// How far the row was checked.
    pub verified: Verified,
}

/// How a number follows from a run: `base` and so many more for each metre of going, or for each whole
/// of the ratio.
///
/// A slope is reckoned from the going: not steeper than 1 in `base` + `per` × metres, nor than `value`.
/// A going is reckoned from the slope 1 in n: not longer than `base` + `per` × n metres; it has no
/// `value`.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "service", derive(utoipa::ToSchema))]
#[serde(deny_unknown_fields)]
pub struct Reckoned {
    /// What it begins with.
    pub base: f64,
    /// What each metre, or each whole of the ratio, adds.
    pub per: f64,
}

/// The number of a rule.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Limit {
    /// None.
    Nothing,
    /// One.
    One(Measured),
    /// From the first to the second.
    Range(Measured, Measured),
}

/// A rule with its number read.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(transparent)]
pub struct Rule {
    /// The row as it stands in its file.
    pub row: RuleRow,
    /// Its number.
    #[serde(skip)]
    pub limit: Limit,
    /// The runs it holds for.
    #[serde(skip)]
    pub class: Class,
    /// Where it comes from.
    #[serde(skip)]
    pub source: Citation,
}

/// Beyond which side of a door the clear floor lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "service", derive(utoipa::ToSchema))]
#[serde(rename_all = "snake_case")]
pub enum Beyond {
    /// The latch side.
    Latch,
    /// The hinge side.
    Hinge,
}

/// What a door must have for a row of the table to hold.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "service", derive(utoipa::ToSchema))]
#[serde(rename_all = "snake_case")]
pub enum With {
    /// A closer.
    Closer,
    /// A closer and a latch.
    CloserAndLatch,
}

/// One row of the table of door clearances.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "service", derive(utoipa::ToSchema))]
#[serde(deny_unknown_fields)]
pub struct ClearanceRow {
    /// From where a person comes.
    pub approach: Approach,
    /// Which way the door opens.
    pub opens: Opens,
    /// What the door must have for this row to hold, in place of the one without.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub with: Option<With>,
    /// Clear depth square to the door.
    pub depth: String,
    /// Beyond which side the strip lies.
    pub beyond: Beyond,
    /// Clear floor beside the door.
    pub strip: String,
}

/// A row of the table of door clearances with its numbers read.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(transparent)]
pub struct Clearance {
    /// The row as it stands in its file.
    pub row: ClearanceRow,
    /// Clear depth square to the door.
    #[serde(skip)]
    pub depth: Length,
    /// Clear floor beside the door.
    #[serde(skip)]
    pub strip: Length,
}

/// One document's rules.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "service", derive(utoipa::ToSchema))]
pub struct RuleSet {
    /// Its name in a job.
    pub id: String,
    /// Counted up whenever a row changes.
    pub version: u32,
    /// Short title, as findings cite it.
    pub title: String,
    /// Full title of the document.
    pub document: String,
    /// Which edition of it.
    pub edition: String,
    /// Whether its findings count.
    pub force: Force,
    /// The unit column its lengths are held in.
    pub unit: String,
    /// The advisory set that comes with it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub advisory: Option<String>,
    /// The set whose rows it takes over.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub extends: Option<String>,
    /// Ids of rows of that set that do not hold here.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub drops: Vec<String>,
    /// Its rules, in the order of the file.
    #[cfg_attr(feature = "service", schema(value_type = Vec<RuleRow>))]
    pub rules: Vec<Rule>,
    /// Its table of door clearances.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    #[cfg_attr(feature = "service", schema(value_type = Vec<ClearanceRow>))]
    pub clearances: Vec<Clearance>,
}

impl RuleSet {
    /// The rule that measures this; of several the one for runs of every class, else the first.
    pub fn rule(&self, measure: Measure) -> Option<&Rule> {
        let of_any = self.rows_of(measure).find(|rule| rule.class.is_any());
        of_any.or_else(|| self.rows_of(measure).next())
    }

    /// The rules of a classed measure that hold for a run.
    pub fn rules_for(&self, measure: Measure, run: Classed) -> impl Iterator<Item = &Rule> {
        self.rows_of(measure)
            .filter(move |rule| rule.class.holds(run))
    }

    /// Every rule of a measure.
    pub fn rows_of(&self, measure: Measure) -> impl Iterator<Item = &Rule> {
        self.rules
            .iter()
            .filter(move |rule| rule.row.measures == measure)
    }
}

impl Rule {
    /// The one number of the rule as a length; `None` for rules of another kind.
    pub fn length(&self) -> Option<Length> {
        match self.limit {
            Limit::One(Measured::Length(length)) => Some(length),
            _ => None,
        }
    }

    /// The one number of the rule as a slope; `None` for rules of another kind.
    pub fn slope(&self) -> Option<Slope> {
        match self.limit {
            Limit::One(Measured::Slope(slope)) => Some(slope),
            _ => None,
        }
    }

    /// The one number of the rule as a count; `None` for rules of another kind.
    pub fn count(&self) -> Option<f64> {
        match self.limit {
            Limit::One(Measured::Count(count)) => Some(count),
            _ => None,
        }
    }

    /// The number as published: `36 in`, `34 in to 38 in`.
    pub fn text(&self) -> String {
        match (&self.row.value, &self.row.least, &self.row.most) {
            (Some(value), _, _) => value.clone(),
            (None, Some(least), Some(most)) => format!("{least} to {most}"),
            _ => String::new(),
        }
    }

    /// The one number of the rule for a run, reckoned from it where the row says so.
    pub fn limit_for(&self, run: Classed) -> Option<Measured> {
        match (self.limit, self.row.reckoned) {
            (Limit::One(Measured::Slope(cap)), Some(by)) => {
                let ratio = by.base + by.per * run.length.metres();
                // Below 1 in nothing there is no limit but the row's own.
                let slope = Slope::from_ratio(1.0 / ratio.max(f64::MIN_POSITIVE));
                let gentler = if slope.at_most(cap) { slope } else { cap };
                Some(Measured::Slope(gentler))
            }
            (Limit::Nothing, Some(by)) => {
                let metres = by.base + by.per / run.slope.ratio();
                Some(Measured::Length(Length::from_metres(metres.max(0.0))))
            }
            (Limit::One(limit), _) => Some(limit),
            _ => None,
        }
    }
}

/// Reads a number of a rule; the error says what was expected.
pub(super) fn read_number(kind: Kind, text: &str) -> Result<Measured, String> {
    match kind {
        Kind::Length => Length::parse(text)
            .map(Measured::Length)
            .map_err(|e| e.to_string()),
        Kind::Slope => Slope::parse(text)
            .map(Measured::Slope)
            .map_err(|e| e.to_string()),
        Kind::Count => match text.parse::<f64>() {
            Ok(count) if count.is_finite() => Ok(Measured::Count(count)),
            _ => Err(format!("{text:?} is no number")),
        },
        Kind::Nothing => Err("this measure takes no number".to_owned()),
    }
}
