//! The rows of `columns.toml`: name, kind, units, default, range and meaning of every column.
//!
//! Invariants: every default and every end of a range reads in its kind (a test reads them all); a
//! name stands once. Absent: cells, and what becomes of them.

use crate::quantity::{
    Citation, Compared, Dimension, Length, Percent, Quantity as _, QuantityError, Slope, Stress,
    System, parse_quantity, slack::compare,
};
use serde::Deserialize;
use std::collections::BTreeMap;
use std::sync::LazyLock;

/// What a column holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum ShortKind {
    /// A length.
    Length,
    /// A slope.
    Slope,
    /// A number of percent.
    Percent,
    /// A strength.
    Stress,
    /// A whole number.
    Count,
    /// One of some words.
    Choice,
    /// Yes or no.
    YesNo,
    /// A day.
    Date,
    /// A text.
    Text,
}

/// One column of the short form.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ShortColumn {
    /// Its name without a unit.
    pub name: String,
    /// What it holds.
    pub kind: ShortKind,
    /// True when a row is nothing without it.
    #[serde(default)]
    pub required: bool,
    us: Option<String>,
    metric: Option<String>,
    otherwise: Option<String>,
    us_range: Option<[String; 2]>,
    metric_range: Option<[String; 2]>,
    example: Option<[String; 2]>,
    /// Most characters of a text.
    pub most: Option<usize>,
    /// The words that may be chosen.
    #[serde(default)]
    pub words: Vec<String>,
    /// The column that may not be filled in together with this one.
    pub instead_of: Option<String>,
    only: Option<String>,
    /// What it means, in a sentence.
    pub meaning: String,
    pub(super) why: Option<String>,
    document: Option<String>,
    section: Option<String>,
    verified: Option<crate::quantity::Verified>,
    #[serde(default)]
    pub(super) to: Vec<String>,
    #[serde(skip)]
    ranges: Ranges,
}

/// Ends of the ranges in SI.
#[derive(Clone, Copy, Debug, Default)]
struct Ranges {
    us: Option<(f64, f64)>,
    metric: Option<(f64, f64)>,
}

/// The greatest rise of one run in a rule set.
#[derive(Clone, Debug, Deserialize)]
struct RunRow {
    rule_set: String,
    most_rise: Length,
    #[serde(flatten)]
    source: Citation,
}

/// How many of the crew go with one finisher.
#[derive(Clone, Debug, Deserialize)]
pub(super) struct CrewRow {
    pub(super) people: u32,
    pub(super) why: String,
    #[serde(flatten)]
    source: Citation,
}

#[derive(Clone, Debug, Deserialize)]
struct AgreementRow {
    slope: Slope,
}

#[derive(Debug, Deserialize)]
struct File {
    column: Vec<ShortColumn>,
    run: Vec<RunRow>,
    crew: CrewRow,
    agreement: AgreementRow,
}

/// Every row of the file.
#[derive(Debug)]
pub(super) struct Columns {
    pub(super) rows: Vec<ShortColumn>,
    places: BTreeMap<String, usize>,
    run: Vec<RunRow>,
    pub(super) crew: CrewRow,
    /// How far apart a slope and the slope of a length may lie that say the same.
    pub(super) agreement: Slope,
}

static COLUMNS: LazyLock<Columns> = LazyLock::new(|| {
    Columns::read(include_str!("columns.toml")).expect("the embedded columns are read by a test")
});

/// Every column of the short form, in the order in which they are described.
pub fn short_columns() -> &'static [ShortColumn] {
    &COLUMNS.rows
}

impl Columns {
    pub(super) fn built_in() -> &'static Self {
        &COLUMNS
    }

    /// Reads a file of columns; the first text that cannot be read, in words.
    pub(super) fn read(text: &str) -> Result<Self, String> {
        let mut file: File = toml::from_str(text).map_err(|error| error.to_string())?;
        let mut places = BTreeMap::new();
        for (place, row) in file.column.iter_mut().enumerate() {
            row.measure()
                .map_err(|error| format!("{}: {error}", row.name))?;
            if places.insert(row.name.clone(), place).is_some() {
                return Err(format!("{} stands twice", row.name));
            }
        }
        Ok(Self {
            rows: file.column,
            places,
            run: file.run,
            crew: file.crew,
            agreement: file.agreement.slope,
        })
    }

    /// The place of a column, by its name without a unit.
    pub(super) fn place(&self, name: &str) -> Option<usize> {
        self.places.get(name).copied()
    }

    /// The greatest rise of one run, and why.
    pub(super) fn most_rise(&self, rule_set: Option<&str>) -> Option<(Length, String)> {
        let own = |row: &&RunRow| Some(row.rule_set.as_str()) == rule_set;
        let row = self.run.iter().find(own).or(self.run.first())?;
        Some((row.most_rise, cited(&row.source)))
    }
}

impl CrewRow {
    pub(super) fn reason(&self) -> String {
        format!("{} ({})", self.why, cited(&self.source))
    }
}

fn cited(source: &Citation) -> String {
    match &source.section {
        Some(section) => format!("{}, {section}", source.document),
        None => source.document.clone(),
    }
}

