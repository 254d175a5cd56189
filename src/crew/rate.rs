//! The rows of `rates.toml`: what each task takes. A rate set holds them with what bends them
//! (`modifier`) and the figures that a plan of visits needs (`figure`).
//!
//! Invariants: a row of every task and figure is there and says where it comes from, low is at most
//! likely and likely at most high; a file that breaks this is refused. Absent: any hour of a job.

use super::answer::RateShown;
use super::figure::{Figures, Week};
use super::modifier::{Modifier, read_modifiers};
use super::task_rows::TaskRows;
use crate::catalog::{OwnRate, TaskMinutes};
use crate::quantity::money::Decimal4;
use crate::quantity::{Citation, Verified};
use serde::{Deserialize, Serialize};
use std::{collections::BTreeMap, sync::LazyLock};

/// When in the course of a job a task is done.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Phase {
    /// Layout, grade, stone, edge forms.
    Base,
    /// What lies in the forms.
    Mat,
    /// The pour.
    Pour,
    /// The next day: saw, strip, rub.
    Saw,
    /// When curing ends.
    Close,
    /// At the sealer's age.
    Seal,
    /// On every visit.
    Every,
}

/// What a rate is counted by.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Per {
    /// A foot.
    Ft,
    /// A square foot.
    Ft2,
    /// A cubic yard.
    Yd3,
    /// A pound.
    Lb,
    /// A piece, a person or a load.
    Each,
    /// A visit.
    Visit,
}

impl Phase {
    /// How it is spelled.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Base => "base",
            Self::Mat => "mat",
            Self::Pour => "pour",
            Self::Saw => "saw",
            Self::Close => "close",
            Self::Seal => "seal",
            Self::Every => "every",
        }
    }
}

impl Per {
    /// How it is written behind the stroke of `h/…`.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Ft => "ft",
            Self::Ft2 => "ft2",
            Self::Yd3 => "yd3",
            Self::Lb => "lb",
            Self::Each => "each",
            Self::Visit => "visit",
        }
    }
}

/// What one task takes.
#[derive(Clone, Debug, Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
pub struct RateRow {
    /// The task's code, which is the row's name.
    #[serde(skip_deserializing)]
    pub code: &'static str,
    /// Its place among all tasks, from 0.
    #[serde(skip)]
    pub(super) place: u8,
    /// What is done.
    pub description: String,
    /// A word or two for the visit's description; none for what goes without saying.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub short: Option<String>,
    /// When it is done.
    pub phase: Phase,
    /// Hours before the first unit.
    pub setup_hours: f64,
    /// Hours per unit when all goes well.
    pub low: f64,
    /// Hours per unit used.
    pub likely: f64,
    /// Hours per unit when little goes well.
    pub high: f64,
    /// The unit.
    pub per: Per,
    /// Fewest people who can do it.
    pub people_least: u32,
    /// Most people who can share it; all where none is said.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub people_most: Option<u32>,
    /// True when a finisher must do it or stand by.
    #[serde(default)]
    pub finisher: bool,
    /// What is inside the row.
    pub includes: String,
    document: String,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    section: Option<String>,
    verified: Verified,
    /// True when it is the office's own and not the built-in one.
    #[serde(skip_deserializing)]
    pub own: bool,
    /// Modifiers that bend it as a whole, by their place, as bits.
    #[serde(skip)]
    pub(super) bent_by: u32,
    /// Modifiers that bend the float's share of it.
    #[serde(skip)]
    pub(super) float_bent_by: u32,
}

impl RateRow {
    /// Its rate and range.
    pub const fn rate(&self) -> RateShown {
        RateShown {
            low: self.low,
            likely: self.likely,
            high: self.high,
            per: self.per.as_str(),
        }
    }

    /// Where the row comes from.
    pub fn source(&self) -> Citation {
        Citation::new(&self.document, self.section.as_deref(), self.verified)
    }

    fn take(&mut self, minutes: TaskMinutes, book: &str) {
        let hours = |minutes: Decimal4| minutes.number() / 60.0;
        self.setup_hours = hours(minutes.setup);
        self.low = hours(minutes.low);
        self.likely = hours(minutes.likely);
        self.high = hours(minutes.high);
        self.document = format!("the crew's own rates, book {book}");
        self.section = None;
        self.verified = Verified::Read;
        self.own = true;
    }

    fn is_sound(&self) -> bool {
        let rates = [self.low, self.likely, self.high];
        let in_order = self.low <= self.likely && self.likely <= self.high;
        let finite = rates.iter().all(|rate| rate.is_finite() && *rate >= 0.0);
        let people = self
            .people_most
            .is_none_or(|most| most >= self.people_least);
        in_order && finite && people && self.setup_hours >= 0.0 && !self.document.is_empty()
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    id: String,
    version: u32,
    task: TaskRows,
    figure: Figures,
    week: Week,
}

/// A rate set.
#[derive(Clone, Debug)]
pub struct Rates {
    /// Its name.
    pub id: String,
    /// Its version, counted up with every change of a figure.
    pub version: u32,
    /// What bends a rate.
    pub modifiers: Vec<Modifier>,
    /// Figures that are no rates.
    pub figures: Figures,
    /// Days on which nobody works.
    pub week: Week,
    pub(super) tasks: TaskRows,
}

static RATES: LazyLock<Rates> = LazyLock::new(|| {
    let (rates, modifiers) = (include_str!("rates.toml"), include_str!("modifiers.toml"));
    Rates::read(rates, modifiers).expect("the embedded crew rates are read by a test")
});

impl Rates {
    /// The rates built into the program.
    pub fn built_in() -> &'static Self {
        &RATES
    }

    /// Reads a file of rates and one of what bends them.
    ///
    /// # Errors
    /// In words: what is not TOML, which row is missing or unknown, or which is out of order.
    pub fn read(text: &str, modifiers: &str) -> Result<Self, String> {
        let mut file: File = toml::from_str(text).map_err(|error| error.to_string())?;
        file.task.name_rows();
        if let Some(row) = file.task.all().into_iter().find(|row| !row.is_sound()) {
            return Err(format!(
                "{}: low, likely and high must rise, from 0, and people_most must reach people_least",
                row.code
            ));
        }
        Ok(Self {
            id: file.id,
            version: file.version,
            modifiers: read_modifiers(modifiers, file.task.all_mut())?,
            figures: file.figure,
            week: file.week,
            tasks: file.task,
        })
    }

    /// These rates with the crew's own in their place, by task; `book` names where those come from.
    /// A task that is not known here changes nothing.
    pub fn with_own(&self, own: &BTreeMap<&str, &OwnRate>, book: &str) -> Self {
        let mut rates = self.clone();
        for row in rates.tasks.all_mut() {
            let minutes = own.get(row.code).and_then(|rate| rate.minutes);
            if let Some(minutes) = minutes {
                row.take(minutes, book);
            }
        }
        rates
    }

    /// True when there is such a task.
    pub fn has_task(&self, code: &str) -> bool {
        self.rows().iter().any(|row| row.code == code)
    }

    /// Modifiers that bend a row, as a whole or its float.
    pub fn bending<'a>(&'a self, row: &RateRow) -> impl Iterator<Item = &'a Modifier> {
        let bits = row.bent_by | row.float_bent_by;
        let marked = move |index: &usize| bits & (1 << index) != 0;
        let modifiers = self.modifiers.iter().enumerate();
        modifiers.filter_map(move |(index, modifier)| marked(&index).then_some(modifier))
    }

    /// Every rate row, in the order of the work.
    pub fn rows(&self) -> Vec<&RateRow> {
        self.tasks.all()
    }
}
