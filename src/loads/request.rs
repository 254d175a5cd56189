//! Pours that may share loads, as they are sent.
//!
//! Invariants: unknown fields are refused; quantities carry their unit; nothing here has a default.
//! Absent: what a value means (`read`).

use crate::job::TimeOfDay;
use crate::job::{BookRequest, Day, sent};
use crate::quantity::money::UnitPrice;
use crate::quantity::{Faults, Span, System, Volume};

sent! {
    /// Pours that may share loads of ready-mix. Every default used is listed under `assumptions`.
    LoadPlanRequest {
        required {
            /// Two to thirty pours.
            pours: Vec<LoadPourRequest>,
        }
        optional {
            /// Name of the plan, carried through; one line of at most 80 characters.
            name: String,
            /// Units of the answer.
            units: System,
            /// What the plant's trucks carry; the plant's terms in the book where left out.
            trucks: Vec<Volume>,
            /// What a small load costs extra, by size; an empty list where nothing is charged.
            short_load: Vec<ShortLoadRequest>,
            /// For each load, whatever its size: truck, trip, environment.
            per_load: UnitPrice,
            /// For each stop of a load after its first.
            extra_stop: UnitPrice,
            /// For one yd3 of any mix; by mix from the book where left out.
            price: UnitPrice,
            /// Time on site that is free, and what more costs.
            waiting: WaitingRequest,
            /// From batching to the end of discharge, at most.
            limit: Span,
            /// From batching until the truck leaves the plant.
            loading: Span,
            /// Pours that one load may serve, at most; 1 to 4.
            most_stops: u32,
            /// Minutes on the road.
            travel: TravelRequest,
            /// Which price book, at which revision and date.
            book: BookRequest,
        }
    }

    /// One pour.
    LoadPourRequest {
        required {
            /// What it is called in the answer; every pour has another name.
            name: String,
            /// What must be there, waste included.
            volume: Volume,
            /// A word for the place: pours of one area are near each other. Not `plant`.
            area: String,
            /// When the first concrete may arrive.
            arrive: ArrivalRequest,
            /// From the first concrete out of the truck to the last.
            placing: Span,
            /// Item code of the mix, or any word where `price` is given; loads hold one mix.
            mix: String,
        }
        optional {}
    }

    /// When the first concrete may arrive, both ends included.
    ArrivalRequest {
        required {
            /// The day.
            day: Day,
            /// Not before.
            from: TimeOfDay,
            /// Not after.
            to: TimeOfDay,
        }
        optional {}
    }

    /// What a load costs extra that stays below a size; give one of `fee` and `each_missing_yd3`.
    ShortLoadRequest {
        required {
            /// Loads below this pay it, unless a smaller step holds.
            below: Volume,
        }
        optional {
            /// For the load.
            fee: UnitPrice,
            /// For each yd3 that is missing to `below`.
            each_missing_yd3: UnitPrice,
        }
    }

    /// Time on site that is free, and what more costs.
    WaitingRequest {
        required {}
        optional {
            /// Free for each yd3 of the load.
            free_a_yd3: Span,
            /// For each minute beyond.
            price_a_minute: UnitPrice,
        }
    }

    /// Time on the road.
    TravelRequest {
        required {}
        optional {
            /// From the plant to an area that the table does not name.
            to_area: Span,
            /// Between two areas that the table does not name.
            between_areas: Span,
            /// Between two pours of one area that the table does not name.
            within_area: Span,
            /// Trips that are known; each holds both ways unless the way back stands too.
            table: Vec<TripRequest>,
        }
    }

    /// One trip.
    TripRequest {
        required {
            /// `plant`, or an area.
            from: String,
            /// An area.
            to: String,
            /// On the road.
            time: Span,
        }
        optional {}
    }
}

impl LoadPlanRequest {
    /// Pours, and nothing else said.
    pub const fn of(pours: Vec<LoadPourRequest>) -> Self {
        Self {
            pours,
            name: None,
            units: None,
            trucks: None,
            short_load: None,
            per_load: None,
            extra_stop: None,
            price: None,
            waiting: None,
            limit: None,
            loading: None,
            most_stops: None,
            travel: None,
            book: None,
        }
    }
}
