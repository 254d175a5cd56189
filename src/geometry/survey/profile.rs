//! Readings in order along lines, and the windows of a level on them.
//!
//! Invariants: the nodes of a line stand in order; a walk is broken where a reading was not taken; a
//! window of shots lies between two shots and is never interpolated.

use super::Point;
use super::fit::fit_line;
use crate::job::{LevelDirection, Survey, Walk};
use crate::quantity::{Length, Slope};

/// Shots nearer than this to a line lie on it.
pub(super) const ON_LINE: Length = Length::from_inches(0.5);
/// Shots nearer than this are on one point.
const ON_POINT: Length = Length::from_inches(1.0 / 16.0);

/// A height along a line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Node {
    /// Along the line: from the piece's lower end, or from its left edge.
    pub at: Length,
    /// Height: above the foot of the path, or above the beginning of the walk.
    pub height: Length,
    /// Index of the shot, or of the reading that ends here.
    pub reading: usize,
}

/// What the heights of a line are to be trusted.
#[derive(Clone, Debug, PartialEq)]
pub enum Noise {
    /// Each height by itself.
    Shots(Length),
    /// Slopes from node to node, added up.
    Level(Vec<Slope>),
}

/// A line of readings on one piece.
#[derive(Clone, Debug, PartialEq)]
pub struct Profile {
    /// Index of the piece.
    pub piece: usize,
    /// Which way it runs.
    pub direction: LevelDirection,
    /// Where it lies: from the left edge, or from the piece's lower end.
    pub at: Length,
    /// Heights in order.
    pub nodes: Vec<Node>,
    /// Expanded uncertainty.
    pub noise: Noise,
    /// Index of the walk; none for shots.
    pub walk: Option<usize>,
}

/// A window of a level.
#[derive(Clone, Debug, PartialEq)]
pub struct Window {
    /// JSON Pointer of its reading, or of the shot that ends it.
    pub subject: String,
    /// Index of the piece.
    pub piece: usize,
    /// Which way it lies.
    pub direction: LevelDirection,
    /// Where its line lies.
    pub at: Length,
    /// Where it begins.
    pub from: Length,
    /// Where it ends.
    pub to: Length,
    /// Slope by least squares, positive up the path or up to the right; none where it was not read.
    pub slope: Option<Slope>,
    /// Its expanded uncertainty.
    pub uncertainty: Slope,
}

impl Profile {
    /// Places with their heights.
    pub fn places(&self) -> Vec<(Length, Length)> {
        let nodes = self.nodes.iter();
        nodes.map(|node| (node.at, node.height)).collect()
    }
}

pub(super) fn on_one_point(a: &Point, b: &Point) -> bool {
    a.piece == b.piece
        && a.layer == b.layer
        && (a.along - b.along).abs().at_most(ON_POINT)
        && (a.across - b.across).abs().at_most(ON_POINT)
}

/// Lines of shots along and across; shots on one point count as one at their mean.
pub(super) fn of_shots(points: &[(usize, &Point)], survey: &Survey) -> Vec<Profile> {
    let both = [LevelDirection::Along, LevelDirection::Across];
    let lines = both.into_iter().flat_map(|way| lines(points, way));
    let whole = lines.map(|mut profile| {
        profile.noise = Noise::Shots(survey.uncertainty);
        profile.nodes = merge(profile.nodes);
        profile
    });
    whole.filter(|profile| profile.nodes.len() > 1).collect()
}

/// Shots of a piece that lie beside each other, one line after another.
fn lines(points: &[(usize, &Point)], direction: LevelDirection) -> Vec<Profile> {
    // Where the line lies, and where on it.
    let places = |point: &Point| match direction {
        LevelDirection::Along => (point.across, point.along),
        LevelDirection::Across => (point.along, point.across),
    };
    let mut sorted: Vec<(usize, &Point)> = points.to_vec();
    sorted.sort_by(|(_, a), (_, b)| {
        let (one, other) = (places(a), places(b));
        let by = a.piece.cmp(&b.piece);
        by.then(one.0.total_cmp(&other.0))
            .then(one.1.total_cmp(&other.1))
    });
    let mut lines: Vec<Profile> = Vec::new();
    for (reading, point) in sorted {
        let (line, at) = places(point);
        let beside =
            |last: &&mut Profile| last.piece == point.piece && (line - last.at).at_most(ON_LINE);
        let node = Node {
            at,
            height: point.elevation,
            reading,
        };
        match lines.last_mut().filter(beside) {
            Some(last) => last.nodes.push(node),
            None => lines.push(Profile {
                piece: point.piece,
                direction,
                at: line,
                nodes: vec![node],
                noise: Noise::Shots(Length::ZERO),
                walk: None,
            }),
        }
    }
    lines
}

