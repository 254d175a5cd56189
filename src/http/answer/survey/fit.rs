//! Slopes, gaps and lips of a survey, shown.

use super::part::{
    CoverageAnswer, LandingFitAnswer, LipAnswer, PondAnswer, RunFitAnswer, ToleranceAnswer,
    UnevenAnswer, WindowAnswer,
};
use crate::estimate::SurveyAnswered;
use crate::geometry::piece_pointer;
use crate::geometry::survey::{Lip, RunFit, Surveyed, Uneven, Window};
use crate::http::answer::View;
use crate::http::answer::check::MeasuredAnswer;
use crate::quantity::round_to;
use crate::quantity::shown::{FtM, InMm, SlopePct, SlopePoints};
use crate::rules::{Decided, Tolerance};

impl WindowAnswer {
    /// Every window, shown with what decides it.
    pub fn of_all(answer: &SurveyAnswered, view: View) -> Vec<Self> {
        let decided = answer.check.iter().flat_map(|check| &check.windows);
        let decided = decided.map(Option::as_ref).chain(std::iter::repeat(None));
        let windows = answer.surveyed.windows.iter().zip(decided);
        windows
            .map(|(window, decided)| Self::of(window, decided, view))
            .collect()
    }

    fn of(window: &Window, decided: Option<&Decided>, view: View) -> Self {
        let system = view.system;
        let slope = window.slope;
        Self {
            subject: window.subject.clone(),
            piece: piece_pointer(window.piece),
            direction: window.direction,
            at: FtM::of(window.at, system),
            from: FtM::of(window.from, system),
            to: FtM::of(window.to, system),
            slope: slope.map(|slope| SlopePct::of(slope, system)),
            uncertainty: slope.map(|_| SlopePoints::of(window.uncertainty, system)),
            verdict: decided.map(|decided| decided.verdict.as_str()),
            limit: decided
                .and_then(|decided| decided.limit)
                .map(|limit| MeasuredAnswer::of(limit, view)),
            rule_set: decided.map(|decided| decided.set.clone()),
            in_field_tolerance: decided.and_then(|decided| decided.in_field_tolerance),
        }
    }
}

impl RunFitAnswer {
    /// A run, shown.
    pub fn of(run: &RunFit, view: View) -> Self {
        Self {
            piece: piece_pointer(run.piece),
            slope: SlopePct::of(run.slope, view.system),
            uncertainty: SlopePoints::of(run.uncertainty, view.system),
            scatter: InMm::of(run.scatter, view.system),
        }
    }
}

impl LandingFitAnswer {
    /// Landings, shown.
    pub fn of_all(surveyed: &Surveyed, view: View) -> Vec<Self> {
        let system = view.system;
        let landings = surveyed.landings.iter();
        let shown = landings.map(|landing| Self {
            piece: piece_pointer(landing.piece),
            along: SlopePct::of(landing.along, system),
            across: SlopePct::of(landing.across, system),
            steepest: SlopePct::of(landing.steepest, system),
            uncertainty: SlopePoints::of(landing.uncertainty, system),
            falls_towards: round_to(landing.towards.degrees(), 0),
            pond: landing.pond.map(|pond| PondAnswer {
                along: FtM::of(pond.along, system),
                across: FtM::of(pond.across, system),
                depth: InMm::of(pond.depth, system),
                sure: !pond.depth.at_most(surveyed.pond_seen()),
            }),
        });
        shown.collect()
    }
}

impl UnevenAnswer {
    /// A bump or a dip, shown.
    pub fn of(uneven: &Uneven, surveyed: &Surveyed, view: View) -> Self {
        let profile = &surveyed.profiles[uneven.profile];
        Self {
            piece: piece_pointer(uneven.piece),
            kind: if uneven.bump { "bump" } else { "dip" },
            direction: profile.direction,
            line: FtM::of(profile.at, view.system),
            at: FtM::of(uneven.at, view.system),
            height: InMm::of(uneven.height, view.system),
            gap: InMm::of(uneven.gap, view.system),
        }
    }
}

impl LipAnswer {
    /// A lip, shown.
    pub fn of(lip: &Lip, view: View) -> Self {
        Self {
            subject: format!("/survey/shots/{}", lip.shot),
            piece: piece_pointer(lip.piece),
            along: FtM::of(lip.along, view.system),
            across: FtM::of(lip.across, view.system),
            height: InMm::of(lip.height, view.system),
            uncertainty: InMm::of(lip.uncertainty, view.system),
        }
    }
}

impl CoverageAnswer {
    /// How much was measured, piece by piece.
    pub fn of_all(surveyed: &Surveyed) -> Vec<Self> {
        let coverage = surveyed.coverage.iter();
        let shown = coverage.map(|coverage| Self {
            piece: piece_pointer(coverage.piece),
            measured: coverage.measured,
            unmeasured: coverage.unmeasured,
            coarse: coverage.coarse,
        });
        shown.collect()
    }
}

impl ToleranceAnswer {
    /// Tolerances, shown.
    pub fn of_all(answer: &SurveyAnswered, view: View) -> Vec<Self> {
        let show = |(of, row): (&'static str, &Tolerance)| Self {
            of,
            most: InMm::of(row.most, view.system),
            source: row.source.clone(),
        };
        let gap = answer.gap.as_ref().map(|row| ("straightedge_gap", row));
        let rest = [("form_height", &answer.form), ("thinner", &answer.thinner)];
        gap.into_iter().chain(rest).map(show).collect()
    }
}
