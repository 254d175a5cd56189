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
#[allow(missing_docs)]
pub struct Line { pub code: String, pub description: String, pub class: crate::catalog::Class, pub by: crate::job::By, pub of: String, pub quantity: Net, pub waste: crate::quantity::Percent, pub order: crate::quantity::money::Decimal4, pub order_unit: &'static str, pub uses: Option<u32>, pub working: String, pub source: Citation }
/// x
#[derive(Clone, Debug, PartialEq)]
#[allow(missing_docs)]
pub struct Need { pub what: String, pub from: crate::job::By, pub of: String }
/// x
#[derive(Clone, Debug, PartialEq)]
#[allow(missing_docs)]
pub struct BarMark { pub mark: String, pub bar: crate::job::Bar, pub count: u32, pub length: Length, pub laps: u32, pub weight: Mass, pub of: String }
/// x
#[derive(Clone, Debug, PartialEq)]
#[allow(missing_docs)]
pub struct Pattern { pub times: u32, pub pieces: Vec<Length>, pub offcut: Length }
/// x
#[derive(Clone, Debug, PartialEq)]
#[allow(missing_docs)]
pub struct CutList { pub code: String, pub stock: Length, pub bars: u32, pub bound: u32, pub proven_least: bool, pub patterns: Vec<Pattern> }
/// x
#[derive(Clone, Copy, Debug, Default, PartialEq)]
#[allow(missing_docs)]
pub struct OrderChoice { pub order: Volume, pub spare: Volume, pub depth_error: Length }
/// x
#[derive(Clone, Debug, Default, PartialEq)]
#[allow(missing_docs)]
pub struct ConcreteOrder { pub net: Volume, pub parts: Vec<(String, Volume)>, pub waste: Volume, pub order: Volume, pub loads: Vec<Volume>, pub short_of_minimum: Volume, pub neighbours: [OrderChoice; 3], pub unload_minutes_free: Span, pub unload_minutes_needed: Span, pub bags: u32, pub bags_break_even: Volume }
/// x
pub fn take_off(_: &crate::job::Job, _: &crate::geometry::Geometry, _: &crate::catalog::Catalog) -> Takeoff { Takeoff::default() }

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
    pub bar_marks: Vec<BarMark>,
    pub cut_lists: Vec<CutList>,
    pub needs: Vec<Need>,
    pub advices: Vec<Advice>,
}
