//! What a survey left open, answered; its faults, each at its place.
//!
//! Invariants: a place outside its piece is a fault; a third shot on one point is a fault; a gap is a
//! slope over the level, which is the horizontal leg. Absent: what the readings say of the ramp.

use crate::job::choice::{LevelDirection, SurveyDatum, SurveyLayer, SurveySide, SurveyStage};
use crate::job::fill::{Fill, Place};
use crate::job::full::{Job, Shot, Survey, SurveyLimits, Walk};
use crate::job::reading::LevelReading;
use crate::job::sent::{BenchmarkRequest, ShotRequest, SurveyRequest, WalkRequest};
use crate::job::{Assumption, Piece};
use crate::quantity::{Faults, Length, Slope};

/// Most shots and readings of one survey.
const MOST_READINGS: usize = 1000;

/// Two shots nearer than this stand on one point.
const ONE_POINT: Length = Length::from_inches(1.0 / 16.0);

/// What was measured of a job, with the defaults that were used.
///
/// # Errors
/// All faults of the section, each at its place in the request as sent; one at `/survey` when there is
/// none.
pub fn expand_survey(
    sent: Option<SurveyRequest>,
    job: &Job,
) -> Result<(Survey, Vec<Assumption>), Faults> {
    let mut fill = Fill::new(job.units);
    let root = Place::default();
    let place = root.field("survey");
    let Some(sent) = sent else {
        let example =
            "{\"stage\": \"poured\", \"walks\": [{\"piece\": 1, \"readings\": [\"8.2 %\"]}]}";
        fill.fault(&place, "nothing", "what was measured", example);
        return Err(fill.faults);
    };
    let survey = fill_survey(&mut fill, &place, sent, job);
    fill.faults.or((survey, fill.assumptions))
}

/// What every reading of a survey shares.
struct Shared<'a> {
    job: &'a Job,
    layer: SurveyLayer,
    sight: Option<Length>,
    level: Length,
    level_error: Slope,
    gap_error: Length,
}

fn fill_survey(fill: &mut Fill, place: &Place<'_>, sent: SurveyRequest, job: &Job) -> Survey {
    let at = place.field("uncertainty");
    let trust = sent.uncertainty.unwrap_or_default();
    let uncertainty = fill.quantity(&at.field("shot"), trust.shot);
    let (shots, walks) = (
        sent.shots.unwrap_or_default(),
        sent.walks.unwrap_or_default(),
    );
    let shared = Shared {
        job,
        layer: layer_of(sent.stage),
        sight: sent
            .benchmark
            .map(|sent| sight(fill, &place.field("benchmark"), sent)),
        level: fill.quantity(&place.field("level"), sent.level),
        level_error: fill.quantity(&at.field("level"), trust.level),
        gap_error: fill.quantity(&at.field("gap"), trust.gap),
    };
    check_amount(fill, place, (sent.stage, &shots, &walks));
    let fitted = fill_datum(
        fill,
        &place.field("datum"),
        sent.datum,
        (sent.stage, &shots),
    );
    let at = place.field("limits");
    let own = sent.limits.unwrap_or_default();
    Survey {
        stage: sent.stage,
        shots: fill_shots(fill, &place.field("shots"), shots, &shared),
        walks: fill_walks(fill, &place.field("walks"), walks, &shared),
        fitted,
        level: shared.level,
        straightedge: fill.quantity(&place.field("straightedge"), sent.straightedge),
        uncertainty,
        limits: SurveyLimits {
            gap: fill.optional(&at.field("gap"), own.gap),
            form: fill.optional(&at.field("form"), own.form),
            thinner: fill.optional(&at.field("thinner"), own.thinner),
        },
    }
}

const fn layer_of(stage: SurveyStage) -> SurveyLayer {
    match stage {
        SurveyStage::Base => SurveyLayer::Base,
        SurveyStage::Forms => SurveyLayer::Forms,
        SurveyStage::Poured => SurveyLayer::Surface,
    }
}

fn sight(fill: &mut Fill, place: &Place<'_>, sent: BenchmarkRequest) -> Length {
    let rod = place.field("rod");
    fill.optional(&rod, Some(sent.rod));
    fill.quantity(&place.field("elevation"), sent.elevation) + sent.rod
}

fn check_amount(
    fill: &mut Fill,
    place: &Place<'_>,
    (stage, shots, walks): (SurveyStage, &[ShotRequest], &[WalkRequest]),
) {
    let readings: usize = walks.iter().map(|walk| walk.readings.len()).sum();
    let count = shots.len() + readings;
    if count == 0 || count > MOST_READINGS {
        let accepted = format!("1 to {MOST_READINGS} shots and readings");
        fill.fault(place, &count.to_string(), &accepted, "14 readings");
    }
    if stage == SurveyStage::Base && !walks.is_empty() {
        let accepted = "shots alone: a level is walked over forms or concrete";
        fill.fault(&place.field("walks"), "a walk", accepted, "[]");
    }
}

