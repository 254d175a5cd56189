//! The rows of `rates.toml`: what each task takes, and the figures a plan of visits needs.
//!
//! Invariants: a row of every task and figure is there and says where it comes from, low is at most
//! likely and likely at most high; a file that breaks this is refused. Absent: any hour of a job.

use crate::catalog::{OwnRate, TaskMinutes};
use crate::quantity::money::Decimal4;
use crate::quantity::{Area, Citation, Length, Slope, Span, Verified, Volume};
use chrono::Weekday;
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
}

impl RateRow {
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

/// A figure that is no rate.
#[derive(Clone, Debug, Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
pub struct Figure<T> {
    /// The least usual.
    pub low: T,
    /// What is used.
    pub likely: T,
    /// The most usual.
    pub high: T,
    /// Why.
    pub why: String,
    document: String,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    section: Option<String>,
    verified: Verified,
}

impl<T> Figure<T> {
    /// Where the figure comes from.
    pub fn source(&self) -> Citation {
        Citation::new(&self.document, self.section.as_deref(), self.verified)
    }
}

/// Days on which nobody works.
#[derive(Clone, Debug, Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
pub struct Week {
    /// Those days of the week.
    pub not_worked: Vec<Weekday>,
    /// Why.
    pub why: String,
    document: String,
    verified: Verified,
}

impl Week {
    /// Where this comes from.
    pub fn source(&self) -> Citation {
        Citation::new(&self.document, None, self.verified)
    }
}

/// Declares a struct with one named row a task, so that no task can lack its row.
macro_rules! task_rows {
    ($($field:ident = $code:literal,)*) => {
        /// One row a task, named by its code.
        #[derive(Clone, Debug, Deserialize)]
        #[serde(deny_unknown_fields)]
        pub(super) struct TaskRows { $(#[serde(rename = $code)] pub(super) $field: RateRow,)* }

        impl TaskRows {
            fn name_rows(&mut self) {
                $(self.$field.code = $code;)*
                for (place, row) in (0..).zip(self.all_mut()) {
                    row.place = place;
                }
            }

            fn all(&self) -> Vec<&RateRow> { vec![$(&self.$field),*] }

            fn all_mut(&mut self) -> Vec<&mut RateRow> { vec![$(&mut self.$field),*] }
        }
    };
}

task_rows! {
    layout = "layout",
    material_pickup = "material-pickup",
    break_out = "break-out",
    cut_existing = "cut-existing",
    dig_hand = "dig-hand",
    dig_machine = "dig-machine",
    fine_grade = "fine-grade",
    stone = "stone",
    stone_barrow = "stone-barrow",
    stone_level = "stone-level",
    form_edge_low = "form-edge-low",
    form_edge_high = "form-edge-high",
    form_edge_slope = "form-edge-slope",
    form_side = "form-side",
    form_wall = "form-wall",
    form_on_wall = "form-on-wall",
    footings_walls = "footings-walls",
    insulation = "insulation",
    isolation_filler = "isolation-filler",
    bars_cut = "bars-cut",
    bars = "bars",
    form_curb = "form-curb",
    form_riser = "form-riser",
    drill_dowel = "drill-dowel",
    fill_back = "fill-back",
    inspection_wait = "inspection-wait",
    grade_check = "grade-check",
    protect_building = "protect-building",
    place_chute = "place-chute",
    place_barrow = "place-barrow",
    place_buggy = "place-buggy",
    place_pump = "place-pump",
    place_bags = "place-bags",
    strike_off = "strike-off",
    finish = "finish",
    curb_finish = "curb-finish",
    finish_steps = "finish-steps",
    joint_tooled = "joint-tooled",
    expose = "expose",
    cure_compound = "cure-compound",
    cover_on = "cover-on",
    washout = "washout",
    clean_up_pour = "clean-up-pour",
    saw_early_entry = "saw-early-entry",
    saw_conventional = "saw-conventional",
    strip_staked = "strip-staked",
    strip_side = "strip-side",
    strip_wall = "strip-wall",
    rub = "rub",
    level_walk = "level-walk",
    cover_off = "cover-off",
    backfill = "backfill",
    handrail = "handrail",
    seal_surface = "seal-surface",
    seal_joints = "seal-joints",
    load_unload = "load-unload",
    clean_up = "clean-up",
    secure = "secure",
}

/// Figures that are no rates; what each means stands beside it in `rates.toml`.
#[derive(Clone, Debug, Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
pub struct Figures {
    /// Fewest people on a pour.
    pub pour_crew: Figure<f64>,
    /// Above this volume more of them.
    pub pour_crew_volume: Figure<Volume>,
    /// Fewest people on such a pour.
    pub pour_crew_large: Figure<f64>,
    /// What one finisher carries in one pour.
    pub finisher_area: Figure<Area>,
    /// Sloped above this.
    pub sloped_above: Figure<Slope>,
    /// Factor on the sloped part.
    pub slope_factor: Figure<f64>,
    /// Steep above this.
    pub steep_above: Figure<Slope>,
    /// Factor on the steep part.
    pub steep_factor: Figure<f64>,
    /// Factor of one person holding boards alone.
    pub alone_factor: Figure<f64>,
    /// Edge forms up to this height take the low row.
    pub form_low_height: Figure<Length>,
    /// Edge forms up to this height take the high row.
    pub form_high_height: Figure<Length>,
    /// From the pour to sawing.
    pub saw_after: Figure<Span>,
    /// From taking the cover off to sealing.
    pub drying: Figure<Span>,
    /// Least age for joint sealant.
    pub joint_sealant_age: Figure<Span>,
    /// Step of hours on site and paid.
    pub pay_step: Figure<Span>,
    /// Smallest piece of a task that is carried into another day.
    pub least_piece: Figure<Span>,
    /// Most days of one phase.
    pub days_most: Figure<f64>,
    /// Hours of one person in one week before overtime.
    pub week_limit: Figure<Span>,
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
    /// Figures that are no rates.
    pub figures: Figures,
    /// Days on which nobody works.
    pub week: Week,
    pub(super) tasks: TaskRows,
}

static RATES: LazyLock<Rates> = LazyLock::new(|| {
    Rates::read(include_str!("rates.toml")).expect("the embedded crew rates are read by a test")
});

impl Rates {
    /// The rates built into the program.
    pub fn built_in() -> &'static Self {
        &RATES
    }

    /// Reads a file of rates.
    ///
    /// # Errors
    /// In words: what is not TOML, which row is missing or unknown, or which is out of order.
    pub fn read(text: &str) -> Result<Self, String> {
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

    /// Every rate row, in the order of the work.
    pub fn rows(&self) -> Vec<&RateRow> {
        self.tasks.all()
    }
}
