//! Gaps under a straightedge that rests on the high points, and what makes them.
//!
//! Invariants: the gap at a place is the greatest that any position of the straightedge shows there; one
//! bump, whatever it lifts the straightedge from, is told once. Absent: how much gap is too much.
//!
//! # Source
//! A straightedge of a length lies on the upper convex hull of the heights within that length.

use super::fit::{LineFit, steady_line};
use super::profile::Profile;
use crate::quantity::Length;

/// A bump or a dip.
#[derive(Clone, Debug, PartialEq)]
pub struct Uneven {
    /// Index of the piece.
    pub piece: usize,
    /// Index of its line among the profiles.
    pub profile: usize,
    /// Where it is, along the line.
    pub at: Length,
    /// True where it stands above the line that most of the readings lie on.
    pub bump: bool,
    /// True where its neighbours on both sides are less than half as far off: a bump, and not the edge of
    /// something wider.
    pub alone: bool,
    /// How far off that line it is.
    pub height: Length,
    /// The greatest gap that it makes.
    pub gap: Length,
    /// Index of the shot or reading there.
    pub reading: usize,
}

/// Greatest gap at each place under a straightedge of a length.
pub fn straightedge_gaps(places: &[(Length, Length)], length: Length) -> Vec<Length> {
    let mut gaps = vec![Length::ZERO; places.len()];
    for (gap, at, _) in rests(places, length) {
        gaps[at] = gaps[at].max(gap);
    }
    gaps
}

/// Every gap of every position: how wide, at which place, between which two it rests.
fn rests(places: &[(Length, Length)], length: Length) -> Vec<(Length, usize, [usize; 2])> {
    let mut rests = Vec::new();
    for first in 0..places.len() {
        let reach = |place: &&(Length, Length)| (place.0 - places[first].0).at_most(length);
        let count = places[first..].iter().take_while(reach).count();
        let hull = upper_hull(places, first..first + count);
        for ends in hull.windows(2) {
            let (a, b) = (places[ends[0]], places[ends[1]]);
            let between = places.iter().enumerate().take(ends[1]).skip(ends[0] + 1);
            for (at, (place, height)) in between {
                let share = (*place - a.0) / (b.0 - a.0);
                let edge = a.1 + (b.1 - a.1) * share;
                rests.push((edge - *height, at, [ends[0], ends[1]]));
            }
        }
    }
    rests
}

fn upper_hull(places: &[(Length, Length)], range: std::ops::Range<usize>) -> Vec<usize> {
    let mut hull: Vec<usize> = Vec::new();
    for at in range {
        while let [.., a, b] = hull[..] {
            let (pa, pb, pc) = (places[a], places[b], places[at]);
            let below = (pb.1 - pa.1) * (pc.0 - pa.0);
            let over = (pc.1 - pa.1) * (pb.0 - pa.0);
            if below > over {
                break;
            }
            hull.pop();
        }
        hull.push(at);
    }
    hull
}

/// Bumps and dips whose gap is more than `above`, along every line of every piece.
pub fn find_uneven(profiles: &[Profile], length: Length, above: Length) -> Vec<Uneven> {
    let lines = profiles.iter().enumerate();
    lines
        .flat_map(|(index, profile)| on_line((index, profile), length, above))
        .collect()
}

fn on_line((index, profile): (usize, &Profile), length: Length, above: Length) -> Vec<Uneven> {
    let places = profile.places();
    let Some(line) = steady_line(&places) else {
        return Vec::new();
    };
    let off = |place: usize| places[place].1 - line.at(places[place].0);
    let mut told: Vec<Uneven> = Vec::new();
    let mut last: Option<usize> = None;
    for (place, gap) in causes(&places, &line, (length, above)) {
        let bump = off(place) > Length::ZERO;
        let uneven = Uneven {
            piece: profile.piece,
            profile: index,
            at: places[place].0,
            bump,
            alone: is_alone(&places, &line, place),
            height: off(place).abs(),
            gap,
            reading: profile.nodes[place].reading,
        };
        // What lies on one side of the line all the way is one bump, however many readings it has.
        let one = |last: usize| (last..=place).all(|on| (off(on) > Length::ZERO) == bump);
        match told.last_mut() {
            Some(before) if last.is_some_and(one) => before.take_in(uneven),
            _ => told.push(uneven),
        }
        last = Some(place);
    }
    told
}

impl Uneven {
    /// The higher one with the wider gap of both.
    fn take_in(&mut self, other: Self) {
        let gap = self.gap.max(other.gap);
        if other.height > self.height {
            *self = other;
        }
        self.gap = gap;
    }
}

/// What makes gaps wider than `above`, in order, each with the widest.
fn causes(
    places: &[(Length, Length)],
    line: &LineFit,
    (length, above): (Length, Length),
) -> Vec<(usize, Length)> {
    let mut found: Vec<(usize, Length)> = Vec::new();
    let wide = rests(places, length);
    for (gap, at, ends) in wide.into_iter().filter(|(gap, ..)| !gap.at_most(above)) {
        let cause = cause_of(places, line, (at, ends));
        match found.iter_mut().find(|(place, _)| *place == cause) {
            Some((_, widest)) => *widest = widest.max(gap),
            None => found.push((cause, gap)),
        }
    }
    found.sort_by_key(|(place, _)| *place);
    found
}

fn is_alone(places: &[(Length, Length)], line: &LineFit, place: usize) -> bool {
    let off = |place: usize| (places[place].1 - line.at(places[place].0)).abs();
    let before = place.checked_sub(1);
    let after = Some(place + 1).filter(|after| *after < places.len());
    let mut beside = [before, after].into_iter().flatten();
    beside.all(|near| off(near) * 2.0 < off(place))
}

/// Of a gap and the two places the straightedge rests on, the one that is farthest off the line, up
/// where it rests and down in the gap.
fn cause_of(
    places: &[(Length, Length)],
    line: &LineFit,
    (at, [a, b]): (usize, [usize; 2]),
) -> usize {
    let off = |place: usize| places[place].1 - line.at(places[place].0);
    let (up, down) = (off(a).max(off(b)), -off(at));
    if up < down {
        at
    } else if off(a) >= off(b) {
        a
    } else {
        b
    }
}
