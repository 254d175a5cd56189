//! The figures of `rates.toml` that are no rates, and the week.
//!
//! Invariants: a figure has a range and says where it comes from; the list of figures tells them all.
//! Absent: what a task takes.

use crate::quantity::shown::{Ft2M2, H, InMm, Shown, Yd3M3};
use crate::quantity::{Area, Citation, Length, Span, System, Verified, Volume};
use chrono::Weekday;
use serde::{Deserialize, Serialize};

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

fn show<T: Told>(figure: &Figure<T>, system: System) -> FigureShown<'_> {
    FigureShown {
        range: [figure.low, figure.likely, figure.high].map(|value| value.told(system)),
        why: &figure.why,
        source: figure.source(),
    }
}

/// A figure in the units of a system.
#[derive(Clone, Debug)]
pub struct FigureShown<'a> {
    /// Low, likely, high.
    pub range: [Shown; 3],
    /// Why.
    pub why: &'a str,
    /// Where it comes from.
    pub source: Citation,
}

/// What a figure may be of.
trait Told: Copy {
    fn told(self, system: System) -> Shown;
}

impl Told for f64 {
    fn told(self, _: System) -> Shown {
        Shown::new(self, "1", 4)
    }
}

macro_rules! told {
    ($($of:ty as $shown:ident),*) => { $(
        impl Told for $of {
            fn told(self, system: System) -> Shown {
                $shown::of(self, system).shown()
            }
        }
    )* };
}

told! { Length as InMm, Area as Ft2M2, Volume as Yd3M3, Span as H }

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

/// Declares the figures and the list of them, so that none goes untold.
macro_rules! figures {
    ($($(#[$doc:meta])* pub $field:ident: Figure<$of:ty>,)*) => {
        /// Figures that are no rates; what each means stands beside it in `rates.toml`.
        #[derive(Clone, Debug, Deserialize, Serialize)]
        #[serde(deny_unknown_fields)]
        pub struct Figures { $($(#[$doc])* pub $field: Figure<$of>,)* }

        impl Figures {
            /// Every figure by its name, in the units of a system.
            pub fn shown(&self, system: System) -> Vec<(&'static str, FigureShown<'_>)> {
                vec![$((stringify!($field), show(&self.$field, system))),*]
            }
        }
    };
}

figures! {
    /// Fewest people on a pour.
    pub pour_crew: Figure<f64>,
    /// Above this volume more of them.
    pub pour_crew_volume: Figure<Volume>,
    /// Fewest people on such a pour.
    pub pour_crew_large: Figure<f64>,
    /// What one finisher carries in one pour.
    pub finisher_area: Figure<Area>,
    /// The float's share of floating, edging and brooming.
    pub float_share: Figure<f64>,
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
