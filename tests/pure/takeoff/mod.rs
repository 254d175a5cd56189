//! The takeoff against published figures, against figures worked by hand, and against its laws.

mod advised;
mod around;
mod cutting;
mod cutting_laws;
mod derived;
mod jobs;
mod laws;
mod layout;
mod published;
mod rows;
mod steel;
mod stock;
mod whose;

/// Equal to `digits` decimals.
#[track_caller]
fn close(found: f64, wanted: f64, digits: i32) {
    let most = 0.5 * 10_f64.powi(-digits) + 1e-9;
    assert!(
        (found - wanted).abs() <= most,
        "found {found}, wanted {wanted}"
    );
}
