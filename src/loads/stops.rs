//! The stops of one truck with their times, and how long it may be held at each.
//!
//! Invariant: a stop that begins later by its spare breaks nothing, and by a minute more it does:
//! the limit, or the hours of a later stop; a wait further on takes up what was lost before it.
//! Absent: the choice of the order.

use super::asked::Asked;
use super::plan::{Breaks, Stop};
use crate::job::DAY_MINUTES as DAY;
use crate::quantity::Volume;

/// A pour, what it gets, the minute in which that begins, and how many minutes it takes.
type Begun = (usize, Volume, u32, u32);

pub(super) fn time_stops(asked: &Asked, begun: &[Begun], batched: u32) -> Vec<Stop> {
    let mut stops: Vec<Stop> = Vec::with_capacity(begun.len());
    for (pour, volume, starts, placing) in begun {
        let arrives = stops.last().map_or(*starts, |last: &Stop| {
            let (from, to) = (asked.pours[last.pour].area, asked.pours[*pour].area);
            last.ends + asked.travel.between[from][to]
        });
        stops.push(Stop {
            pour: *pour,
            volume: *volume,
            arrives,
            starts: *starts,
            ends: starts + placing,
            spare: 0,
            breaks: Breaks::Limit,
        });
    }
    hold_each(asked, &mut stops, batched);
    stops
}

fn hold_each(asked: &Asked, stops: &mut [Stop], batched: u32) {
    let end = stops.last().map_or(0, |last| last.ends);
    let mut least = (
        (batched + asked.haul.limit).saturating_sub(end),
        Breaks::Limit,
    );
    for number in (0..stops.len()).rev() {
        (stops[number].spare, stops[number].breaks) = least;
        let (to, stop) = (latest(asked, &stops[number]), &stops[number]);
        let hours = (to.saturating_sub(stop.starts), Breaks::Hours(number));
        if hours.0 < least.0 {
            least = hours;
        }
        least.0 += stop.starts - stop.arrives;
    }
}

/// The last minute in which this stop may begin: the pour's last hour, after what came before it.
fn latest(asked: &Asked, stop: &Stop) -> u32 {
    let pour = &asked.pours[stop.pour];
    // What is placed before a shared rest shifts its hours, as it did when the truck was timed.
    let before = pour.placing - (stop.ends - stop.starts);
    pour.to.min(DAY.saturating_sub(pour.placing)) + before
}
