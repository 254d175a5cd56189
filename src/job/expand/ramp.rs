//! The ramp as a whole: what holds for all its pieces.
//!
//! Invariant: widths of pieces come out slab edge to slab edge, whatever the job said a width was.

use super::build::{expand_curb_ramps, expand_steps};
use super::by_scope;
use super::path::{Around, expand_path};
use crate::job::choice::{By, EdgeKind, RailShape, RiseTo, Scope, Support, WidthIs};
use crate::job::fill::{Fill, Place};
use crate::job::full::{Barrier, Curb, Handrails, LevelChange, Piece, RailSection, Ramp};
use crate::job::or_none::OrNone;
use crate::job::sent::{
    BarrierRequest, CurbRequest, HandrailsRequest, LevelChangeRequest, RailSectionRequest,
    RampRequest,
};
use crate::quantity::Length;

pub(super) fn expand_ramp(
    fill: &mut Fill,
    place: &Place<'_>,
    sent: RampRequest,
    (scope, filler): (Scope, Length),
) -> Ramp {
    let support = fill.choice(&place.field("support"), sent.support, Support::OnGrade);
    let width_is = fill.choice(&place.field("width_is"), sent.width_is, WidthIs::Slab);
    let width = fill.quantity(&place.field("width"), sent.width);
    let cross_slope = fill.quantity(&place.field("cross_slope"), sent.cross_slope);
    let gap = fill.quantity(&place.field("gap"), sent.gap);
    let curb = expand_curb(fill, &place.field("curb"), sent.curb);
    let rise_to = fill.choice(&place.field("rise_to"), sent.rise_to, RiseTo::Slab);
    let around = Around {
        width,
        width_is,
        gap,
        cross_slope,
        curb_width: curb.as_option().map(|curb| curb.width),
        side: side_of(width_is, support),
        filler,
    };
    let mut path = expand_path(fill, &place.field("path"), sent.path, &around);
    if rise_to == RiseTo::Threshold {
        end_under_threshold(fill, &place.field("path"), &mut path);
    }
    Ramp {
        path,
        support,
        width,
        width_is,
        rise_to: RiseTo::Slab,
        cross_slope,
        gap,
        curb,
        barrier: expand_barrier(fill, &place.field("barrier"), sent.barrier),
        handrails: expand_handrails(fill, &place.field("handrails"), sent.handrails, scope),
        steps: expand_steps(fill, &place.field("steps"), sent.steps, width),
        curb_ramps: expand_curb_ramps(fill, &place.field("curb_ramps"), sent.curb_ramps, width),
        level_changes: expand_level_changes(
            fill,
            &place.field("level_changes"),
            sent.level_changes,
        ),
    }
}

/// What stands at a side that the job does not name.
fn side_of(width_is: WidthIs, support: Support) -> EdgeKind {
    if width_is == WidthIs::BetweenWalls || support == Support::BetweenWalls {
        EdgeKind::AgainstWall
    } else {
        EdgeKind::Formed
    }
}

/// The slab ends under the threshold: its height is taken off the last run's rise.
fn end_under_threshold(fill: &mut Fill, place: &Place<'_>, path: &mut [Piece]) {
    let threshold = path.iter().rev().find_map(|piece| match piece {
        Piece::Landing(landing) => landing.door.as_ref().map(|door| door.threshold),
        Piece::Run(_) => None,
    });
    let Some(threshold) = threshold else {
        let door = "{\"edge\": \"end\", \"threshold\": \"1/2 in\"}";
        fill.fault(
            place,
            "no door",
            "a door with a threshold at the head landing",
            door,
        );
        return;
    };
    let last = path
        .iter_mut()
        .enumerate()
        .rev()
        .find_map(|(index, piece)| match piece {
            Piece::Run(run) => Some((index, run)),
            Piece::Landing(_) => None,
        });
    if let Some((index, run)) = last {
        let plan = run.plan_length();
        run.rise -= threshold;
        run.length = plan;
        run.measured = crate::job::choice::Measured::Plan;
        fill.assume(&place.index(index).field("rise"), run.rise.print());
    }
}

