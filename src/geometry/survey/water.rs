//! Water that a surface holds: what stands in it before it runs over.
//!
//! Invariants: shots on a full grid alone can show it; a wall and the run above let no water out.
//!
//! # Source
//! Each cell fills to the lowest way out over its eight neighbours (priority flood, from memory).

use super::field::Field;
use crate::job::{EdgeKind, EdgeName, Job, Piece, Turn};
use crate::quantity::Length;

/// Standing water.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pond {
    /// Where it is deepest, along.
    pub along: Length,
    /// Where it is deepest, across.
    pub across: Length,
    /// How deep.
    pub depth: Length,
}

/// Which edges of a piece let water out: start, end, left, right.
pub(super) fn outlets(job: &Job, index: usize) -> [bool; 4] {
    let Some(piece) = job.ramp.path.get(index) else {
        return [true; 4];
    };
    let next_rises = matches!(
        job.ramp.path.get(index + 1),
        Some(Piece::Run(run)) if run.rise > Length::ZERO
    );
    let turn = match piece {
        Piece::Landing(landing) => landing.turn,
        Piece::Run(_) => Turn::Straight,
    };
    let leaves = match turn {
        Turn::Straight => EdgeName::End,
        Turn::Left => EdgeName::Left,
        Turn::Right => EdgeName::Right,
        Turn::BackLeft | Turn::BackRight => EdgeName::Start,
    };
    [
        EdgeName::Start,
        EdgeName::End,
        EdgeName::Left,
        EdgeName::Right,
    ]
    .map(|edge| {
        let walled = piece.edges().at(edge) == Some(EdgeKind::AgainstWall);
        let below_run = next_rises && edge == leaves && turn == Turn::Straight;
        !walled && !below_run
    })
}

/// The deepest standing water on a grid of at least three by three shots; none where the shots form
/// no grid, no edge lets water out, or none stands.
pub fn find_pond(field: &Field, outlets: [bool; 4]) -> Option<Pond> {
    let lines = field.lines();
    let along: Vec<Length> = lines.first()?.1.iter().map(|(at, _)| *at).collect();
    let (rows, columns) = (along.len(), lines.len());
    let on_grid = lines.iter().all(|(_, line)| {
        let apart = |(a, b): (&(Length, Length), &Length)| (a.0 - *b).abs();
        let near = Length::from_inches(0.5);
        line.len() == rows
            && line
                .iter()
                .zip(&along)
                .map(apart)
                .all(|off| off.at_most(near))
    });
    if !on_grid || rows < 3 || columns < 3 || outlets == [false; 4] {
        return None;
    }
    let height = |cell: usize| lines[cell % columns].1[cell / columns].1;
    let water = flood((rows, columns), height, outlets);
    let depth = |cell: &usize| water[*cell] - height(*cell);
    let deepest = (0..rows * columns).max_by(|a, b| depth(a).total_cmp(&depth(b)))?;
    (depth(&deepest) > Length::ZERO).then(|| Pond {
        along: along[deepest / columns],
        across: lines[deepest % columns].0,
        depth: depth(&deepest),
    })
}

/// Level of the water in each cell when all is full.
fn flood(
    (rows, columns): (usize, usize),
    height: impl Fn(usize) -> Length,
    [start, end, left, right]: [bool; 4],
) -> Vec<Length> {
    let count = rows * columns;
    let mut level: Vec<Option<Length>> = vec![None; count];
    let mut open: Vec<(Length, usize)> = Vec::new();
    for (cell, level) in level.iter_mut().enumerate() {
        let (row, column) = (cell / columns, cell % columns);
        let out = (row == 0 && start)
            || (row + 1 == rows && end)
            || (column == 0 && left)
            || (column + 1 == columns && right);
        if out {
            *level = Some(height(cell));
            open.push((height(cell), cell));
        }
    }
    // The lowest open cell first; a survey has few enough to look through them all.
    while let Some(at) = lowest(&open) {
        let (water, cell) = open.swap_remove(at);
        for near in neighbours(cell, (rows, columns)) {
            if level[near].is_none() {
                let filled = water.max(height(near));
                level[near] = Some(filled);
                open.push((filled, near));
            }
        }
    }
    let filled = level.into_iter().enumerate();
    filled
        .map(|(cell, water)| water.unwrap_or_else(|| height(cell)))
        .collect()
}

fn lowest(open: &[(Length, usize)]) -> Option<usize> {
    let places = open.iter().enumerate();
    let least = places.min_by(|(_, a), (_, b)| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
    least.map(|(at, _)| at)
}

fn neighbours(cell: usize, (rows, columns): (usize, usize)) -> impl Iterator<Item = usize> {
    let (row, column) = (cell / columns, cell % columns);
    let near = |at: usize, count: usize| at.saturating_sub(1)..(at + 2).min(count);
    near(row, rows)
        .flat_map(move |r| near(column, columns).map(move |c| r * columns + c))
        .filter(move |other| *other != cell)
}
