//! The path of landings and runs: edges, curbs, widths, and what each piece was taped as.
//!
//! Invariants: the path begins with a landing and has a run; an edge where the next piece joins
//! carries nothing; every run ends up with a rise and a length.

use crate::job::choice::{Approach, By, EdgeKind, EdgeName, Measured, Opens, Turn, WidthIs, Work};
use crate::job::fill::{Fill, Place};
use crate::job::full::{Door, Edges, Landing, Piece, Run};
use crate::job::sent::{DoorRequest, EdgesRequest, PathRequest};
use crate::quantity::{Length, Slope};

/// What the ramp says for all its pieces.
pub(super) struct Around {
    pub(super) width: Length,
    pub(super) width_is: WidthIs,
    pub(super) gap: Length,
    pub(super) cross_slope: Slope,
    pub(super) curb_width: Option<Length>,
    /// What stands at a side that the job does not name.
    pub(super) side: EdgeKind,
    pub(super) filler: Length,
}

/// Most pieces of one path.
const PIECES_AT_MOST: usize = 200;

pub(super) fn expand_path(
    fill: &mut Fill,
    place: &Place,
    sent: Vec<PathRequest>,
    around: &Around,
) -> Vec<Piece> {
    if !check_order(fill, place, &sent) {
        return Vec::new();
    }
    let stated: Vec<bool> = sent.iter().map(states_width).collect();
    let joins: Vec<Joins> = (0..sent.len())
        .map(|index| Joins::of(&sent, index))
        .collect();
    let mut path: Vec<Piece> = Vec::with_capacity(sent.len());
    let last = sent.len() - 1;
    for (index, sent) in sent.into_iter().enumerate() {
        let place = place.index(index);
        let spot = Spot {
            joins: &joins[index],
            foot: index == 0,
            head: index == last,
        };
        let piece = match sent {
            sent @ PathRequest::Landing { .. } => {
                expand_landing(fill, &place, sent, (&spot, around))
            }
            sent @ PathRequest::Run { .. } => expand_run(fill, &place, sent, (&spot, around)),
        };
        path.push(piece);
    }
    widen_turning_landings(fill, place, &mut path, (around, &stated));
    path
}

fn states_width(sent: &PathRequest) -> bool {
    matches!(sent, PathRequest::Landing { width: Some(_), .. })
}

fn check_order(fill: &mut Fill, place: &Place, sent: &[PathRequest]) -> bool {
    let example = "[{\"kind\": \"landing\"}, {\"kind\": \"run\", \"rise\": \"28 in\", \"length\": \"28 ft\"}, {\"kind\": \"landing\"}]";
    let runs = sent
        .iter()
        .filter(|piece| matches!(piece, PathRequest::Run { .. }))
        .count();
    if sent.len() > PIECES_AT_MOST {
        let found = format!("{} pieces", sent.len());
        fill.fault(place, &found, "at most 200 landings and runs", example);
        return false;
    }
    if runs == 0 {
        fill.fault(
            place,
            "no run",
            "at least one run between landings",
            example,
        );
        return false;
    }
    if matches!(sent[0], PathRequest::Run { .. }) {
        let accepted =
            "a landing before the first run; write work existing for ground that is there";
        fill.fault(
            &place.index(0),
            "a run",
            accepted,
            "{\"kind\": \"landing\", \"work\": \"existing\"}",
        );
        return false;
    }
    true
}

/// Which edges of a piece another piece joins.
struct Joins {
    start: bool,
    end: bool,
    left: bool,
    right: bool,
}

impl Joins {
    fn of(sent: &[PathRequest], index: usize) -> Self {
        let follows = index + 1 < sent.len();
        let turn = match &sent[index] {
            PathRequest::Landing { turn, .. } => turn.unwrap_or(Turn::Straight),
            PathRequest::Run { .. } => Turn::Straight,
        };
        Self {
            start: index > 0,
            end: follows && turn == Turn::Straight,
            left: follows && turn == Turn::Left,
            right: follows && turn == Turn::Right,
        }
    }

    const fn at(&self, edge: EdgeName) -> bool {
        match edge {
            EdgeName::Start => self.start,
            EdgeName::End => self.end,
            EdgeName::Left => self.left,
            EdgeName::Right => self.right,
        }
    }
}

/// Where a piece stands in the path.
struct Spot<'a> {
    joins: &'a Joins,
    foot: bool,
    head: bool,
}

