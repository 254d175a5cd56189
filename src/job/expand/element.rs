//! What is poured around the ramp: walks, slabs, edges, footings, walls, tie-ins.
//!
//! Invariants: no side of anything comes out shorter than nothing; a width, a thickness or a height that
//! tapers stays above nothing on its way.

use super::leg::expand_legs;
use super::stretch::expand_stretches;
use crate::job::choice::{By, EdgeKind, LegsAlong, TieJoint};
use crate::job::fill::{Fill, Place};
use crate::job::full::{
    Element, FrostWall, Lip, Ramp, Slab, SlabElement, StripFooting, ThickenedEdge, TieIn, TurnDown,
    WalkElement,
};
use crate::job::sent::ElementRequest;
use crate::quantity::Length;
use std::ops::RangeInclusive;

/// What the rest of the job says for all elements.
#[derive(Clone, Copy)]
pub(super) struct Beside {
    pub(super) width: Length,
    pub(super) thickness: Length,
}

impl Beside {
    pub(super) fn of(ramp: &Ramp, slab: &Slab) -> Self {
        Self {
            width: ramp.width,
            thickness: slab.thickness,
        }
    }
}

/// Most elements of one job.
const ELEMENTS_AT_MOST: usize = 100;
/// Most of a count in an element.
const COUNT_AT_MOST: u32 = 1_000;

pub(super) fn expand_elements(
    fill: &mut Fill,
    place: &Place<'_>,
    sent: Option<Vec<ElementRequest>>,
    beside: Beside,
) -> Vec<Element> {
    let sent = sent.unwrap_or_default();
    if sent.len() > ELEMENTS_AT_MOST {
        let found = format!("{} elements", sent.len());
        fill.fault(place, &found, "at most 100 elements", "[]");
        return Vec::new();
    }
    let sent = sent.into_iter().enumerate();
    sent.filter_map(|(index, sent)| expand_element(fill, &place.index(index), sent, beside))
        .collect()
}

fn expand_element(
    fill: &mut Fill,
    place: &Place<'_>,
    sent: ElementRequest,
    beside: Beside,
) -> Option<Element> {
    match sent {
        ElementRequest::Walk { .. } => expand_walk(fill, place, sent, beside),
        ElementRequest::Slab { .. } => expand_slab(fill, place, sent, beside),
        ElementRequest::ThickenedEdge { .. } => expand_thickened(fill, place, sent),
        ElementRequest::TurnDown { .. } => expand_turn_down(fill, place, sent),
        ElementRequest::StripFooting { .. } => expand_footing(fill, place, sent),
        ElementRequest::FrostWall { .. } => expand_wall(fill, place, sent),
        ElementRequest::TieIn { .. } => expand_tie_in(fill, place, sent, beside),
    }
}

/// Who builds it: we do, unless the job says so.
fn builder(fill: &mut Fill, place: &Place<'_>, sent: Option<By>) -> By {
    fill.choice(&place.field("by"), sent, By::Us)
}

/// A count within its bounds; what is usual where it is left out.
fn count(
    fill: &mut Fill,
    place: &Place<'_>,
    sent: Option<u32>,
    (usual, bounds): (u32, RangeInclusive<u32>),
) -> u32 {
    let count = fill.choice(place, sent, usual);
    if !bounds.contains(&count) {
        let accepted = format!("a count of {} to {}", bounds.start(), bounds.end());
        fill.fault(place, &count.to_string(), &accepted, &usual.to_string());
    }
    count
}

/// The size at the upper end of a taper: the size at the lower end where it is left out. One of the two
/// may be nothing, as in a wedge, not both.
fn taper(fill: &mut Fill, place: &Place<'_>, sent: Option<Length>, from: (Length, &str)) -> Length {
    let to = fill.quantity_else(place, sent, from.0);
    if from.0.at_most(Length::ZERO) && to.at_most(Length::ZERO) {
        let found = format!("nothing at both ends of the {}", from.1);
        let accepted = "a size above nothing at one end at least";
        fill.fault(place, &found, accepted, "4 in");
    }
    to
}

fn expand_walk(
    fill: &mut Fill,
    place: &Place<'_>,
    sent: ElementRequest,
    beside: Beside,
) -> Option<Element> {
    let ElementRequest::Walk {
        by,
        width,
        thickness,
        stretches,
        left,
        right,
        start,
        end,
    } = sent
    else {
        return None;
    };
    let width = fill.quantity_else(&place.field("width"), width, beside.width);
    let at = place.field("thickness");
    Some(Element::Walk(WalkElement {
        by: builder(fill, place, by),
        width,
        thickness: fill.quantity_else(&at, thickness, beside.thickness),
        stretches: expand_stretches(fill, &place.field("stretches"), stretches, width),
        left: fill.choice(&place.field("left"), left, EdgeKind::Formed),
        right: fill.choice(&place.field("right"), right, EdgeKind::Formed),
        start: fill.choice(&place.field("start"), start, EdgeKind::AgainstWalk),
        end,
    }))
}

