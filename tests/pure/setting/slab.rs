//! A young slab against the closed forms it must agree with, and its laws.

use super::{degf, hours, near};
use crossfall::quantity::{Length, Span, Temperature};
use crossfall::setting::{YoungSlab, measure_finishing};
use proptest::prelude::*;

fn slab(placed: f64, air: &[f64]) -> YoungSlab {
    let air: Vec<Temperature> = air.iter().map(|at| degf(*at)).collect();
    YoungSlab::of(Length::from_inches(5.0), degf(placed), (Span::ZERO, &air))
}

/// Newton's law of cooling: after 6 h all but 1/e of the difference is gone from a 5-in slab; of one twice as
/// thick after 12 h.
#[test]
fn it_goes_towards_the_air_by_the_law_of_cooling() {
    let air = [40.0; 48];
    let thin = slab(70.0, &air);
    near(thin.temperature(Span::ZERO).fahrenheit(), 70.0, 1e-9);
    near(
        thin.temperature(hours(6.0)).fahrenheit(),
        40.0 + 30.0 / std::f64::consts::E,
        1e-6,
    );
    let cold: Vec<Temperature> = air.iter().map(|at| degf(*at)).collect();
    let thick = YoungSlab::of(Length::from_inches(10.0), degf(70.0), (Span::ZERO, &cold));
    near(
        thick.temperature(hours(12.0)).fahrenheit(),
        40.0 + 30.0 / std::f64::consts::E,
        1e-6,
    );
}

/// In air as warm as the concrete, what is told of the field at that temperature holds.
#[test]
fn in_even_weather_it_sets_as_the_table_says() {
    for at in [40.0, 55.0, 70.0, 90.0] {
        let slab = slab(at, &[at; 72]);
        let edging = measure_finishing(degf(at)).expect("it sets").edging.opens;
        let reached = slab.reaches(hours(1.0)).expect("it gets there");
        near(reached.hours(), edging.hours(), 1e-9);
    }
}

#[test]
fn a_slab_that_freezes_does_not_set() {
    let slab = slab(35.0, &[-10.0; 72]);
    assert_eq!(slab.initial_set(), None);
    assert!(slab.reaches(hours(0.1)).is_some());
}

/// Placed at half past the hour, the first hour counts for its rest.
#[test]
fn an_hour_begun_counts_for_its_rest() {
    let air = [degf(50.0), degf(90.0), degf(90.0)];
    let thick = Length::from_inches(5.0);
    let from = |minutes| YoungSlab::of(thick, degf(70.0), (Span::from_minutes(minutes), &air));
    assert!(from(30.0).temperature(hours(1.0)) > from(0.0).temperature(hours(1.0)));
    assert!(from(45.0).temperature(hours(0.25)) == from(0.0).temperature(hours(0.25)));
}

proptest! {
    #![proptest_config(crate::config())]

    /// Warmer air never sets it later, and it never leaves the range of what it was and what the air was.
    #[test]
    fn warmth_never_delays(
        placed in 40.0..95.0_f64,
        air in prop::collection::vec(20.0..105.0_f64, 30),
        more in 0.0..15.0_f64,
    ) {
        let warmer: Vec<f64> = air.iter().map(|at| at + more).collect();
        let (here, there) = (slab(placed, &air), slab(placed, &warmer));
        for mild in [0.5, 1.0, 2.0, 4.0] {
            let (here, there) = (here.reaches(hours(mild)), there.reaches(hours(mild)));
            if let Some(here) = here {
                prop_assert!(there.is_some_and(|there| there <= here + Span::from_seconds(1e-3)));
            }
        }
        let least = air.iter().copied().fold(placed, f64::min);
        let most = air.iter().copied().fold(placed, f64::max);
        for hour in 0..30 {
            let at = here.temperature(hours(f64::from(hour))).fahrenheit();
            prop_assert!(at >= least - 1e-9 && at <= most + 1e-9);
        }
    }
}
