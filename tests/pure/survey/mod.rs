//! What was built, measured: reduced, judged, mended.

mod judging;
mod measuring;
mod reference;

use crate::worked::{read, solved};
use crossfall::estimate::SurveyAsked;
use crossfall::geometry::Geometry;
use crossfall::geometry::survey::{Surveyed, survey};
use crossfall::job::{Job, Survey, expand_survey};
use crossfall::quantity::Faults;
use serde_json::{Value, json};

/// A run of 24 in over 28 ft (7.143 %) between two landings of 5 ft, 60 in wide, falling 1.5 % across.
/// Invented.
pub(crate) fn job(survey: &Value) -> Value {
    json!({
        "ramp": {"width": "60 in", "cross_slope": "1.5 %", "curb": "none", "path": [
            {"kind": "landing", "length": "60 in"},
            {"kind": "run", "rise": "24 in", "length": "28 ft"},
            {"kind": "landing", "length": "60 in"}
        ]},
        "survey": survey
    })
}

pub(crate) fn filled(survey: &Value) -> Result<(Job, Geometry, Survey), Faults> {
    let text = job(survey).to_string();
    let (job, geometry) = solved(&{
        let mut bare: Value = serde_json::from_str(&text).expect("JSON");
        bare.as_object_mut().expect("an object").remove("survey");
        bare.to_string()
    });
    let (survey, _) = expand_survey(read(&text).survey, &job)?;
    Ok((job, geometry, survey))
}

pub(crate) fn reduced(sent: &Value) -> (Job, Geometry, Survey, Surveyed) {
    let (job, geometry, told) = filled(sent).unwrap_or_else(|faults| panic!("{faults}"));
    let (asked, _) = SurveyAsked::of(read(&self::job(sent).to_string()).survey, None, &job)
        .unwrap_or_else(|faults| panic!("{faults}"));
    let surveyed = survey(&job, &geometry, (&told, &asked.sheet));
    (job, geometry, told, surveyed)
}

/// The drawn surface in inches, falling to the right, at a piece and a place in inches.
pub(crate) fn drawn(piece: usize, along: f64, across: f64) -> f64 {
    let centre = match piece {
        0 => 0.0,
        1 => 24.0 * along / 336.0,
        _ => 24.0,
    };
    centre - 0.015 * (across - 30.0)
}

/// A shot on the drawn surface and so much above it, in inches.
pub(crate) fn shot(place: (usize, f64, f64), above: f64) -> Value {
    let (piece, along, across) = place;
    let elevation = drawn(piece, along, across) + above;
    json!({"piece": piece, "along": format!("{along} in"), "across": format!("{across} in"),
        "elevation": format!("{elevation} in")})
}

/// Places of a grid over the whole ramp: left, middle and right, every two feet of the run and at the
/// thirds of each landing.
pub(crate) fn grid() -> Vec<(usize, f64, f64)> {
    let mut places = Vec::new();
    for across in [0.0, 30.0, 60.0] {
        for along in [0.0, 30.0, 60.0] {
            places.extend([(0, along, across), (2, along, across)]);
        }
        places.extend((0..=14).map(|step| (1, f64::from(step) * 24.0, across)));
    }
    places
}
