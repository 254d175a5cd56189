//! Whether each pour can be supplied at all, by a truck that serves nobody else.
//!
//! Invariant: what passes here has a way of its own, so that a plan always exists. Absent: its price.

use super::asked::{Asked, Pour};
use super::read::Reader;
use super::way::find_ways;
use crate::job::{DAY_MINUTES as DAY, TimeOfDay};
use crate::quantity::{Fault, ceil};

/// Adds a fault for every faultless pour that no truck reaches in time.
pub(super) fn check_reach(reader: &mut Reader<'_>, asked: &Asked) {
    if reader.is_faulty(|pointer| !pointer.starts_with("/pours/") && pointer != "/pours") {
        return;
    }
    for pour in &asked.pours {
        let own = format!("/pours/{}/", pour.place);
        let sound = !reader.is_faulty(|pointer| pointer.starts_with(&own));
        if sound && asked.terms.contains_key(&pour.mix) && find_ways(pour, asked).is_empty() {
            reader.fault(refuse(pour, asked));
        }
    }
}

fn refuse(pour: &Pour, asked: &Asked) -> Fault {
    let (lead, limit) = (asked.lead(pour), asked.haul.limit);
    let at = |field: &str| format!("/pours/{}/{field}", pour.place);
    if pour.to < lead {
        let first = TimeOfDay::from_minutes(lead).to_string();
        let found = TimeOfDay::from_minutes(pour.to).to_string();
        let accepted =
            format!("{first} or later: batched at 00:00, the truck is there {lead} min later");
        return Fault::new(at("arrive/to"), found, accepted, Some(&first));
    }
    if pour.from.max(lead) + pour.placing > DAY {
        let last = TimeOfDay::from_minutes(DAY.saturating_sub(pour.placing)).to_string();
        let found = TimeOfDay::from_minutes(pour.from).to_string();
        let accepted = format!("{last} or earlier, so that it is placed before midnight");
        return Fault::new(at("arrive/from"), found, accepted, Some(&last));
    }
    let left = limit.saturating_sub(lead);
    let found = format!("{} min, {lead} min after batching", pour.placing);
    let accepted = format!(
        "at most {left} min for each load, since a load is to be empty {limit} min after batching: \
         smaller trucks, more people, a nearer plant or another limit"
    );
    let truck = asked.terms_of(pour).trucks.first();
    let loads = truck.map_or(1.0, |truck| ceil(pour.volume / *truck));
    let example = format!("{} min", f64::from(left) * loads);
    let example = (left > 0).then_some(example.as_str());
    Fault::new(at("placing"), found, accepted, example)
}
