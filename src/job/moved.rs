//! Moving one input of a job as sent, to see what it is worth.
//!
//! Invariant: only inputs that have a usual range in their row can be moved; all others say no.

use super::or_none::OrNone;
use super::sent::{JobRequest, PathRequest};
use crate::quantity::{Length, Quantity, parse_quantity};

impl PathRequest {
    /// The length that was sent in a field of this piece.
    pub fn length_of(&self, field: &str) -> Option<Length> {
        match (self, field) {
            (Self::Run { rise, .. }, "rise") => *rise,
            (Self::Run { length, .. } | Self::Landing { length, .. }, "length") => *length,
            _ => None,
        }
    }

    /// Moves a length of this piece; false where it has no such field.
    pub fn set_length(&mut self, field: &str, value: Option<Length>) -> bool {
        let place = match (self, field) {
            (Self::Run { rise, .. }, "rise") => rise,
            (Self::Run { length, .. } | Self::Landing { length, .. }, "length") => length,
            (
                Self::Landing {
                    door: Some(door), ..
                },
                "door/threshold",
            ) => &mut door.threshold,
            _ => return false,
        };
        *place = value;
        value.is_some()
    }
}

/// The section to write into, unless it was refused with `none`.
fn section<T: Default>(place: &mut Option<OrNone<T>>) -> Option<&mut T> {
    match place.get_or_insert_with(|| OrNone::Some(T::default())) {
        OrNone::None => None,
        OrNone::Some(section) => Some(section),
    }
}

fn put<Q: Quantity>(place: Option<&mut Option<Q>>, text: &str) -> bool {
    match (place, parse_quantity(text)) {
        (Some(place), Ok(value)) => {
            *place = Some(value);
            true
        }
        _ => false,
    }
}

impl JobRequest {
    /// Moves a field outside the path; false where it cannot be moved.
    pub fn set_field(&mut self, pointer: &str, text: &str) -> bool {
        let reinforcement = &mut self.reinforcement;
        match pointer {
            "/ramp/width" => put(Some(&mut self.ramp.width), text),
            "/ramp/cross_slope" => put(Some(&mut self.ramp.cross_slope), text),
            "/ramp/curb/width" => put(section(&mut self.ramp.curb).map(|s| &mut s.width), text),
            "/ramp/curb/height" => put(section(&mut self.ramp.curb).map(|s| &mut s.height), text),
            "/slab/thickness" => put(Some(&mut self.slab.get_or_insert_default().thickness), text),
            "/base/depth" => put(section(&mut self.base).map(|s| &mut s.depth), text),
            "/base/beyond_edge" => put(section(&mut self.base).map(|s| &mut s.beyond_edge), text),
            "/insulation/thickness" => put(
                section(&mut self.insulation).map(|s| &mut s.thickness),
                text,
            ),
            "/reinforcement/spacing_along" => {
                put(section(reinforcement).map(|s| &mut s.spacing_along), text)
            }
            "/reinforcement/spacing_across" => {
                put(section(reinforcement).map(|s| &mut s.spacing_across), text)
            }
            "/joints/spacing" => put(Some(&mut self.joints.get_or_insert_default().spacing), text),
            "/curing/coverage" => put(
                Some(&mut self.curing.get_or_insert_default().coverage),
                text,
            ),
            "/sealer/coverage" => put(section(&mut self.sealer).map(|s| &mut s.coverage), text),
            "/forms/screw_spacing" => put(
                Some(&mut self.forms.get_or_insert_default().screw_spacing),
                text,
            ),
            "/crew/travel" => put(Some(&mut self.crew.get_or_insert_default().travel), text),
            "/crew/pour_presence" => put(
                Some(&mut self.crew.get_or_insert_default().pour_presence),
                text,
            ),
            _ => false,
        }
    }
}
