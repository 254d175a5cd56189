//! Texts as people write them: what they mean, what is refused, and that nothing panics.

use super::{close, for_every_quantity};
use crate::config;
use crossfall::quantity::{
    Area, Coverage, Density, Dimension, Length, Mass, Percent, Problem, Quantity, Slope, Span,
    Stress, TEXT_AT_MOST, Temperature, Volume, parse_quantity, pattern,
};
use proptest::prelude::*;
use proptest::string::string_regex;

/// Lengths in every notation of the trade, in inches.
const LENGTHS: &[(&str, f64)] = &[
    ("28 in", 28.0),
    ("28in", 28.0),
    ("28\"", 28.0),
    ("28″", 28.0),
    ("28”", 28.0),
    ("28''", 28.0),
    ("28’’", 28.0),
    ("28 inches", 28.0),
    ("15 ft 6 in", 186.0),
    ("15ft6in", 186.0),
    ("15 ft. 6 in.", 186.0),
    ("15 ft.6 in.", 186.0),
    ("15 ft", 180.0),
    ("15'", 180.0),
    ("15′", 180.0),
    ("15’", 180.0),
    ("2'-4 1/2\"", 28.5),
    ("2' - 4 1/2\"", 28.5),
    ("2'-4-1/2\"", 28.5),
    ("2'4\"", 28.0),
    ("2' 4.5\"", 28.5),
    ("2′ 4½″", 28.5),
    ("2’4½”", 28.5),
    ("2ft 4-1/2in", 28.5),
    ("2 ft 1/2 in", 24.5),
    ("28 1/2 in", 28.5),
    ("28½ in", 28.5),
    ("28 ½ in", 28.5),
    ("28-1/2\"", 28.5),
    ("28 1⁄2 in", 28.5),
    ("1/2 in", 0.5),
    ("½ in", 0.5),
    ("1⁄16 in", 0.0625),
    ("63/64\"", 0.984375),
    ("¼\"", 0.25),
    ("¾\"", 0.75),
    ("⅛\"", 0.125),
    ("⅜\"", 0.375),
    ("⅝\"", 0.625),
    ("⅞\"", 0.875),
    (".5 in", 0.5),
    ("0 in", 0.0),
    ("2 ft 11 63/64 in", 35.984375),
    ("15\u{a0}ft\u{202f}6\u{2009}in", 186.0),
    ("  28   in  ", 28.0),
    ("-28 in", -28.0),
    ("− 2'-4\"", -28.0),
    ("–1/2 in", -0.5),
    ("711.2 mm", 28.0),
    ("60.96 cm", 24.0),
    ("2.54 m", 100.0),
    ("1 yd", 36.0),
];

#[test]
fn a_length_is_read_in_every_notation() {
    for (text, inches) in LENGTHS {
        let read = Length::parse(text).unwrap_or_else(|error| panic!("{text}: {error}"));
        assert!(
            close(read.inches(), *inches),
            "{text} was read as {} in",
            read.inches()
        );
    }
    let third = Length::parse("⅓ in").and_then(|one| Ok((one, Length::parse("⅔ in")?)));
    assert!(third.is_ok_and(|(one, two)| close((one + two).inches(), 1.0)));
}

#[test]
fn feet_and_inches_are_the_same_bits_as_inches() {
    assert_eq!(Length::parse("2 ft 4 in"), Length::parse("28 in"));
    assert_eq!(
        Length::parse("-15 ft 1 3/8 in"),
        Length::parse("-181 3/8 in")
    );
}

#[test]
fn a_slope_is_read_in_every_notation() {
    let twelfth = 1.0 / 12.0;
    for (text, ratio) in [
        ("1:12", twelfth),
        ("1 : 12.5", 0.08),
        ("1∶12", twelfth),
        ("1 in 12", twelfth),
        ("2:24", twelfth),
        ("8.33 %", 0.0833),
        ("8.33%", 0.0833),
        ("1 in/ft", twelfth),
        ("1/4 in/ft", 1.0 / 48.0),
        ("83.3 mm/m", 0.0833),
        ("45 deg", 1.0),
        ("45°", 1.0),
        ("1/2 deg", 0.008726867790758),
        ("-1:48", -1.0 / 48.0),
        ("−2 %", -0.02),
        ("0 %", 0.0),
    ] {
        let read = Slope::parse(text).unwrap_or_else(|error| panic!("{text}: {error}"));
        assert!(
            close(read.ratio(), ratio),
            "{text} was read as {}",
            read.ratio()
        );
    }
    assert!(Slope::parse("4.76 deg").is_ok_and(|slope| (slope.ratio() - 0.0833).abs() < 1e-4));
}

/// Reads a text of `Q` and gives its SI number.
fn si<Q: Quantity>(text: &str) -> f64 {
    parse_quantity::<Q>(text)
        .unwrap_or_else(|error| panic!("{text}: {error}"))
        .si()
}

