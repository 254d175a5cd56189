//! A reduced survey held against rule sets.
//!
//! Invariants: a value whose interval holds the limit is undetermined, and both figures are told; a
//! field tolerance is told of a broken rule and never mends it; what was not measured is an open
//! finding, so that nothing complies because nobody looked. Absent: tolerances (those are rows).
//!
//! Of windows that keep a rule the one with the least room is a finding; of those that do not, each.

mod place;
mod tolerance;
mod weigh;

pub use tolerance::{FieldRow, GapRow, Tolerance, Tolerances};

use super::bench::Bench;
use super::finding::{Check, Finding, Force, Measured, Verdict};
use super::measure::Measure;
use super::row::Rule;
use super::sets::RuleSets;
use super::{find_sets, gather};
use crate::geometry::survey::Surveyed;
use crate::geometry::{Geometry, SurfaceKind};
use crate::job::{Job, LevelDirection, SurveyStage};
use crate::quantity::{Faults, Slope};

/// A survey judged.
#[derive(Clone, Debug, PartialEq)]
pub struct SurveyCheck {
    /// Every set, every finding.
    pub check: Check,
    /// What decides each window of the survey, in its order: the worst over all sets that count.
    pub windows: Vec<Option<Decided>>,
    /// The steepest that each piece may be, by the strictest set that counts.
    pub steepest: Vec<Option<Slope>>,
}

/// What decides a value.
#[derive(Clone, Debug, PartialEq)]
pub struct Decided {
    /// Its verdict.
    pub verdict: Verdict,
    /// The rule set.
    pub set: String,
    /// The limit.
    pub limit: Option<Measured>,
    /// Of a value that violates: whether it lies inside the advisory field tolerance.
    pub in_field_tolerance: Option<bool>,
}

/// A value with its uncertainty, and where it was taken.
struct Reading {
    subject: String,
    piece: usize,
    measured: Measured,
    /// Half of the interval, in the unit of a margin: percentage points, or a length.
    trust: Measured,
}

/// Judges a survey against the sets that a job names. Advisory companions speak of design, so that
/// they are heard while only forms stand.
///
/// # Errors
/// A fault at `/site/rule_sets/N` for every set that `sets` does not hold.
pub fn check_survey(
    job: &Job,
    (geometry, surveyed): (&Geometry, &Surveyed),
    sets: &RuleSets,
) -> Result<SurveyCheck, Faults> {
    let mut benches = Vec::new();
    let mut windows: Vec<Option<Decided>> = vec![None; surveyed.windows.len()];
    let mut steepest: Vec<Option<Slope>> = vec![None; geometry.surfaces.len()];
    for set in find_sets(job, sets)? {
        let advisory = set.force == Force::Advisory;
        if advisory && surveyed.stage != SurveyStage::Forms {
            continue;
        }
        let mut judge = Judge {
            bench: Bench::new(job, geometry, set),
            surveyed,
        };
        let decided = match surveyed.stage {
            SurveyStage::Base => Vec::new(),
            _ => judge.judge_all(),
        };
        if !advisory {
            keep_worst(&mut windows, decided);
            judge.keep_strictest(&mut steepest);
        }
        benches.push(judge.bench);
    }
    Ok(SurveyCheck {
        check: gather(benches),
        windows,
        steepest,
    })
}

fn keep_worst(windows: &mut [Option<Decided>], decided: Vec<Option<Decided>>) {
    for (kept, new) in windows.iter_mut().zip(decided) {
        let badness = |decided: &Option<Decided>| decided.as_ref().map(|d| weight(d.verdict));
        if badness(&new) > badness(kept) {
            *kept = new;
        }
    }
}

const fn weight(verdict: Verdict) -> u8 {
    match verdict {
        Verdict::NotApplicable => 0,
        Verdict::Meets => 1,
        Verdict::AtLimit => 2,
        Verdict::Undetermined => 3,
        Verdict::Violates => 4,
    }
}

struct Judge<'a> {
    bench: Bench<'a>,
    surveyed: &'a Surveyed,
}

impl<'a> Judge<'a> {
    fn judge_all(&mut self) -> Vec<Option<Decided>> {
        let decided = self.judge_windows();
        self.judge_runs();
        self.judge_landings();
        self.judge_lips();
        self.tell_unmeasured();
        decided
    }

