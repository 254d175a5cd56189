//! The room `setting`: published figures, the rows' practice, laws.
//!
//! Invariant: every expected number stands here with where it comes from, never computed by the room.

mod ages;
mod evaporation;
mod hardening;
mod laws;
mod set_time;
mod slab;
mod windows;

use crossfall::quantity::{Percent, Span, Speed, Temperature};
use crossfall::setting::Surface;

fn degf(degrees: f64) -> Temperature {
    Temperature::from_fahrenheit(degrees)
}

fn degc(degrees: f64) -> Temperature {
    Temperature::from_celsius(degrees)
}

fn hours(hours: f64) -> Span {
    Span::from_hours(hours)
}

fn days(days: f64) -> Span {
    Span::from_days(days)
}

/// A surface in degrees Fahrenheit, percent and miles per hour.
fn us_surface(concrete: f64, air: f64, humidity: f64, wind: f64) -> Surface {
    Surface {
        concrete: degf(concrete),
        air: degf(air),
        humidity: Percent::from_percent(humidity),
        wind: Speed::from_miles_per_hour(wind),
    }
}

/// Fails where two numbers are further apart than said.
#[track_caller]
fn near(ours: f64, wanted: f64, within: f64) {
    assert!(
        (ours - wanted).abs() <= within,
        "{ours} is not {wanted} within {within}"
    );
}