#[test]
fn the_other_quantities_are_read_in_their_notations() {
    for (read, wanted) in [
        (si::<Area>("100 ft2"), 9.290304),
        (si::<Area>("100 ft²"), 9.290304),
        (si::<Area>("100 sq ft"), 9.290304),
        (si::<Area>("100 sf"), 9.290304),
        (si::<Area>("14 m²"), 14.0),
        (si::<Area>("1 yd2"), 0.83612736),
        (si::<Volume>("1 yd3"), 0.764554857984),
        (si::<Volume>("1 cu yd"), 0.764554857984),
        (si::<Volume>("1 ft³"), 0.028316846592),
        (si::<Volume>("5 gal"), 0.01892705892),
        (si::<Volume>("250 L"), 0.25),
        (si::<Volume>("2 1/2 m3"), 2.5),
        (si::<Mass>("80 lb"), 36.2873896),
        (si::<Mass>("2 ton"), 1814.36948),
        (si::<Mass>("2 t"), 2000.0),
        (si::<Mass>("36 kg"), 36.0),
        (si::<Span>("8 h"), 28_800.0),
        (si::<Span>("1 h 30 min"), 5_400.0),
        (si::<Span>("1½ hours"), 5_400.0),
        (si::<Span>("45 min"), 2_700.0),
        (si::<Span>("14 d"), 1_209_600.0),
        (si::<Span>("7 days"), 604_800.0),
        (si::<Temperature>("50 degF"), 283.15),
        (si::<Temperature>("50 °F"), 283.15),
        (si::<Temperature>("50 F"), 283.15),
        (si::<Temperature>("-10 °C"), 263.15),
        (si::<Temperature>("−40 degC"), si::<Temperature>("-40 degF")),
        (si::<Stress>("30 MPa"), 3e7),
        (si::<Percent>("1.5 %"), 0.015),
        (si::<Percent>("-100%"), -1.0),
        (si::<Coverage>("5 m2/L"), 5_000.0),
        (si::<Coverage>("5 m²/L"), 5_000.0),
        (
            si::<Coverage>("125 ft2/gal"),
            125.0 * 0.09290304 / 0.003785411784,
        ),
        (si::<Density>("2400 kg/m3"), 2_400.0),
        (
            si::<Density>("1.4 ton/yd3"),
            1.4 * 907.18474 / 0.764554857984,
        ),
        (
            si::<Density>("150 lb/ft3"),
            150.0 * 0.45359237 / 0.028316846592,
        ),
    ] {
        assert!(close(read, wanted), "{read} is not {wanted}");
    }
}

/// What is refused, and why.
const REFUSED: &[(&str, Problem)] = &[
    ("", Problem::Empty),
    ("   ", Problem::Empty),
    ("-", Problem::Empty),
    ("28", Problem::NoUnit),
    ("28.5", Problem::NoUnit),
    ("-28", Problem::NoUnit),
    ("1/2", Problem::NoUnit),
    ("2'4", Problem::NoUnit),
    ("2 ft 12 in", Problem::SmallPartTooLarge),
    ("2'-12\"", Problem::SmallPartTooLarge),
    ("2' 12 1/2\"", Problem::SmallPartTooLarge),
    ("2 ft 3 ft", Problem::PartsOutOfOrder),
    ("2 in 3 in", Problem::PartsOutOfOrder),
    ("2 in 3 ft", Problem::PartsOutOfOrder),
    ("2.5 ft 3 in", Problem::PartsOutOfOrder),
    ("1/2 ft 3 in", Problem::PartsOutOfOrder),
    ("2 m 3 in", Problem::PartsOutOfOrder),
    ("2 ft 3 in 4 in", Problem::UnknownUnit),
    ("28 lb", Problem::UnknownUnit),
    ("28 IN", Problem::UnknownUnit),
    ("1,200 mm", Problem::UnknownUnit),
    ("28,5 in", Problem::UnknownUnit),
    ("1e3 mm", Problem::UnknownUnit),
    ("5. in", Problem::UnknownUnit),
    ("2'--4\"", Problem::UnknownUnit),
    ("2 ft .5 in", Problem::UnknownUnit),
    ("28 in²", Problem::UnknownUnit),
    ("28² in", Problem::UnknownUnit),
    ("2ft²\"", Problem::UnknownUnit),
    ("½½ in", Problem::UnknownUnit),
    ("⅓2 in", Problem::UnknownUnit),
    ("4 - 1/2 in", Problem::UnknownUnit),
    ("in", Problem::NoNumber),
    ("ft 2", Problem::NoNumber),
    ("NaN in", Problem::NoNumber),
    ("inf in", Problem::NoNumber),
    ("+28 in", Problem::NoNumber),
    ("--28 in", Problem::NoNumber),
    ("3/2 in", Problem::NoNumber),
    ("2/2 in", Problem::NoNumber),
    ("1/0 in", Problem::NoNumber),
    ("1/7 in", Problem::NoNumber),
    ("0/4 in", Problem::NoNumber),
    ("twenty in", Problem::NoNumber),
    ("1234567890123 in", Problem::OutOfRange),
    ("0.1234567890123456789012345678901 in", Problem::OutOfRange),
];

