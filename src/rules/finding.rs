//! What judging gives: findings, and the verdict they add up to.
//!
//! Invariants: a broken rule is data, never an error; only required findings count; what others must
//! see to is a condition and does not count. Absent here: approval, which is the official's.

use crate::job::By;
use crate::quantity::{
    Citation, Compared as Side, Length, Slope, System, Verified, round_to, slack,
};
use serde::{Deserialize, Serialize};

/// Something measured, or a limit, or the room between the two.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Measured {
    /// A length.
    Length(Length),
    /// A slope.
    Slope(Slope),
    /// The difference of two slopes, in percentage points.
    Points(f64),
    /// A count or a multiple.
    Count(f64),
}

/// What a rule says of a value.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "service", derive(utoipa::ToSchema))]
#[serde(rename_all = "snake_case")]
pub enum Verdict {
    /// Complies with room to spare.
    Meets,
    /// Complies with no room at all.
    AtLimit,
    /// Does not comply.
    Violates,
    /// A fact is missing, or the rule's row was not read in the document itself.
    Undetermined,
    /// The rule asks nothing here.
    NotApplicable,
}

/// Whether a rule counts for the verdict.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "service", derive(utoipa::ToSchema))]
#[serde(rename_all = "snake_case")]
pub enum Force {
    /// It counts.
    Required,
    /// It warns only.
    Advisory,
}

/// What a rule set says of a job.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[cfg_attr(feature = "service", derive(utoipa::ToSchema))]
#[serde(rename_all = "snake_case")]
pub enum SetVerdict {
    /// No required rule is broken, and nothing of ours is open.
    Complies,
    /// No required rule is broken, but something of ours is open.
    Undetermined,
    /// A required rule is broken.
    DoesNotComply,
}

/// One rule judged on one thing.
#[derive(Clone, Debug, PartialEq)]
pub struct Finding {
    /// Rule set that was held against the job.
    pub set: String,
    /// Rule id; that of another set where the set extends it.
    pub rule: String,
    /// JSON Pointer into the expanded job.
    pub subject: String,
    /// What was measured.
    pub measured: Option<Measured>,
    /// What it is held against.
    pub limit: Option<Measured>,
    /// Room between the two: positive is room, slopes in percentage points.
    pub margin: Option<Measured>,
    /// What comes of it.
    pub verdict: Verdict,
    /// Whether it counts.
    pub force: Force,
    /// Who is to see to it, where it is not us.
    pub by: Option<By>,
    /// What a person should know about it.
    pub note: Option<String>,
    /// Where the rule comes from.
    pub source: Citation,
    /// What to do about it, in numbers a crew can act on.
    pub remedy: Option<String>,
}

/// What one set says.
#[derive(Clone, Debug, PartialEq)]
pub struct SetResult {
    /// Rule set.
    pub id: String,
    /// Its version.
    pub version: u32,
    /// Its title.
    pub title: String,
    /// What it says.
    pub verdict: SetVerdict,
    /// True when it only warns.
    pub advisory: bool,
}

/// What all sets of a job say.
#[derive(Clone, Debug, PartialEq)]
pub struct Check {
    /// The worst of the sets.
    pub verdict: SetVerdict,
    /// Each set.
    pub sets: Vec<SetResult>,
    /// Each finding, set by set.
    pub findings: Vec<Finding>,
    /// What must be kept besides, in words; the rule's section stands in brackets.
    pub conditions: Vec<String>,
}

/// One set among others: what decides it, and what it hangs on.
#[derive(Clone, Debug, PartialEq)]
pub struct Compared<'a> {
    /// The set.
    pub set: &'a SetResult,
    /// The finding that decides: the worst broken one, else the open one with the least room, else the
    /// one with the least room.
    pub decided_by: Option<&'a Finding>,
    /// Rules that count and were not read in the document itself, so that they decided nothing.
    pub unread: Vec<&'a str>,
}

impl Verdict {
    /// How it is spelled in an answer.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Meets => "meets",
            Self::AtLimit => "at_limit",
            Self::Violates => "violates",
            Self::Undetermined => "undetermined",
            Self::NotApplicable => "not_applicable",
        }
    }
}

impl SetVerdict {
    /// How it is spelled in an answer.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Complies => "complies",
            Self::DoesNotComply => "does_not_comply",
            Self::Undetermined => "undetermined",
        }
    }
}

impl Measured {
    /// Where this stands against a limit of the same kind, with the house's slack; different kinds
    /// are never compared, and count as above.
    pub fn compare(self, limit: Self) -> Side {
        match (self, limit) {
            (Self::Length(a), Self::Length(b)) => a.compare(b),
            (Self::Slope(a), Self::Slope(b)) => a.compare(b),
            (Self::Points(a), Self::Points(b)) | (Self::Count(a), Self::Count(b)) => {
                slack::compare(a, b)
            }
            _ => Side::Above,
        }
    }

