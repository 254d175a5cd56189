//! The ways in which one pour can be supplied by trucks of its own, and what is left to share.
//!
//! Invariants: the loads of a way deliver the pour's volume exactly and place it in its time exactly;
//! each empties within the limit; own loads come before what is shared, one as the last is empty, so
//! that no joint goes cold. Absent: what it costs.

use super::asked::{Asked, Pour};
use super::charge::most_steps;
use crate::job::DAY_MINUTES as DAY;
use crate::quantity::slack::compare;
use crate::quantity::{Compared, Volume, ceil, floor};

/// One way.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Way {
    /// Loads that serve no other pour, in their order.
    pub(super) own: Vec<OwnLoad>,
    /// What may come with other pours.
    pub(super) rest: Option<Rest>,
    /// The first minute in which the first concrete may arrive from a load of its own.
    pub(super) from: u32,
}

/// A load that serves no other pour.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct OwnLoad {
    pub(super) volume: Volume,
    /// Minutes after the first concrete.
    pub(super) after: u32,
    pub(super) placing: u32,
}

/// What may come with other pours.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Rest {
    pub(super) volume: Volume,
    /// Minutes of placing before it.
    pub(super) after: u32,
    pub(super) placing: u32,
    /// The first minute in which it may arrive.
    pub(super) from: u32,
    /// The last.
    pub(super) to: u32,
}

/// Every way, that with the largest trucks first, full trucks before even ones; none where the pour
/// cannot be reached in time.
pub(super) fn find_ways(pour: &Pour, asked: &Asked) -> Vec<Way> {
    let terms = asked.terms_of(pour);
    let mut ways = Vec::new();
    for truck in terms.trucks.iter().rev() {
        let steps = floor(*truck / terms.step).min(f64::from(most_steps(terms)));
        if steps < 1.0 {
            continue;
        }
        let filled = fill_trucks(pour.volume, terms.step * steps);
        ways.extend(Cut(pour, asked).by(&filled, true));
        if filled.len() > 1 {
            ways.extend(Cut(pour, asked).by(&fill_evenly(pour.volume, terms.step, steps), false));
        }
    }
    ways
}

/// Full trucks, then the rest.
fn fill_trucks(volume: Volume, truck: Volume) -> Vec<Volume> {
    let full = floor(volume / truck);
    let mut loads = vec![truck; full as usize];
    if compare(volume.cubic_metres(), (truck * full).cubic_metres()) == Compared::Above {
        loads.push(volume - truck * full);
    } else if let Some(last) = loads.last_mut() {
        *last = volume - truck * (full - 1.0);
    }
    loads
}

/// As few trucks, filled as evenly as the step allows, the fuller ones first.
fn fill_evenly(volume: Volume, step: Volume, most: f64) -> Vec<Volume> {
    let steps = ceil(volume / step);
    let trucks = ceil(steps / most);
    let each = libm::floor(steps / trucks);
    let fuller = steps - each * trucks;
    let size = |truck: u32| step * (each + f64::from(u8::from(f64::from(truck) < fuller)));
    let mut loads: Vec<Volume> = (1..trucks as u32).map(|truck| size(truck - 1)).collect();
    let before: Volume = loads.iter().sum();
    loads.push(volume - before);
    loads
}

struct Cut<'a>(&'a Pour, &'a Asked);

impl Cut<'_> {
    /// The way of these loads; the last is the rest where it may be shared.
    fn by(&self, loads: &[Volume], shared: bool) -> Option<Way> {
        let Self(pour, asked) = *self;
        let lead = asked.lead(pour);
        let from = pour.from.max(lead);
        let to = pour.to.min(DAY.checked_sub(pour.placing)?);
        let mut own = self.placed(loads);
        let late = |load: &OwnLoad| lead + load.placing > asked.haul.limit;
        if from > to || own.iter().any(late) {
            return None;
        }
        let rest = own.pop_if(|_| shared).map(|last| Rest {
            volume: last.volume,
            after: last.after,
            placing: last.placing,
            // Alone it waits for the truck to get there; shared, another pour may come first.
            from: last.after + if last.after > 0 { from } else { pour.from },
            to: last.after + to,
        });
        Some(Way { own, rest, from })
    }

    /// The loads with their minutes, by their share of the pour, in whole minutes.
    fn placed(&self, loads: &[Volume]) -> Vec<OwnLoad> {
        let Self(pour, _) = *self;
        let (mut delivered, mut after) = (Volume::ZERO, 0);
        let placed = loads.iter().map(|load| {
            delivered += *load;
            let share = (delivered / pour.volume).min(1.0);
            let end = ceil(f64::from(pour.placing) * share) as u32;
            let begun = std::mem::replace(&mut after, end);
            OwnLoad {
                volume: *load,
                after: begun,
                placing: end - begun,
            }
        });
        placed.collect()
    }
}
