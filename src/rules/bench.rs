//! The bench at which a rule set is held against a job: weighing, and gathering what comes of it.
//!
//! Invariants: every comparison takes the house's slack; a required finding that hangs on a row not
//! read in the document itself is undetermined and shows both figures. Absent here: what is measured.

use super::finding::{Finding, Force, Measured, Verdict};
use super::measure::Measure;
use super::row::{Limit, Rule, RuleSet, Sense};
use super::way::Way;
use crate::geometry::Geometry;
use crate::job::{By, Job};
use crate::quantity::{Compared, Length, System, Verified};

/// One rule set held against one job.
pub(super) struct Bench<'a> {
    pub(super) job: &'a Job,
    pub(super) geometry: &'a Geometry,
    pub(super) set: &'a RuleSet,
    pub(super) way: Way,
    pub(super) findings: Vec<Finding>,
    pub(super) conditions: Vec<String>,
}

impl<'a> Bench<'a> {
    pub(super) fn new(job: &'a Job, geometry: &'a Geometry, set: &'a RuleSet) -> Self {
        let way = Way::of(job, geometry, set);
        Self {
            job,
            geometry,
            set,
            way,
            findings: Vec::new(),
            conditions: Vec::new(),
        }
    }

    pub(super) const fn system(&self) -> System {
        self.job.units
    }

    /// The set's rule for a measure, where it has one.
    pub(super) fn rule(&self, measure: Measure) -> Option<&'a Rule> {
        self.set.rule(measure)
    }

    /// A length on the tape, rounded up: for what must be no shorter.
    pub(super) fn up(&self, length: Length) -> String {
        length.tape_up(self.system())
    }

    /// A length on the tape, rounded down: for what must be no longer.
    pub(super) fn down(&self, length: Length) -> String {
        length.tape_down(self.system())
    }

    /// A length on the tape, to the nearest mark.
    pub(super) fn tape(&self, length: Length) -> String {
        length.tape(self.system())
    }

    /// A finding without figures.
    pub(super) fn blank(&self, rule: &Rule, subject: &str, verdict: Verdict) -> Finding {
        Finding {
            set: self.set.id.clone(),
            rule: rule.row.id.clone(),
            subject: subject.to_owned(),
            measured: None,
            limit: None,
            margin: None,
            verdict,
            force: self.set.force,
            by: None,
            note: None,
            source: rule.source.clone(),
            remedy: None,
        }
    }

    /// A value held against the rule's own number.
    pub(super) fn weigh(&self, rule: &Rule, subject: &str, measured: Measured) -> Finding {
        match rule.limit {
            Limit::Nothing => self.blank(rule, subject, Verdict::NotApplicable),
            Limit::One(limit) => self.weigh_against(rule, subject, (measured, limit)),
            Limit::Range(least, most) => {
                let room = |a: Measured, b: Measured| a.minus(b).map_or(0.0, Measured::number);
                // The nearer end of the range is the limit that is shown.
                let nearer_least = room(measured, least) < room(most, measured);
                let (sense, limit) = if nearer_least {
                    (Sense::AtLeast, least)
                } else {
                    (Sense::AtMost, most)
                };
                self.weigh_by(rule, subject, (sense, measured, limit))
            }
        }
    }

    /// A value held against a limit worked out from the rule and the job.
    pub(super) fn weigh_against(
        &self,
        rule: &Rule,
        subject: &str,
        (measured, limit): (Measured, Measured),
    ) -> Finding {
        let sense = if rule.row.sense == Sense::Table {
            Sense::AtLeast
        } else {
            rule.row.sense
        };
        self.weigh_by(rule, subject, (sense, measured, limit))
    }

    fn weigh_by(
        &self,
        rule: &Rule,
        subject: &str,
        (sense, measured, limit): (Sense, Measured, Measured),
    ) -> Finding {
        let compared = measured.compare(limit);
        let mut finding = self.blank(rule, subject, verdict(sense, measured, compared));
        let room = match sense {
            Sense::AtLeast | Sense::MoreThan => measured.minus(limit),
            _ => limit.minus(measured),
        };
        finding.margin = if compared == Compared::At {
            Some(measured.no_margin())
        } else {
            room
        };
        finding.measured = Some(measured);
        finding.limit = Some(limit);
        finding
    }

    /// True when a value is where a rule begins to ask: past its number, or at it, as its sense says.
    pub(super) fn reaches(&self, rule: &Rule, measured: Measured) -> bool {
        let met = self.weigh(rule, "", measured).verdict;
        matches!(met, Verdict::Meets | Verdict::AtLimit)
    }

    /// A finding that waits for a fact; `by` is who has it.
    pub(super) fn unknown(&self, rule: &Rule, subject: &str, (fact, by): (&str, By)) -> Finding {
        let ask = if by == By::Others {
            "ask others for"
        } else {
            "find out"
        };
        let mut finding = self.blank(rule, subject, Verdict::Undetermined).by(by);
        finding.limit = match rule.limit {
            Limit::One(limit) => Some(limit),
            _ => None,
        };
        finding.remedy = Some(format!("{ask} {fact}: {}", asks(rule)));
        finding.note(format!("not told: {fact}"))
    }

    /// Takes a finding in. What hangs on an unread row decides nothing.
    pub(super) fn push(&mut self, rule: &Rule, mut finding: Finding) {
        let decided = matches!(
            finding.verdict,
            Verdict::Meets | Verdict::AtLimit | Verdict::Violates
        );
        if finding.force == Force::Required && rule.row.verified != Verified::Read && decided {
            finding.verdict = Verdict::Undetermined;
            let why = "the rule was not read in the document itself, so it decides nothing here";
            finding = finding.note(why.to_owned());
        }
        if finding.force == Force::Advisory && finding.verdict == Verdict::Violates {
            finding = finding.note(format!("{} {}", rule.text(), rule.row.title));
        }
        self.findings.push(finding);
    }

    /// Lists what must be kept besides, once.
    pub(super) fn condition(&mut self, text: String) {
        if !self.conditions.contains(&text) {
            self.conditions.push(text);
        }
    }

    /// Lists a rule of the set that no job can show, once.
    pub(super) fn condition_of(&mut self, measure: Measure) {
        if let Some(rule) = self.rule(measure) {
            self.condition(format!("{} ({})", rule.row.title, rule.row.section));
        }
    }
}

