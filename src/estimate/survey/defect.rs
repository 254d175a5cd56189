//! Places to mend, each told once.
//!
//! Invariants: what violates a set that counts is one, and what is beyond the trade's tolerance; a bump
//! that makes a window steep is told with that window; what is undetermined is none.

use super::SurveyAnswered;
use super::words::{piece_name, place};
use crate::geometry::SurfaceKind;
use crate::geometry::survey::{Profile, Uneven, Window};
use crate::job::{Job, LevelDirection};
use crate::quantity::Length;
use crate::rules::{Finding, Force, Measured, Verdict};

/// What is wrong with a place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DefectKind {
    /// A run as a whole is too steep.
    Run,
    /// A length of the level on a run is too steep.
    Window,
    /// It falls too much across.
    Across,
    /// A landing is too steep.
    Landing,
    /// Water stands.
    Ponding,
    /// A bump under the straightedge.
    Bump,
    /// A dip under the straightedge.
    Dip,
    /// A lip.
    Lip,
}

/// A place to mend.
#[derive(Clone, Debug, PartialEq)]
pub struct Defect {
    /// What is wrong.
    pub kind: DefectKind,
    /// JSON Pointer of the reading or the piece.
    pub subject: String,
    /// Index of the piece.
    pub piece: usize,
    /// Where it begins, along the piece.
    pub from: Length,
    /// Where it ends.
    pub to: Length,
    /// What was measured.
    pub measured: Measured,
    /// True where it breaks a rule that counts; false where only the trade's tolerance is passed.
    pub breaks_rule: bool,
    /// In words.
    pub text: String,
    /// What else it makes, in words: windows that it makes steep, gaps beside it.
    pub also: Vec<String>,
}

impl DefectKind {
    /// How it is spelled in an answer.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Run => "run_slope",
            Self::Window => "running_slope",
            Self::Across => "cross_slope",
            Self::Landing => "landing_slope",
            Self::Ponding => "ponding",
            Self::Bump => "bump",
            Self::Dip => "dip",
            Self::Lip => "lip",
        }
    }
}

/// A stretch of a piece, along and across.
#[derive(Clone, Copy)]
struct Spot {
    piece: usize,
    along: (Length, Length),
    across: (Length, Length),
}

impl Spot {
    fn touches(&self, other: &Self) -> bool {
        let near = Length::from_inches(0.5);
        let meet = |a: (Length, Length), b: (Length, Length)| {
            a.0.at_most(b.1 + near) && b.0.at_most(a.1 + near)
        };
        self.piece == other.piece
            && meet(self.along, other.along)
            && meet(self.across, other.across)
    }

    /// On a line that lies at a place, from one place on it to another.
    const fn on_line(
        piece: usize,
        direction: LevelDirection,
        at: Length,
        range: (Length, Length),
    ) -> Self {
        let (along, across) = match direction {
            LevelDirection::Along => (range, (at, at)),
            LevelDirection::Across => ((at, at), range),
        };
        Self {
            piece,
            along,
            across,
        }
    }
}

pub(super) fn find_defects(job: &Job, answer: &SurveyAnswered) -> Vec<Defect> {
    let mut told = Vec::new();
    // What stands for itself comes first; what it causes beside it is told with it.
    let (pieces, windows) = of_rules(job, answer);
    let (alone, wide) = of_straightedge(job, answer);
    for (spot, defect) in pieces.into_iter().chain(alone).chain(windows).chain(wide) {
        tell(&mut told, spot, defect);
    }
    let mut defects: Vec<Defect> = told.into_iter().map(|(_, defect)| defect).collect();
    defects.sort_by(|a, b| a.piece.cmp(&b.piece).then(a.from.total_cmp(&b.from)));
    defects
}

