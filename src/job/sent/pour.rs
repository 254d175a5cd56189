//! The pour to be planned, as it is sent.
//!
//! Invariant: not part of the expanded job, so that weather changes no other answer. Absent: what comes
//! of it, and where a forecast is fetched.

use crate::job::choice::{Bleeding, Cement, WindAt};
use crate::job::day::Day;
use crate::job::moment::Moment;
use crate::job::time_of_day::TimeOfDay;
use crate::quantity::{Faults, Percent, Span, Speed, Temperature};

sent! {
    /// The pour to be planned; read by the pour plan alone, and checked by all calls.
    PourRequest {
        required {}
        optional {
            /// Days to weigh, at most 31; every working day that the weather covers where left out.
            days: Vec<Day>,
            /// When the first truck comes; the best hour of the morning where left out.
            first_truck: TimeOfDay,
            /// Temperature of the concrete as it comes; with the air where left out.
            concrete: Temperature,
            /// How much water the mix brings up to its surface.
            bleeding: Bleeding,
            /// How quickly the cement hardens.
            cement: Cement,
            /// From batching at the plant to the forms.
            plant_travel: Span,
            /// Height at which the wind was measured.
            wind_at: WindAt,
            /// One row an hour, in the order of time, without gaps; at most 8784.
            weather: Vec<WeatherHourRequest>,
            /// Instead of `weather`: the name of a forecast whose address the operator has set.
            forecast: String,
        }
    }

    /// The weather of one hour.
    WeatherHourRequest {
        required {
            /// The hour, on the clock of the site: `2026-05-18T07:00`.
            at: Moment,
            /// Temperature of the air.
            air: Temperature,
            /// Relative humidity.
            humidity: Percent,
            /// Mean speed of the wind.
            wind: Speed,
        }
        optional {
            /// Chance of rain.
            rain: Percent,
        }
    }
}
