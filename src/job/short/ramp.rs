//! The ramp of a line as a whole: width, fall, curb, rails, and steps beside it.
//!
//! Invariant: where the full form would take another default, the short form's is sent and listed.
//! Absent: the pieces of the path.

use super::line::Line;
use super::path::expand_path;
use super::runs::Runs;
use super::{assume, assume_unused};
use crate::job::choice::By;
use crate::job::fill::Assumption;
use crate::job::or_none::OrNone;
use crate::job::sent::{CurbRequest, HandrailsRequest, RampRequest, StepsRequest};
use crate::quantity::Length;

pub(super) fn expand_ramp(line: &mut Line<'_>, assumed: &mut Vec<Assumption>) -> RampRequest {
    let runs = Runs::of(line, assumed);
    let width = line.quantity("width");
    RampRequest {
        path: expand_path(line, (&runs, width), assumed),
        support: None,
        width,
        width_is: None,
        rise_to: None,
        cross_slope: line.quantity("cross_slope_pct"),
        gap: None,
        curb: expand_curb(line),
        barrier: None,
        handrails: expand_handrails(line),
        steps: expand_steps(line, runs.rise, assumed),
        curb_ramps: None,
        level_changes: None,
    }
}

fn expand_curb(line: &mut Line<'_>) -> Option<OrNone<CurbRequest>> {
    let height = line.quantity::<Length>("curb")?;
    if height.is_zero() {
        return Some(OrNone::None);
    }
    Some(OrNone::Some(CurbRequest {
        width: None,
        height: Some(height),
    }))
}

fn expand_handrails(line: &mut Line<'_>) -> Option<OrNone<HandrailsRequest>> {
    let by = match line.choice("handrail")? {
        "none" => return Some(OrNone::None),
        "by_us" => By::Us,
        _ => By::Others,
    };
    Some(OrNone::Some(HandrailsRequest {
        by: Some(by),
        ..HandrailsRequest::default()
    }))
}

fn expand_steps(
    line: &mut Line<'_>,
    rise: Length,
    assumed: &mut Vec<Assumption>,
) -> Option<Vec<StepsRequest>> {
    let risers = line.count("steps");
    let width = line.quantity_or_default::<Length>("steps_width");
    let tread = line.quantity_or_default::<Length>("tread");
    let Some(risers) = risers.filter(|risers| *risers > 0) else {
        let names = &["steps_width", "tread"];
        let pointer = "/ramp/steps".to_owned();
        assume_unused(line, (names, "steps"), (pointer, assumed));
        return None;
    };
    let riser = rise / f64::from(risers);
    let say = |length: Length| length.tape(line.system);
    let why = line.column("steps").reason();
    let value = format!("{risers} of {}", say(riser));
    assume(assumed, "/ramp/steps/0/risers".to_owned(), (value, why));
    for (name, field, (length, defaulted)) in
        [("tread", "treads", tread), ("steps_width", "width", width)]
    {
        if defaulted {
            let pointer = format!("/ramp/steps/0/{field}");
            assume(assumed, pointer, (say(length), line.column(name).reason()));
        }
    }
    // Bounded by the range of the column.
    let count = risers as usize;
    Some(vec![StepsRequest {
        risers: vec![riser; count],
        treads: vec![tread.0; count - 1],
        width: Some(width.0),
        tread_slope: None,
        nosing: None,
        nosing_radius: None,
        open_risers: None,
        egress: None,
        build: None,
    }])
}
