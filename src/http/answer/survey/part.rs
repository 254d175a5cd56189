//! The parts of a survey as a caller reads them.
//!
//! Invariant: uncertainties are expanded (k = 2), half of the interval.

use crate::estimate::{Defect, OrderChange, Stake, SurveyAnswered};
use crate::geometry::piece_pointer;
use crate::geometry::survey::Mend;
use crate::http::answer::View;
use crate::http::answer::check::MeasuredAnswer;
use crate::job::{Job, LevelDirection};
use crate::quantity::shown::{FtM, InMm, SlopePct, SlopePoints, Yd3M3};
use crate::quantity::{Citation, Length, System, ceil_to};
use serde::Serialize;
use utoipa::ToSchema;

/// A place to mend.
#[derive(Debug, Serialize, ToSchema)]
pub struct DefectAnswer {
    /// `run_slope`, `running_slope`, `cross_slope`, `landing_slope`, `ponding`, `bump`, `dip` or `lip`.
    pub kind: &'static str,
    /// JSON Pointer of the reading or the piece.
    pub subject: String,
    /// JSON Pointer of the piece.
    pub piece: String,
    /// Where it begins, from the piece's lower end.
    pub from: FtM,
    /// Where it ends.
    pub to: FtM,
    /// What was measured.
    pub measured: MeasuredAnswer,
    /// True where it breaks a rule that counts; false where only the trade's tolerance is passed.
    pub breaks_rule: bool,
    /// In words.
    pub text: String,
    /// What else it makes: windows that it makes steep, gaps beside it.
    pub also: Vec<String>,
}

/// What to take off and to fill in a panel.
#[derive(Debug, Serialize, ToSchema)]
pub struct MendAnswer {
    /// JSON Pointer of the piece.
    pub piece: String,
    /// Panel along the path, counted from 1 at the piece's lower end.
    pub panel: u32,
    /// Where it begins, from the piece's lower end.
    pub from: FtM,
    /// Where it ends.
    pub to: FtM,
    /// Deepest grinding, rounded up.
    pub grind: InMm,
    /// The same as the tape shows it.
    pub grind_tape: String,
    /// Volume ground off.
    pub ground: Yd3M3,
    /// Deepest fill, rounded up.
    pub fill: InMm,
    /// The same as the tape shows it.
    pub fill_tape: String,
    /// Volume filled.
    pub filled: Yd3M3,
}

/// What to do at one form.
#[derive(Debug, Serialize, ToSchema)]
pub struct StakeAnswer {
    /// JSON Pointer of its shot.
    pub subject: String,
    /// JSON Pointer of the piece.
    pub piece: String,
    /// From the piece's lower end.
    pub along: FtM,
    /// From the left edge.
    pub across: FtM,
    /// Too high where positive.
    pub error: InMm,
    /// `raise`, `lower` or `leave`.
    pub action: &'static str,
    /// By how much, to the nearest mark of the tape.
    pub by: String,
    /// True where it is off by more than is tolerated.
    pub off: bool,
}

/// Depth over a base.
#[derive(Debug, Serialize, ToSchema)]
pub struct DepthAnswer {
    /// As drawn.
    pub thickness: InMm,
    /// At each shot of the base.
    pub points: Vec<DepthPointAnswer>,
    /// How many are too thin.
    pub thin: usize,
}

/// Depth at a shot of the base.
#[derive(Debug, Serialize, ToSchema)]
pub struct DepthPointAnswer {
    /// JSON Pointer of the shot.
    pub subject: String,
    /// JSON Pointer of the piece.
    pub piece: String,
    /// From the piece's lower end.
    pub along: FtM,
    /// From the left edge.
    pub across: FtM,
    /// Depth, measured as the slab's thickness is.
    pub depth: InMm,
    /// Its uncertainty.
    pub uncertainty: InMm,
    /// True where the slab would be thinner than is tolerated.
    pub thin: bool,
}

