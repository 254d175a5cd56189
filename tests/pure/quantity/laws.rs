//! Laws of the quantities: sums, products, comparisons and roundings.

use super::{close, for_every_quantity, number};
use crate::config;
use crossfall::quantity::{
    Area, Bounds, Compared, Coverage, Density, Length, Quantity, Slope, Volume, ceil, ceil_to,
    floor, floor_to, round_to,
};
use proptest::prelude::*;

/// A length, area or volume of a job's size, more than nothing.
fn some<Q: Quantity>() -> impl Strategy<Value = Q> {
    (1e-3..1e4_f64).prop_map(Q::from_si)
}

proptest! {
    #![proptest_config(config())]

    #[test]
    fn sums_and_scales(a in number(), b in number(), times in -50.0..50.0_f64) {
        for_every_quantity!(Q => {
            let (a, b) = (Q::from_si(a), Q::from_si(b));
            prop_assert_eq!(a + b, b + a);
            prop_assert_eq!(a + Q::ZERO, a);
            prop_assert_eq!(a - b, -(b - a));
            let (whole, parts) = ((a + b) * times, a * times + b * times);
            let size = (a.abs().si() + b.abs().si()) * times.abs();
            prop_assert!((whole - parts).abs().si() <= 1e-12 * size);
            prop_assert_eq!([a, b].iter().sum::<Q>(), a + b);
            prop_assert!(b.is_zero() || close((a / b) * b.si(), a.si()));
            prop_assert!(a.min(b) <= a.max(b) && a.min(b) + a.max(b) == a + b);
        });
    }

    #[test]
    fn a_product_is_divided_by_its_parts(
        long in some::<Length>(), wide in some::<Length>(), deep in some::<Length>(),
    ) {
        let area = long * wide;
        let volume = area * deep;
        prop_assert!(close((area / wide).si(), long.si()));
        prop_assert!(close((volume / area).si(), deep.si()));
        prop_assert!(close((volume / deep).si(), area.si()));
        prop_assert_eq!(wide * long, area);
        prop_assert!(close(area.square_feet(), long.feet() * wide.feet()));
        prop_assert!(close(volume.cubic_feet(), long.feet() * wide.feet() * deep.feet()));
        let density = Density::from_lb_per_ft3(150.0);
        prop_assert!(close((volume * density).pounds(), volume.cubic_feet() * 150.0));
        prop_assert!(close(((volume * density) / density).si(), volume.si()));
        let coverage = Coverage::from_ft2_per_gal(125.0);
        prop_assert!(close((area / coverage).gallons(), area.square_feet() / 125.0));
        let covered: Area = (area / coverage) * coverage;
        prop_assert!(close(covered.si(), area.si()));
    }

    #[test]
    fn a_slope_gives_its_rise_back(rise in some::<Length>(), run in some::<Length>()) {
        let slope = Slope::of(rise, run).unwrap_or_default();
        prop_assert!(close((slope * run).si(), rise.si()));
        prop_assert!(close((run * slope.surface_factor()).si(), libm::hypot(rise.si(), run.si())));
        let angle = Slope::from_degrees(slope.degrees());
        prop_assert!((angle.ratio() / slope.ratio() - 1.0).abs() < 1e-9 || slope.ratio() > 100.0);
        prop_assert_eq!(slope.compare(rise / run * Slope::from_ratio(1.0)), Compared::At);
    }

    #[test]
    fn comparing_has_one_slack(value in some::<Length>(), down in any::<bool>(), off in -9..10_i32) {
        let value = if down { -value } else { value };
        let other = value * (1.0 + f64::from(off) * 3e-10);
        let wanted = match off * value.si().signum() as i32 {
            -3..=3 => Compared::At,
            4.. => Compared::Above,
            _ => Compared::Below,
        };
        prop_assert_eq!(other.compare(value), wanted, "{}", off);
        prop_assert_eq!(other.at_most(value), wanted != Compared::Above);
        prop_assert_eq!(other.at_least(value), wanted != Compared::Below);
        let back = match wanted {
            Compared::Below => Compared::Above,
            Compared::At => Compared::At,
            Compared::Above => Compared::Below,
        };
        prop_assert_eq!(value.compare(other), back);
    }

    #[test]
    fn an_even_count_is_neither_rounded_up_nor_down(count in 0..100_000_u32, piece in 1..500_u32) {
        let piece = f64::from(piece) / 7.0;
        let (count, length) = (f64::from(count), f64::from(count) * piece);
        prop_assert_eq!(ceil(length / piece), count);
        prop_assert_eq!(floor(length / piece), count);
        let noisy = (0..10).fold(0.0, |sum, _| sum + length / 10.0);
        prop_assert_eq!(ceil(noisy / piece), count);
        prop_assert!(close(ceil_to(noisy, piece), length));
        prop_assert!(close(floor_to(noisy, piece), length));
    }

    #[test]
    fn rounding_stays_within_its_step(x in -1e5..1e5_f64, places in 0..5_u8) {
        let step = 10_f64.powi(-i32::from(places));
        prop_assert!((round_to(x, places) - x).abs() <= step * (0.5 + 1e-3));
        prop_assert_eq!(round_to(round_to(x, places), places), round_to(x, places));
        prop_assert_eq!(round_to(-x, places), -round_to(x, places));
        prop_assert!(ceil(x) >= x - 1e-3 && ceil(x) < x + 1.0);
        prop_assert!(floor(x) <= x + 1e-3 && floor(x) > x - 1.0);
    }

    #[test]
    fn bounds_hold_what_lies_within(least in number(), span in 1e-3..1e5_f64, at in -0.5..1.5_f64) {
        let bounds = Bounds::new("net", Volume::from_si(least), Volume::from_si(least + span));
        let value = Volume::from_si(least + span * at);
        let away = at.min(1.0 - at).abs() * span > 1e-8 * (least.abs() + span);
        prop_assume!(away);
        let checked = bounds.check(value, "/net");
        prop_assert_eq!(checked.is_ok(), (0.0..=1.0).contains(&at));
        if let Err(fault) = checked {
            prop_assert_eq!(fault.accepted, bounds.accepted());
            prop_assert!(fault.example.is_some_and(|text| Volume::parse(&text).is_ok_and(|v| bounds.holds(v))));
        }
    }
}
