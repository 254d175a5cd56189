//! Documents sent to destinations by name: signed, tried a few times, told as they were answered.
//!
//! Invariants: nothing is sent to an address that the operator has not set; a message keeps its id over
//! all attempts, so that whoever receives it can tell a repetition; nothing is kept. Absent: what a
//! document says, and who may send one.

mod answer;
mod attempt;
mod deliver;
mod destination;
mod fault;
mod message;
mod reach;
mod secret;
mod signature;

use destination::Destination;
use std::collections::BTreeMap;

pub use answer::{Answer, BODY_BYTES};
pub use deliver::{Attempt, Delivery, End, LASTS, Outcome};
pub use destination::{ATTEMPTS, ATTEMPTS_AT_MOST, DestinationSetting, WAIT};
pub use fault::Failure;
pub use message::{MEDIA_TYPES, Message};
pub use reach::is_public;

/// Most destinations that may be named.
const NAMES_AT_MOST: usize = 100;

/// Every destination that the operator has set.
#[derive(Debug, Default)]
pub struct Destinations(BTreeMap<String, Destination>);

impl Destinations {
    /// Those of the settings.
    ///
    /// # Errors
    /// Every one that cannot be, in words, without any address or secret.
    pub fn of(set: Vec<DestinationSetting>) -> Result<Self, Vec<String>> {
        let mut faults = Vec::new();
        if set.len() > NAMES_AT_MOST {
            faults.push(format!("more than {NAMES_AT_MOST} destinations are set"));
        }
        let mut by_name = BTreeMap::new();
        for setting in set {
            let name = setting.name.clone();
            if by_name.contains_key(&name) {
                faults.push(format!("destination \"{name}\" is set twice"));
                continue;
            }
            match Destination::of(setting) {
                Ok(destination) => {
                    by_name.insert(name, destination);
                }
                Err(fault) => faults.push(format!("destination \"{name}\": {fault}")),
            }
        }
        match faults.is_empty() {
            true => Ok(Self(by_name)),
            false => Err(faults),
        }
    }

    /// The names that a request may give.
    pub fn names(&self) -> impl Iterator<Item = &str> {
        self.0.keys().map(String::as_str)
    }

    /// The destination of a name.
    pub fn named(&self, name: &str) -> Option<&Destination> {
        self.0.get(name)
    }
}