fn expand_curb(
    fill: &mut Fill,
    place: &Place<'_>,
    sent: Option<OrNone<CurbRequest>>,
) -> OrNone<Curb> {
    let sent = sent.unwrap_or_else(|| {
        fill.assume_whole(place);
        OrNone::Some(CurbRequest::default())
    });
    sent.into_option()
        .map(|sent| Curb {
            width: fill.quantity(&place.field("width"), sent.width),
            height: fill.quantity(&place.field("height"), sent.height),
        })
        .into()
}

fn expand_barrier(
    fill: &mut Fill,
    place: &Place<'_>,
    sent: Option<OrNone<BarrierRequest>>,
) -> OrNone<Barrier> {
    sent.and_then(OrNone::into_option)
        .map(|sent| Barrier {
            by: fill.choice(&place.field("by"), sent.by, By::Others),
            gap_below: fill.optional(&place.field("gap_below"), sent.gap_below),
        })
        .into()
}

fn expand_handrails(
    fill: &mut Fill,
    place: &Place<'_>,
    sent: Option<OrNone<HandrailsRequest>>,
    scope: Scope,
) -> OrNone<Handrails> {
    let sent = sent.unwrap_or_else(|| OrNone::Some(HandrailsRequest::default()));
    let Some(sent) = sent.into_option() else {
        return OrNone::None;
    };
    let by = fill.choice(&place.field("by"), sent.by, by_scope(scope));
    // Facts of rails by others stay unknown until told; our own get the row's value.
    let mut fact = |name: &str, sent: Option<Length>| match (by, sent) {
        (By::Others, sent) => fill.optional(&place.field(name), sent),
        (_, sent) => Some(fill.quantity(&place.field(name), sent)),
    };
    let height = fact("height", sent.height);
    let inset = fact("inset", sent.inset);
    let extension = fact("extension", sent.extension);
    let clearance = fact("clearance", sent.clearance);
    let both_sides = match by {
        By::Others => sent.both_sides,
        _ => Some(fill.flag(&place.field("both_sides"), sent.both_sides, true)),
    };
    let section = expand_section(fill, &place.field("section"), sent.section, by);
    OrNone::Some(Handrails {
        by,
        height,
        inset,
        extension,
        clearance,
        both_sides,
        section,
    })
}

fn expand_section(
    fill: &mut Fill,
    place: &Place<'_>,
    sent: Option<RailSectionRequest>,
    by: By,
) -> Option<RailSection> {
    let ours = by != By::Others;
    let sent = match (sent, ours) {
        (None, false) => return None,
        (None, true) => RailSectionRequest {
            shape: RailShape::Round,
            diameter: None,
            perimeter: None,
            across: None,
        },
        (Some(sent), _) => sent,
    };
    let diameter = place.field("diameter");
    Some(RailSection {
        shape: sent.shape,
        diameter: if sent.shape == RailShape::Round && ours {
            Some(fill.quantity(&diameter, sent.diameter))
        } else {
            fill.optional(&diameter, sent.diameter)
        },
        perimeter: fill.optional(&place.field("perimeter"), sent.perimeter),
        across: fill.optional(&place.field("across"), sent.across),
    })
}

fn expand_level_changes(
    fill: &mut Fill,
    place: &Place<'_>,
    sent: Option<Vec<LevelChangeRequest>>,
) -> Vec<LevelChange> {
    let mut changes = Vec::new();
    for (index, sent) in sent.unwrap_or_default().into_iter().enumerate() {
        let place = place.index(index);
        changes.push(LevelChange {
            height: fill.quantity(&place.field("height"), Some(sent.height)),
            shape: sent.shape,
            bevel: fill.optional(&place.field("bevel"), sent.bevel),
            place: super::words_of(fill, &place.field("place"), sent.place),
        });
    }
    changes
}