impl ShortKind {
    /// Its word in the description.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Length => "length",
            Self::Slope => "slope",
            Self::Percent => "percent",
            Self::Stress => "stress",
            Self::Count => "count",
            Self::Choice => "choice",
            Self::YesNo => "yes_no",
            Self::Date => "date",
            Self::Text => "text",
        }
    }

    /// The units that may end a column's name, each with how a number in it is written out.
    pub const fn units(self) -> &'static [(&'static str, &'static str)] {
        match self {
            Self::Length => &[
                ("in", "in"),
                ("ft", "ft"),
                ("mm", "mm"),
                ("cm", "cm"),
                ("m", "m"),
            ],
            Self::Slope => &[("pct", "%")],
            Self::Stress => &[("psi", "psi"), ("MPa", "MPa")],
            _ => &[],
        }
    }

    /// The same with the usual one of a system of units first.
    pub(super) fn units_in(
        self,
        system: System,
    ) -> impl Iterator<Item = &'static (&'static str, &'static str)> + Clone {
        let usual = match (self, system) {
            (Self::Length, System::Metric) => 2,
            (Self::Stress, System::Metric) => 1,
            _ => 0,
        };
        let (before, from) = self.units().split_at(usual.min(self.units().len()));
        from.iter().chain(before)
    }

    /// The dimension of what it holds; none for words and counts.
    pub const fn dimension(self) -> Option<Dimension> {
        match self {
            Self::Length => Some(Dimension::Length),
            Self::Slope => Some(Dimension::Slope),
            Self::Percent => Some(Dimension::Percent),
            Self::Stress => Some(Dimension::Stress),
            _ => None,
        }
    }

    /// A text with its unit as a number in SI.
    pub(super) fn si(self, text: &str) -> Result<f64, QuantityError> {
        Ok(match self {
            Self::Slope => parse_quantity::<Slope>(text)?.si(),
            Self::Percent => parse_quantity::<Percent>(text)?.si(),
            Self::Stress => parse_quantity::<Stress>(text)?.si(),
            _ => parse_quantity::<Length>(text)?.si(),
        })
    }
}

impl ShortColumn {
    fn measure(&mut self) -> Result<(), QuantityError> {
        if self.kind.dimension().is_none() {
            return Ok(());
        }
        let read = |range: &Option<[String; 2]>| {
            let ends = range.as_ref().map(|[least, most]| {
                Ok::<_, QuantityError>((self.kind.si(least)?, self.kind.si(most)?))
            });
            ends.transpose()
        };
        let told = self.example.iter().flatten();
        for text in [&self.us, &self.metric].into_iter().flatten().chain(told) {
            self.kind.si(text)?;
        }
        self.ranges = Ranges {
            us: read(&self.us_range)?,
            metric: read(&self.metric_range)?,
        };
        Ok(())
    }

    /// How the column may be called: its name, and its name with each unit that it may hold.
    pub fn forms(&self) -> Vec<String> {
        let named = self.kind.units().iter();
        let named = named.map(|(suffix, _)| format!("{}_{suffix}", self.name));
        std::iter::once(self.name.clone()).chain(named).collect()
    }

    /// The default in a system of units; none where it is worked out or comes from elsewhere.
    pub fn default_in(&self, system: System) -> Option<&str> {
        match system {
            System::Us => self.us.as_deref(),
            System::Metric => self.metric.as_deref().or(self.us.as_deref()),
        }
    }

    /// What a blank cell means, in words, where that is no value.
    pub fn otherwise(&self) -> Option<&str> {
        self.otherwise.as_deref()
    }

    /// Least and most in a system of units, both allowed.
    pub fn range_in(&self, system: System) -> Option<(&str, &str)> {
        let range = match system {
            System::Us => self.us_range.as_ref(),
            System::Metric => self.metric_range.as_ref().or(self.us_range.as_ref()),
        };
        range.map(|[least, most]| (least.as_str(), most.as_str()))
    }

    /// True for a column that only a batch has a use for.
    pub fn is_batch_only(&self) -> bool {
        self.only.as_deref() == Some("batch")
    }

    /// Whether an SI number lies within the range, with the usual slack at either end.
    pub(super) fn holds(&self, si: f64, system: System) -> bool {
        let range = match system {
            System::Us => self.ranges.us,
            System::Metric => self.ranges.metric,
        };
        range.is_none_or(|(least, most)| {
            compare(si, least) != Compared::Below && compare(si, most) != Compared::Above
        })
    }

    /// Whether 0 is none of it, where the full form asks for a least.
    pub(super) fn can_be_none(&self, system: System) -> bool {
        self.kind == ShortKind::Length && self.range_in(system).is_some() && self.holds(0.0, system)
    }

    /// The range in words.
    pub(super) fn bounds(&self, system: System) -> String {
        let range = self.range_in(system);
        range.map_or_else(
            || "a value".to_owned(),
            |(least, most)| format!("{least} to {most}"),
        )
    }

    /// A value that would be accepted.
    pub fn example(&self, system: System) -> &str {
        let own = self.example.as_ref().map(|[us, metric]| match system {
            System::Us => us.as_str(),
            System::Metric => metric.as_str(),
        });
        let word = || self.words.first().map(String::as_str);
        own.or(self.default_in(system))
            .or_else(word)
            .unwrap_or(match self.kind {
                ShortKind::Date => "2026-05-11",
                ShortKind::YesNo => "yes",
                _ => "East entrance",
            })
    }

    /// Why its default, with the source where it has one.
    pub(super) fn reason(&self) -> String {
        let why = self.why.as_deref().unwrap_or(&self.meaning);
        let practice = Citation::practice();
        let document = self.document.as_deref().unwrap_or(&practice.document);
        match (&self.section, self.verified) {
            (Some(section), Some(_)) => format!("{why} ({document}, {section})"),
            _ => format!("{why} ({document})"),
        }
    }
}
