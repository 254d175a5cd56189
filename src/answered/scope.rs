//! What an answer says of the work itself: findings, days, needs of others, assumptions, the job.
//!
//! Invariant: all of it may be left out; a document then says less, or asks for it. Absent: money.

use super::{AnsweredHourTotals, AnsweredQuantity};
use crate::job::Day;
use crate::quantity::money::Amount;
use crate::quantity::{Citation, Faults, Span};

answered! {
    /// The first things of an answer.
    AnsweredHeadline {
        required {}
        optional {
            /// Inputs that nobody measured.
            unknowns: Vec<AnsweredUnknown>,
            /// How long it takes.
            visits: AnsweredVisits,
        }
    }

    /// An input that nobody measured.
    AnsweredUnknown {
        required {
            /// JSON Pointer into the job.
            pointer: String,
            /// Its value, with its unit.
            value: String,
        }
        optional {
            /// How it is known.
            basis: String,
        }
    }

    /// How long it takes.
    AnsweredVisits {
        required {
            /// Visits.
            count: u32,
            /// Days from the first visit to the last.
            calendar_days: u32,
        }
        optional {
            /// Days on which nobody can use the entrance.
            days_entrance_closed: u32,
        }
    }

    /// The ramp, judged.
    AnsweredCheck {
        required {
            /// One a rule and place.
            findings: Vec<AnsweredFinding>,
        }
        optional {
            /// `complies`, `does_not_comply` or `undetermined`.
            verdict: String,
        }
    }

    /// One finding.
    AnsweredFinding {
        required {
            /// The rule.
            rule: String,
            /// JSON Pointer into the job.
            subject: String,
            /// `meets`, `at_limit`, `violates`, `undetermined` or `not_applicable`.
            verdict: String,
            /// `required` or `advisory`.
            force: String,
            /// Where the limit comes from.
            source: Citation,
        }
        optional {
            /// What there is.
            measured: AnsweredQuantity,
            /// What may be.
            limit: AnsweredQuantity,
            /// Room, below nothing where there is none.
            margin: AnsweredQuantity,
        }
    }

    /// What others bring or do.
    AnsweredNeed {
        required {
            /// What.
            what: String,
            /// `before` or `after` a visit.
            when: String,
            /// The visit.
            visit: u32,
        }
        optional {
            /// Its date.
            date: Day,
        }
    }

    /// Who works when.
    AnsweredHours {
        required {}
        optional {
            /// The visits.
            visits: Vec<AnsweredVisit>,
            /// The tasks.
            tasks: Vec<AnsweredTask>,
            /// What must be given first.
            holds: Vec<AnsweredHold>,
            /// Sums over all visits.
            totals: AnsweredHourTotals,
            /// Days from the first visit to the last.
            calendar_days: u32,
        }
    }

    /// One visit.
    AnsweredVisit {
        required {
            /// Its number.
            visit: u32,
            /// Its day.
            day: u32,
            /// What is done.
            description: String,
        }
        optional {
            /// Its date.
            date: Day,
            /// Hours of work.
            task_hours: Span,
            /// Hours paid, all people.
            paid_hours: Span,
        }
    }

    /// One task.
    AnsweredTask {
        required {
            /// Its code.
            code: String,
            /// How much of it.
            quantity: AnsweredQuantity,
        }
        optional {
            /// The visit that does it.
            visit: u32,
            /// Hours of work.
            hours: Span,
        }
    }

    /// What must be given before a task.
    AnsweredHold {
        required {
            /// Its code.
            code: String,
            /// What.
            what: String,
        }
        optional {
            /// Who gives it.
            from: String,
            /// When it is needed.
            needed_by: AnsweredHoldDay,
        }
    }

    /// When something is needed.
    AnsweredHoldDay {
        required {
            /// Number of the day.
            day: i64,
        }
        optional {
            /// Its date.
            date: Day,
        }
    }

    /// A rate for what comes on top of the price.
    AnsweredExtra {
        required {
            /// Its code.
            code: String,
            /// What is charged.
            what: String,
            /// For how much of it.
            unit: String,
        }
        optional {
            /// What it is charged.
            charged: Amount,
        }
    }

    /// Where a price came from.
    AnsweredPricedFrom {
        required {
            /// The day from which it holds.
            effective: Day,
        }
        optional {}
    }
}
