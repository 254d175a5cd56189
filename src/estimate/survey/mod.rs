//! A survey answered: reduced, judged, and what to do about it.
//!
//! Invariants: nothing is measured or judged here that geometry and rules do not give; an order comes
//! from the takeoff's own rules; a place to mend is told once. Absent: wire names, rounding.

mod defect;
mod order;
mod words;

pub use defect::{Defect, DefectKind};
pub use order::OrderChange;

use super::With;
use super::caution::Caution;
use crate::geometry::survey::{
    Depth, FormError, Mend, Surveyed, Target, Uneven, find_uneven, measure_depth, measure_forms,
    mend_panels, side_of, survey,
};
use crate::geometry::{self, Geometry};
use crate::job::{
    Assumption, GradeSheet, GradeSheetRequest, Job, Survey, SurveyRequest, SurveyStage,
    expand_grade_sheet, expand_survey,
};
use crate::quantity::{Citation, Faults, Length, Volume, round_to};
use crate::rules::{SurveyCheck, Tolerance, Tolerances, check_survey};
use serde::Deserialize;
use std::sync::LazyLock;

/// A survey answered.
#[derive(Clone, Debug, PartialEq)]
pub struct SurveyAnswered {
    /// In one sentence.
    pub headline: String,
    /// The ramp as drawn.
    pub geometry: Geometry,
    /// The readings reduced.
    pub surveyed: Surveyed,
    /// Judged; none of a base, which no rule of slopes holds.
    pub check: Option<SurveyCheck>,
    /// Gap tolerated under the straightedge; none where none is published for its length.
    pub gap: Option<Tolerance>,
    /// Bumps and dips beyond it; all that are more than the readings' own error where there is none.
    pub uneven: Vec<Uneven>,
    /// Places to mend, each once.
    pub defects: Vec<Defect>,
    /// What to grind and to fill, panel by panel, where a place to mend lies.
    pub mends: Vec<Mend>,
    /// What to do at each form.
    pub stakes: Vec<Stake>,
    /// Error tolerated of a form.
    pub form: Tolerance,
    /// Depth over a base.
    pub depth: Option<Depth>,
    /// By how much a slab may be thinner than drawn.
    pub thinner: Tolerance,
    /// What comes of the order.
    pub order: Option<OrderChange>,
    /// What to know before acting.
    pub cautions: Vec<Caution>,
}

/// What to do at one form.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stake {
    /// Its error.
    pub form: FormError,
    /// To be raised where positive, in whole marks of the tape: sixteenths of an inch.
    pub raise: Length,
    /// True where it is off by more than is tolerated.
    pub off: bool,
}

/// A survey with the ramp that it is held against.
#[derive(Clone, Debug, PartialEq)]
pub struct SurveyAsked {
    /// What was measured.
    pub survey: Survey,
    /// How the ramp falls, as its grade sheet says.
    pub sheet: GradeSheet,
}

impl SurveyAsked {
    /// Against the grade sheet of the job; where that leaves open to which side the ramp falls, to the
    /// side to which the shots do.
    ///
    /// # Errors
    /// All faults of both sections, each at its place in the request as sent.
    pub fn of(
        survey: Option<SurveyRequest>,
        sheet: Option<GradeSheetRequest>,
        job: &Job,
    ) -> Result<(Self, Vec<Assumption>), Faults> {
        let stated = sheet.as_ref().is_some_and(|sheet| sheet.falls_to.is_some());
        let (survey, assumed) = expand_survey(survey, job)?;
        let (mut sheet, _) = expand_grade_sheet(sheet, job)?;
        if let Some(side) = side_of(&survey).filter(|_| !stated) {
            sheet.falls_to = side;
        }
        Ok((Self { survey, sheet }, assumed))
    }
}