    /// Every window; a finding for each that does not keep its rule, and for the tightest that does.
    fn judge_windows(&mut self) -> Vec<Option<Decided>> {
        let surveyed = self.surveyed;
        let mut decided = vec![None; surveyed.windows.len()];
        let mut findings: Vec<(usize, LevelDirection, &'a Rule, Finding)> = Vec::new();
        for (index, window) in surveyed.windows.iter().enumerate() {
            let Some(slope) = window.slope else { continue };
            let reading = Reading {
                subject: window.subject.clone(),
                piece: window.piece,
                measured: Measured::Slope(slope.abs()),
                trust: Measured::Points(window.uncertainty.percent()),
            };
            for (rule, limit) in self.rules_of(window.piece, window.direction, slope) {
                let over = window.to - window.from;
                let finding = self.weigh(rule, limit, &reading);
                let finding = finding.remedy(|| self.less_rise((slope, limit), over));
                keep_worst(
                    &mut decided[index..=index],
                    vec![Some(self.decided(rule, &finding))],
                );
                findings.push((window.piece, window.direction, rule, finding));
            }
        }
        self.push_telling(findings);
        decided
    }

    fn push_telling(&mut self, findings: Vec<(usize, LevelDirection, &'a Rule, Finding)>) {
        let mut tightest: Vec<(usize, LevelDirection, &'a Rule, Finding)> = Vec::new();
        for (piece, direction, rule, finding) in findings {
            if finding.verdict != Verdict::Meets {
                self.bench.push(rule, finding);
                continue;
            }
            let room = |finding: &Finding| finding.margin.map_or(0.0, Measured::number);
            let same = tightest
                .iter_mut()
                .find(|t| (t.0, t.1) == (piece, direction) && t.2.row.id == rule.row.id);
            match same {
                Some(kept) if room(&kept.3) <= room(&finding) => {}
                Some(kept) => kept.3 = finding,
                None => tightest.push((piece, direction, rule, finding)),
            }
        }
        for (_, _, rule, finding) in tightest {
            self.bench.push(rule, finding);
        }
    }

    fn judge_runs(&mut self) {
        let runs = self.surveyed.runs.iter();
        for run in runs {
            let reading = Reading {
                subject: crate::geometry::piece_pointer(run.piece),
                piece: run.piece,
                measured: Measured::Slope(run.slope.abs()),
                trust: Measured::Points(run.uncertainty.percent()),
            };
            let over = self.bench.geometry.surfaces[run.piece].plan_length;
            for (rule, limit) in self.rules_of(run.piece, LevelDirection::Along, run.slope) {
                let finding = self
                    .weigh(rule, limit, &reading)
                    .note("the whole run, by least squares".to_owned())
                    .remedy(|| self.less_rise((run.slope, limit), over));
                self.bench.push(rule, finding);
            }
        }
    }

    fn judge_landings(&mut self) {
        for landing in &self.surveyed.landings {
            let pointer = crate::geometry::piece_pointer(landing.piece);
            let trust = Measured::Points(landing.uncertainty.percent());
            let reading = |field: &str, slope: Slope| Reading {
                subject: format!("{pointer}{field}"),
                piece: landing.piece,
                measured: Measured::Slope(slope.abs()),
                trust,
            };
            let axes = [
                ("/slope_along", LevelDirection::Along, landing.along),
                ("/slope_across", LevelDirection::Across, landing.across),
            ];
            for (field, direction, slope) in axes {
                for (rule, limit) in self.rules_of(landing.piece, direction, slope) {
                    let finding = self
                        .weigh(rule, limit, &reading(field, slope))
                        .note("the whole landing, by least squares".to_owned());
                    self.bench.push(rule, finding);
                }
            }
            if let Some(rule) = self.rule_at(landing.piece, Measure::LandingSteepest)
                && let Some(limit) = rule.slope()
            {
                let towards = crate::quantity::round_to(landing.towards.degrees(), 0);
                let finding = self
                    .weigh(rule, limit, &reading("", landing.steepest))
                    .note(format!(
                        "falls {towards} degrees clockwise from straight up the path"
                    ));
                self.bench.push(rule, finding);
            }
            self.judge_water(landing.piece, &reading("", landing.steepest));
        }
    }

    /// A landing that lies level may drain in another way; one on which water is seen to stand does not.
    fn judge_water(&mut self, piece: usize, fall: &Reading) {
        let Some(rule) = self.rule_at(piece, Measure::LandingFall) else {
            return;
        };
        let landing = self.surveyed.landings.iter().find(|l| l.piece == piece);
        let pond = landing.and_then(|landing| landing.pond);
        let shown = pond.filter(|pond| !pond.depth.at_most(self.surveyed.pond_seen()));
        if let Some(pond) = shown {
            let deep = self.bench.tape(pond.depth);
            let mut finding = self.bench.blank(rule, &fall.subject, Verdict::Violates);
            finding.measured = Some(Measured::Length(pond.depth));
            let by = self.bench.job.ramp.path[piece].by();
            let finding = finding
                .by(by)
                .note(format!(
                    "water stands up to {deep} deep before it runs over"
                ))
                .remedy(|| {
                    format!(
                        "fill the hollow by {}, or give it a way out",
                        self.bench.up(pond.depth)
                    )
                });
            self.bench.push(rule, finding);
            return;
        }
        let limit = rule.slope().unwrap_or(Slope::ZERO);
        let mut finding = self.weigh(rule, limit, fall);
        if finding.verdict == Verdict::Violates {
            finding.verdict = Verdict::Undetermined;
            finding =
                finding.note("not told: how water leaves a landing that lies level".to_owned());
        }
        self.bench.push(rule, finding);
    }

    fn judge_lips(&mut self) {
        let Some(rule) = self.bench.rule(Measure::VerticalChange) else {
            return;
        };
        let Some(limit) = rule.length() else { return };
        let mut tightest: Option<Finding> = None;
        for lip in &self.surveyed.lips {
            let reading = Reading {
                subject: format!("/survey/shots/{}", lip.shot),
                piece: lip.piece,
                measured: Measured::Length(lip.height),
                trust: Measured::Length(lip.uncertainty),
            };
            let more = self.bench.up(lip.height - limit);
            let finding = self
                .weigh_against(rule, Measured::Length(limit), &reading)
                .remedy(|| format!("grind the upper side down by {more}"));
            if finding.verdict != Verdict::Meets {
                self.bench.push(rule, finding);
            } else if tightest
                .as_ref()
                .is_none_or(|kept| kept.tightness() > finding.tightness())
            {
                tightest = Some(finding);
            }
        }
        if let Some(finding) = tightest {
            self.bench.push(rule, finding);
        }
    }

    /// What nobody looked at stays open.
    fn tell_unmeasured(&mut self) {
        for coverage in &self.surveyed.coverage {
            let piece = coverage.piece;
            let surface = &self.bench.geometry.surfaces[piece];
            let fitted = self.surveyed.landings.iter().any(|l| l.piece == piece);
            let mut open: Vec<(LevelDirection, String)> = Vec::new();
            if surface.kind == SurfaceKind::Run && coverage.unmeasured > 0 {
                let count = coverage.unmeasured;
                open.push((
                    LevelDirection::Along,
                    format!("{count} lengths of the level were not measured"),
                ));
            }
            for direction in [LevelDirection::Along, LevelDirection::Across] {
                let read = self
                    .surveyed
                    .windows
                    .iter()
                    .any(|w| w.piece == piece && w.direction == direction && w.slope.is_some());
                let told = open.iter().any(|(told, _)| *told == direction);
                if !read && !told && !fitted {
                    let way = direction.as_str();
                    open.push((direction, format!("no slope {way} was measured")));
                }
            }
            for (direction, note) in open {
                self.open(piece, direction, note);
            }
        }
    }

    fn open(&mut self, piece: usize, direction: LevelDirection, note: String) {
        let subject = crate::geometry::piece_pointer(piece);
        let by = self.bench.job.ramp.path[piece].by();
        for (rule, limit) in self.rules_of(piece, direction, Slope::ZERO) {
            let mut finding = self
                .bench
                .blank(rule, &subject, Verdict::Undetermined)
                .by(by)
                .note(note.clone());
            finding.limit = Some(Measured::Slope(limit));
            finding.remedy = Some("measure what is left".to_owned());
            self.bench.push(rule, finding);
        }
    }
}
