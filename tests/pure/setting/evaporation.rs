//! Evaporation against the published example of the chart and points computed by hand.

use super::{degc, degf, near, us_surface};
use crossfall::job::Bleeding;
use crossfall::quantity::{Percent, Quantity, Speed, System, Verified};
use crossfall::setting::{
    EvaporationRate, SettingRows, Surface, evaporation_limit, measure_evaporation,
    measure_evaporation_by_pressure, measure_vapour_pressure, needs_precautions,
};

fn us(over: &Surface) -> f64 {
    measure_evaporation(System::Us, over).lb_ft2_h()
}

fn metric(over: &Surface) -> f64 {
    measure_evaporation(System::Metric, over).kg_m2_h()
}

/// Concrete International Q&A, "Estimating evaporation rates to prevent plastic shrinkage cracking": the
/// classic example of the chart, 0.24 lb/ft2/h (1.15 kg/m2/h); its inputs from memory.
#[test]
fn the_example_of_the_chart_comes_out_in_both_units() {
    let classic = us_surface(87.0, 80.0, 50.0, 12.0);
    near(us(&classic), 0.24, 0.005);
    near(us(&classic), 0.2435, 0.00005);
    let in_metric = Surface {
        concrete: degc(31.0),
        air: degc(27.0),
        humidity: Percent::from_percent(50.0),
        wind: Speed::from_kilometres_per_hour(19.0),
    };
    near(metric(&in_metric), 1.15, 0.005);
    near(metric(&in_metric), 1.152, 0.0005);
}

/// Computed from the two closed forms outside this program: concrete, air (degF), humidity (%), wind (mph),
/// lb/ft2/h, and kg/m2/h with the inputs converted exactly.
const POINTS: &[(f64, f64, f64, f64, f64, f64)] = &[
    (87.0, 80.0, 50.0, 12.0, 0.2435, 1.138),
    (70.0, 70.0, 50.0, 10.0, 0.1025, 0.481),
    (80.0, 80.0, 50.0, 10.0, 0.1431, 0.670),
    (70.0, 50.0, 50.0, 10.0, 0.1608, 0.753),
    (60.0, 40.0, 70.0, 10.0, 0.1040, 0.487),
];

#[test]
fn each_form_gives_its_own_points() {
    for (concrete, air, humidity, wind, in_us, in_metric) in POINTS {
        let over = us_surface(*concrete, *air, *humidity, *wind);
        near(us(&over), *in_us, 0.00005);
        near(metric(&over), *in_metric, 0.0005);
    }
}

/// The closed forms were fitted to one chart: they differ by up to about 5 % on the points above. The base
/// form (from memory) lies lower where it is cool, by 11 % at the most here, as computed outside this program
/// too: a band of plausibility, not a published one.
#[test]
fn the_forms_agree_as_far_as_they_are_said_to() {
    for (concrete, air, humidity, wind, ..) in POINTS {
        let over = us_surface(*concrete, *air, *humidity, *wind);
        let by_us = measure_evaporation(System::Us, &over).kg_m2_h();
        near(metric(&over) / by_us, 1.0, 0.05);
        let by_pressure = measure_evaporation_by_pressure(&over).kg_m2_h();
        near(by_pressure / by_us, 1.0, 0.12);
    }
}

/// 1 kg/m2 = 0.204816 lb/ft2, from 0.45359237 kg a pound and 0.09290304 m2 a square foot (NIST SP 811,
/// App. B.8, from memory).
#[test]
fn a_rate_is_the_same_in_both_units() {
    near(
        EvaporationRate::from_kg_m2_h(1.0).lb_ft2_h(),
        0.204816,
        5e-7,
    );
    near(
        EvaporationRate::from_lb_ft2_h(0.2).kg_m2_h(),
        0.976486,
        5e-7,
    );
}

/// A mile is 1.609344 km (NIST SP 811, App. B.8, from memory).
#[test]
fn a_wind_is_the_same_in_both_units() {
    near(
        Speed::from_miles_per_hour(10.0).kilometres_per_hour(),
        16.09344,
        1e-9,
    );
    near(
        Speed::from_kilometres_per_hour(16.09344).miles_per_hour(),
        10.0,
        1e-9,
    );
}

#[test]
fn dew_is_no_evaporation() {
    let dew = us_surface(50.0, 90.0, 90.0, 10.0);
    for system in [System::Us, System::Metric] {
        assert_eq!(measure_evaporation(system, &dew).kg_m2_h(), 0.0);
    }
    assert_eq!(measure_evaporation_by_pressure(&dew).kg_m2_h(), 0.0);
}

