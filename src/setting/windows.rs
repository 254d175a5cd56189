//! When the finisher and the saw can work, in hours after placing.
//!
//! Invariants: what is told of mild weather is scaled by how much later the mix sets; edging comes
//! before the broom, the broom before the saw; nothing is told of concrete that does not set.
//! Absent: bleed water, which only a look at the slab shows, and the ravel test, which governs.

use super::measure::Window;
use super::rows::SettingRows;
use super::set_time::{initial_set, set_factor};
use crate::job::Saw;
use crate::quantity::{Citation, Compared, Span, Temperature};
use serde::Deserialize;

/// A window in mild weather.
#[derive(Clone, Debug, PartialEq, Deserialize)]
pub struct WindowRow {
    /// From and to, after placing.
    #[serde(flatten)]
    pub window: Window,
    /// Where it is published.
    #[serde(flatten)]
    pub source: Citation,
}

/// When a saw can start, after finishing.
#[derive(Clone, Debug, PartialEq, Deserialize)]
pub struct SawRow {
    /// In hot weather.
    pub hot: Span,
    /// In cold weather.
    pub cold: Span,
    /// The last hour, in mild weather.
    pub closes: Span,
    /// Where it is published.
    #[serde(flatten)]
    pub source: Citation,
}

/// The temperatures of the concrete that the hours of a saw are told for.
#[derive(Clone, Debug, PartialEq, Deserialize)]
pub struct SawWeatherRow {
    /// Hot.
    pub hot: Temperature,
    /// Cold.
    pub cold: Temperature,
    /// Where it is published.
    #[serde(flatten)]
    pub source: Citation,
}

/// The windows of the finisher, after placing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Finishing {
    /// First edging and hand floating.
    pub edging: Window,
    /// The broom.
    pub broom: Window,
    /// Faces of steps, stripped green to be floated.
    pub risers: Window,
}

/// The windows of the finisher at a temperature of the concrete; none where it does not set.
///
/// # Source
/// Rows `finishing`: common practice, no source.
pub fn measure_finishing(concrete: Temperature) -> Option<Finishing> {
    let rows = &SettingRows::built_in().finishing;
    let factor = set_factor(concrete)?;
    Some(Finishing {
        edging: rows.edging.window.times(factor),
        broom: rows.broom.window.times(factor),
        risers: rows.risers.window.times(factor),
    })
}

/// When a saw can work, after placing; `finished` is when the surface is, after placing too.
///
/// The start lies between the hours of hot and of cold weather as initial set does, and goes on in
/// proportion beyond them; the end is that of mild weather, scaled like finishing.
///
/// # Source
/// Rows `saw`: public pages on sawn joints, second hand; `saw_weather`: common practice, no source.
pub fn measure_saw_window(saw: Saw, concrete: Temperature, finished: Span) -> Option<Window> {
    let rows = SettingRows::built_in();
    let row = match saw {
        Saw::EarlyEntry => &rows.saw.early_entry,
        Saw::Conventional => &rows.saw.conventional,
    };
    let set = |at: Temperature| initial_set(at).latest();
    let (hot, cold) = (set(rows.saw_weather.hot)?, set(rows.saw_weather.cold)?);
    let share = (set(concrete)? - hot) / (cold - hot);
    let opens = row.hot + (row.cold - row.hot) * share;
    let closes = row.closes * set_factor(concrete)?;
    Some(Window::new(opens, closes).later(finished))
}

/// Whether a window has closed by the next morning, for concrete placed so long after midnight.
///
/// # Source
/// Row `morning`: common practice, no source.
pub fn is_next_day_too_late(window: Window, placed: Span) -> bool {
    let starts = SettingRows::built_in().morning.starts;
    let morning = Span::from_days(1.0) + starts - placed;
    window.closes.compare(morning) == Compared::Below
}