/// What comes of the concrete order.
#[derive(Debug, Serialize, ToSchema)]
pub struct OrderChangeAnswer {
    /// Net, as drawn.
    pub planned_net: Yd3M3,
    /// Ordered, as drawn.
    pub planned_order: Yd3M3,
    /// Net, as measured; pieces that were not measured as drawn.
    pub net: Yd3M3,
    /// More than drawn; below zero where less.
    pub more: Yd3M3,
    /// Allowed for loss.
    pub waste: Yd3M3,
    /// To order, up to the next step.
    pub order: Yd3M3,
    /// Its trucks.
    pub loads: Vec<Yd3M3>,
}

/// A window of a level.
#[derive(Debug, Serialize, ToSchema)]
pub struct WindowAnswer {
    /// JSON Pointer of its reading, or of the shot that ends it.
    pub subject: String,
    /// JSON Pointer of the piece.
    pub piece: String,
    /// `along` is running slope, `across` is cross slope.
    pub direction: LevelDirection,
    /// Where its line lies: from the left edge, or from the piece's lower end.
    pub at: FtM,
    /// Where it begins on that line.
    pub from: FtM,
    /// Where it ends.
    pub to: FtM,
    /// Slope, positive up the path or up to the right; null where it was not read.
    pub slope: Option<SlopePct>,
    /// Its uncertainty, in percentage points.
    pub uncertainty: Option<SlopePoints>,
    /// The worst over all sets that count; null where no rule holds it.
    pub verdict: Option<&'static str>,
    /// The limit that decides.
    pub limit: Option<MeasuredAnswer>,
    /// The rule set that decides.
    pub rule_set: Option<String>,
    /// Where it violates: whether it lies inside the advisory field tolerance, which is no rule.
    pub in_field_tolerance: Option<bool>,
}

/// A run by least squares.
#[derive(Debug, Serialize, ToSchema)]
pub struct RunFitAnswer {
    /// JSON Pointer of the piece.
    pub piece: String,
    /// Slope.
    pub slope: SlopePct,
    /// Its uncertainty, in percentage points.
    pub uncertainty: SlopePoints,
    /// Root of the mean squared distance of the readings from it.
    pub scatter: InMm,
}

/// A landing by least squares.
#[derive(Debug, Serialize, ToSchema)]
pub struct LandingFitAnswer {
    /// JSON Pointer of the piece.
    pub piece: String,
    /// Rise along the arriving run.
    pub along: SlopePct,
    /// Rise to the right.
    pub across: SlopePct,
    /// Steepest, in any direction.
    pub steepest: SlopePct,
    /// Its uncertainty, in percentage points.
    pub uncertainty: SlopePoints,
    /// Which way water runs: degrees clockwise from straight up the path.
    #[serde(serialize_with = "crate::http::answer::plain")]
    pub falls_towards: f64,
    /// Water that stands on it.
    pub pond: Option<PondAnswer>,
}

/// Standing water.
#[derive(Debug, Serialize, ToSchema)]
pub struct PondAnswer {
    /// Where it is deepest, from the piece's lower end.
    pub along: FtM,
    /// Where it is deepest, from the left edge.
    pub across: FtM,
    /// How deep.
    pub depth: InMm,
    /// True where that is more than the error of two shots.
    pub sure: bool,
}

/// A bump or a dip.
#[derive(Debug, Serialize, ToSchema)]
pub struct UnevenAnswer {
    /// JSON Pointer of the piece.
    pub piece: String,
    /// `bump` or `dip`.
    pub kind: &'static str,
    /// Which way its line runs.
    pub direction: LevelDirection,
    /// Where the line lies.
    pub line: FtM,
    /// Where on it.
    pub at: FtM,
    /// How far it is off the line that most readings lie on.
    pub height: InMm,
    /// The greatest gap that it makes.
    pub gap: InMm,
}

/// A lip.
#[derive(Debug, Serialize, ToSchema)]
pub struct LipAnswer {
    /// JSON Pointer of one of its two shots.
    pub subject: String,
    /// JSON Pointer of the piece; the upper one at a crease.
    pub piece: String,
    /// From the piece's lower end.
    pub along: FtM,
    /// From the left edge.
    pub across: FtM,
    /// Height.
    pub height: InMm,
    /// Its uncertainty.
    pub uncertainty: InMm,
}