#[test]
fn what_is_no_length_is_refused_with_its_reason() {
    for (text, problem) in REFUSED {
        let error = Length::parse(text).expect_err(text);
        assert_eq!(error.problem, *problem, "{text}");
        assert!(
            Length::parse(&error.example()).is_ok(),
            "{text}: {}",
            error.example()
        );
    }
    let long = format!("{}28 in", " ".repeat(TEXT_AT_MOST));
    assert_eq!(
        Length::parse(&long).expect_err("too long").problem,
        Problem::TooLong
    );
}

#[test]
fn what_is_no_slope_is_refused() {
    for text in [
        "1:0", "1:0.5", "1/2:12", "1:", ":12", "1:12:3", "90 deg", "-90°", "1:-12", "12",
    ] {
        assert!(Slope::parse(text).is_err(), "{text}");
    }
}

#[test]
fn a_bare_number_is_told_how_to_write_it() {
    let error = Length::parse("28").expect_err("a bare number");
    assert_eq!(error.example(), "28 in");
    assert_eq!(
        error.to_string(),
        "found \"28\", accepted: a length written with its unit (in, ft, yd, mm, cm, m), \
         as text or as an object of value and unit, for example 28 in"
    );
    let slope = Slope::parse("0.083").expect_err("a bare number");
    assert_eq!(
        slope.example(),
        "1:12",
        "a bare slope may be a ratio or a percentage"
    );
}

#[test]
fn every_example_is_read() {
    for_every_quantity!(Q => {
        for text in Q::DIMENSION.examples() {
            assert!(Q::parse(text).is_ok(), "{text}");
        }
    });
}

/// Texts made of what stands in quantities, so that most of them nearly are some.
fn nearly() -> impl Strategy<Value = String> {
    let bits = [
        "1", "2", "0", "12", "3/8", "1/", "/", ".", "-", "−", " ", "\u{a0}", "'", "''", "\"", "′",
        "″", "½", "⅞", "⁄", ":", "%", "in", "ft", "mm", "h", "min", "°", "²", "deg", "e9", "é",
        "yd3", "ft2/gal",
    ];
    proptest::collection::vec(proptest::sample::select(bits.to_vec()), 0..9)
        .prop_map(|bits| bits.concat())
}

proptest! {
    #![proptest_config(config())]

    #[test]
    fn no_text_panics_and_what_is_read_is_finite(text in prop_oneof![any::<String>(), nearly()]) {
        for_every_quantity!(Q => {
            match Q::parse(&text) {
                Ok(read) => prop_assert!(read.si().is_finite()),
                Err(error) => prop_assert!(!error.to_string().is_empty()),
            }
        });
    }

    #[test]
    fn a_text_in_another_typeface_means_the_same(
        feet in 0..400_u32, inches in 0..12_u32, eighths in 1..8_u32,
    ) {
        let vulgar = ["⅛", "¼", "⅜", "½", "⅝", "¾", "⅞"][eighths as usize - 1];
        let plain = Length::parse(&format!("{feet} ft {inches}.{:03} in", eighths * 125));
        prop_assert!(plain.is_ok());
        for text in [
            format!("{feet}' {inches}{vulgar}\""),
            format!("{feet}′-{inches} {vulgar}″"),
            format!("{feet}\u{202f}ft\u{a0}{inches}–{vulgar}\u{2009}in"),
        ] {
            prop_assert_eq!(&plain, &Length::parse(&text), "{}", text);
        }
    }
}

/// Texts that fit the published pattern of a dimension, of a length that is read.
fn fitting(dimension: Dimension) -> impl Strategy<Value = String> {
    let pattern = pattern(dimension);
    let bare = pattern.trim_start_matches('^').trim_end_matches('$');
    let texts = string_regex(bare).expect("the pattern is a regular expression");
    texts.prop_filter("short enough", |text| text.chars().count() <= TEXT_AT_MOST)
}

#[test]
fn every_text_that_fits_the_published_pattern_is_read() {
    for_every_quantity!(Q => {
        let mut runner = proptest::test_runner::TestRunner::new(config());
        let outcome = runner.run(&fitting(Q::DIMENSION), |text| {
            let read = Q::parse(&text);
            prop_assert!(read.is_ok(), "{:?}", read);
            Ok(())
        });
        assert!(outcome.is_ok(), "{outcome:?}");
    });
}
