//! Areas, and the minutes on the road between them and from the plant.
//!
//! Invariants: areas are compared without case and outer spaces; a trip that the table names holds
//! both ways unless the way back is named too; a default that is used is an assumption. Absent: maps.

use super::asked::Travel;
use super::read::{Reader, TRAVEL, show_minutes};
use super::request::{LoadPlanRequest, TravelRequest, TripRequest};
use crate::quantity::{Fault, Span, is_line};
use std::collections::BTreeMap;

/// What a trip from the plant names.
const PLANT: &str = "plant";

/// Areas by their plain name.
pub(super) type Areas = BTreeMap<String, usize>;

/// A word for a place as it is compared.
pub(super) fn plain(area: &str) -> String {
    area.trim().to_lowercase()
}

/// The areas of the pours, by name.
pub(super) fn find_areas(sent: &LoadPlanRequest) -> Areas {
    let mut areas: Areas = sent
        .pours
        .iter()
        .map(|pour| (plain(&pour.area), 0))
        .collect();
    for (number, index) in areas.values_mut().enumerate() {
        *index = number;
    }
    areas
}

/// Why a word names no area; none where it does.
pub(super) fn refuse_area(area: &str, pointer: String) -> Option<Fault> {
    let named = plain(area);
    let wrong = named.is_empty() || named == PLANT || !is_line(area, 80);
    let accepted = "a word for the place, of 1 to 80 characters, other than plant";
    wrong.then(|| {
        Fault::new(
            pointer,
            format!("\"{area}\""),
            accepted,
            Some("Mill Street"),
        )
    })
}

/// Trips by where they begin, none for the plant, and where they end.
type Trips = BTreeMap<(Option<usize>, usize), u32>;

/// The whole table, defaults filled in.
pub(super) fn read_travel(reader: &mut Reader<'_>, areas: &Areas) -> Travel {
    let sent = reader.sent.travel.clone().unwrap_or_default();
    let trips = read_trips(reader, &sent, areas);
    let defaults = Defaults::of(reader, &sent);
    let mut used = [false; 3];
    let mut time = |from: Option<usize>, to: usize| {
        let back = from.and_then(|from| trips.get(&(Some(to), from)));
        if let Some(known) = trips.get(&(from, to)).or(back) {
            return *known;
        }
        let kind = match from {
            None => 0,
            Some(from) => 1 + usize::from(from == to),
        };
        used[kind] = true;
        defaults.minutes[kind]
    };
    let out = (0..areas.len()).map(|to| time(None, to)).collect();
    let rows = 0..areas.len();
    let between = rows
        .map(|from| (0..areas.len()).map(|to| time(Some(from), to)).collect())
        .collect();
    defaults.assume(reader, used);
    Travel { out, between }
}

fn read_trips(reader: &mut Reader<'_>, sent: &TravelRequest, areas: &Areas) -> Trips {
    let mut trips = Trips::new();
    for (number, trip) in sent.table.iter().flatten().enumerate() {
        let at = format!("/travel/table/{number}");
        let minutes = reader.minutes(&format!("{at}/time"), trip.time, &TRAVEL);
        let Some(ends) = find_ends(reader, trip, (&at, areas)) else {
            continue;
        };
        if trips.insert(ends, minutes).is_some() {
            let found = format!("{} to {} again", trip.from, trip.to);
            reader.fault(Fault::new(at, found, "each trip once", None));
        }
    }
    trips
}

fn find_ends(
    reader: &mut Reader<'_>,
    trip: &TripRequest,
    (at, areas): (&str, &Areas),
) -> Option<(Option<usize>, usize)> {
    let names: Vec<&str> = areas.keys().map(String::as_str).collect();
    let mut find = |name: &str, field: &str, or: &str| {
        let found = areas.get(&plain(name)).copied();
        if found.is_none() {
            let accepted = format!("{or}an area of a pour: {}", names.join(", "));
            let example = names.first().copied();
            let found = format!("\"{name}\"");
            reader.fault(Fault::new(
                format!("{at}/{field}"),
                found,
                accepted,
                example,
            ));
        }
        found
    };
    let from = match plain(&trip.from) == PLANT {
        true => Some(None),
        false => find(&trip.from, "from", "plant, or ").map(Some),
    };
    let to = find(&trip.to, "to", "");
    from.zip(to)
}

/// What is taken where the table says nothing.
struct Defaults {
    minutes: [u32; 3],
    assumed: [Option<Span>; 3],
}

const FIELDS: [&str; 3] = ["to_area", "between_areas", "within_area"];

impl Defaults {
    fn of(reader: &mut Reader<'_>, sent: &TravelRequest) -> Self {
        let row = &reader.rows.sharing;
        let known = [row.to_area, row.between_areas, row.within_area];
        let stated = [sent.to_area, sent.between_areas, sent.within_area];
        let (mut minutes, mut assumed) = ([0; 3], [None; 3]);
        for kind in 0..3 {
            let taken = stated[kind].unwrap_or(known[kind]);
            let at = format!("/travel/{}", FIELDS[kind]);
            minutes[kind] = reader.minutes(&at, taken, &TRAVEL);
            assumed[kind] = stated[kind].is_none().then_some(taken);
        }
        Self { minutes, assumed }
    }

    fn assume(&self, reader: &mut Reader<'_>, used: [bool; 3]) {
        let source = reader.rows.sharing.source.clone();
        for kind in (0..3).filter(|kind| used[*kind]) {
            if let Some(taken) = self.assumed[kind] {
                let at = format!("/travel/{}", FIELDS[kind]);
                reader.assume(&at, show_minutes(taken), &source);
            }
        }
    }
}