/// True where an offset is fitted. A base alone has nothing to be fitted to but itself.
fn fill_datum(
    fill: &mut Fill,
    place: &Place<'_>,
    sent: Option<SurveyDatum>,
    (stage, shots): (SurveyStage, &[ShotRequest]),
) -> bool {
    if stage == SurveyStage::Base {
        if sent == Some(SurveyDatum::Fitted) {
            let accepted = "foot: how deep a base lies cannot be told from itself";
            fill.fault(place, "fitted", accepted, "foot");
        }
        fill.choice(place, sent, SurveyDatum::Foot);
        return false;
    }
    let fitted = sent != Some(SurveyDatum::Foot);
    if !shots.is_empty() {
        fill.choice(place, sent, SurveyDatum::Fitted);
    }
    fitted
}

/// A piece by its index, with its length on plan and its width; a fault where it is not there.
fn find_piece(
    fill: &mut Fill,
    place: &Place<'_>,
    (job, index): (&Job, u32),
) -> Option<(usize, Length, Length)> {
    let path = &job.ramp.path;
    let at = usize::try_from(index).unwrap_or(usize::MAX);
    let Some(piece) = path.get(at) else {
        let accepted = format!(
            "a piece of this path, 0 to {}",
            path.len().saturating_sub(1)
        );
        fill.fault(&place.field("piece"), &index.to_string(), &accepted, "1");
        return None;
    };
    let length = match piece {
        Piece::Landing(landing) => landing.length,
        Piece::Run(run) => run.plan_length(),
    };
    Some((at, length, piece.width()))
}

/// A distance held to a piece.
fn hold_to(fill: &mut Fill, place: &Place<'_>, (sent, most): (Length, Length)) -> Length {
    if !sent.at_least(Length::ZERO) || !sent.at_most(most) {
        let most = most.tape_down(fill.system);
        let accepted = format!("a place on this piece, 0 in to {most}");
        fill.fault(place, &sent.print(), &accepted, "0 in");
    }
    sent
}

/// Where a line lies across: told as a distance or as a side; the middle where left out.
fn find_across(
    fill: &mut Fill,
    place: &Place<'_>,
    (across, side): (Option<Length>, Option<SurveySide>),
    width: Length,
) -> Length {
    if across.is_some() && side.is_some() {
        let accepted = "across or side, not both";
        fill.fault(&place.field("side"), "both", accepted, "left");
    }
    if let Some(across) = across {
        return hold_to(fill, &place.field("across"), (across, width));
    }
    match fill.choice(&place.field("side"), side, SurveySide::Centre) {
        SurveySide::Left => Length::ZERO,
        SurveySide::Centre => width / 2.0,
        SurveySide::Right => width,
    }
}

fn fill_shots(
    fill: &mut Fill,
    place: &Place<'_>,
    sent: Vec<ShotRequest>,
    shared: &Shared<'_>,
) -> Vec<Shot> {
    let mut shots: Vec<Shot> = Vec::with_capacity(sent.len());
    for (index, sent) in sent.into_iter().take(MOST_READINGS).enumerate() {
        let place = place.index(index);
        let Some(shot) = fill_shot(fill, &place, sent, shared) else {
            continue;
        };
        let same = |other: &&Shot| {
            other.piece == shot.piece
                && other.layer == shot.layer
                && (other.along - shot.along).abs().at_most(ONE_POINT)
                && (other.across - shot.across).abs().at_most(ONE_POINT)
        };
        if shots.iter().filter(same).count() >= 2 {
            let accepted = "one shot on a point, or two for the two sides of a lip";
            fill.fault(&place, "a third shot on one point", accepted, "along: 4 ft");
        }
        shots.push(shot);
    }
    shots
}

fn fill_shot(
    fill: &mut Fill,
    place: &Place<'_>,
    sent: ShotRequest,
    shared: &Shared<'_>,
) -> Option<Shot> {
    let elevation = find_elevation(fill, place, &sent, shared.sight);
    let (piece, length, width) = find_piece(fill, place, (shared.job, sent.piece))?;
    Some(Shot {
        piece,
        along: hold_to(fill, &place.field("along"), (sent.along, length)),
        across: find_across(fill, place, (sent.across, sent.side), width),
        elevation,
        layer: find_layer(fill, &place.field("of"), sent.of, shared.layer),
    })
}

