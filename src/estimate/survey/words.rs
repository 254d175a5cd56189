//! A survey in words.

use super::SurveyAnswered;
use crate::job::{Job, LevelDirection, Piece, SurveyStage};
use crate::quantity::{Length, System, Volume, round_to};
use crate::rules::SetVerdict;

/// What a crew calls a piece: `run 2`, `landing 1`, counted from the foot.
pub(super) fn piece_name(job: &Job, piece: usize) -> String {
    let is_run = |piece: &Piece| matches!(piece, Piece::Run(_));
    let path = &job.ramp.path;
    let run = path.get(piece).is_some_and(is_run);
    let same = path
        .iter()
        .take(piece + 1)
        .filter(|other| is_run(other) == run);
    let word = if run { "run" } else { "landing" };
    format!("{word} {}", same.count())
}

/// Where a window lies.
pub(super) fn place(
    job: &Job,
    (piece, direction): (usize, LevelDirection),
    (at, from, to): (Length, Length, Length),
) -> String {
    let name = piece_name(job, piece);
    let [at, from, to] = [at, from, to].map(|length| length.tape(job.units));
    match direction {
        LevelDirection::Along => format!("{name}, {from} to {to} up, {at} from the left"),
        LevelDirection::Across => format!("{name}, {at} up, {from} to {to} from the left"),
    }
}

/// The whole in one sentence.
pub(super) fn head(job: &Job, answer: &SurveyAnswered) -> String {
    let mut parts = Vec::new();
    if let Some(check) = &answer.check {
        let verdict = match check.check.verdict {
            SetVerdict::Complies => "complies with the named rules, as far as it was measured",
            SetVerdict::Undetermined => {
                "is open: something was not measured finely enough, or not at all"
            }
            SetVerdict::DoesNotComply => "does not comply",
        };
        let what = match answer.surveyed.stage {
            SurveyStage::Forms => "as the forms stand the ramp",
            _ => "the ramp as poured",
        };
        parts.push(format!("{what} {verdict}"));
    }
    parts.extend(stakes(job, answer));
    parts.extend(thin(job, answer));
    parts.extend(mending(answer));
    parts.extend(order(job.units, answer));
    let text = parts.join("; ");
    let mut letters = text.chars();
    let first = letters.next().map(|first| first.to_uppercase().to_string());
    format!("{}{}.", first.unwrap_or_default(), letters.as_str())
}

fn mending(answer: &SurveyAnswered) -> Option<String> {
    if answer.surveyed.stage != SurveyStage::Poured {
        return None;
    }
    let texts: Vec<&str> = answer.defects.iter().map(|d| d.text.as_str()).collect();
    Some(match texts.len() {
        0 => "no place to mend was found".to_owned(),
        1 => format!("one place to mend: {}", texts[0]),
        count => format!("{count} places to mend: {}", texts.join("; ")),
    })
}

fn stakes(job: &Job, answer: &SurveyAnswered) -> Option<String> {
    if answer.stakes.is_empty() {
        return None;
    }
    let off: Vec<String> = answer
        .stakes
        .iter()
        .filter(|stake| stake.off)
        .map(|stake| {
            let word = if stake.raise < Length::ZERO {
                "lower"
            } else {
                "raise"
            };
            let by = stake.raise.abs().tape(job.units);
            let name = piece_name(job, stake.form.piece);
            let [at, across] =
                [stake.form.along, stake.form.across].map(|length| length.tape(job.units));
            format!("{word} the form of {name} {at} up and {across} from the left by {by}")
        })
        .collect();
    Some(match off.len() {
        0 => "no form is off by more than is tolerated".to_owned(),
        _ => off.join("; "),
    })
}

fn thin(job: &Job, answer: &SurveyAnswered) -> Option<String> {
    let depth = answer.depth.as_ref()?;
    let thin = answer.thin(job.slab.thickness);
    let least = depth.points.iter().map(|point| point.depth);
    let least = least.reduce(Length::min)?.tape_down(job.units);
    Some(match thin.len() {
        0 => format!("the slab is nowhere too thin: {least} at the least"),
        1 => format!("one place is too thin: {least}"),
        count => format!("{count} places are too thin: {least} at the least"),
    })
}

fn order(system: System, answer: &SurveyAnswered) -> Option<String> {
    let change = answer.order.as_ref()?;
    let (was, now) = (
        show(change.planned_order, system),
        show(change.order, system),
    );
    let net = show(change.net - change.planned_net, system);
    Some(if was == now {
        format!("the order stays {now} ({net} net against the drawing)")
    } else {
        format!("order {now} instead of {was} ({net} net against the drawing)")
    })
}

fn show(volume: Volume, system: System) -> String {
    match system {
        System::Us => format!("{} yd3", round_to(volume.cubic_yards(), 3)),
        System::Metric => format!("{} m3", round_to(volume.cubic_metres(), 3)),
    }
}