fn expand_edges(
    fill: &mut Fill,
    place: &Place,
    sent: Option<EdgesRequest>,
    (spot, side): (&Spot, EdgeKind),
) -> Edges {
    let sent = sent.unwrap_or_default();
    let mut defaulted = Vec::new();
    let mut edge = |name: EdgeName, sent: Option<EdgeKind>, default: EdgeKind| {
        if spot.joins.at(name) {
            if sent.is_some() {
                let place = place.field(name.as_str());
                fill.fault(
                    &place,
                    "an edge",
                    "nothing: the next piece joins here",
                    "left out",
                );
            }
            return None;
        }
        if sent.is_none() {
            defaulted.push(format!("{name} {default}"));
        }
        Some(sent.unwrap_or(default))
    };
    let foot = if spot.foot {
        EdgeKind::AgainstWalk
    } else {
        side
    };
    let head = if spot.head {
        EdgeKind::AgainstWall
    } else {
        side
    };
    let edges = Edges {
        start: edge(EdgeName::Start, sent.start, foot),
        end: edge(EdgeName::End, sent.end, head),
        left: edge(EdgeName::Left, sent.left, side),
        right: edge(EdgeName::Right, sent.right, side),
    };
    if !defaulted.is_empty() {
        fill.assume(place, defaulted.join(", "));
    }
    edges
}

fn expand_curbs(
    fill: &mut Fill,
    place: &Place,
    sent: Option<Vec<EdgeName>>,
    (edges, around, bare): (&Edges, &Around, bool),
) -> Vec<EdgeName> {
    let Some(sent) = sent else {
        if around.curb_width.is_none() || bare {
            return Vec::new();
        }
        let formed = |edge: &EdgeName| edges.at(*edge).is_some_and(EdgeKind::is_formed);
        let curbs: Vec<EdgeName> = EdgeName::ALL.iter().copied().filter(formed).collect();
        let names: Vec<&str> = curbs.iter().map(|edge| edge.as_str()).collect();
        fill.assume(
            place,
            if names.is_empty() {
                "none".to_owned()
            } else {
                names.join(", ")
            },
        );
        return curbs;
    };
    for (index, edge) in sent.iter().enumerate() {
        if edges.at(*edge).is_none() {
            fill.fault(
                &place.index(index),
                edge.as_str(),
                "an edge where no piece joins",
                "left",
            );
        } else if around.curb_width.is_none() {
            let accepted = "no curbs, since the ramp's curb is none";
            fill.fault(&place.index(index), edge.as_str(), accepted, "[]");
        }
    }
    let mut curbs = sent;
    curbs.sort_unstable();
    curbs.dedup();
    curbs
}

/// Slab edge to slab edge, from a width that may be clear or between walls.
fn slab_width(around: &Around, edges: &Edges, curbs: &[EdgeName], width: Length) -> Length {
    let sides = [EdgeName::Left, EdgeName::Right];
    let add = |what: Length, holds: &dyn Fn(EdgeName) -> bool| {
        what * sides.iter().filter(|side| holds(**side)).count() as f64
    };
    match around.width_is {
        WidthIs::Slab => width,
        WidthIs::Clear => {
            let curb = around.curb_width.unwrap_or(Length::ZERO);
            width + add(curb, &|side| curbs.contains(&side))
        }
        WidthIs::BetweenWalls => {
            width
                - add(around.filler, &|side| {
                    edges.at(side) == Some(EdgeKind::AgainstWall)
                })
        }
    }
}

fn expand_run(
    fill: &mut Fill,
    place: &Place,
    sent: PathRequest,
    (spot, around): (&Spot, &Around),
) -> Piece {
    let PathRequest::Run {
        work,
        by,
        rise,
        length,
        slope,
        measured,
        width,
        cross_slope,
        edges,
        curbs,
        flare,
    } = sent
    else {
        unreachable!("only runs come here")
    };
    let work = fill.choice(&place.field("work"), work, Work::New);
    let edges = expand_edges(fill, &place.field("edges"), edges, (spot, around.side));
    let bare = work == Work::Existing;
    let curbs = expand_curbs(fill, &place.field("curbs"), curbs, (&edges, around, bare));
    let taped = Taped {
        rise,
        length,
        slope,
        measured,
    };
    let (rise, length, measured) = expand_taped(fill, place, &taped);
    let own = slab_width(around, &edges, &curbs, around.width);
    Piece::Run(Run {
        work,
        by: fill.choice(&place.field("by"), by, By::Us),
        rise,
        length,
        measured,
        width: width_of_piece(fill, place, width, own),
        cross_slope: fill.quantity_else(
            &place.field("cross_slope"),
            cross_slope,
            around.cross_slope,
        ),
        edges,
        curbs,
        flare: fill.optional(&place.field("flare"), flare),
    })
}

fn width_of_piece(fill: &mut Fill, place: &Place, sent: Option<Length>, own: Length) -> Length {
    fill.quantity_else(&place.field("width"), sent, own)
}

/// What was taped of a run.
struct Taped {
    rise: Option<Length>,
    length: Option<Length>,
    slope: Option<Slope>,
    measured: Option<Measured>,
}