/// With forms the base may be sent; otherwise a survey is of one thing.
fn find_layer(
    fill: &mut Fill,
    place: &Place<'_>,
    sent: Option<SurveyLayer>,
    own: SurveyLayer,
) -> SurveyLayer {
    let layer = sent.unwrap_or(own);
    let with = own == SurveyLayer::Forms && layer == SurveyLayer::Base;
    if layer != own && !with {
        let accepted = match own {
            SurveyLayer::Forms => "forms or base, at this stage".to_owned(),
            _ => format!("{own}, at this stage"),
        };
        fill.fault(place, layer.as_str(), &accepted, own.as_str());
    }
    layer
}

fn find_elevation(
    fill: &mut Fill,
    place: &Place<'_>,
    sent: &ShotRequest,
    sight: Option<Length>,
) -> Length {
    let elevation = fill.optional(&place.field("elevation"), sent.elevation);
    let rod = fill.optional(&place.field("rod"), sent.rod);
    match (elevation, rod, sight) {
        (Some(elevation), None, _) => elevation,
        (None, Some(rod), Some(sight)) => sight - rod,
        (None, Some(_), None) => {
            let accepted = "an elevation, or a benchmark for the survey";
            fill.fault(
                &place.field("rod"),
                "a rod reading alone",
                accepted,
                "{\"elevation\": \"12 in\"}",
            );
            Length::ZERO
        }
        _ => {
            let accepted = "exactly one of elevation and rod";
            let found = if elevation.is_some() {
                "both"
            } else {
                "neither"
            };
            fill.fault(place, found, accepted, "{\"elevation\": \"12 in\"}");
            Length::ZERO
        }
    }
}

fn fill_walks(
    fill: &mut Fill,
    place: &Place<'_>,
    sent: Vec<WalkRequest>,
    shared: &Shared<'_>,
) -> Vec<Walk> {
    let mut walks = Vec::with_capacity(sent.len());
    for (index, sent) in sent.into_iter().enumerate() {
        walks.extend(fill_walk(fill, &place.index(index), sent, shared));
    }
    walks
}

fn fill_walk(
    fill: &mut Fill,
    place: &Place<'_>,
    sent: WalkRequest,
    shared: &Shared<'_>,
) -> Option<Walk> {
    let level = fill.optional(&place.field("level"), sent.level);
    let level = level.unwrap_or(shared.level);
    let readings = fill_readings(
        fill,
        &place.field("readings"),
        &sent.readings,
        (level, shared),
    );
    let (piece, length, width) = find_piece(fill, place, (shared.job, sent.piece))?;
    let direction = fill.choice(
        &place.field("direction"),
        sent.direction,
        LevelDirection::Along,
    );
    let (at, most) = match direction {
        LevelDirection::Along => (
            find_across(fill, place, (sent.across, sent.side), width),
            length,
        ),
        LevelDirection::Across => {
            let along = sent.along.unwrap_or(length / 2.0);
            (hold_to(fill, &place.field("along"), (along, length)), width)
        }
    };
    let from = sent.from.unwrap_or(Length::ZERO);
    let from = hold_to(fill, &place.field("from"), (from, most));
    let end = from + level * readings.len() as f64;
    // The last reading may lap back a little, and a walk along the surface is longer than on plan.
    if !end.at_most(most + level) {
        let accepted = format!("at most what fits on {}", most.tape(fill.system));
        let found = format!("{} readings", readings.len());
        fill.fault(&place.field("readings"), &found, &accepted, "[\"8.2 %\"]");
    }
    Some(Walk {
        piece,
        direction,
        at,
        from,
        level,
        readings,
    })
}

fn fill_readings(
    fill: &mut Fill,
    place: &Place<'_>,
    sent: &[LevelReading],
    (level, shared): (Length, &Shared<'_>),
) -> Vec<Option<(Slope, Slope)>> {
    let over = |slope: Slope| !slope.abs().at_most(Slope::from_ratio(1.0));
    let mut readings = Vec::with_capacity(sent.len());
    for (index, reading) in sent.iter().enumerate() {
        let read = match *reading {
            LevelReading::Slope(slope) => Some((slope, shared.level_error)),
            // The level is held level, so that it is the horizontal leg.
            LevelReading::Gap(gap) => Slope::of(gap, level)
                .map(|slope| (slope, Slope::from_ratio(shared.gap_error / level))),
            LevelReading::Missing => None,
        };
        if read.is_some_and(|(slope, _)| over(slope)) {
            let found = read.map_or_else(String::new, |(slope, _)| slope.print());
            let accepted = "a slope of at most 100 %, or a gap no longer than the level";
            fill.fault(&place.index(index), &found, accepted, "8.2 %");
        }
        readings.push(read);
    }
    readings
}