fn expand_slab(
    fill: &mut Fill,
    place: &Place<'_>,
    sent: ElementRequest,
    beside: Beside,
) -> Option<Element> {
    let ElementRequest::Slab {
        by,
        length,
        width,
        width_end,
        thickness,
        thickness_end,
        rise,
        count: alike,
        start,
        end,
        left,
        right,
    } = sent
    else {
        return None;
    };
    let wide = place.field("width").under_row("slab_width");
    let width = fill.quantity(&wide, width);
    let thick = place.field("thickness").under_row("slab_thickness");
    let thickness = fill.quantity_else(&thick, thickness, beside.thickness);
    let wide = place.field("width_end").under_row("slab_width");
    let thick = place.field("thickness_end").under_row("slab_thickness");
    let edge = |fill: &mut Fill, name: &'static str, sent: Option<EdgeKind>| {
        fill.choice(&place.field(name), sent, EdgeKind::Formed)
    };
    Some(Element::Slab(SlabElement {
        by: builder(fill, place, by),
        length: fill.quantity(&place.field("length"), length),
        width,
        width_end: taper(fill, &wide, width_end, (width, "width")),
        thickness,
        thickness_end: taper(fill, &thick, thickness_end, (thickness, "thickness")),
        rise: fill.quantity(&place.field("rise"), rise),
        count: count(fill, &place.field("count"), alike, (1, 1..=COUNT_AT_MOST)),
        start: edge(fill, "start", start),
        end: Some(edge(fill, "end", end)),
        left: edge(fill, "left", left),
        right: edge(fill, "right", right),
    }))
}

fn expand_thickened(fill: &mut Fill, place: &Place<'_>, sent: ElementRequest) -> Option<Element> {
    let ElementRequest::ThickenedEdge {
        by,
        length,
        depth,
        width,
        taper,
        bars,
    } = sent
    else {
        return None;
    };
    let depth = fill.quantity(&place.field("depth").under_row("thickening_depth"), depth);
    Some(Element::ThickenedEdge(ThickenedEdge {
        by: builder(fill, place, by),
        length: fill.quantity(&place.field("length"), length),
        depth,
        width: fill.quantity(&place.field("width").under_row("thickening_width"), width),
        taper: fill.quantity_else(&place.field("taper"), taper, depth),
        bars: count(fill, &place.field("bars"), bars, (1, 0..=COUNT_AT_MOST)),
    }))
}

fn expand_turn_down(fill: &mut Fill, place: &Place<'_>, sent: ElementRequest) -> Option<Element> {
    let ElementRequest::TurnDown {
        by,
        length,
        depth,
        width,
        bars,
    } = sent
    else {
        return None;
    };
    Some(Element::TurnDown(TurnDown {
        by: builder(fill, place, by),
        length: fill.quantity(&place.field("length"), length),
        depth: fill.quantity(&place.field("depth").under_row("turn_down_depth"), depth),
        width: fill.quantity(&place.field("width").under_row("thickening_width"), width),
        bars: count(fill, &place.field("bars"), bars, (2, 0..=COUNT_AT_MOST)),
    }))
}

fn expand_footing(fill: &mut Fill, place: &Place<'_>, sent: ElementRequest) -> Option<Element> {
    let ElementRequest::StripFooting {
        by,
        legs,
        measured,
        closed,
        width,
        depth,
        formed,
        bars,
    } = sent
    else {
        return None;
    };
    let width = fill.quantity(&place.field("width").under_row("footing_width"), width);
    let along = (
        fill.choice(&place.field("measured"), measured, LegsAlong::Outside),
        fill.flag(&place.field("closed"), closed, false),
    );
    Some(Element::StripFooting(StripFooting {
        by: builder(fill, place, by),
        legs: expand_legs(fill, &place.field("legs"), legs, (along, width)),
        measured: along.0,
        closed: along.1,
        width,
        depth: fill.quantity(&place.field("depth").under_row("footing_depth"), depth),
        formed: fill.flag(&place.field("formed"), formed, true),
        bars: count(fill, &place.field("bars"), bars, (2, 0..=COUNT_AT_MOST)),
    }))
}

fn expand_wall(fill: &mut Fill, place: &Place<'_>, sent: ElementRequest) -> Option<Element> {
    let ElementRequest::FrostWall {
        by,
        legs,
        measured,
        closed,
        thickness,
        height,
        height_end,
    } = sent
    else {
        return None;
    };
    let thick = place.field("thickness").under_row("wall_thickness");
    let thickness = fill.quantity(&thick, thickness);
    let along = (
        fill.choice(&place.field("measured"), measured, LegsAlong::Outside),
        fill.flag(&place.field("closed"), closed, false),
    );
    let height = fill.quantity(&place.field("height"), height);
    let end = place.field("height_end").under_row("height");
    Some(Element::FrostWall(FrostWall {
        by: builder(fill, place, by),
        legs: expand_legs(fill, &place.field("legs"), legs, (along, thickness)),
        measured: along.0,
        closed: along.1,
        thickness,
        height,
        height_end: taper(fill, &end, height_end, (height, "height")),
    }))
}

fn expand_tie_in(
    fill: &mut Fill,
    place: &Place<'_>,
    sent: ElementRequest,
    beside: Beside,
) -> Option<Element> {
    let ElementRequest::TieIn {
        by,
        length,
        cut_back,
        thickness,
        ends_sawn,
        joint,
        dowel_spacing,
        dowel_length,
        lip,
    } = sent
    else {
        return None;
    };
    let thick = place.field("thickness").under_row("existing_thickness");
    let at = place.field("lip");
    Some(Element::TieIn(TieIn {
        by: builder(fill, place, by),
        length: fill.quantity_else(&place.field("length"), length, beside.width),
        cut_back: fill.quantity(&place.field("cut_back"), cut_back),
        thickness: fill.quantity(&thick, thickness),
        ends_sawn: count(fill, &place.field("ends_sawn"), ends_sawn, (0, 0..=2)),
        joint: fill.choice(&place.field("joint"), joint, TieJoint::Isolated),
        dowel_spacing: fill.quantity(&place.field("dowel_spacing"), dowel_spacing),
        dowel_length: fill.quantity(&place.field("dowel_length"), dowel_length),
        lip: lip.map(|sent| Lip {
            height: fill.quantity(&at.field("height"), Some(sent.height)),
            shape: sent.shape,
            bevel: fill.optional(&at.field("bevel"), sent.bevel),
        }),
    }))
}
