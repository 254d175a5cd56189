//! The note: short, and the first thing that a person must know.

use super::{known, ramp};
use crate::worked::{priced, priced_from, today};
use crossfall::book::{demo_book, demo_history};
use crossfall::catalog::{Head, History, PriceList};
use crossfall::estimate::Estimate;
use proptest::prelude::*;
use std::sync::Arc;

fn note(estimate: &Estimate) -> String {
    let note = known(estimate, "note");
    assert!(note.chars().count() <= 120, "{note}");
    note
}

/// The demo prices as if an office had written them, `years` later.
fn own_list(years: i32) -> PriceList {
    let (head, change) = demo_book().expect("the demo book can be read");
    let demo = demo_history().expect("the demo book can be read");
    let own = History::empty(Head {
        demo: false,
        ..head
    });
    let history = own.with(demo.revisions()[0].clone(), &change);
    let day = chrono::Datelike::with_year(&today().0, 2026 + years).expect("a day");
    PriceList::new(Arc::new(history), None, day).expect("it has a revision")
}

#[test]
fn a_missing_price_goes_before_a_broken_rule() {
    let steep = |extra: &str| priced(&ramp(extra, "30 in", "28 ft"));
    assert!(note(&steep(r#""scope": "prime","#)).starts_with("Not complete: no price for "));
    assert!(note(&steep("")).starts_with("Does not comply: ada-2010/405.2: lengthen "));
}

#[test]
fn what_is_not_measured_goes_before_what_is_invented() {
    // 2010 ADA Standards, 405.10: water runs off; a landing that is level both ways must say how.
    let level = r#"{"ramp": {"path": [{"kind": "landing"},
        {"kind": "run", "rise": "28 in", "length": "30 ft"},
        {"kind": "landing", "slope_along": "0 %", "slope_across": "0 %"}]}}"#;
    assert!(note(&priced(level)).starts_with("Undetermined: ada-2010/405.10"));
    let plain = priced(&ramp("", "28 in", "30 ft"));
    assert!(note(&plain).contains("invented"), "{}", note(&plain));
}

#[test]
fn an_old_price_goes_before_an_own_one_at_the_limit() {
    let at_limit = ramp("", "28 in", "28 ft");
    let fresh = priced_from(&own_list(0), &at_limit).expect("a good job");
    let old = priced_from(&own_list(4), &at_limit).expect("a good job");
    assert!(note(&old).starts_with("Older than "), "{}", note(&old));
    assert!(!note(&fresh).contains("invented"), "{}", note(&fresh));
}

proptest! {
    #![proptest_config(proptest::test_runner::Config { cases: crate::cases().min(800) / 4, ..crate::config() })]

    #[test]
    fn a_note_is_short_and_ends_before_a_number(
        rise in 4.0..58.0_f64, ratio in 5.0..25.0_f64, metric in any::<bool>(), surface in any::<bool>(),
    ) {
        let units = if metric { r#""units": "metric","# } else { "" };
        let (rise, length) = (format!("{rise} in"), format!("{} in", rise * ratio));
        let job = ramp(units, &rise, &length);
        let taped = if surface { r#""kind": "run", "measured": "surface""# } else { r#""kind": "run""# };
        let note = note(&priced(&job.replace(r#""kind": "run""#, taped)));
        let kept = note.strip_suffix("...").unwrap_or(&note);
        let last = kept.split(' ').next_back().unwrap_or_default();
        prop_assert!(kept == note || !last.contains(|one: char| one.is_ascii_digit()), "{}", note);
    }
}