/// Tells a place, or what it adds to one that was told.
fn tell(told: &mut Vec<(Option<Spot>, Defect)>, spot: Option<Spot>, defect: Defect) {
    let touches = |(other, before): &&mut (Option<Spot>, Defect)| {
        let points = [DefectKind::Ponding, DefectKind::Bump, DefectKind::Dip];
        let windows = [DefectKind::Window, DefectKind::Across, DefectKind::Landing];
        let caused = match defect.kind {
            DefectKind::Bump | DefectKind::Dip => {
                points.contains(&before.kind) || windows.contains(&before.kind)
            }
            DefectKind::Window | DefectKind::Across | DefectKind::Landing => {
                points.contains(&before.kind)
            }
            _ => false,
        };
        let near = spot.zip(*other).is_some_and(|(a, b)| a.touches(&b));
        caused && near
    };
    if let Some((_, before)) = told.iter_mut().find(touches) {
        before.breaks_rule |= defect.breaks_rule;
        before.also.push(defect.text);
    } else {
        told.push((spot, defect));
    }
}

type Spotted = (Option<Spot>, Defect);

/// What breaks a rule that counts: pieces and lips, and windows.
fn of_rules(job: &Job, answer: &SurveyAnswered) -> (Vec<Spotted>, Vec<Spotted>) {
    let (mut pieces, mut windows): (Vec<Spotted>, Vec<Spotted>) = (Vec::new(), Vec::new());
    let Some(check) = &answer.check else {
        return (pieces, windows);
    };
    for (window, decided) in answer.surveyed.windows.iter().zip(&check.windows) {
        let broken = decided
            .as_ref()
            .is_some_and(|d| d.verdict == Verdict::Violates);
        if let Some(slope) = window.slope.filter(|_| broken) {
            let range = (window.from, window.to);
            let spot = Spot::on_line(window.piece, window.direction, window.at, range);
            let defect = of_window(job, answer, (window, Measured::Slope(slope)));
            windows.push((Some(spot), defect));
        }
    }
    let broken = |f: &&Finding| f.force == Force::Required && f.verdict == Verdict::Violates;
    for finding in check.check.findings.iter().filter(broken) {
        let Some((spot, defect)) = of_finding(job, answer, finding) else {
            continue;
        };
        let known =
            |(_, other): &Spotted| (&other.subject, other.kind) == (&defect.subject, defect.kind);
        if !pieces.iter().any(known) {
            pieces.push((spot, defect));
        }
    }
    (pieces, windows)
}

/// What is beyond the tolerance of the straightedge: by itself, and as the edge of something wider.
fn of_straightedge(job: &Job, answer: &SurveyAnswered) -> (Vec<Spotted>, Vec<Spotted>) {
    let judged = answer.uneven.iter().filter(|_| answer.gap.is_some());
    let (alone, wide): (Vec<&Uneven>, Vec<&Uneven>) = judged.partition(|uneven| uneven.alone);
    let spotted = |uneven: &Uneven| {
        let profile = &answer.surveyed.profiles[uneven.profile];
        let range = (uneven.at, uneven.at);
        let spot = Spot::on_line(uneven.piece, profile.direction, profile.at, range);
        (Some(spot), of_uneven(job, (profile, uneven)))
    };
    (
        alone.into_iter().map(spotted).collect(),
        wide.into_iter().map(spotted).collect(),
    )
}

fn of_window(
    job: &Job,
    answer: &SurveyAnswered,
    (window, measured): (&Window, Measured),
) -> Defect {
    let kind = answer.geometry.surfaces[window.piece].kind;
    let kind = match (kind, window.direction) {
        (SurfaceKind::Landing, _) => DefectKind::Landing,
        (_, LevelDirection::Along) => DefectKind::Window,
        (_, LevelDirection::Across) => DefectKind::Across,
    };
    let (from, to) = match window.direction {
        LevelDirection::Along => (window.from, window.to),
        LevelDirection::Across => (window.at, window.at),
    };
    let what = measured.text(job.units);
    let at = place(
        job,
        (window.piece, window.direction),
        (window.at, window.from, window.to),
    );
    Defect {
        kind,
        subject: window.subject.clone(),
        piece: window.piece,
        from,
        to,
        measured,
        breaks_rule: true,
        text: format!("{at}: {what}"),
        also: Vec::new(),
    }
}

