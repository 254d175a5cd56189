//! What a caller reads: finished results in the units that were asked for.
//!
//! Invariants: every value is rounded once, here, in the unit that its field names; a field has one
//! unit per system; nothing is worked out that a room above has not given. Absent: reading, status
//! codes, and any decision about what to compute.

mod change;
mod check;
mod compared;
mod cut_list;
mod estimate;
mod extra;
mod geometry;
mod grade_sheet;
mod headline;
mod hold;
mod hours;
mod load_plan;
mod mix;
mod pour_plan;
mod price;
mod rates;
mod supply;
mod survey;
mod takeoff;

pub use change::ChangeAnswer;
pub use check::CheckAnswer;
pub use compared::ComparedAnswer;
pub use cut_list::CutListAnswer;
pub use estimate::EstimateAnswer;
pub use geometry::GeometryAnswer;
pub use grade_sheet::{GradedPieceAnswer, tell_notes};
pub use headline::HeadlineAnswer;
pub use hours::CrewHoursAnswer;
pub use load_plan::LoadPlanAnswer;
pub use pour_plan::PourPlanAnswer;
pub use price::PriceAnswer;
pub use rates::{RatesAnswer, RatesBookAnswer};
pub use survey::SurveyAnswer;
pub use takeoff::TakeoffAnswer;

use crate::quantity::System;
use crate::quantity::money::Decimal4;
use crate::quantity::shown::{Ft2M2, FtM, GalL, H, LbKg, Shown, Yd3M3};
use crate::takeoff::Net;
use serde::Serializer;

/// How an answer is shown.
#[derive(Clone, Copy, Debug)]
pub struct View {
    /// Units.
    pub system: System,
    /// True when each figure explains itself.
    pub working: bool,
}

/// A net quantity in the units of the answer.
fn show_net(net: Net, system: System) -> Shown {
    match net {
        Net::Liquid(volume) => GalL::of(volume, system).shown(),
        Net::Volume(volume) => Yd3M3::of(volume, system).shown(),
        Net::Area(area) => Ft2M2::of(area, system).shown(),
        Net::Length(length) => FtM::of(length, system).shown(),
        Net::Mass(mass) => LbKg::of(mass, system).shown(),
        Net::Count(count) => Shown::new(count, "each", 2),
        Net::Time(span) => H::of(span, system).shown(),
    }
}

/// A counted or ordered quantity in its sale unit, as it stands.
fn show_order(order: Decimal4, unit: &'static str) -> Shown {
    Shown::new(order.number(), unit, 4)
}

/// Writes a whole number without a needless `.0`.
fn plain<S: Serializer>(value: &f64, to: S) -> Result<S::Ok, S::Error> {
    if value.fract() == 0.0 && value.abs() < 9e15 {
        to.serialize_i64(*value as i64)
    } else {
        to.serialize_f64(*value)
    }
}
