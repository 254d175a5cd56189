//! The path as a rule set sees it: what is a ramp, what a walk, which runs belong together.
//!
//! Invariants: pieces are named as a crew counts them, runs and landings each from the foot, from 1;
//! runs that follow each other without a landing between are one flight. Absent here: any verdict.

use super::class::Classed;
use super::measure::Measure;
use super::row::{RuleSet, Sense};
use crate::geometry::Geometry;
use crate::job::{Job, Piece, Run};
use crate::quantity::{Length, Slope};

/// What a piece is to a rule set.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Role {
    /// A sloping piece that is no ramp.
    Walk,
    /// A ramp run.
    Ramp,
    /// A landing next to a ramp run.
    RampLanding,
    /// A landing of a walk.
    WalkLanding,
}

/// Ramp runs between two landings.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Flight {
    /// First piece.
    pub(super) first: usize,
    /// Last piece.
    pub(super) last: usize,
    /// Rise of them together.
    pub(super) rise: Length,
}

/// The path as a rule set sees it.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Way {
    /// What each piece is.
    pub(super) roles: Vec<Role>,
    /// What a crew calls each piece.
    pub(super) names: Vec<String>,
    /// Ramp runs between landings.
    pub(super) flights: Vec<Flight>,
    /// Rise of all runs steeper than the set's base slope.
    pub(super) steep_rise: Length,
}

impl Way {
    pub(super) fn of(job: &Job, geometry: &Geometry, set: &RuleSet) -> Self {
        let is_ramp = |index: usize| match job.ramp.path.get(index) {
            Some(Piece::Run(run)) => begins_ramp(set, geometry.surfaces[index].slope.abs(), run),
            _ => false,
        };
        let role = |(index, piece): (usize, &Piece)| match piece {
            Piece::Run(_) if is_ramp(index) => Role::Ramp,
            Piece::Run(_) => Role::Walk,
            Piece::Landing(_) => {
                let serves = (index > 0 && is_ramp(index - 1)) || is_ramp(index + 1);
                if serves {
                    Role::RampLanding
                } else {
                    Role::WalkLanding
                }
            }
        };
        let roles: Vec<Role> = job.ramp.path.iter().enumerate().map(role).collect();
        let flights = find_flights(job, &roles);
        let steep_rise = find_steep_rise(job, geometry, set);
        Self {
            names: name_pieces(job),
            roles,
            flights,
            steep_rise,
        }
    }

    /// True when a piece is a ramp run; false past the ends of the path.
    pub(super) fn is_ramp(&self, index: usize) -> bool {
        self.roles.get(index) == Some(&Role::Ramp)
    }

    /// The flight that rises most.
    pub(super) fn greatest_rise(&self) -> Length {
        self.flights
            .iter()
            .map(|flight| flight.rise)
            .fold(Length::ZERO, Length::max)
    }

    /// What a crew calls a flight: `run 2`, or `runs 2 and 3`.
    pub(super) fn flight_name(&self, flight: &Flight) -> String {
        let names: Vec<&str> = self.names[flight.first..=flight.last]
            .iter()
            .map(String::as_str)
            .collect();
        names.join(" and ")
    }
}

/// True when a run is steep enough to be a ramp under every row that holds for it.
fn begins_ramp(set: &RuleSet, slope: Slope, run: &Run) -> bool {
    let class = Classed {
        slope,
        length: run.plan_length(),
        rise: run.rise.abs(),
    };
    let mut rows = set.rules_for(Measure::RampBegins, class);
    slope > Slope::ZERO
        && rows.all(|rule| {
            let begins = rule.slope().unwrap_or(Slope::ZERO);
            match rule.row.sense {
                Sense::AtLeast => begins.at_most(slope),
                _ => !slope.at_most(begins),
            }
        })
}

fn name_pieces(job: &Job) -> Vec<String> {
    let (mut runs, mut landings) = (0, 0);
    let name = |piece: &Piece| match piece {
        Piece::Run(_) => {
            runs += 1;
            format!("run {runs}")
        }
        Piece::Landing(_) => {
            landings += 1;
            format!("landing {landings}")
        }
    };
    job.ramp.path.iter().map(name).collect()
}

fn find_flights(job: &Job, roles: &[Role]) -> Vec<Flight> {
    let mut flights: Vec<Flight> = Vec::new();
    for (index, piece) in job.ramp.path.iter().enumerate() {
        let Piece::Run(run) = piece else { continue };
        if roles[index] != Role::Ramp {
            continue;
        }
        match flights.last_mut() {
            Some(flight) if flight.last + 1 == index => {
                flight.last = index;
                flight.rise += run.rise.abs();
            }
            _ => flights.push(Flight {
                first: index,
                last: index,
                rise: run.rise.abs(),
            }),
        }
    }
    flights
}

fn find_steep_rise(job: &Job, geometry: &Geometry, set: &RuleSet) -> Length {
    let Some(base) = set.rule(Measure::RunSlope).and_then(|rule| rule.slope()) else {
        return Length::ZERO;
    };
    let rise = |(index, piece): (usize, &Piece)| match piece {
        Piece::Run(run) if !geometry.surfaces[index].slope.abs().at_most(base) => {
            Some(run.rise.abs())
        }
        _ => None,
    };
    job.ramp.path.iter().enumerate().filter_map(rise).sum()
}
