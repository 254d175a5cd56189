//! Steps and curb ramps: judged always, built where the job says how.
//!
//! Invariant: a flight that is built has a tread to each riser, or one tread fewer where what it leads to
//! is its last.

use crate::job::choice::{By, StepsSupport};
use crate::job::fill::{Fill, Place};
use crate::job::full::{CheekWalls, CurbRamp, CurbRampBuild, Steps, StepsBuild};
use crate::job::or_none::OrNone;
use crate::job::sent::{CheekWallsRequest, CurbRampRequest, StepsBuildRequest, StepsRequest};
use crate::quantity::Length;

pub(super) fn expand_steps(
    fill: &mut Fill,
    place: &Place<'_>,
    sent: Option<Vec<StepsRequest>>,
    width: Length,
) -> Vec<Steps> {
    let mut flights = Vec::new();
    for (index, sent) in sent.unwrap_or_default().into_iter().enumerate() {
        let place = place.index(index);
        if sent.risers.is_empty() {
            fill.fault(
                &place.field("risers"),
                "an empty array",
                "at least one riser",
                "[\"7 in\"]",
            );
        }
        for (name, sizes) in [("risers", &sent.risers), ("treads", &sent.treads)] {
            for (step, size) in sizes.iter().enumerate() {
                fill.optional(&place.field(name).index(step), Some(*size));
            }
        }
        let own = sent.width.unwrap_or(width);
        let build = sent.build;
        let sizes = [sent.risers.len(), sent.treads.len()];
        let build = build.map(|build| expand_build(fill, &place, build, (own, sizes)));
        flights.push(Steps {
            build,
            width: fill.optional(&place.field("width"), sent.width),
            tread_slope: fill.optional(&place.field("tread_slope"), sent.tread_slope),
            nosing: fill.optional(&place.field("nosing"), sent.nosing),
            nosing_radius: fill.optional(&place.field("nosing_radius"), sent.nosing_radius),
            open_risers: fill.flag(&place.field("open_risers"), sent.open_risers, false),
            egress: fill.flag(&place.field("egress"), sent.egress, true),
            risers: sent.risers,
            treads: sent.treads,
        });
    }
    flights
}

pub(super) fn expand_curb_ramps(
    fill: &mut Fill,
    place: &Place<'_>,
    sent: Option<Vec<CurbRampRequest>>,
    width: Length,
) -> Vec<CurbRamp> {
    let mut ramps = Vec::new();
    for (index, sent) in sent.unwrap_or_default().into_iter().enumerate() {
        let place = place.index(index);
        let own = sent.width.unwrap_or(width);
        let at = place.field("build");
        let build = sent.build.map(|build| CurbRampBuild {
            by: fill.choice(&at.field("by"), build.by, By::Us),
            width: fill.quantity_else(&at.field("width"), build.width, own),
            thickness: fill.optional(&at.field("thickness"), build.thickness),
        });
        ramps.push(CurbRamp {
            build,
            rise: fill.quantity(&place.field("rise"), Some(sent.rise)),
            length: fill.quantity(&place.field("length"), Some(sent.length)),
            width: fill.optional(&place.field("width"), sent.width),
            cross_slope: fill.optional(&place.field("cross_slope"), sent.cross_slope),
            flare: fill.optional(&place.field("flare"), sent.flare),
            counter_slope: fill.optional(&place.field("counter_slope"), sent.counter_slope),
            top_landing: fill.optional(&place.field("top_landing"), sent.top_landing),
        });
    }
    ramps
}

fn expand_build(
    fill: &mut Fill,
    place: &Place<'_>,
    sent: StepsBuildRequest,
    (width, [risers, treads]): (Length, [usize; 2]),
) -> StepsBuild {
    if treads == 0 || treads > risers || risers > treads + 1 {
        let found = format!("{risers} risers and {treads} treads");
        let accepted = "as many treads as risers, or one fewer where the landing is the last";
        fill.fault(&place.field("treads"), &found, accepted, "[\"11 in\"]");
    }
    let at = place.field("build");
    let walls = at.field("cheek_walls");
    let cheek_walls = sent.cheek_walls.and_then(OrNone::into_option);
    StepsBuild {
        by: fill.choice(&at.field("by"), sent.by, By::Us),
        support: fill.choice(&at.field("support"), sent.support, StepsSupport::OnGrade),
        width: fill.quantity_else(&at.field("width"), sent.width, width),
        waist: fill.quantity(&at.field("waist"), sent.waist),
        cheek_walls: cheek_walls
            .map(|sent| expand_cheek_walls(fill, &walls, &sent))
            .into(),
    }
}

fn expand_cheek_walls(fill: &mut Fill, place: &Place<'_>, sent: &CheekWallsRequest) -> CheekWalls {
    CheekWalls {
        left: fill.flag(&place.field("left"), sent.left, true),
        right: fill.flag(&place.field("right"), sent.right, true),
        thickness: fill.quantity(&place.field("thickness"), sent.thickness),
        above: fill.quantity(&place.field("above"), sent.above),
        below: fill.quantity(&place.field("below"), sent.below),
    }
}
