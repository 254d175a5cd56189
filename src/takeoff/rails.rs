//! Handrails of runs and of flights that are built, and the anchors of their posts.
//!
//! Invariants: a rail follows each run and each flight on every side that has one; what others set is told,
//! not anchored. Absent here: rails of existing work, guards, whether a rail is asked for.

use super::forms::count_holders;
use super::line::{Line, Net, Takeoff, pieces, steps};
use super::part::Given;
use super::words::{Words, number};
use crate::geometry::SurfaceKind;
use crate::job::{Handrails, Steps};
use crate::quantity::Length;

const OF: &str = "/ramp/handrails";

/// What rails stand along, on one side.
struct Railed {
    /// Along the surface of each run.
    runs: Vec<Length>,
    /// Along the nosings of each flight, and what the rail reaches below the lowest.
    flights: Vec<(Length, Length)>,
}

pub(super) fn take_off_rails(given: Given<'_>, takeoff: &mut Takeoff) {
    let (job, detail) = (given.job, given.detail);
    let Some(rails) = job.ramp.handrails.as_option() else {
        return;
    };
    let railed = Railed::of(given);
    if railed.runs.is_empty() && railed.flights.is_empty() {
        return;
    }
    let length = measure_rails(&railed.runs, rails) + railed.along_flights(rails);
    takeoff.add(Line {
        description: detail.name(|| "Handrail with extensions".to_owned()),
        quantity: Net::Length(length),
        order: steps(length.feet(), 1.0),
        order_unit: "ft",
        working: detail.say(|| explain(Words(job.units), (&railed, rails), length)),
        source: detail.practice(),
        ..Line::blank("handrail-ft", OF, rails.by)
    });
    if rails.by.is_ours() {
        takeoff.measures.handrail_length += length;
        takeoff.add(anchor_line(given, (&railed, rails)));
    }
}

/// Rail along each run and its level extensions past both ends, on each side that has one.
pub fn measure_rails(runs: &[Length], rails: &Handrails) -> Length {
    let extension = rails.extension.unwrap_or(Length::ZERO);
    let one_side: Length = runs.iter().map(|run| *run + extension * 2.0).sum();
    one_side * sides(rails)
}

/// Along the nosings of a flight, and what the rail reaches on at their pitch for the depth of a tread.
///
/// # Source
/// 2010 ADA Standards, 505.10.3: at the bottom of a flight the rail goes on at its slope for at least the
/// depth of a tread beyond the last nosing; 505.10.2: at the top level, as past a run.
pub fn measure_flight_rail(flight: &Steps) -> Option<(Length, Length)> {
    let (first, others) = flight.risers.split_first()?;
    let treads = flight.treads.get(..others.len()).unwrap_or(&flight.treads);
    let (run, rise): (Length, Length) = (treads.iter().sum(), others.iter().sum());
    let along =
        |run: Length, rise: Length| Length::from_metres(libm::hypot(run.metres(), rise.metres()));
    let tread = flight.treads.first().copied().unwrap_or(Length::ZERO);
    Some((along(run, rise), along(tread, *first)))
}

const fn sides(rails: &Handrails) -> f64 {
    if matches!(rails.both_sides, Some(false)) {
        1.0
    } else {
        2.0
    }
}

impl Railed {
    fn of(given: Given<'_>) -> Self {
        let runs = given.geometry.new_surfaces();
        let runs = runs.filter(|surface| surface.kind == SurfaceKind::Run);
        let flights = given.job.ramp.steps.iter();
        let built = flights.filter(|flight| flight.build.is_some());
        Self {
            runs: runs.map(|surface| surface.surface_length).collect(),
            flights: built.filter_map(measure_flight_rail).collect(),
        }
    }

    fn along_flights(&self, rails: &Handrails) -> Length {
        let extension = rails.extension.unwrap_or(Length::ZERO);
        let each = |(along, below): &(Length, Length)| *along + *below + extension;
        self.flights.iter().map(each).sum::<Length>() * sides(rails)
    }
}

/// Anchors of the posts: one at each end of a rail and between.
fn anchor_line(given: Given<'_>, (railed, rails): (&Railed, &Handrails)) -> Line {
    let row = &given.catalog.rails.post;
    let flights = railed.flights.iter().map(|(along, _)| along);
    let rails_along = railed.runs.iter().chain(flights);
    let of_one = |length: &Length| f64::from(count_holders(*length, row.spacing));
    let posts = rails_along.map(of_one).sum::<f64>() * sides(rails);
    let anchors = posts * row.anchors;
    Line {
        description: given.detail.name(|| row.name.clone()),
        quantity: Net::Count(anchors),
        order: pieces(anchors),
        working: given.detail.say(|| {
            format!(
                "posts at each end of a run or flight and every {} at most: {}, x {} anchors",
                Words(given.job.units).tape(row.spacing),
                number(posts, 0),
                number(row.anchors, 0)
            )
        }),
        source: given.detail.cite(&row.source),
        ..Line::blank(&row.code, OF, rails.by)
    }
}

fn explain(words: Words, (railed, rails): (&Railed, &Handrails), length: Length) -> String {
    let along: Length = railed.runs.iter().sum();
    let mut parts = Vec::new();
    if !railed.runs.is_empty() {
        parts.push(format!("{} of run", words.run(along)));
    }
    if !railed.flights.is_empty() {
        let along: Length = railed
            .flights
            .iter()
            .map(|(along, below)| *along + *below)
            .sum();
        parts.push(format!(
            "{} of steps with a tread below each flight",
            words.run(along)
        ));
    }
    let extensions = railed.runs.len() * 2 + railed.flights.len();
    parts.push(rails.extension.map_or_else(
        || "extensions not stated".to_owned(),
        |extension| format!("{extensions} extensions of {}", words.tape(extension)),
    ));
    let last = parts.pop().unwrap_or_default();
    format!(
        "{} and {last}, x {} sides = {}",
        parts.join(", "),
        number(sides(rails), 0),
        words.run(length)
    )
}
