//! Strength with age and maturity against published ratios and hand calculations.

use super::{days, degc, hours, near};
use crossfall::job::Cement;
use crossfall::quantity::{Span, Stress, Temperature};
use crossfall::setting::{
    Warmth, age_of_strength, measure_equivalent_age, measure_maturity, strength_at,
};

fn psi(psi: f64) -> Stress {
    Stress::from_psi(psi)
}

fn ratio(cement: Cement, age: f64) -> f64 {
    strength_at(psi(4_000.0), cement, days(age)) / psi(4_000.0)
}

/// ACI 209R, moist cured, Type I: t / (4 + 0.85 t), constants from memory, ratios by hand. 28 days give
/// 28 / 27.8, not 1.
#[test]
fn type_i_follows_aci_209() {
    let wanted = [
        (1.0, 0.206),
        (3.0, 0.458),
        (5.0, 0.606),
        (7.0, 0.704),
        (10.0, 0.800),
        (14.0, 0.881),
        (21.0, 0.961),
        (28.0, 1.007),
        (56.0, 1.085),
        (90.0, 1.118),
    ];
    for (age, wanted) in wanted {
        near(ratio(Cement::Usual, age), wanted, 0.0005);
    }
    near(ratio(Cement::Usual, 28.0), 28.0 / 27.8, 1e-12);
}

/// ACI 209R, moist cured, Type III: t / (2.3 + 0.92 t), constants from memory.
#[test]
fn type_iii_follows_aci_209() {
    near(ratio(Cement::HighEarly, 7.0), 7.0 / (2.3 + 6.44), 1e-12);
    near(ratio(Cement::HighEarly, 28.0), 28.0 / (2.3 + 25.76), 1e-12);
    for age in [1.0, 3.0, 7.0] {
        assert!(ratio(Cement::HighEarly, age) > ratio(Cement::Usual, age));
    }
}

/// A concrete textbook, second hand: strength at 28 days is 1.3 to 1.7 times that at 7, mostly below 1.5.
#[test]
fn a_week_is_most_of_the_way() {
    let ratio = ratio(Cement::Usual, 28.0) / ratio(Cement::Usual, 7.0);
    assert!((1.3..1.5).contains(&ratio), "{ratio}");
}

#[test]
fn an_age_reads_back_from_its_strength() {
    for cement in [Cement::Usual, Cement::HighEarly] {
        for age in [0.5, 1.0, 7.0, 28.0, 90.0] {
            let strength = strength_at(psi(4_500.0), cement, days(age));
            let back = age_of_strength(psi(4_500.0), cement, strength).expect("reached");
            near(back.days(), age, 1e-6);
        }
    }
    assert_eq!(
        age_of_strength(psi(4_000.0), Cement::Usual, psi(5_000.0)),
        None
    );
    assert_eq!(
        age_of_strength(Stress::ZERO, Cement::Usual, psi(500.0)),
        None
    );
    assert_eq!(
        strength_at(psi(4_000.0), Cement::Usual, days(-1.0)),
        Stress::ZERO
    );
}

fn warmth(temperatures: &[Temperature]) -> Warmth<'_> {
    Warmth {
        temperatures,
        step: hours(1.0),
    }
}

/// ASTM C1074 with the datum 0 degC of the recent text, second hand; the sum by hand.
#[test]
fn maturity_is_warmth_times_hours() {
    let series = [degc(20.0), degc(10.0), degc(-5.0), degc(15.0)];
    near(
        measure_maturity(warmth(&series)).celsius_hours(),
        45.0,
        1e-6,
    );
    assert_eq!(measure_maturity(warmth(&[])).celsius_hours(), 0.0);
}

/// ASTM C1074 with q of 5,000 K, from memory; exp(-5000 * (1/283.15 - 1/293.15)) = 0.5475 and
/// exp(-5000 * (1/303.15 - 1/293.15)) = 1.7553 by hand.
#[test]
fn equivalent_age_runs_with_the_warmth() {
    let age = |at: f64| measure_equivalent_age(warmth(&[degc(at); 10])).hours();
    near(age(20.0), 10.0, 1e-9);
    near(age(10.0), 5.475, 0.001);
    near(age(30.0), 17.553, 0.001);
    assert_eq!(age(0.0), 0.0);
    assert_eq!(age(-10.0), 0.0);
    assert_eq!(measure_equivalent_age(warmth(&[])), Span::ZERO);
}
