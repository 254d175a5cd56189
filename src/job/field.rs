//! The rows of `fields.toml`: default, bounds, usual range and reason of every field of a job.
//!
//! Invariants: every text in a row parses in its dimension (a test reads them all); a pointer
//! stands once. Absent: any value that is not in the file.

use super::choice::{Exposure, Finish, SealerProduct};
use super::pointer::PointerHash;
use super::usual::{AirRow, ExposureRow, LieRow, SealantRow, SealerRow, TextureRow};
use crate::quantity::{
    Area, Citation, Compared, Coverage, Length, Percent, Quantity, QuantityError, Slope, Span,
    Stress, System, Temperature, Verified, parse_quantity, slack::compare,
};
use serde::Deserialize;
use std::sync::LazyLock;

/// What a field measures.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Of {
    /// A length.
    Length,
    /// A slope.
    Slope,
    /// A percentage.
    Percent,
    /// A stress.
    Stress,
    /// Area per volume.
    Coverage,
    /// A time.
    Span,
    /// An area.
    Area,
    /// A temperature.
    Temperature,
}

/// One row.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FieldRow {
    /// JSON Pointer into the full form, `*` for any index.
    pub pointer: String,
    /// What it measures; none for words and counts.
    pub of: Option<Of>,
    /// Default in US units, or in words.
    pub us: Option<String>,
    /// Default in metric units.
    pub metric: Option<String>,
    /// Least value accepted.
    pub least: Option<String>,
    /// Most value accepted.
    pub most: Option<String>,
    /// Least value accepted of a job in metric units, where that is less.
    pub least_metric: Option<String>,
    /// Most value accepted of a job in metric units, where that is more.
    pub most_metric: Option<String>,
    /// Low end of the usual range; a sign and a percentage is relative to the value.
    pub low: Option<String>,
    /// High end of the usual range.
    pub high: Option<String>,
    /// What to ask or measure instead of assuming.
    pub ask: Option<String>,
    /// Why this default.
    pub why: Option<String>,
    /// Document behind it; common practice where there is none.
    pub document: Option<String>,
    /// Place in that document.
    pub section: Option<String>,
    /// How far verified.
    pub verified: Option<Verified>,
    #[serde(skip)]
    numbers: Numbers,
    #[serde(skip)]
    reason: String,
}

/// The quantities of a row in SI.
#[derive(Clone, Copy, Debug, Default)]
struct Numbers {
    us: Option<f64>,
    metric: Option<f64>,
    least: Option<f64>,
    most: Option<f64>,
    least_metric: Option<f64>,
    most_metric: Option<f64>,
}

#[derive(Deserialize)]
struct File {
    field: Vec<FieldRow>,
    exposure: Vec<ExposureRow>,
    air: Vec<AirRow>,
    texture: Vec<TextureRow>,
    lie: Vec<LieRow>,
    sealant: SealantRow,
    sealer: Vec<SealerRow>,
}

/// Every row, by pointer.
#[derive(Debug)]
pub struct Fields {
    /// By pointer.
    rows: Vec<FieldRow>,
    /// Places of the rows, by the hash of their pointer.
    by_hash: Vec<(PointerHash, usize)>,
    exposure: Vec<ExposureRow>,
    air: Vec<AirRow>,
    texture: Vec<TextureRow>,
    lie: Vec<LieRow>,
    sealant: SealantRow,
    sealer: Vec<SealerRow>,
}

static FIELDS: LazyLock<Fields> = LazyLock::new(|| {
    Fields::read(include_str!("fields.toml")).expect("the embedded field rows are read by a test")
});

