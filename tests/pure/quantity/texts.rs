//! Printing: what is printed reads back, prints the same again, and is what a person would write.

use super::{alike, close, for_every_quantity, quantity};
use crate::config;
use crossfall::quantity::{
    Density, Length, Mass, Percent, Quantity, Slope, Span, Stress, System, Temperature, Volume,
    pattern,
};
use proptest::prelude::*;
use proptest::test_runner::TestRunner;

#[test]
fn a_quantity_prints_as_it_would_be_written() {
    for (printed, wanted) in [
        (Length::from_inches(28.0).print(), "2 ft 4 in"),
        (Length::from_inches(181.375).print(), "15 ft 1 3/8 in"),
        (Length::from_feet(28.0).print(), "28 ft"),
        (Length::from_inches(0.5).print(), "1/2 in"),
        (Length::from_inches(-6.0625).print(), "-6 1/16 in"),
        (Length::ZERO.print(), "0 in"),
        ((-Length::ZERO).print(), "0 in"),
        (Length::from_millimetres(711.0).print(), "711 mm"),
        (Length::from_millimetres(12.7).print(), "1/2 in"),
        (Length::from_metres(2.5).print(), "2500 mm"),
        (Length::from_millimetres(0.1).print(), "0.1 mm"),
        (Length::from_inches(0.3).print(), "0.3 in"),
        (Slope::one_in(12.0).print(), "1:12"),
        ((-Slope::one_in(48.0)).print(), "-1:48"),
        (Slope::from_percent(8.33).print(), "8.33 %"),
        (Slope::from_percent(2.0).print(), "2 %"),
        (Slope::ZERO.print(), "0 %"),
        (Percent::from_percent(6.25).print(), "6.25 %"),
        (Volume::from_cubic_yards(4.5).print(), "4.5 yd3"),
        (Volume::from_cubic_metres(3.5).print(), "3.5 m3"),
        (Mass::from_pounds(80.0).print(), "80 lb"),
        (Span::from_hours(8.0).print(), "8 h"),
        (Span::from_days(14.0).print(), "14 d"),
        (Stress::from_psi(4500.0).print(), "4500 psi"),
        (Stress::from_megapascals(30.0).print(), "30 MPa"),
        (Temperature::from_fahrenheit(50.0).print(), "50 degF"),
        (Temperature::from_celsius(-11.0).print(), "-11 degC"),
        (Density::from_tons_per_yd3(1.4).print(), "1.4 ton/yd3"),
    ] {
        assert_eq!(printed, wanted);
    }
}

#[test]
fn what_is_printed_reads_back_and_prints_the_same() {
    for_every_quantity!(Q => {
        let outcome = TestRunner::new(config()).run(&quantity::<Q>(), |first| {
            let text = first.print();
            let again = Q::parse(&text);
            prop_assert!(again.is_ok(), "{}: {:?}", text, again);
            let again = again.unwrap_or_default();
            prop_assert!(alike(first, again), "{} is {}", text, first.si());
            prop_assert_eq!(again.print(), text);
            Ok(())
        });
        assert!(outcome.is_ok(), "{outcome:?}");
    });
}

proptest! {
    #![proptest_config(config())]

    #[test]
    fn every_sixteenth_prints_as_feet_and_inches(count in -400_000..400_000_i32) {
        let length = Length::from_inches(f64::from(count) / 16.0);
        let text = length.print();
        prop_assert!(text.ends_with("in") || text.ends_with("ft"), "{}", text);
        prop_assert!(!text.contains('.'), "{}", text);
        prop_assert_eq!(Length::parse(&text), Ok(length));
        prop_assert_eq!(length.tape(System::Us), text);
    }

    #[test]
    fn every_tenth_of_a_millimetre_prints_briefly(count in -10_000_000..10_000_000_i32) {
        let length = Length::from_millimetres(f64::from(count) / 10.0);
        let text = length.print();
        prop_assert!(text.len() <= 20, "{}", text);
        prop_assert!(Length::parse(&text).is_ok_and(|read| close(read.si(), length.si())));
    }

    #[test]
    fn the_tape_is_rounded_to_the_safe_side(metres in 0.0..200.0_f64) {
        let length = Length::from_metres(metres);
        for system in [System::Us, System::Metric] {
            let read = |text: String| Length::parse(&text);
            let up = read(length.tape_up(system));
            let down = read(length.tape_down(system));
            let near = read(length.tape(system));
            prop_assert!(up.is_ok_and(|up| up.at_least(length)));
            prop_assert!(down.is_ok_and(|down| down.at_most(length)));
            let mark = if system == System::Us { 0.0254 / 16.0 } else { 0.001 };
            prop_assert!(near.is_ok_and(|near| (near - length).abs().si() <= mark / 2.0 + 1e-9));
        }
    }
}

#[test]
fn patterns_are_anchored_and_of_bearable_size() {
    for_every_quantity!(Q => {
        let pattern = pattern(Q::DIMENSION);
        assert!(pattern.starts_with('^') && pattern.ends_with('$'));
        assert!(pattern.len() < 4_000, "{}: {}", Q::NAME, pattern.len());
    });
}