/// A finding about a piece or a lip.
fn of_finding(job: &Job, answer: &SurveyAnswered, finding: &Finding) -> Option<Spotted> {
    let piece = of_lip(job, answer, finding);
    piece.or_else(|| of_piece(job, answer, finding))
}

fn of_lip(job: &Job, answer: &SurveyAnswered, finding: &Finding) -> Option<Spotted> {
    let measured = finding.measured?;
    let what = measured.text(job.units);
    let lip = answer
        .surveyed
        .lips
        .iter()
        .find(|lip| finding.subject == format!("/survey/shots/{}", lip.shot))
        .filter(|_| matches!(measured, Measured::Length(_)))?;
    let at = lip.along.tape(job.units);
    let name = piece_name(job, lip.piece);
    let defect = Defect {
        kind: DefectKind::Lip,
        subject: finding.subject.clone(),
        piece: lip.piece,
        from: lip.along,
        to: lip.along,
        measured,
        breaks_rule: true,
        text: format!("{name}, {at} from its lower end: a lip of {what}"),
        also: Vec::new(),
    };
    Some((None, defect))
}

/// A run or a landing as a whole; water has a place on it.
fn of_piece(job: &Job, answer: &SurveyAnswered, finding: &Finding) -> Option<Spotted> {
    let measured = finding.measured?;
    let what = measured.text(job.units);
    let rest = finding.subject.strip_prefix("/ramp/path/")?;
    let piece: usize = rest.split('/').next()?.parse().ok()?;
    let surface = answer.geometry.surfaces.get(piece)?;
    let (kind, words) = match (surface.kind, measured) {
        (SurfaceKind::Landing, Measured::Length(_)) => (DefectKind::Ponding, "water stands"),
        (SurfaceKind::Landing, _) => (DefectKind::Landing, "falls"),
        (SurfaceKind::Run, _) => (DefectKind::Run, "rises as a whole"),
    };
    let landing = answer.surveyed.landings.iter().find(|l| l.piece == piece);
    let pond = landing.and_then(|landing| landing.pond);
    let spot = pond.filter(|_| kind == DefectKind::Ponding).map(|pond| {
        let range = (pond.along, pond.along);
        Spot::on_line(piece, LevelDirection::Along, pond.across, range)
    });
    let defect = Defect {
        kind,
        subject: finding.subject.clone(),
        piece,
        from: Length::ZERO,
        to: surface.plan_length,
        measured,
        breaks_rule: true,
        text: format!("{}: {words} {what}", piece_name(job, piece)),
        also: Vec::new(),
    };
    Some((spot, defect))
}

fn of_uneven(job: &Job, (profile, uneven): (&Profile, &Uneven)) -> Defect {
    let (kind, word) = match uneven.bump {
        true => (DefectKind::Bump, "bump"),
        false => (DefectKind::Dip, "dip"),
    };
    let along = match profile.direction {
        LevelDirection::Along => uneven.at,
        LevelDirection::Across => profile.at,
    };
    let list = match profile.walk {
        Some(walk) => format!("/survey/walks/{walk}/readings"),
        None => "/survey/shots".to_owned(),
    };
    let name = piece_name(job, uneven.piece);
    let [at, height, gap] = [along, uneven.height, uneven.gap].map(|length| length.tape(job.units));
    Defect {
        kind,
        subject: format!("{list}/{}", uneven.reading),
        piece: uneven.piece,
        from: along,
        to: along,
        measured: Measured::Length(uneven.gap),
        breaks_rule: false,
        text: format!(
            "{name}, {at} from its lower end: a {word} of {height}, {gap} under the straightedge"
        ),
        also: Vec::new(),
    }
}