impl Fields {
    /// The rows built into the program.
    pub fn built_in() -> &'static Self {
        &FIELDS
    }

    /// Reads a file of rows.
    ///
    /// # Errors
    /// The first text that is not TOML, or not a quantity of its row's dimension, in words.
    pub fn read(text: &str) -> Result<Self, String> {
        let file: File = toml::from_str(text).map_err(|error| error.to_string())?;
        let mut rows = file.field;
        for row in &mut rows {
            row.numbers = row
                .measure()
                .map_err(|error| format!("{}: {error}", row.pointer))?;
            row.reason = row.word_reason();
        }
        rows.sort_by(|a, b| a.pointer.cmp(&b.pointer));
        let hashed = rows.iter().map(|row| PointerHash::of(&row.pointer));
        let mut by_hash: Vec<_> = hashed.zip(0..).collect();
        by_hash.sort_unstable();
        if let Some(two) = by_hash.windows(2).find(|two| two[0].0 == two[1].0) {
            let [one, other] = [&rows[two[0].1].pointer, &rows[two[1].1].pointer];
            return Err(match one == other {
                true => format!("{one} stands twice"),
                false => format!("{one} and {other} have one hash"),
            });
        }
        Ok(Self {
            by_hash,
            rows,
            exposure: file.exposure,
            air: file.air,
            texture: file.texture,
            lie: file.lie,
            sealant: file.sealant,
            sealer: file.sealer,
        })
    }

    /// The row of a pointer with `*` for indices.
    pub fn row(&self, pointer: &str) -> Option<&FieldRow> {
        let row = self.row_of(PointerHash::of(pointer));
        row.filter(|row| row.pointer == pointer)
    }

    /// The row whose pointer has a hash; the caller makes sure that it is the pointer meant.
    pub(super) fn row_of(&self, hash: PointerHash) -> Option<&FieldRow> {
        let at = self.by_hash.binary_search_by_key(&hash, |(hash, _)| *hash);
        Some(&self.rows[self.by_hash[at.ok()?].1])
    }

    /// All rows, by pointer.
    pub fn rows(&self) -> impl Iterator<Item = &FieldRow> {
        self.rows.iter()
    }

    /// The row of an exposure class; every class has one.
    pub fn exposure(&self, class: Exposure) -> Option<&ExposureRow> {
        self.exposure.iter().find(|row| row.class == class)
    }

    /// Air for stone of a size: the row of the largest stone that is no larger, since smaller stone asks for
    /// more air.
    pub fn air(&self, aggregate: Length) -> Option<&AirRow> {
        let no_larger = |row: &&AirRow| row.aggregate.at_most(aggregate);
        self.air.iter().rfind(no_larger).or(self.air.first())
    }

    /// Coverage on a finish over coverage on a broomed surface; every finish has a row.
    pub fn texture(&self, finish: Finish) -> f64 {
        let row = self.texture.iter().find(|row| row.finish == finish);
        row.map_or(1.0, |row| row.share.fraction())
    }

    /// Cover of steel in a slab of a thickness, half of the slab at most.
    pub(super) fn cover(&self, thickness: Length, system: System) -> Length {
        let metric = system == System::Metric;
        let of = |row: &LieRow| match metric {
            true => (row.from_metric, row.cover_metric),
            false => (row.from, row.cover),
        };
        let mut rows = self.lie.iter().rev().map(of);
        let row = rows.find(|(from, _)| thickness.at_least(*from));
        let half = thickness / 2.0;
        row.map_or(half, |(_, cover)| cover.min(half))
    }

    /// Depth of sealant in a joint of a width.
    pub(super) fn sealant_depth(&self, width: Length, system: System) -> Length {
        let least = match system {
            System::Us => self.sealant.least,
            System::Metric => self.sealant.least_metric,
        };
        (width * self.sealant.share.fraction()).max(least)
    }

    /// The row of a sealer; every product has one.
    pub fn sealer(&self, product: SealerProduct) -> Option<&SealerRow> {
        self.sealer.iter().find(|row| row.product == product)
    }
}

