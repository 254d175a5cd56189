//! A measured value with its uncertainty, weighed.
//!
//! Invariants: what the interval leaves open is undetermined; a field tolerance is told of a broken rule
//! and mends nothing.

use super::{Decided, FieldRow, Judge, Reading, Tolerances};
use crate::quantity::{Compared, Length, Slope, Verified};
use crate::rules::finding::{Finding, Measured, Verdict};
use crate::rules::row::Rule;

impl Judge<'_> {
    pub(super) fn weigh(&self, rule: &Rule, limit: Slope, reading: &Reading) -> Finding {
        let finding = self.weigh_against(rule, Measured::Slope(limit), reading);
        if finding.verdict != Verdict::Violates {
            return finding;
        }
        let Some((inside, row)) = in_field_tolerance(rule, &finding) else {
            return finding;
        };
        let side = if inside { "inside" } else { "outside" };
        let (points, document) = (row.points.percent(), &row.source.document);
        finding.note(format!(
            "violates, {side} the advisory field tolerance of {points} percentage points ({document})"
        ))
    }

    /// Weighed, and open where the interval holds the limit.
    pub(super) fn weigh_against(&self, rule: &Rule, limit: Measured, reading: &Reading) -> Finding {
        let by = self.bench.job.ramp.path[reading.piece].by();
        let against = (reading.measured, limit);
        let mut finding = self
            .bench
            .weigh_against(rule, &reading.subject, against)
            .by(by);
        let off = match finding.margin {
            Some(Measured::Length(margin)) => Measured::Length(margin.abs()),
            Some(margin) => Measured::Points(margin.number().abs()),
            None => return finding,
        };
        if off.compare(reading.trust) == Compared::Below {
            finding.verdict = Verdict::Undetermined;
            let system = self.bench.system();
            let [value, trust, limit] =
                [reading.measured, reading.trust, limit].map(|figure| figure.text(system));
            finding = finding.note(format!(
                "{value}, give or take {trust} (k = 2), against {limit}: the interval holds the limit"
            ));
            finding.remedy = Some("measure again, more finely or more often".to_owned());
        }
        finding
    }

    pub(super) fn decided(&self, rule: &Rule, finding: &Finding) -> Decided {
        let unread = rule.row.verified != Verified::Read;
        let violates = finding.verdict == Verdict::Violates;
        Decided {
            verdict: if unread {
                Verdict::Undetermined
            } else {
                finding.verdict
            },
            set: self.bench.set.id.clone(),
            limit: finding.limit,
            in_field_tolerance: in_field_tolerance(rule, finding)
                .filter(|_| violates)
                .map(|(inside, _)| inside),
        }
    }

    pub(super) fn less_rise(&self, (slope, limit): (Slope, Slope), over: Length) -> String {
        let less = self.bench.up((slope.abs() - limit) * over);
        let over = self.bench.tape(over);
        format!(
            "take {less} out of its rise over {over}, by grinding the high end or filling the low one"
        )
    }
}

/// Whether a value that is too steep lies inside the field tolerance of its measure.
fn in_field_tolerance(rule: &Rule, finding: &Finding) -> Option<(bool, &'static FieldRow)> {
    let row = Tolerances::built_in().field(rule.row.measures)?;
    let over = Slope::from_percent(-finding.margin?.number());
    Some((over.at_most(row.points), row))
}
