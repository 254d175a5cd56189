//! Stand-in until the takeoff lands: only the types that the crew reads.
//!
//! Absent: everything that is taken off.

use crate::quantity::{Area, Citation, Length, Mass, Span, Volume};

/// A net quantity.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Net {
    /// A volume.
    Volume(Volume),
    /// An area.
    Area(Area),
    /// A length.
    Length(Length),
    /// A weight.
    Mass(Mass),
    /// A count.
    Count(f64),
    /// A time.
    Time(Span),
}

/// A stretch of staked form.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FormStretch {
    /// Height.
    pub height: Length,
    /// Length.
    pub length: Length,
    /// True on a slope.
    pub slope: bool,
}

/// What the crew handles.
#[derive(Clone, Debug, Default, PartialEq)]
#[allow(missing_docs)]
pub struct Measures {
    pub surface_area: Area,
    pub base_area: Area,
    pub stone_volume: Volume,
    pub insulation_area: Area,
    pub bar_mass: Mass,
    pub bar_crossings: f64,
    pub form_staked: Vec<FormStretch>,
    pub form_on_wall: Length,
    pub curb_length: Length,
    pub curb_face_form: Length,
    pub isolation_length: Length,
    pub sealed_length: Length,
    pub joint_length: Length,
    pub concrete_volume: Volume,
    pub sloped_area: Area,
    pub level_area: Area,
    pub steepest: crate::quantity::Slope,
    pub curing_area: Area,
    pub sealer_area: Area,
    pub rubbed_area: Area,
    pub handrail_length: Length,
    pub backfill_length: Length,
    pub loads: u32,
}

/// A line.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// Code.
    pub code: String,
}

/// The concrete order.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ConcreteOrder {
    /// Time the crew needs to unload.
    pub unload_minutes_needed: Span,
}

/// A word of advice.
#[derive(Clone, Debug, PartialEq)]
pub struct Advice {
    /// JSON Pointer.
    pub of: String,
    /// Kind.
    pub kind: &'static str,
    /// Text.
    pub text: String,
    /// Source.
    pub source: Citation,
}

/// The takeoff.
#[derive(Clone, Debug, Default, PartialEq)]
#[allow(missing_docs)]
pub struct Takeoff {
    pub lines: Vec<Line>,
    pub measures: Measures,
    pub concrete: ConcreteOrder,
    pub advices: Vec<Advice>,
}
