//! What stands above and below a target, panel by panel: to be ground off, or filled.
//!
//! Invariants: a run's target is the line that most of its readings lie on, no steeper than what is
//! asked for; a landing's is its plane, no steeper either; panels are those of the joint layout.

use super::field::{Field, above_zero, clip};
use super::fit::{fit_plane, steady_line};
use super::profile::Profile;
use super::{Point, Surveyed};
use crate::geometry::{Geometry, SurfaceKind};
use crate::job::{LevelDirection, SurveyLayer};
use crate::quantity::{Length, Slope, Volume};

/// What a piece is to be brought to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Target {
    /// Index of the piece.
    pub piece: usize,
    /// No steeper than this.
    pub steepest: Option<Slope>,
}

/// What to take off and to fill in a panel.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Mend {
    /// Index of the piece.
    pub piece: usize,
    /// Panel along the path, from 0 at the lower end.
    pub panel: u32,
    /// Where it begins, on plan.
    pub from: Length,
    /// Where it ends.
    pub to: Length,
    /// Deepest grinding.
    pub grind: Length,
    /// Volume ground off.
    pub ground: Volume,
    /// Deepest fill.
    pub fill: Length,
    /// Volume filled.
    pub filled: Volume,
}

/// What each panel of a piece needs; empty where nothing was measured along it.
pub fn mend_panels(geometry: &Geometry, surveyed: &Surveyed, target: Target) -> Vec<Mend> {
    let surface = &geometry.surfaces[target.piece];
    let off = match surface.kind {
        SurfaceKind::Landing => off_plane(surveyed, target),
        SurfaceKind::Run => off_line(surveyed, target),
    };
    if off.is_empty() {
        return Vec::new();
    }
    let grids = geometry.joints.panels.iter();
    let count = grids
        .filter(|grid| grid.piece == target.piece)
        .map(|grid| grid.along)
        .next();
    let count = count.unwrap_or(1).max(1);
    let length = surface.plan_length / f64::from(count);
    let under = off.map(|_, _, height| -height);
    let across = (Length::ZERO, surface.width);
    (0..count)
        .map(|panel| {
            let range = (length * f64::from(panel), length * f64::from(panel + 1));
            Mend {
                piece: target.piece,
                panel,
                from: range.0,
                to: range.1,
                grind: highest(&off, range),
                ground: off.volume_above(range, across),
                fill: highest(&under, range),
                filled: under.volume_above(range, across),
            }
        })
        .collect()
}

fn highest(field: &Field, range: (Length, Length)) -> Length {
    let lines = field.lines().iter();
    let heights = lines.flat_map(|(_, line)| above_zero(clip(line, range)));
    heights
        .map(|(_, height)| height)
        .fold(Length::ZERO, Length::max)
}

fn off_plane(surveyed: &Surveyed, target: Target) -> Field {
    let own: Vec<&Point> = surveyed
        .points
        .iter()
        .filter(|p| p.piece == target.piece && p.layer != SurveyLayer::Base)
        .collect();
    let places: Vec<[Length; 3]> = own
        .iter()
        .map(|point| [point.along, point.across, point.elevation])
        .collect();
    let Some(mut plane) = fit_plane(&places) else {
        return Field::default();
    };
    let middle = |index: usize| {
        let sum: Length = places.iter().map(|place| place[index]).sum();
        sum / places.len() as f64
    };
    if let Some(most) = target.steepest
        && !plane.steepest().at_most(most)
    {
        // Turned about its middle, so that as much is ground as is filled.
        let share = most.ratio() / plane.steepest().ratio();
        let (along, across) = (plane.along * share, plane.across * share);
        plane.height = middle(2) - along * middle(0) - across * middle(1);
        (plane.along, plane.across) = (along, across);
    }
    Field::of(&own).map(|along, across, height| height - plane.at(along, across))
}

/// Each line of readings less its own target, so that the fall across stays as it is.
fn off_line(surveyed: &Surveyed, target: Target) -> Field {
    let lines = surveyed
        .profiles
        .iter()
        .filter(|line| line.piece == target.piece && line.direction == LevelDirection::Along);
    Field::new(lines.flat_map(|line| errors(line, target.steepest)))
}

fn errors(profile: &Profile, steepest: Option<Slope>) -> Vec<[Length; 3]> {
    let places = profile.places();
    let Some(line) = steady_line(&places) else {
        return Vec::new();
    };
    let count = places.len() as f64;
    let middle: Length = places.iter().map(|(at, _)| *at).sum::<Length>() / count;
    let most = steepest.filter(|most| !line.slope.abs().at_most(*most));
    let sign = if line.slope.ratio() < 0.0 { -1.0 } else { 1.0 };
    let slope = most.map_or(line.slope, |most| most * sign);
    let at_middle = line.at(middle);
    let places = places.into_iter();
    places
        .map(|(at, height)| {
            let wanted = at_middle + slope * (at - middle);
            [at, profile.at, height - wanted]
        })
        .collect()
}