/// What a rule asks, in its own words.
fn asks(rule: &Rule) -> String {
    let words = match rule.row.sense {
        Sense::AtMost => "at most ",
        Sense::AtLeast => "at least ",
        Sense::Within => "from ",
        Sense::MoreThan => "more than ",
        Sense::LessThan => "less than ",
        Sense::Table | Sense::Condition => return rule.row.title.clone(),
    };
    format!("{}, {words}{}", rule.row.title, rule.text())
}

const fn verdict(sense: Sense, measured: Measured, compared: Compared) -> Verdict {
    let inclusive = matches!(sense, Sense::AtMost | Sense::AtLeast);
    match (sense, compared) {
        (Sense::AtMost | Sense::LessThan, Compared::Below)
        | (Sense::AtLeast | Sense::MoreThan, Compared::Above) => Verdict::Meets,
        // A count that is reached is simply reached.
        (_, Compared::At) if inclusive && matches!(measured, Measured::Count(_)) => Verdict::Meets,
        (_, Compared::At) if inclusive => Verdict::AtLimit,
        _ => Verdict::Violates,
    }
}

impl Finding {
    /// Adds to the note.
    pub(super) fn note(mut self, text: String) -> Self {
        self.note = Some(match self.note {
            Some(note) => format!("{note}; {text}"),
            None => text,
        });
        self
    }

    /// Names who is to see to it, where that is not us.
    pub(super) fn by(mut self, by: By) -> Self {
        self.by = (by != By::Us).then_some(by);
        self
    }

    /// Sets the remedy when the rule is broken.
    pub(super) fn remedy(mut self, text: impl FnOnce() -> String) -> Self {
        if self.verdict == Verdict::Violates {
            self.remedy = Some(text());
        }
        self
    }
}