impl FieldRow {
    fn measure(&self) -> Result<Numbers, QuantityError> {
        let Some(of) = self.of else {
            return Ok(Numbers::default());
        };
        let read = |text: &Option<String>| text.as_deref().map(|text| of.si(text)).transpose();
        // A default in words ("by exposure") has no number.
        let word = |text: &Option<String>| text.as_deref().and_then(|text| of.si(text).ok());
        Ok(Numbers {
            us: word(&self.us),
            metric: word(&self.metric),
            least: read(&self.least)?,
            most: read(&self.most)?,
            least_metric: read(&self.least_metric)?,
            most_metric: read(&self.most_metric)?,
        })
    }

    /// The default in a unit system; none where it must be given or is worked out.
    pub fn default<Q: Quantity>(&self, system: System) -> Option<Q> {
        let number = match system {
            System::Us => self.numbers.us,
            System::Metric => self.numbers.metric.or(self.numbers.us),
        };
        number.map(Q::from_si)
    }

    /// The default as text in a unit system.
    pub fn text(&self, system: System) -> &str {
        let text = match system {
            System::Us => self.us.as_deref(),
            System::Metric => self.metric.as_deref().or(self.us.as_deref()),
        };
        text.unwrap_or_default()
    }

    /// True when a value keeps the bounds of a system, with the usual slack at either end.
    pub fn holds<Q: Quantity>(&self, value: Q, system: System) -> bool {
        let (mut least, mut most) = (self.numbers.least, self.numbers.most);
        if system == System::Metric {
            least = self.numbers.least_metric.or(least);
            most = self.numbers.most_metric.or(most);
        }
        let least = least.is_none_or(|least| compare(value.si(), least) != Compared::Below);
        let most = most.is_none_or(|most| compare(value.si(), most) != Compared::Above);
        least && most
    }

    /// The least value accepted of a job in a system of units.
    pub fn least_in(&self, system: System) -> Option<&str> {
        let metric = self.least_metric.as_deref();
        let metric = metric.filter(|_| system == System::Metric);
        metric.or(self.least.as_deref())
    }

    /// The most value accepted of a job in a system of units.
    pub fn most_in(&self, system: System) -> Option<&str> {
        let metric = self.most_metric.as_deref();
        let metric = metric.filter(|_| system == System::Metric);
        metric.or(self.most.as_deref())
    }

    /// The bounds of a system of units in words.
    pub fn bounds(&self, system: System) -> String {
        match (self.least_in(system), self.most_in(system)) {
            (Some(least), Some(most)) => format!("{least} to {most}"),
            (Some(least), None) => format!("at least {least}"),
            (None, Some(most)) => format!("at most {most}"),
            (None, None) => "a value".to_owned(),
        }
    }

    /// Why this default, with its source.
    pub fn reason(&self) -> &str {
        &self.reason
    }

    fn word_reason(&self) -> String {
        let why = self.why.as_deref().unwrap_or("default");
        let source = self.source();
        match (&source.section, source.verified) {
            (_, Verified::Practice) => format!("{why} ({})", source.document),
            (Some(section), _) => format!("{why} ({}, {section})", source.document),
            (None, _) => format!("{why} ({})", source.document),
        }
    }

    /// Where the row comes from.
    pub fn source(&self) -> Citation {
        match &self.document {
            None => Citation::practice(),
            Some(document) => Citation {
                document: document.clone(),
                section: self.section.clone(),
                verified: self.verified.unwrap_or(Verified::Practice),
            },
        }
    }
}

impl Of {
    fn si(self, text: &str) -> Result<f64, QuantityError> {
        Ok(match self {
            Self::Length => parse_quantity::<Length>(text)?.si(),
            Self::Slope => parse_quantity::<Slope>(text)?.si(),
            Self::Percent => parse_quantity::<Percent>(text)?.si(),
            Self::Stress => parse_quantity::<Stress>(text)?.si(),
            Self::Coverage => parse_quantity::<Coverage>(text)?.si(),
            Self::Span => parse_quantity::<Span>(text)?.si(),
            Self::Area => parse_quantity::<Area>(text)?.si(),
            Self::Temperature => parse_quantity::<Temperature>(text)?.si(),
        })
    }
}
