//! Which rows hold for a measured slope: by what its piece is to the rule set.

use super::Judge;
use crate::job::{LevelDirection, Piece};
use crate::quantity::Slope;
use crate::rules::incline::{Incline, milder_slope, most_allowed};
use crate::rules::measure::Measure;
use crate::rules::row::Rule;
use crate::rules::way::Role;

impl<'a> Judge<'a> {
    /// The rule of a measure where a piece serves a ramp.
    pub(super) fn rule_at(&self, piece: usize, measure: Measure) -> Option<&'a Rule> {
        let serves = self.bench.way.roles[piece] == Role::RampLanding;
        self.bench.rule(measure).filter(|_| serves)
    }

    /// The rules that hold a slope of a piece, each with its limit.
    pub(super) fn rules_of(
        &self,
        piece: usize,
        direction: LevelDirection,
        slope: Slope,
    ) -> Vec<(&'a Rule, Slope)> {
        let along = direction == LevelDirection::Along;
        let measures: &[Measure] = match (self.bench.way.roles[piece], along) {
            (Role::Ramp, true) => return self.running(piece, slope).into_iter().collect(),
            (Role::Ramp, false) => &[Measure::RunCrossSlope],
            (Role::RampLanding, true) => &[Measure::LandingSlope, Measure::LandingSlopeAlong],
            (Role::RampLanding, false) => &[Measure::LandingSlope, Measure::LandingSlopeAcross],
            (Role::Walk | Role::WalkLanding, true) => &[Measure::WalkSlope],
            (Role::Walk | Role::WalkLanding, false) => &[Measure::WalkCrossSlope],
        };
        let rules = measures
            .iter()
            .filter_map(|measure| self.bench.rule(*measure));
        rules
            .filter_map(|rule| Some((rule, rule.slope()?)))
            .collect()
    }

    /// The row that lets a run be steepest, and how steep that is; steeper bands where the job says that
    /// they hold.
    fn running(&self, piece: usize, slope: Slope) -> Option<(&'a Rule, Slope)> {
        let bench = &self.bench;
        let Piece::Run(run) = &bench.job.ramp.path[piece] else {
            return None;
        };
        let plan = run.plan_length();
        let rise = slope.abs() * plan;
        let incline = Incline {
            subject: String::new(),
            name: bench.way.names[piece].clone(),
            rise,
            plan,
            surface: None,
            steep_rise: bench.way.steep_rise.max(rise),
            by: run.by,
        };
        let (rule, base) = most_allowed(bench, &incline)?;
        let limit = match bench.job.site.existing_and_space_limited {
            true => milder_slope(bench, &incline, base),
            false => base,
        };
        Some((rule, limit))
    }

    /// The steepest that a piece may be along the path, and never less than it is drawn.
    fn steepest(&self, piece: usize) -> Option<Slope> {
        let surface = &self.bench.geometry.surfaces[piece];
        let drawn = Slope::from_ratio(libm::hypot(
            surface.slope.ratio(),
            match self.bench.job.ramp.path[piece] {
                Piece::Landing(_) => surface.cross_slope.ratio(),
                Piece::Run(_) => 0.0,
            },
        ));
        let rules = self.rules_of(piece, LevelDirection::Along, surface.slope);
        let limits = rules.into_iter().map(|(_, limit)| limit);
        limits.reduce(Slope::min).map(|limit| limit.max(drawn))
    }

    /// Of what each piece may be at its steepest, the less.
    pub(super) fn keep_strictest(&self, steepest: &mut [Option<Slope>]) {
        for (piece, kept) in steepest.iter_mut().enumerate() {
            let both = [*kept, self.steepest(piece)];
            *kept = both.into_iter().flatten().reduce(Slope::min);
        }
    }
}
