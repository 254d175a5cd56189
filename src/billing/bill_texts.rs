//! Texts of a bill that comes back, every one of them.
//!
//! Invariant: a bill that was altered on its way puts nothing into a ledger or into XML that its writer would not have
//! put there. Absent: sums.

use super::bill::Bill;
use crate::answered::check_number;
use crate::quantity::{Fault, Faults, may_stand, pointer_part};
use serde_json::Value;

impl Bill {
    /// Adds a fault for each text that cannot stand on a document.
    pub(super) fn check_texts(&self, at: &str, faults: &mut Faults) {
        check_number(&self.number, (&format!("{at}/number"), faults));
        // Through its JSON, so that no text is forgotten; a bill is always written.
        let whole = serde_json::to_value(self).unwrap_or_default();
        look_at(&whole, at, faults);
    }
}

fn look_at(value: &Value, at: &str, faults: &mut Faults) {
    match value {
        Value::String(text) => look_at_text(text, at, faults),
        Value::Array(items) => {
            for (index, item) in items.iter().enumerate() {
                look_at(item, &format!("{at}/{index}"), faults);
            }
        }
        Value::Object(fields) => {
            for (name, field) in fields {
                look_at(field, &format!("{at}/{}", pointer_part(name)), faults);
            }
        }
        Value::Null | Value::Bool(_) | Value::Number(_) => {}
    }
}

fn look_at_text(text: &str, at: &str, faults: &mut Faults) {
    if let Some(strange) = text.chars().find(|c| !may_stand(*c)) {
        let found = format!("the character U+{:04X}", u32::from(strange));
        let accepted = "one line without control characters; a bill is sent back as it came";
        faults.push(Fault::new(at, found, accepted, None));
    }
}