/// How much of a piece was measured along the path.
#[derive(Debug, Serialize, ToSchema)]
pub struct CoverageAnswer {
    /// JSON Pointer of the piece.
    pub piece: String,
    /// Windows that were read.
    pub measured: usize,
    /// Lengths of the level that no reading covers.
    pub unmeasured: usize,
    /// Windows longer than one and a half levels, in which a shorter steep place can hide.
    pub coarse: usize,
}

/// What the trade tolerates.
#[derive(Debug, Serialize, ToSchema)]
pub struct ToleranceAnswer {
    /// `straightedge_gap`, `form_height` or `thinner`.
    pub of: &'static str,
    /// The most.
    pub most: InMm,
    /// Where it comes from.
    pub source: Citation,
}

impl DefectAnswer {
    /// Places to mend, shown.
    pub fn of_all(defects: &[Defect], view: View) -> Vec<Self> {
        let shown = defects.iter().map(|defect| Self {
            kind: defect.kind.as_str(),
            subject: defect.subject.clone(),
            piece: piece_pointer(defect.piece),
            from: FtM::of(defect.from, view.system),
            to: FtM::of(defect.to, view.system),
            measured: MeasuredAnswer::of(defect.measured, view),
            breaks_rule: defect.breaks_rule,
            text: defect.text.clone(),
            also: defect.also.clone(),
        });
        shown.collect()
    }
}

impl MendAnswer {
    /// What a panel needs, shown; depths go to the safe side.
    pub fn of(mend: &Mend, view: View) -> Self {
        let system = view.system;
        let up =
            |length: Length| InMm::of(Length::from_inches(ceil_to(length.inches(), 0.01)), system);
        Self {
            piece: piece_pointer(mend.piece),
            panel: mend.panel + 1,
            from: FtM::of(mend.from, system),
            to: FtM::of(mend.to, system),
            grind: up(mend.grind),
            grind_tape: mend.grind.tape_up(system),
            ground: Yd3M3::of(mend.ground, system),
            fill: up(mend.fill),
            fill_tape: mend.fill.tape_up(system),
            filled: Yd3M3::of(mend.filled, system),
        }
    }
}

impl StakeAnswer {
    /// What a form needs, shown.
    pub fn of(stake: &Stake, view: View) -> Self {
        let system = view.system;
        let by = match system {
            System::Us => stake.raise,
            System::Metric => -stake.form.error,
        };
        let action = match by.total_cmp(&Length::ZERO) {
            _ if by.abs().tape(system) == Length::ZERO.tape(system) => "leave",
            std::cmp::Ordering::Less => "lower",
            _ => "raise",
        };
        Self {
            subject: format!("/survey/shots/{}", stake.form.shot),
            piece: piece_pointer(stake.form.piece),
            along: FtM::of(stake.form.along, system),
            across: FtM::of(stake.form.across, system),
            error: InMm::of(stake.form.error, system),
            action,
            by: by.abs().tape(system),
            off: stake.off,
        }
    }
}

impl DepthAnswer {
    /// Depth over a base, shown; none where no base was shot.
    pub fn of(job: &Job, answer: &SurveyAnswered, view: View) -> Option<Self> {
        let depth = answer.depth.as_ref()?;
        let thin = answer.thin(job.slab.thickness);
        let system = view.system;
        let points = depth.points.iter().enumerate();
        let points = points.map(|(index, point)| DepthPointAnswer {
            subject: format!("/survey/shots/{}", point.shot),
            piece: piece_pointer(point.piece),
            along: FtM::of(point.along, system),
            across: FtM::of(point.across, system),
            depth: InMm::of(point.depth, system),
            uncertainty: InMm::of(point.uncertainty, system),
            thin: thin.contains(&index),
        });
        Some(Self {
            thickness: InMm::of(job.slab.thickness, system),
            points: points.collect(),
            thin: thin.len(),
        })
    }
}

impl OrderChangeAnswer {
    /// An order, shown.
    pub fn of(change: &OrderChange, view: View) -> Self {
        let show = |volume| Yd3M3::of(volume, view.system);
        Self {
            planned_net: show(change.planned_net),
            planned_order: show(change.planned_order),
            net: show(change.net),
            more: show(change.net - change.planned_net),
            waste: show(change.waste),
            order: show(change.order),
            loads: change.loads.iter().copied().map(show).collect(),
        }
    }
}
