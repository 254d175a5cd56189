//! The rows of `pour.toml`, read once.
//!
//! Invariant: a figure that a day is weighed by is here with its source, or in the room `setting`.

use crate::job::TimeOfDay;
use crate::quantity::{Citation, Percent, Span, Temperature, Volume};
use serde::Deserialize;
use std::sync::LazyLock;

macro_rules! tables {
    ($( $(#[$doc:meta])* $name:ident { $( $(#[$of:meta])* $field:ident: $row:ty, )* } )*) => { $(
        $(#[$doc])*
        #[derive(Clone, Debug, Deserialize)]
        pub(super) struct $name {
            $( $(#[$of])* pub(super) $field: $row, )*
            #[serde(flatten)]
            pub(super) source: Citation,
        }
    )* };
}

tables! {
    /// Hours at which the first truck may come.
    FirstTruckRow {
        earliest: TimeOfDay,
        usual: TimeOfDay,
        latest: TimeOfDay,
    }
    /// How long before batching an order can be taken back.
    CallOffRow { notice: Span, }
    /// When a day is late.
    EveningRow { from: TimeOfDay, }
    /// The least load of a truck.
    LeastLoadRow { volume: Volume, }
    /// Air that is a danger.
    HeatRow { air: Temperature, }
    /// A span that no plan exceeds.
    MostRow { most: Span, }
    /// Chances of rain.
    RainRow {
        cover: Percent,
        wait: Percent,
    }
    /// How long rain harms a compound.
    SafeRow { safe_after: Span, }
    /// When a cover goes on.
    CoverRow { after: Span, }
    /// Shares of the limit of evaporation.
    DryingRow {
        windbreak: f64,
        wait: f64,
    }
    /// What a windbreak leaves.
    LeavesRow { leaves: f64, }
    /// What a retarder does to the time of setting.
    ShareRow { share: f64, }
    /// What an accelerator does to it, and from which gain on it is worth asking for.
    AcceleratorRow {
        share: f64,
        least_gain: Span,
    }
    /// Over how long a plant's stone takes the warmth of the air.
    ColdPlantRow { over: Span, }
    /// What blankets can do.
    BlanketsRow { least_air: Temperature, }
    /// When ground counts as frozen.
    FrozenRow {
        mean: Temperature,
        over: Span,
        known: Span,
    }
    /// The hottest air.
    HotAirRow { most: Temperature, }
    /// What can be done.
    MeasureRow {
        what: String,
        /// The item bought for it; none where it is people.
        #[serde(default)]
        item: Option<String>,
        per: Per,
        amount: f64,
        hours: f64,
        once: f64,
    }
}

/// What a measure is counted by.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Per {
    /// A square foot of new surface.
    Ft2,
    /// A cubic yard ordered.
    Yd3,
    /// A foot of the ramp's length.
    Ft,
    /// A person.
    Person,
}

/// What can be done against the weather.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct MeasureRows {
    pub(super) blankets: MeasureRow,
    pub(super) heated: MeasureRow,
    pub(super) accelerator: MeasureRow,
    pub(super) retarder: MeasureRow,
    pub(super) cooled: MeasureRow,
    pub(super) film: MeasureRow,
    pub(super) windbreak: MeasureRow,
    pub(super) sheet: MeasureRow,
    pub(super) short_loads: MeasureRow,
    pub(super) own_people: MeasureRow,
    pub(super) saw_same_day: MeasureRow,
    pub(super) finishers: MeasureRow,
}

/// Every row.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Rows {
    pub(super) first_truck: FirstTruckRow,
    pub(super) call_off: CallOffRow,
    pub(super) evening: EveningRow,
    pub(super) least_load: LeastLoadRow,
    pub(super) heat: HeatRow,
    pub(super) longest_day: MostRow,
    pub(super) rain: RainRow,
    pub(super) rain_on_compound: SafeRow,
    pub(super) cover: CoverRow,
    pub(super) drying: DryingRow,
    pub(super) windbreak: LeavesRow,
    pub(super) cold_plant: ColdPlantRow,
    pub(super) accelerator: AcceleratorRow,
    pub(super) retarder: ShareRow,
    pub(super) blankets: BlanketsRow,
    pub(super) frozen_ground: FrozenRow,
    pub(super) hot_air: HotAirRow,
    pub(super) measure: MeasureRows,
}

static ROWS: LazyLock<Rows> = LazyLock::new(|| {
    toml::from_str(include_str!("pour.toml")).expect("the embedded rows are read by a test")
});

/// The rows built into the program.
pub(super) fn rows() -> &'static Rows {
    &ROWS
}

/// Items that a plan may buy, for the test that holds a book to them.
pub fn measure_items() -> Vec<&'static str> {
    let rows = &rows().measure;
    let all = [
        &rows.blankets,
        &rows.heated,
        &rows.accelerator,
        &rows.retarder,
        &rows.cooled,
        &rows.film,
        &rows.windbreak,
        &rows.sheet,
        &rows.short_loads,
        &rows.own_people,
        &rows.saw_same_day,
        &rows.finishers,
    ];
    all.into_iter()
        .filter_map(|row| row.item.as_deref())
        .collect()
}

/// A figure that days are weighed by, as it is told.
#[derive(Clone, Debug, PartialEq)]
pub struct PourFigure {
    /// What it is.
    pub what: &'static str,
    /// Its value in words.
    pub value: String,
    /// Where it comes from.
    pub source: &'static Citation,
}

/// The figures that bend a plan without a limit that is met.
pub fn tell_figures() -> Vec<PourFigure> {
    let rows = rows();
    let (first, drying) = (&rows.first_truck, &rows.drying);
    let hours = format!(
        "{} to {}, usually {}",
        first.earliest, first.latest, first.usual
    );
    let shares = format!("{} and {}", drying.windbreak, drying.wait);
    #[rustfmt::skip]
    let figures = [
        ("hours at which the first truck may come", hours, &first.source),
        ("hour by which a crew that can choose is gone", rows.evening.from.to_string(), &rows.evening.source),
        ("notice of a plant before it batches", rows.call_off.notice.print(), &rows.call_off.source),
        ("least load of a truck", rows.least_load.volume.print(), &rows.least_load.source),
        ("air from which on heat is a danger to people", rows.heat.air.print(), &rows.heat.source),
        ("rain after a curing compound", rows.rain_on_compound.safe_after.print(), &rows.rain_on_compound.source),
        ("a wet cover after placing, in mild weather", rows.cover.after.print(), &rows.cover.source),
        ("shares of the evaporation limit for a windbreak and for waiting", shares, &drying.source),
        ("share of the wind behind a windbreak", rows.windbreak.leaves.to_string(), &rows.windbreak.source),
        ("air before the pour that a plant's stone is as warm as", rows.cold_plant.over.print(), &rows.cold_plant.source),
        ("share of its time in which a mix sets with an accelerator", rows.accelerator.share.to_string(), &rows.accelerator.source),
        ("the same with a retarder", rows.retarder.share.to_string(), &rows.retarder.source),
    ];
    let tell = |(what, value, source)| PourFigure {
        what,
        value,
        source,
    };
    figures.into_iter().map(tell).collect()
}
