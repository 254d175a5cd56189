//! Setting against the table of the trade and its rule of thumb.

use super::{degf, hours, near};
use crossfall::quantity::{Span, Verified};
use crossfall::setting::{InitialSet, SettingRows, final_set, initial_set, set_factor};

/// Ready-mix industry table, plain Type I: degF and minutes. The end points are also told on public pages
/// (about 100 minutes; about 19 h just above freezing); the rest from memory.
const TABLE: &[(f64, f64)] = &[
    (100.0, 100.0),
    (90.0, 160.0),
    (80.0, 240.0),
    (70.0, 360.0),
    (60.0, 480.0),
    (50.0, 645.0),
    (40.0, 870.0),
    (30.0, 1_140.0),
];

fn minutes(at: f64) -> f64 {
    let set = initial_set(degf(at)).latest();
    set.expect("it sets").minutes()
}

#[test]
fn the_rows_are_the_table() {
    for (at, wanted) in TABLE {
        near(minutes(*at), *wanted, 1e-6);
        assert!(matches!(initial_set(degf(*at)), InitialSet::After(_)));
    }
    let rows = &SettingRows::built_in().initial_set;
    assert_eq!(rows.len(), TABLE.len());
    for (row, (at, _)) in rows.iter().zip(TABLE) {
        let ends = *at == 100.0 || *at == 30.0;
        let wanted = if ends {
            Verified::SecondHand
        } else {
            Verified::Memory
        };
        assert_eq!(row.source.verified, wanted);
    }
}

#[test]
fn between_rows_it_lies_straight_between() {
    for pair in TABLE.windows(2) {
        let middle = (pair[0].0 + pair[1].0) / 2.0;
        near(minutes(middle), (pair[0].1 + pair[1].1) / 2.0, 1e-6);
        near(
            minutes(pair[1].0 + 1.0),
            pair[1].1 * 0.9 + pair[0].1 * 0.1,
            1e-6,
        );
    }
}

#[test]
fn beyond_the_table_it_is_told_so() {
    assert_eq!(initial_set(degf(29.9)), InitialSet::Never);
    assert_eq!(initial_set(degf(20.0)), InitialSet::Never);
    let hot = initial_set(degf(110.0));
    assert!(matches!(hot, InitialSet::Sooner(span) if (span.minutes() - 100.0).abs() < 1e-9));
    assert_eq!(set_factor(degf(20.0)), None);
    assert_eq!(final_set(degf(20.0)), None);
}

/// A post-frame builders' journal citing ACI 305R-10: the time to finish halves for each 20 degF warmer and
/// doubles for each 20 degF colder. A rule of thumb: the table keeps to it within a third.
#[test]
fn twenty_degrees_are_about_a_doubling() {
    for hot in [100.0, 90.0, 80.0, 70.0, 60.0] {
        let ratio = minutes(hot - 20.0) / minutes(hot);
        assert!((1.5..=2.7).contains(&ratio), "{hot}: {ratio}");
    }
}

#[test]
fn the_factor_is_one_in_mild_weather() {
    near(set_factor(degf(70.0)).expect("it sets"), 1.0, 1e-12);
    near(
        set_factor(degf(90.0)).expect("it sets"),
        160.0 / 360.0,
        1e-9,
    );
    near(
        set_factor(degf(40.0)).expect("it sets"),
        870.0 / 360.0,
        1e-9,
    );
}

/// Usual results of ASTM C403, from memory: final set at 1.3 to 1.5 times initial set.
#[test]
fn final_set_follows_initial_set() {
    let window = final_set(degf(70.0)).expect("it sets");
    near(window.opens.hours(), 7.8, 1e-9);
    near(window.closes.hours(), 9.0, 1e-9);
    assert!(window.opens > hours(6.0) && window.opens > Span::ZERO);
}
