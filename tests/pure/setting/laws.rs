//! Laws of the room, over any weather.

use super::{degc, degf, hours};
use crossfall::job::Cement;
use crossfall::job::Saw;
use crossfall::quantity::{Percent, Span, Speed, Stress, System, Temperature};
use crossfall::setting::{
    Surface, Warmth, age_of_strength, first_freeze_age, initial_set, measure_equivalent_age,
    measure_evaporation, measure_evaporation_by_pressure, measure_finishing, measure_maturity,
    measure_saw_window, measure_strip_age, measure_vapour_pressure, strength_at,
};
use proptest::prelude::*;

fn any_surface() -> impl Strategy<Value = Surface> {
    (-20.0..150.0, -60.0..150.0, 0.0..100.0, 0.0..80.0).prop_map(
        |(concrete, air, humidity, wind)| super::us_surface(concrete, air, humidity, wind),
    )
}

/// Numbers that no weather has.
fn any_number() -> impl Strategy<Value = f64> {
    prop_oneof![
        -1e12..1e12,
        -500.0..500.0,
        Just(0.0),
        Just(f64::NAN),
        Just(f64::MIN_POSITIVE),
    ]
}

fn rates(over: &Surface) -> [f64; 3] {
    [
        measure_evaporation(System::Us, over).lb_ft2_h(),
        measure_evaporation(System::Metric, over).kg_m2_h(),
        measure_evaporation_by_pressure(over).kg_m2_h(),
    ]
}

/// Fails where any form dries one surface more slowly than the other.
fn never_less(more: &Surface, over: &Surface) -> Result<(), TestCaseError> {
    for (more, less) in rates(more).into_iter().zip(rates(over)) {
        prop_assert!(more >= less * (1.0 - 1e-12), "{more} is less than {less}");
    }
    Ok(())
}

proptest! {
    #![proptest_config(crate::config())]

    #[test]
    fn more_wind_never_dries_less(over in any_surface(), more in 0.0..50.0) {
        let wind = Speed::from_miles_per_hour(over.wind.miles_per_hour() + more);
        never_less(&Surface { wind, ..over }, &over)?;
    }

    #[test]
    fn drier_air_never_dries_less(over in any_surface(), share in 0.0..1.0) {
        let humidity = over.humidity * share;
        never_less(&Surface { humidity, ..over }, &over)?;
    }

    #[test]
    fn hotter_concrete_never_dries_less(over in any_surface(), more in 0.0..60.0) {
        let concrete = degf(over.concrete.fahrenheit() + more);
        never_less(&Surface { concrete, ..over }, &over)?;
    }

    #[test]
    fn no_rate_is_nan_or_below_nothing(
        concrete in any_number(), air in any_number(), humidity in any_number(), wind in any_number()
    ) {
        let over = Surface {
            concrete: degc(concrete),
            air: degc(air),
            humidity: Percent::from_percent(humidity),
            wind: Speed::from_kilometres_per_hour(wind),
        };
        for rate in rates(&over) {
            prop_assert!(rate >= 0.0 && rate.is_finite(), "{rate} of {over:?}");
        }
        let pressure = measure_vapour_pressure(degc(air)).megapascals();
        prop_assert!(pressure >= 0.0 && pressure.is_finite());
    }

    #[test]
    fn hotter_concrete_never_sets_later(at in 0.0..130.0, more in 0.0..60.0) {
        let never = hours(1e6);
        let span = |at: f64| initial_set(degf(at)).latest().unwrap_or(never);
        prop_assert!(span(at + more).at_most(span(at)));
        prop_assert!(span(at) > Span::ZERO);
    }

    #[test]
    fn whatever_is_told_of_setting_is_a_number(at in any_number(), finished in 0.0..100.0) {
        if let Some(finishing) = measure_finishing(degf(at)) {
            for window in [finishing.edging, finishing.broom, finishing.risers] {
                prop_assert!(window.opens > Span::ZERO && window.closes >= window.opens);
            }
        }
        for saw in [Saw::EarlyEntry, Saw::Conventional] {
            if let Some(window) = measure_saw_window(saw, degf(at), hours(finished)) {
                prop_assert!(window.opens > hours(finished) && window.closes >= window.opens);
            }
        }
    }

    #[test]
    fn strength_never_falls_and_age_reads_back(at_28 in 500.0..10_000.0, age in 0.0..400.0, more in 0.0..400.0) {
        for cement in [Cement::Usual, Cement::HighEarly] {
            let strong = |age: f64| strength_at(Stress::from_psi(at_28), cement, super::days(age));
            prop_assert!(strong(age + more).at_least(strong(age)));
            let back = age_of_strength(Stress::from_psi(at_28), cement, strong(age));
            prop_assert!(back.is_some_and(|back| (back.days() - age).abs() < 1e-6 * (1.0 + age)));
        }
    }

    #[test]
    fn warmer_concrete_is_never_younger(series in proptest::collection::vec(-20.0..50.0, 0..80), more in 0.0..20.0) {
        let at = |more: f64| series.iter().map(|at| degc(at + more)).collect::<Vec<Temperature>>();
        let (cold, warm) = (at(0.0), at(more));
        let of = |temperatures| Warmth { temperatures, step: hours(1.0) };
        let (cold, warm) = (of(&cold), of(&warm));
        prop_assert!(measure_maturity(warm) >= measure_maturity(cold));
        prop_assert!(measure_equivalent_age(warm) >= measure_equivalent_age(cold));
        let soon = |warmth| measure_strip_age(warmth).unwrap_or(hours(1e6));
        prop_assert!(soon(warm).at_most(soon(cold)));
        let frost = |warmth| {
            first_freeze_age(Stress::from_psi(4_000.0), Cement::Usual, warmth).unwrap_or(hours(1e6))
        };
        prop_assert!(frost(warm).at_most(frost(cold)));
    }
}