/// Colder than a form's own zero (0 degF, -18 degC) the air takes the water that it takes there.
#[test]
fn bitter_cold_still_dries_warm_concrete() {
    let bitter = us_surface(55.0, -30.0, 50.0, 10.0);
    assert_eq!(us(&bitter), us(&us_surface(55.0, 0.0, 50.0, 10.0)));
    near(us(&bitter), 55.0_f64.powf(2.5) * 5e-6, 1e-9);
    assert!(metric(&bitter) > 0.4);
}

#[test]
fn air_is_never_wetter_than_wet_nor_drier_than_dry() {
    for (beyond, bound) in [(140.0, 100.0), (-30.0, 0.0)] {
        let (beyond, bound) = (
            us_surface(90.0, 80.0, beyond, 10.0),
            us_surface(90.0, 80.0, bound, 10.0),
        );
        assert_eq!(us(&beyond), us(&bound));
        assert_eq!(metric(&beyond), metric(&bound));
        let by_pressure = measure_evaporation_by_pressure;
        assert_eq!(by_pressure(&beyond), by_pressure(&bound));
    }
}

/// Limits: 0.20 lb/ft2/h or 1.0 kg/m2/h (Concrete International Q&A), half of it for mixes that bleed
/// little (bulletins). The US limit is not the metric one converted: 0.20 is 0.976.
#[test]
fn precautions_begin_at_the_limit_of_the_system() {
    let at = |rate: f64, bleeding| {
        needs_precautions(System::Us, EvaporationRate::from_lb_ft2_h(rate), bleeding)
    };
    assert!(at(0.20, Bleeding::Usual) && !at(0.1999, Bleeding::Usual));
    assert!(at(0.10, Bleeding::Low) && !at(0.0999, Bleeding::Low));
    let at = |rate: f64, bleeding| {
        needs_precautions(
            System::Metric,
            EvaporationRate::from_kg_m2_h(rate),
            bleeding,
        )
    };
    assert!(at(1.0, Bleeding::Usual) && !at(0.999, Bleeding::Usual));
    assert!(at(0.5, Bleeding::Low) && !at(0.499, Bleeding::Low));
    let limit = evaporation_limit(Bleeding::Usual);
    assert_eq!(limit.source.verified, Verified::SecondHand);
}

/// Common practice, no source: a station's wind is lowered by 0.5 to 0.66; the larger is the safe one.
#[test]
fn wind_of_a_station_is_lowered() {
    let over = us_surface(80.0, 80.0, 50.0, 0.0);
    let lowered = over.with_station_wind(Speed::from_miles_per_hour(10.0));
    near(lowered.wind.miles_per_hour(), 6.6, 1e-9);
    assert!(us(&lowered) < us(&us_surface(80.0, 80.0, 50.0, 10.0)));
}

#[test]
fn each_form_names_itself() {
    let forms = &SettingRows::built_in().evaporation;
    assert!(forms.us.label.contains("lb/ft2/h"));
    assert!(forms.metric.label.contains("kg/m2/h"));
}

/// FAO Irrigation and Drainage Paper 56, Annex 2, Table 2.3 (kPa), from memory; and water boils at about
/// one atmosphere, 101.325 kPa, where the formula is off by some percent.
#[test]
fn vapour_pressure_is_that_of_the_tables() {
    let table = [
        (1.0, 0.657),
        (10.0, 1.228),
        (20.0, 2.338),
        (25.0, 3.168),
        (30.0, 4.243),
        (40.0, 7.376),
    ];
    for (at, wanted) in table {
        near(
            measure_vapour_pressure(degc(at)).si() / 1_000.0,
            wanted,
            0.0025,
        );
    }
    near(
        measure_vapour_pressure(degf(212.0)).si() / 101_325.0,
        1.0,
        0.03,
    );
}

/// The base form on the same points, kg/m2/h, computed outside this program from the row's constants and the
/// vapour pressures of FAO 56, both from memory.
#[test]
fn the_base_form_gives_its_points() {
    let wanted = [1.1705, 0.4806, 0.6710, 0.7255, 0.4529];
    for ((concrete, air, humidity, wind, ..), wanted) in POINTS.iter().zip(wanted) {
        let over = us_surface(*concrete, *air, *humidity, *wind);
        let rate = measure_evaporation_by_pressure(&over).kg_m2_h();
        near(rate, wanted, 0.00005);
    }
}