/// In order; nodes on one place become one at their mean height.
fn merge(mut nodes: Vec<Node>) -> Vec<Node> {
    nodes.sort_by(|a, b| a.at.total_cmp(&b.at));
    let mut merged: Vec<(Node, f64)> = Vec::with_capacity(nodes.len());
    for node in nodes {
        match merged.last_mut() {
            Some((last, count)) if (node.at - last.at).at_most(ON_POINT) => {
                last.height = (last.height * *count + node.height) / (*count + 1.0);
                *count += 1.0;
            }
            _ => merged.push((node, 1.0)),
        }
    }
    merged.into_iter().map(|(node, _)| node).collect()
}

/// Walks as heights added up from slopes, broken where a reading is missing.
pub(super) fn of_walks(survey: &Survey) -> Vec<Profile> {
    let walks = survey.walks.iter().enumerate();
    walks
        .flat_map(|(index, walk)| of_walk(index, walk))
        .collect()
}

fn of_walk(index: usize, walk: &Walk) -> Vec<Profile> {
    let mut profiles: Vec<Profile> = Vec::new();
    let mut open = false;
    for (reading, read) in walk.readings.iter().enumerate() {
        let Some((slope, error)) = read else {
            open = false;
            continue;
        };
        let from = walk.from + walk.level * reading as f64;
        if !open {
            profiles.push(Profile {
                piece: walk.piece,
                direction: walk.direction,
                at: walk.at,
                nodes: vec![Node {
                    at: from,
                    height: Length::ZERO,
                    reading,
                }],
                noise: Noise::Level(Vec::new()),
                walk: Some(index),
            });
            open = true;
        }
        let Some(profile) = profiles.last_mut() else {
            continue;
        };
        let height = profile.nodes.last().map_or(Length::ZERO, |n| n.height);
        profile.nodes.push(Node {
            at: from + walk.level,
            height: height + *slope * walk.level,
            reading,
        });
        if let Noise::Level(errors) = &mut profile.noise {
            errors.push(*error);
        }
    }
    profiles
}

/// Every window: each reading of a walk, and the shots of each line a level at a time.
pub(super) fn windows(profiles: &[Profile], survey: &Survey) -> Vec<Window> {
    let mut windows = Vec::new();
    for profile in profiles.iter().filter(|profile| profile.walk.is_none()) {
        windows.extend(of_line(profile, survey));
    }
    for (index, walk) in survey.walks.iter().enumerate() {
        let readings = walk.readings.iter().enumerate();
        windows.extend(readings.map(|(reading, read)| {
            let from = walk.from + walk.level * reading as f64;
            Window {
                subject: format!("/survey/walks/{index}/readings/{reading}"),
                piece: walk.piece,
                direction: walk.direction,
                at: walk.at,
                from,
                to: from + walk.level,
                slope: read.map(|(slope, _)| slope),
                uncertainty: read.map_or(Slope::ZERO, |(_, error)| error),
            }
        }));
    }
    windows
}

/// Each window begins at a shot and ends at the first one that is a level away; the last one reaches
/// back as far.
fn of_line(profile: &Profile, survey: &Survey) -> Vec<Window> {
    let nodes = &profile.nodes;
    let mut windows = Vec::new();
    let mut first = 0;
    while first + 1 < nodes.len() {
        let far = |node: &Node| (node.at - nodes[first].at).at_least(survey.level);
        let end = nodes
            .iter()
            .position(|node| node.at > nodes[first].at && far(node));
        let end = end.unwrap_or(nodes.len() - 1);
        let begin = if far(&nodes[end]) {
            first
        } else {
            let back = |node: &Node| (nodes[end].at - node.at).at_least(survey.level);
            nodes.iter().rposition(back).unwrap_or(0)
        };
        windows.extend(window(profile, (begin, end), survey));
        first = end;
    }
    windows
}

fn window(profile: &Profile, (begin, end): (usize, usize), survey: &Survey) -> Option<Window> {
    let places = &profile.places()[begin..=end];
    let fit = fit_line(places)?;
    let error = survey.uncertainty.metres() / libm::sqrt(fit.spread);
    Some(Window {
        subject: format!("/survey/shots/{}", profile.nodes[end].reading),
        piece: profile.piece,
        direction: profile.direction,
        at: profile.at,
        from: places.first()?.0,
        to: places.last()?.0,
        slope: Some(fit.slope),
        uncertainty: Slope::from_ratio(error),
    })
}
