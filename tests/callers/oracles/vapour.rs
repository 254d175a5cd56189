//! Vapour pressure against a library of psychrometrics, which follows the ASHRAE handbook.
//!
//! Invariant: from 0 to 50 degC the two formulas lie within 0.15 % of each other; in frost the library has
//! pressure over ice and ours over water, so nothing is compared there.

use super::ask;
use crossfall::quantity::{Quantity, Temperature};
use crossfall::setting::measure_vapour_pressure;
use serde_json::json;

#[test]
fn vapour_pressure_is_that_of_the_handbook() {
    let degrees: Vec<f64> = (0..=100).map(|half| f64::from(half) / 2.0).collect();
    let theirs = ask("vapour.py", &json!(degrees));
    let theirs = theirs.as_array().expect("a pressure to each");
    assert_eq!(theirs.len(), degrees.len());
    for (at, theirs) in degrees.iter().zip(theirs) {
        let ours = measure_vapour_pressure(Temperature::from_celsius(*at)).si();
        let theirs = theirs.as_f64().expect("a number");
        assert!(
            (ours / theirs - 1.0).abs() < 0.0015,
            "at {at} degC: {ours} is not {theirs}"
        );
    }
}
