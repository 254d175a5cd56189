//! Laws of the whole flow, over random ramps.

use crate::worked::{demo_list, priced_from};
use crossfall::catalog::Catalog;
use crossfall::crew::Rates;
use crossfall::estimate::{Estimate, With, work_out};
use crossfall::price::{Lookups, sum_up};
use crossfall::rules::RuleSets;
use crossfall::takeoff::Detail;
use proptest::prelude::*;

/// A random two-run ramp as JSON, in the notation of the tape.
fn ramp(rise: f64, ratio: f64, width: f64, extra: &str) -> String {
    let run = format!(
        r#"{{"kind": "run", "rise": "{} in", "length": "{} in", "cross_slope": "1.5 %"}}"#,
        rise / 2.0,
        rise * ratio / 2.0
    );
    format!(
        r#"{{{extra}"ramp": {{"width": "{width} in", "path": [{{"kind": "landing"}}, {run},
        {{"kind": "landing"}}, {run}, {{"kind": "landing", "door": {{"edge": "end"}}}}]}}}}"#
    )
}

fn estimate(text: &str) -> Estimate {
    priced_from(&demo_list(), text).unwrap_or_else(|faults| panic!("{faults}: {text}"))
}

proptest! {
    #![proptest_config(proptest::test_runner::Config { cases: crate::cases().min(500) / 4, ..crate::config() })]

    /// Every random job is whole, adds up, is finite, and is the same when it is asked again; its
    /// expanded form, sent again, costs the same.
    #[test]
    fn a_random_ramp_is_whole_and_repeatable(
        rise in 4.0..58.0_f64, ratio in 8.0..25.0_f64, width in 40.0..120.0_f64, metric in any::<bool>(),
    ) {
        let extra = if metric { r#""units": "metric","# } else { "" };
        let text = ramp(rise, ratio, width, extra);
        let once = estimate(&text);
        prop_assert!(once.priced.complete(), "{:?}", once.priced.unpriced);
        let twice = estimate(&text);
        prop_assert_eq!(&once.fingerprint, &twice.fingerprint);
        let steps = &once.priced.build_up.steps;
        let sum: i64 = steps.iter().map(|step| step.amount.minor()).sum();
        prop_assert_eq!(sum, once.priced.build_up.total().minor());
        let written = serde_json::to_string(&once.job).expect("a job can be written");
        let again = estimate(&written);
        prop_assert_eq!(once.priced.build_up.total(), again.priced.build_up.total());
        prop_assert!(once.hours.totals.paid.hours().is_finite());
    }

    /// What a job comes to without lines is what its lines add up to, whatever it says of the price;
    /// prices that were looked up for another job serve as well.
    #[test]
    fn a_sum_without_lines_is_the_price(
        rise in 4.0..58.0_f64, ratio in 8.0..25.0_f64, width in 40.0..120.0_f64, extra in prop_oneof![
            Just(""), Just(r#""crew": {"placing": "pump"},"#), Just(r#""crew": {"placing": "bags"},"#),
            Just(r#""crew": {"members": [{"class": "finisher", "count": 9}], "day": "12 h"},"#),
            Just(r#""requirements": [{"name": "site fee", "fee": "12.50"}, {"name": "bond", "percent": "1.5 %"}],"#),
            Just(r#""scope": "prime", "joints": {"method": "sawn"},"#),
        ],
    ) {
        let list = demo_list();
        let whole = estimate(&ramp(rise, ratio, width, extra));
        let other = estimate(&ramp(20.0, 13.0, 60.0, extra));
        let with = With {
            rules: RuleSets::built_in(),
            catalog: Catalog::built_in(),
            rates: Rates::built_in(),
            list: &list,
        };
        let lookups = Lookups::of(&other.job, &list);
        for estimate in [&other, &whole] {
            let bare = work_out(&estimate.job, with, Detail::Amounts);
            let sum = sum_up(bare.parts(&estimate.job), &lookups);
            prop_assert_eq!(sum, estimate.priced.build_up.total());
        }
    }

    /// A thicker slab never costs less.
    #[test]
    fn thicker_never_costs_less(rise in 6.0..40.0_f64, thin in 3.0..8.0_f64, more in 0.25..4.0_f64) {
        let with = |inches: f64| {
            let extra = format!(r#""slab": {{"thickness": "{inches} in"}}, "joints": {{"depth": "1 in"}},"#);
            estimate(&ramp(rise, 13.0, 60.0, &extra)).takeoff.concrete.order.cubic_yards()
        };
        prop_assert!(with(thin) <= with(thin + more) + 1e-9);
    }
}
