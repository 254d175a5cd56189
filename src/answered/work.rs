//! What an answer says beside its price: the verdict, concrete, bars, hours.
//!
//! Invariants: figures come as they were printed; a section that was not sent back is none. Absent:
//! sums of money, which are checked.

use super::AnsweredQuantity;
use crate::quantity::{Faults, Mass, Span, Volume};

answered! {
    /// What the rules say.
    AnsweredCheck {
        required {
            /// `complies`, `does_not_comply` or `undetermined`.
            verdict: String,
        }
        optional {}
    }

    /// What to order.
    AnsweredTakeoff {
        required {
            /// Concrete placed with the ramp.
            concrete: AnsweredConcrete,
        }
        optional {
            /// Concrete placed before it.
            concrete_before: Vec<AnsweredConcrete>,
            /// Bars by mark.
            bars: Vec<AnsweredBar>,
        }
    }

    /// Concrete of one pour.
    AnsweredConcrete {
        required {
            /// In the forms.
            net: Volume,
            /// To order.
            order: Volume,
        }
        optional {}
    }

    /// Bars of one mark.
    AnsweredBar {
        required {
            /// Weight of all.
            weight: Mass,
        }
        optional {}
    }

    /// Who works how long.
    AnsweredHours {
        required {
            /// Sums.
            totals: AnsweredHourTotals,
        }
        optional {
            /// Each task.
            tasks: Vec<AnsweredTask>,
            /// Each visit.
            visits: Vec<AnsweredVisit>,
            /// Days from the first visit to the last.
            calendar_days: u32,
        }
    }

    /// Sums over all visits.
    AnsweredHourTotals {
        required {
            /// Hours of work.
            task_hours: Span,
            /// Paid.
            paid_hours: Span,
        }
        optional {}
    }

    /// One task.
    AnsweredTask {
        required {
            /// The visit that does it, from 1.
            visit: u32,
            /// Task code.
            code: String,
            /// Task hours.
            hours: Span,
        }
        optional {
            /// What it is.
            description: String,
            /// What is done.
            quantity: AnsweredQuantity,
        }
    }

    /// One visit.
    AnsweredVisit {
        required {
            /// From 1.
            visit: u32,
            /// Hours paid, all people.
            paid_hours: Span,
        }
        optional {
            /// What happens.
            description: String,
            /// Hours of work.
            task_hours: Span,
        }
    }
}