/// Answers a survey.
///
/// # Errors
/// A fault for every rule set that is not known.
pub fn answer_survey(
    job: &Job,
    asked: &SurveyAsked,
    with: With<'_>,
) -> Result<SurveyAnswered, Faults> {
    let told = &asked.survey;
    let geometry = geometry::solve(job);
    let surveyed = survey(job, &geometry, (told, &asked.sheet));
    let checked = check_survey(job, (&geometry, &surveyed), with.rules)?;
    let judged = told.stage != SurveyStage::Base;
    let rows = Tolerances::built_in();
    let gap = rows.gap(told);
    let above = gap.as_ref().map_or(told.uncertainty, |row| row.most);
    let poured = told.stage == SurveyStage::Poured;
    let uneven = match poured {
        true => find_uneven(&surveyed.profiles, told.straightedge, above),
        false => Vec::new(),
    };
    let (form, thinner) = (rows.form(told), rows.thinner(told));
    let (stakes, set) = form_stakes(job, (&geometry, &surveyed), &form);
    let depth = measure_depth(job, &geometry, &surveyed, told.uncertainty);
    let depth = Some(depth).filter(|depth| !depth.points.is_empty());
    let volumes = depth.as_ref().map_or(set, |depth| depth.volumes.clone());
    let mut answer = SurveyAnswered {
        headline: String::new(),
        order: order::change_order(job, (&geometry, &volumes), with),
        defects: Vec::new(),
        mends: Vec::new(),
        cautions: Vec::new(),
        check: judged.then_some(checked),
        geometry,
        surveyed,
        gap,
        uneven,
        stakes,
        form,
        depth,
        thinner,
    };
    if poured {
        answer.defects = defect::find_defects(job, &answer);
        answer.mends = mend(&answer);
    }
    answer.headline = words::head(job, &answer);
    answer.cautions = cautions(&answer);
    Ok(answer)
}

/// What each form needs, and the volumes that come of their errors; only of forms.
fn form_stakes(
    job: &Job,
    (geometry, surveyed): (&Geometry, &Surveyed),
    tolerated: &Tolerance,
) -> (Vec<Stake>, Vec<(usize, Volume, Volume)>) {
    if surveyed.stage != SurveyStage::Forms {
        return (Vec::new(), Vec::new());
    }
    let (errors, volumes) = measure_forms(job, geometry, surveyed);
    let stake = |form: FormError| Stake {
        form,
        raise: Length::from_inches(round_to(-form.error.inches() * 16.0, 0) / 16.0),
        off: !form.error.abs().at_most(tolerated.most),
    };
    (errors.into_iter().map(stake).collect(), volumes)
}

impl SurveyAnswered {
    /// Points of the base over which the slab would be too thin, by their index in the depth.
    pub fn thin(&self, thickness: Length) -> Vec<usize> {
        let least = thickness - self.thinner.most;
        let points = self.depth.iter().flat_map(|depth| &depth.points);
        let thin = points.enumerate().filter(|(_, p)| !p.depth.at_least(least));
        thin.map(|(index, _)| index).collect()
    }
}

/// The panels in which places to mend lie.
fn mend(answer: &SurveyAnswered) -> Vec<Mend> {
    let steepest = answer.check.iter().flat_map(|check| check.steepest.iter());
    let mut mends = Vec::new();
    for (piece, steepest) in steepest.enumerate() {
        let own = answer.defects.iter().filter(|defect| defect.piece == piece);
        let places: Vec<(Length, Length)> = own.map(|defect| (defect.from, defect.to)).collect();
        if places.is_empty() {
            continue;
        }
        let target = Target {
            piece,
            steepest: *steepest,
        };
        let panels = mend_panels(&answer.geometry, &answer.surveyed, target);
        mends.extend(panels.into_iter().filter(|panel| {
            let meets =
                |(from, to): &(Length, Length)| from.at_most(panel.to) && panel.from.at_most(*to);
            places.iter().any(meets) && !(panel.grind.is_zero() && panel.fill.is_zero())
        }));
    }
    mends
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
enum When {
    Always,
    Grind,
    Fill,
    Forms,
}

#[derive(Debug, Deserialize)]
struct Row {
    kind: String,
    when: When,
    text: String,
    #[serde(flatten)]
    _source: Citation,
}

#[derive(Debug, Deserialize)]
struct Rows {
    caution: Vec<Row>,
}

static ROWS: LazyLock<Rows> = LazyLock::new(|| {
    toml::from_str(include_str!("cautions.toml")).expect("the embedded cautions are read by a test")
});

fn cautions(answer: &SurveyAnswered) -> Vec<Caution> {
    let holds = |row: &&Row| match row.when {
        When::Always => true,
        When::Grind => {
            let lip = |defect: &Defect| defect.kind == DefectKind::Lip;
            let ground = answer.mends.iter().any(|mend| !mend.grind.is_zero());
            ground || answer.defects.iter().any(lip)
        }
        When::Fill => answer.mends.iter().any(|mend| !mend.fill.is_zero()),
        When::Forms => answer.stakes.iter().any(|stake| !stake.raise.is_zero()),
    };
    let rows = ROWS.caution.iter().filter(holds);
    rows.map(|row| Caution {
        kind: row.kind.clone(),
        text: row.text.clone(),
    })
    .collect()
}