/// Any two of rise, length and slope give the third.
fn expand_taped(fill: &mut Fill, place: &Place, taped: &Taped) -> (Length, Length, Measured) {
    let rise = fill.optional(&place.field("rise"), taped.rise);
    let length = fill.optional(&place.field("length"), taped.length);
    let slope = fill.optional(&place.field("slope"), taped.slope);
    let measured = taped.measured.unwrap_or(Measured::Plan);
    if taped.measured.is_none() && length.is_some() {
        fill.assume(&place.field("measured"), Measured::Plan.to_string());
    }
    let (rise, length, measured) = match (rise, length, slope) {
        (Some(rise), Some(length), None) => (rise, length, measured),
        (Some(rise), None, Some(slope)) if slope.ratio() > 0.0 => (
            rise,
            Length::from_metres(rise.metres() / slope.ratio()),
            Measured::Plan,
        ),
        (None, Some(length), Some(slope)) => {
            let plan = match measured {
                Measured::Plan => length,
                Measured::Surface => length / slope.surface_factor(),
            };
            (slope * plan, length, measured)
        }
        (rise, length, slope) => {
            let named: Vec<&str> = [
                rise.map(|_| "rise"),
                length.map(|_| "length"),
                slope.map(|_| "slope"),
            ]
            .into_iter()
            .flatten()
            .collect();
            let found = if named.is_empty() {
                "none of them".to_owned()
            } else {
                named.join(", ")
            };
            let example = "{\"kind\": \"run\", \"rise\": \"28 in\", \"length\": \"28 ft\"}";
            fill.fault(
                place,
                &found,
                "exactly two of rise, length and slope",
                example,
            );
            return (
                Length::from_inches(1.0),
                Length::from_inches(12.0),
                Measured::Plan,
            );
        }
    };
    if measured == Measured::Surface && rise.at_least(length) {
        let found = length.print();
        fill.fault(
            &place.field("length"),
            &found,
            "a surface length longer than the rise",
            "28 ft",
        );
        return (
            Length::from_inches(1.0),
            Length::from_inches(12.0),
            Measured::Plan,
        );
    }
    (rise, length, measured)
}

fn expand_landing(
    fill: &mut Fill,
    place: &Place,
    sent: PathRequest,
    (spot, around): (&Spot, &Around),
) -> Piece {
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
        unreachable!("only landings come here")
    };
    let work = fill.choice(&place.field("work"), work, Work::New);
    let edges = expand_edges(fill, &place.field("edges"), edges, (spot, around.side));
    let turn = if spot.head {
        turn.unwrap_or(Turn::Straight)
    } else {
        fill.choice(&place.field("turn"), turn, Turn::Straight)
    };
    let bare = work == Work::Existing || spot.foot;
    let curbs = expand_curbs(fill, &place.field("curbs"), curbs, (&edges, around, bare));
    let own = slab_width(around, &edges, &curbs, around.width);
    // A width that is not sent is settled once both runs at a turn are known.
    let width = match width {
        Some(width) => fill.quantity_else(&place.field("width"), Some(width), width),
        None => own,
    };
    Piece::Landing(Landing {
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
    })
}

fn landing_drop(
    fill: &mut Fill,
    place: &Place,
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
    place: &Place,
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

fn expand_door(fill: &mut Fill, place: &Place, sent: DoorRequest) -> Door {
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

/// Gives each turning landing the width its turn needs, and refuses one that the next run does not fit.
fn widen_turning_landings(
    fill: &mut Fill,
    place: &Place,
    path: &mut [Piece],
    (around, stated): (&Around, &[bool]),
) {
    let widths: Vec<Length> = path.iter().map(Piece::width).collect();
    let last = path.len().saturating_sub(1);
    for (index, piece) in path.iter_mut().enumerate() {
        let Piece::Landing(landing) = piece else {
            continue;
        };
        let place = place.index(index);
        let before = index
            .checked_sub(1)
            .map_or(Length::ZERO, |before| widths[before]);
        let after = if index < last {
            widths[index + 1]
        } else {
            Length::ZERO
        };
        let needed = match landing.turn {
            _ if index == last || index == 0 => before.max(after),
            Turn::Straight => before.max(after),
            Turn::Left | Turn::Right => before.max(turn_width(fill, landing, around)),
            Turn::BackLeft | Turn::BackRight => before + around.gap + after,
        };
        if !stated[index] {
            landing.width = landing.width.max(needed);
            let width = landing.width.print();
            fill.assume(&place.field("width"), width);
        } else if !landing.width.at_least(before) {
            let found = landing.width.print();
            fill.fault(
                &place.field("width"),
                &found,
                "at least as wide as the run that arrives",
                &before.print(),
            );
        }
        let sideways = matches!(landing.turn, Turn::Left | Turn::Right) && index < last;
        if sideways && !landing.length.at_least(after) {
            let found = landing.length.print();
            fill.fault(
                &place.field("length"),
                &found,
                "at least as long as the next run is wide",
                &after.print(),
            );
        }
    }
}

fn turn_width(fill: &Fill, landing: &Landing, around: &Around) -> Length {
    let clear = fill
        .fields
        .row("/ramp/path/*/turn_width")
        .and_then(|row| row.default(fill.system));
    let sides = [EdgeName::Left, EdgeName::Right];
    let in_the_way = sides
        .iter()
        .filter(|side| landing.curbs.contains(side))
        .count() as f64;
    clear.unwrap_or(Length::ZERO) + around.curb_width.unwrap_or(Length::ZERO) * in_the_way
}
