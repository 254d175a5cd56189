//! Breaking out, digging and hauling, as they are sent.
//!
//! Absent: defaults and bounds.

use crate::job::choice::{By, Soil};
use crate::quantity::{Area, Faults, Length};

sent! {
    /// What is broken out and dug before anything is built.
    EarthworkRequest {
        required {}
        optional {
            /// Who does it.
            by: By,
            /// What is dug.
            soil: Soil,
            /// Existing concrete that is broken out.
            break_out: Vec<BreakOutRequest>,
            /// Depth dug under the stone of the ramp, its walks and pads; nothing where left out.
            depth: Length,
            /// Room dug beside what is formed in a trench, on each side.
            working_room: Length,
        }
    }

    /// Existing concrete that is broken out.
    BreakOutRequest {
        required {
            /// Its surface.
            area: Area,
            /// Its thickness.
            thickness: Length,
        }
        optional {
            /// Sawn along its edge beforehand.
            sawn: Length,
            /// What it is, in words.
            what: String,
        }
    }
}
