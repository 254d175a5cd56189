//! Ages and the weather's limits against the documents they were taken from.

use super::{days, degf, hours, near};
use crossfall::job::Cement;
use crossfall::quantity::{Length, Span, Stress, Temperature};
use crossfall::setting::{
    Load, SettingRows, Warmth, cure_least, first_freeze_age, is_cold, is_too_hot,
    measure_strip_age, member, mixed_least, protection, rail_age, seal_age,
};

fn psi(psi: f64) -> Stress {
    Stress::from_psi(psi)
}

fn strip(temperatures: &[Temperature]) -> Option<f64> {
    let step = hours(1.0);
    measure_strip_age(Warmth { temperatures, step }).map(Span::hours)
}

/// A municipal specification that follows ACI 301, second hand: 24 h together at 50 degF or more.
#[test]
fn forms_come_off_after_24_warm_hours_together() {
    assert_eq!(strip(&[degf(50.0); 24]), Some(24.0));
    assert_eq!(strip(&[degf(50.0); 23]), None);
    assert_eq!(strip(&[degf(49.9); 100]), None);
    let night: Vec<Temperature> = (0..48)
        .map(|hour| degf(if hour % 24 < 12 { 60.0 } else { 40.0 }))
        .collect();
    assert_eq!(strip(&night), Some(36.0));
    let long = [degf(60.0); 3];
    let step = hours(10.0);
    let age = measure_strip_age(Warmth {
        temperatures: &long,
        step,
    });
    near(age.expect("warm enough").hours(), 24.0, 1e-9);
}

/// Common practice, no source: on foot at 24 to 48 h, cars at 7 d, fully at 28 d.
#[test]
fn traffic_waits_as_the_trade_does() {
    let rows = &SettingRows::built_in().traffic;
    assert_eq!(
        (rows.foot.least, rows.foot.most),
        (hours(24.0), hours(48.0))
    );
    assert_eq!((rows.cars.least, rows.cars.most), (days(7.0), days(7.0)));
    assert_eq!((rows.full.least, rows.full.most), (days(28.0), days(28.0)));
}

/// Product presentation and trade article, second hand: clean and dry 24 to 48 h after rain or washing.
#[test]
fn sealer_waits_for_its_age_and_for_a_dry_surface() {
    assert_eq!(
        SettingRows::built_in().dry_before_sealing.least,
        hours(24.0)
    );
    assert_eq!(seal_age(days(14.0), days(7.0)), days(14.0));
    assert_eq!(seal_age(days(14.0), days(13.5)), days(15.5));
}

/// Common practice, no source: 28 days, or 2,500 psi. By ACI 209R 2,500 of 4,500 psi stand after
/// 4 * 0.5556 / (1 - 0.85 * 0.5556) = 4.2105 days.
#[test]
fn rails_wait_for_strength() {
    near(rail_age(psi(4_500.0), Cement::Usual).days(), 4.2105, 0.0001);
    near(rail_age(psi(2_000.0), Cement::Usual).days(), 28.0, 1e-9);
    near(
        rail_age(psi(2_500.0), Cement::Usual).days(),
        4.0 / 0.15,
        1e-6,
    );
}

/// UFGS-02753, second hand: 7 days; Type III a quarter of it, and 72 h at the least.
#[test]
fn curing_lasts_a_week() {
    assert_eq!(cure_least(Cement::Usual), days(7.0));
    assert_eq!(cure_least(Cement::HighEarly), hours(72.0));
    assert_eq!(SettingRows::built_in().cure.high_early.share, 0.25);
}

/// PCA, Design and Control of Concrete Mixtures, chapter 14, second hand: 500 psi, about 24 h at normal
/// temperature. At 10 degC an hour counts 0.5475 h (ASTM C1074, from memory): 43.8 h.
#[test]
fn the_first_freeze_waits_a_day_of_normal_weather() {
    let age = |at: f64, count: usize| {
        let temperatures = vec![Temperature::from_celsius(at); count];
        let step = hours(1.0);
        let concrete = Warmth {
            temperatures: &temperatures,
            step,
        };
        first_freeze_age(psi(4_000.0), Cement::Usual, concrete).map(Span::hours)
    };
    near(age(20.0, 24).expect("a day"), 24.0, 1e-6);
    near(age(10.0, 72).expect("warm"), 43.83, 0.02);
    assert_eq!(age(20.0, 23), None);
    assert_eq!(age(-5.0, 1_000), None);
    let temperatures = [Temperature::from_celsius(20.0); 72];
    let concrete = Warmth {
        temperatures: &temperatures,
        step: hours(1.0),
    };
    // 500 of 1,500 psi by ACI 209R: 4 / 3 / (1 - 0.85 / 3) days.
    let weak = first_freeze_age(psi(1_500.0), Cement::Usual, concrete).expect("warm");
    near(weak.days(), 4.0 / 3.0 / (1.0 - 0.85 / 3.0), 1e-6);
    near(
        SettingRows::built_in().many_freezes.strength.psi(),
        3_500.0,
        1e-6,
    );
}

/// ACI 306R Table 5.1, from memory: least dimension in inches, placed at degF, fall in 24 h.
#[test]
fn placing_temperatures_fall_with_size() {
    let wanted = [
        (4.0, 55.0, 50.0),
        (11.99, 55.0, 50.0),
        (12.0, 50.0, 40.0),
        (35.9, 50.0, 40.0),
        (36.0, 45.0, 30.0),
        (72.0, 40.0, 20.0),
        (100.0, 40.0, 20.0),
    ];
    for (size, placed, fall) in wanted {
        let row = member(Length::from_inches(size)).expect("the last row takes all");
        near(row.placed.fahrenheit(), placed, 1e-9);
        near(row.fall_degf, fall, 1e-9);
    }
}

/// ACI 306R Table 5.1, from memory: as mixed, members below 12 in. Published as above 30, 0 to 30, below 0.
#[test]
fn colder_air_wants_a_warmer_mix() {
    for (air, wanted) in [
        (31.0, 60.0),
        (30.0, 65.0),
        (1.0, 65.0),
        (0.0, 70.0),
        (-10.0, 70.0),
    ] {
        let row = mixed_least(degf(air)).expect("the last row takes all");
        near(row.concrete.fahrenheit(), wanted, 1e-9);
    }
}

/// ACI 306R Table 7.1, from memory: days, and days with an accelerated mix.
#[test]
fn protection_lasts_its_days() {
    for (load, usual, accelerated) in [
        (Load::None, 2.0, 1.0),
        (Load::NoneExposed, 3.0, 2.0),
        (Load::PartExposed, 6.0, 4.0),
    ] {
        let row = protection(load);
        assert_eq!(
            (row.usual, row.accelerated),
            (days(usual), days(accelerated))
        );
    }
}

/// ACI 306R-10, second hand: cold below 40 degF. ACI 305.1, from memory: placed at 95 degF at the most.
/// ACI 306R, from memory: ground at 35 degF at the least.
#[test]
fn weather_is_cold_below_forty_and_concrete_too_hot_above_ninety_five() {
    assert!(is_cold(degf(39.9)) && !is_cold(degf(40.0)));
    assert!(is_too_hot(degf(95.1)) && !is_too_hot(degf(95.0)));
    near(
        SettingRows::built_in().subgrade.least.fahrenheit(),
        35.0,
        1e-9,
    );
}