    /// This less another of the same kind; slopes give percentage points, different kinds nothing.
    pub fn minus(self, other: Self) -> Option<Self> {
        match (self, other) {
            (Self::Length(a), Self::Length(b)) => Some(Self::Length(a - b)),
            (Self::Slope(a), Self::Slope(b)) => Some(Self::Points(a.percent() - b.percent())),
            (Self::Points(a), Self::Points(b)) => Some(Self::Points(a - b)),
            (Self::Count(a), Self::Count(b)) => Some(Self::Count(a - b)),
            _ => None,
        }
    }

    /// Nothing of the kind that a difference of this kind has.
    pub(super) const fn no_margin(self) -> Self {
        match self {
            Self::Length(_) => Self::Length(Length::ZERO),
            Self::Slope(_) | Self::Points(_) => Self::Points(0.0),
            Self::Count(_) => Self::Count(0.0),
        }
    }

    /// In words, to the nearest mark of the tape or three decimals of a percent.
    pub fn text(self, system: System) -> String {
        match self {
            Self::Length(length) => length.tape(system),
            Self::Slope(slope) => format!("{} %", round_to(slope.percent(), 3)),
            Self::Points(points) => format!("{} percentage points", round_to(points, 3)),
            Self::Count(count) => round_to(count, 3).to_string(),
        }
    }

    /// The number inside, in SI or as it is: only for ratios of two of a kind.
    pub(super) const fn number(self) -> f64 {
        match self {
            Self::Length(length) => length.metres(),
            Self::Slope(slope) => slope.percent(),
            Self::Points(number) | Self::Count(number) => number,
        }
    }
}

impl Finding {
    /// True when it counts against the verdict of its set.
    pub fn counts_as(&self) -> SetVerdict {
        let by_others = self.by == Some(By::Others);
        match (self.force, self.verdict) {
            (Force::Required, Verdict::Violates) => SetVerdict::DoesNotComply,
            (Force::Required, Verdict::Undetermined) if !by_others => SetVerdict::Undetermined,
            _ => SetVerdict::Complies,
        }
    }

    /// Margin as a share of the limit: below zero broken, zero at the limit. `None` without figures,
    /// and for counts and limits of zero, which have no room to speak of.
    pub fn tightness(&self) -> Option<f64> {
        let (margin, limit) = (self.margin?, self.limit?);
        let counted = matches!(limit, Measured::Count(_)) || limit.number() == 0.0;
        (!counted).then(|| margin.number() / limit.number().abs())
    }
}

/// The worst that findings add up to.
pub(super) fn sum_up<'a>(findings: impl IntoIterator<Item = &'a Finding>) -> SetVerdict {
    findings
        .into_iter()
        .map(Finding::counts_as)
        .max()
        .unwrap_or(SetVerdict::Complies)
}

impl Check {
    /// Each set that counts, beside the others.
    pub fn compare(&self) -> Vec<Compared<'_>> {
        let sets = self.sets.iter().filter(|set| !set.advisory);
        sets.map(|set| self.compared(set)).collect()
    }

    fn compared<'a>(&'a self, set: &'a SetResult) -> Compared<'a> {
        let required = || {
            let of_set = self.findings.iter().filter(|finding| finding.set == set.id);
            of_set.filter(|finding| finding.force == Force::Required)
        };
        let of = |verdict: Verdict| required().filter(move |finding| finding.verdict == verdict);
        let with_figures = |finding: &&Finding| finding.tightness().is_some();
        let kept = required()
            .filter(|f| matches!(f.verdict, Verdict::Meets | Verdict::AtLimit) && with_figures(f));
        let open = || required().filter(|f| f.counts_as() == SetVerdict::Undetermined);
        let decided_by = least_room(of(Verdict::Violates))
            .or_else(|| least_room(open().filter(with_figures)))
            .or_else(|| open().next())
            .or_else(|| least_room(kept));
        let mut unread: Vec<&str> = of(Verdict::Undetermined)
            .filter(|finding| finding.source.verified != Verified::Read)
            .map(|finding| finding.rule.as_str())
            .collect();
        unread.sort_unstable();
        unread.dedup();
        Compared {
            set,
            decided_by,
            unread,
        }
    }

    /// The required finding that decides: the worst broken one, else the first open one of ours, else
    /// the one with the least room. `None` when no required rule was measured.
    pub fn tightest(&self) -> Option<&Finding> {
        let required = || self.findings.iter().filter(|f| f.force == Force::Required);
        let broken = required().filter(|f| f.verdict == Verdict::Violates);
        let kept = |f: &&Finding| {
            matches!(f.verdict, Verdict::Meets | Verdict::AtLimit) && f.tightness().is_some()
        };
        least_room(broken)
            .or_else(|| required().find(|f| f.counts_as() == SetVerdict::Undetermined))
            .or_else(|| least_room(required().filter(kept)))
    }
}

/// The finding with the least room; one without figures has none at all; the first of equals.
fn least_room<'a>(findings: impl Iterator<Item = &'a Finding>) -> Option<&'a Finding> {
    let room = |finding: &Finding| finding.tightness().unwrap_or(f64::NEG_INFINITY);
    findings.min_by(|a, b| room(a).total_cmp(&room(b)))
}
