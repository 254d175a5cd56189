//! What an answer says of quantities: concrete, bars, sums of hours.
//!
//! Invariants: figures come as they were printed; a section that was not sent back is none. Absent:
//! sums of money, which are checked.

use crate::quantity::{Faults, Mass, Span, Volume};

answered! {
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
}
