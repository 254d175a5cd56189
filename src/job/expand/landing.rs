//! A landing and the door at it.
//!
//! Invariant: a length that was left out is long enough for the curbs that stand in it.

use super::edge::{expand_curbs, expand_edges, slab_width};
use super::path::{Around, Spot};
use crate::job::choice::{Approach, By, EdgeName, Opens, Turn, Work};
use crate::job::fill::{Fill, Place};
use crate::job::full::{Door, Landing, Piece};
use crate::job::sent::{DoorRequest, PathRequest};
use crate::quantity::Length;

pub(super) fn expand_landing(
    fill: &mut Fill,
    place: &Place<'_>,
    sent: PathRequest,
    (spot, around): (&Spot, &Around),
) -> Option<Piece> {
    let PathRequest::Landing {
        work,
        by,
        length,
        width,
        turn,
        edges,
        curbs,
        slope_along,
        slope_across,
        edge_drop,
        door,
    } = sent
    else {
        return None;
    };
    let work = fill.choice(&place.field("work"), work, Work::New);
    let edges = expand_edges(fill, &place.field("edges"), edges, (spot, around.side));
    let turn = landing_turn(fill, &place.field("turn"), turn, spot.head);
    let bare = work == Work::Existing || spot.foot;
    let curbs = expand_curbs(fill, &place.field("curbs"), curbs, (&edges, around, bare));
    let own = slab_width(around, &edges, &curbs, around.width);
    // A width that is not sent is settled once both runs at a turn are known.
    let width = fill.optional(&place.field("width"), width).unwrap_or(own);
    Some(Piece::Landing(Landing {
        work,
        by: fill.choice(&place.field("by"), by, By::Us),
        length: landing_length(fill, place, length, (&curbs, around)),
        width,
        turn,
        slope_along: fill.quantity(&place.field("slope_along"), slope_along),
        slope_across: fill.quantity_else(
            &place.field("slope_across"),
            slope_across,
            around.cross_slope,
        ),
        edge_drop: landing_drop(fill, &place.field("edge_drop"), edge_drop, spot.foot),
        door: door.map(|door| expand_door(fill, &place.field("door"), door)),
        edges,
        curbs,
    }))
}

/// Nothing leaves the head landing, so nothing is assumed of it there.
fn landing_turn(fill: &mut Fill, place: &Place<'_>, sent: Option<Turn>, head: bool) -> Turn {
    if head {
        return sent.unwrap_or(Turn::Straight);
    }
    fill.choice(place, sent, Turn::Straight)
}

fn landing_drop(
    fill: &mut Fill,
    place: &Place<'_>,
    sent: Option<Length>,
    foot: bool,
) -> Option<Length> {
    if foot {
        Some(fill.quantity(place, sent))
    } else {
        fill.optional(place, sent)
    }
}

fn landing_length(
    fill: &mut Fill,
    place: &Place<'_>,
    sent: Option<Length>,
    (curbs, around): (&[EdgeName], &Around),
) -> Length {
    let place = place.field("length").under_row("landing_length");
    if let Some(sent) = sent {
        return fill.quantity(&place, Some(sent));
    }
    let clear = fill
        .fields
        .row("/ramp/path/*/landing_length")
        .and_then(|row| row.default(fill.system));
    let clear = clear.unwrap_or(Length::ZERO);
    let ends = [EdgeName::Start, EdgeName::End];
    let in_the_way = ends.iter().filter(|end| curbs.contains(end)).count() as f64;
    fill.quantity_else(
        &place,
        None,
        clear + around.curb_width.unwrap_or(Length::ZERO) * in_the_way,
    )
}

fn expand_door(fill: &mut Fill, place: &Place<'_>, sent: DoorRequest) -> Door {
    Door {
        edge: sent.edge,
        leaf: fill.quantity(&place.field("leaf"), sent.leaf),
        opens: fill.choice(&place.field("opens"), sent.opens, Opens::OntoLanding),
        approach: fill.choice(&place.field("approach"), sent.approach, Approach::Front),
        closer: fill.flag(&place.field("closer"), sent.closer, true),
        latch: fill.flag(&place.field("latch"), sent.latch, true),
        beyond_latch: fill.optional(&place.field("beyond_latch"), sent.beyond_latch),
        beyond_hinge: fill.optional(&place.field("beyond_hinge"), sent.beyond_hinge),
        threshold: fill.quantity(&place.field("threshold"), sent.threshold),
    }
}
