//! A survey as a caller reads it.

use super::check::set_verdict;
use super::estimate::CautionAnswer;
use super::{CheckAnswer, ComparedAnswer, View};
use crate::estimate::SurveyAnswered;
use crate::job::{Job, SurveyStage};
use crate::quantity::shown::ElevationFtM;
use serde::Serialize;
use utoipa::ToSchema;

mod fit;
mod part;

use part::{
    CoverageAnswer, DefectAnswer, DepthAnswer, LandingFitAnswer, LipAnswer, MendAnswer,
    OrderChangeAnswer, RunFitAnswer, StakeAnswer, ToleranceAnswer, UnevenAnswer, WindowAnswer,
};

/// A survey answered: reduced, judged, and what to do.
#[derive(Debug, Serialize, ToSchema)]
pub struct SurveyAnswer {
    /// In one sentence.
    pub headline: String,
    /// What was surveyed.
    pub stage: SurveyStage,
    /// `complies`, `does_not_comply` or `undetermined`, of what was measured; null of a base.
    pub verdict: Option<&'static str>,
    /// Places to mend, each once, from the foot up.
    pub defects: Vec<DefectAnswer>,
    /// What to grind and to fill, panel by panel, where a place to mend lies.
    pub remedies: Vec<MendAnswer>,
    /// What to do at each form.
    pub stakes: Vec<StakeAnswer>,
    /// Depth over the base.
    pub depth: Option<DepthAnswer>,
    /// What comes of the concrete order.
    pub order: Option<OrderChangeAnswer>,
    /// Every window of a level.
    pub windows: Vec<WindowAnswer>,
    /// Each run by least squares.
    pub runs: Vec<RunFitAnswer>,
    /// Each landing by least squares.
    pub landings: Vec<LandingFitAnswer>,
    /// Bumps and dips under the straightedge.
    pub unevenness: Vec<UnevenAnswer>,
    /// Lips.
    pub lips: Vec<LipAnswer>,
    /// How much of each piece was measured.
    pub coverage: Vec<CoverageAnswer>,
    /// What was added to all elevations to lay them on the drawn ramp; null where nothing was fitted.
    pub offset: Option<ElevationFtM>,
    /// What the trade tolerates, and which of it was used. It is no rule.
    pub tolerances: Vec<ToleranceAnswer>,
    /// Every rule that was held against a reading; null of a base.
    pub check: Option<CheckAnswer>,
    /// Several rule sets side by side; left out where the job names one.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    #[schema(required = false)]
    pub comparison: Vec<ComparedAnswer>,
    /// What to know before acting on it.
    pub cautions: Vec<CautionAnswer>,
}

impl SurveyAnswer {
    /// A survey, shown.
    pub fn of(job: &Job, answer: SurveyAnswered, view: View) -> Self {
        let reduced = &answer.surveyed;
        let checked = answer.check.as_ref().map(|check| &check.check);
        Self {
            stage: reduced.stage,
            defects: DefectAnswer::of_all(&answer.defects, view),
            remedies: show_all(&answer.mends, |mend| MendAnswer::of(mend, view)),
            stakes: show_all(&answer.stakes, |stake| StakeAnswer::of(stake, view)),
            depth: DepthAnswer::of(job, &answer, view),
            order: answer
                .order
                .as_ref()
                .map(|order| OrderChangeAnswer::of(order, view)),
            windows: WindowAnswer::of_all(&answer, view),
            runs: show_all(&reduced.runs, |run| RunFitAnswer::of(run, view)),
            landings: LandingFitAnswer::of_all(reduced, view),
            unevenness: show_all(&answer.uneven, |one| UnevenAnswer::of(one, reduced, view)),
            lips: show_all(&reduced.lips, |lip| LipAnswer::of(lip, view)),
            coverage: CoverageAnswer::of_all(reduced),
            offset: reduced
                .offset
                .map(|offset| ElevationFtM::of(offset, view.system)),
            tolerances: ToleranceAnswer::of_all(&answer, view),
            verdict: checked.map(|check| set_verdict(check.verdict)),
            comparison: checked.map_or_else(Vec::new, |check| ComparedAnswer::of_all(check, view)),
            cautions: CautionAnswer::of_all(answer.cautions),
            headline: answer.headline,
            check: answer.check.map(|check| CheckAnswer::of(check.check, view)),
        }
    }
}

fn show_all<T, A>(all: &[T], show: impl Fn(&T) -> A) -> Vec<A> {
    all.iter().map(show).collect()
}
