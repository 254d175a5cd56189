//! Heights over a piece, on lines along it: interpolation and volumes.
//!
//! Invariants: between readings and between lines heights go straight; past the outermost they stay as
//! they are, out to the edges. Absent: what the heights are of.
//!
//! A volume is the trapezoid rule along each line and again from line to line, which on a grid is the
//! volume under bilinear patches.

use super::Point;
use super::profile::ON_LINE;
use crate::quantity::{Area, Length, Volume};

/// Heights on lines along a piece, from the left.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Field {
    lines: Vec<(Length, Vec<(Length, Length)>)>,
}

/// A range on a line.
pub(super) type Range = (Length, Length);

impl Field {
    /// From shots, grouped into lines by where they lie across; heights on one point are averaged.
    pub(super) fn of(points: &[&Point]) -> Self {
        let places = points.iter();
        Self::new(places.map(|point| [point.along, point.across, point.elevation]))
    }

    /// From places along, across and heights.
    pub fn new(places: impl IntoIterator<Item = [Length; 3]>) -> Self {
        let mut places: Vec<[Length; 3]> = places.into_iter().collect();
        places.sort_by(|a, b| a[1].total_cmp(&b[1]));
        let mut lines: Vec<(Length, Vec<(Length, Length)>)> = Vec::new();
        for [along, across, height] in places {
            match lines.last_mut() {
                Some((at, line)) if (across - *at).at_most(ON_LINE) => line.push((along, height)),
                _ => lines.push((across, vec![(along, height)])),
            }
        }
        for (_, line) in &mut lines {
            line.sort_by(|a, b| a.0.total_cmp(&b.0));
            average(line);
        }
        Self { lines }
    }

    /// True where nothing was measured.
    pub const fn is_empty(&self) -> bool {
        self.lines.is_empty()
    }

    /// Lines, from the left.
    pub(super) fn lines(&self) -> &[(Length, Vec<(Length, Length)>)] {
        &self.lines
    }

    /// Height at a place; none of an empty field.
    pub fn height(&self, along: Length, across: Length) -> Option<Length> {
        let heights: Vec<(Length, Length)> = self
            .lines
            .iter()
            .map(|(at, line)| (*at, interpolate(line, along)))
            .collect();
        (!heights.is_empty()).then(|| interpolate(&heights, across))
    }

    /// The same places with other heights.
    pub(super) fn map(&self, height: impl Fn(Length, Length, Length) -> Length) -> Self {
        let lines = self.lines.iter().map(|(across, line)| {
            let line = line.iter();
            let heights = line.map(|(along, z)| (*along, height(*along, *across, *z)));
            (*across, heights.collect())
        });
        Self {
            lines: lines.collect(),
        }
    }

    /// Volume under the heights over a part of the piece.
    pub fn volume(&self, along: Range, across: Range) -> Volume {
        self.integrate((along, across), |line| line)
    }

    /// Volume of what stands above zero; what lies below counts nothing.
    pub(super) fn volume_above(&self, along: Range, across: Range) -> Volume {
        self.integrate((along, across), above_zero)
    }

    fn integrate(
        &self,
        (along, across): (Range, Range),
        shape: impl Fn(Vec<(Length, Length)>) -> Vec<(Length, Length)>,
    ) -> Volume {
        // Areas stand for heights here, so that both rules are one.
        let sections: Vec<(Length, Length)> = self
            .lines
            .iter()
            .map(|(at, line)| {
                let area = trapezoids(&shape(clip(line, along)));
                (*at, Length::from_metres(area.square_metres()))
            })
            .collect();
        let volume = trapezoids(&clip(&sections, across));
        Volume::from_cubic_metres(volume.square_metres())
    }
}

/// Heights on one place become one at their mean.
fn average(line: &mut Vec<(Length, Length)>) {
    let mut merged: Vec<(Length, Length, f64)> = Vec::with_capacity(line.len());
    for (at, height) in line.iter().copied() {
        match merged.last_mut() {
            Some((last, sum, count)) if (at - *last).at_most(Length::from_inches(1.0 / 16.0)) => {
                *sum += height;
                *count += 1.0;
            }
            _ => merged.push((at, height, 1.0)),
        }
    }
    *line = merged
        .into_iter()
        .map(|(at, sum, count)| (at, sum / count))
        .collect();
}

/// Height at a place between nodes in order; that of the nearest end outside them.
pub(super) fn interpolate(nodes: &[(Length, Length)], at: Length) -> Length {
    let after = nodes.iter().position(|(place, _)| *place >= at);
    match after {
        None => nodes.last().map_or(Length::ZERO, |(_, height)| *height),
        Some(0) => nodes[0].1,
        Some(after) => {
            let ((a, low), (b, high)) = (nodes[after - 1], nodes[after]);
            low + (high - low) * ((at - a) / (b - a))
        }
    }
}

/// The nodes within a range, with its ends.
pub(super) fn clip(nodes: &[(Length, Length)], (from, to): Range) -> Vec<(Length, Length)> {
    if nodes.is_empty() {
        return Vec::new();
    }
    let mut clipped = vec![(from, interpolate(nodes, from))];
    clipped.extend(nodes.iter().filter(|(at, _)| *at > from && *at < to));
    clipped.push((to, interpolate(nodes, to)));
    clipped
}

fn trapezoids(nodes: &[(Length, Length)]) -> Area {
    let steps = nodes.windows(2);
    steps
        .map(|two| (two[1].0 - two[0].0) * ((two[0].1 + two[1].1) / 2.0))
        .sum()
}

/// The part above zero, with a node where it comes through.
pub(super) fn above_zero(nodes: Vec<(Length, Length)>) -> Vec<(Length, Length)> {
    let mut above: Vec<(Length, Length)> = Vec::with_capacity(nodes.len());
    let mut before: Option<(Length, Length)> = None;
    for (at, height) in nodes {
        if let Some((last, low)) = before
            && (low > Length::ZERO) != (height > Length::ZERO)
            && low != height
        {
            let share = low / (low - height);
            above.push((last + (at - last) * share, Length::ZERO));
        }
        above.push((at, height.max(Length::ZERO)));
        before = Some((at, height));
    }
    above
}
