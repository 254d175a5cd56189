//! Comparing and rounding with one slack, so that an even number is never a hair too much.
//!
//! Invariants: every comparison with a limit and every ceil and floor of the project goes through
//! here; the slack is 1e-9 of the larger side (28 in over 28 ft is *at* 1:12, and a length that
//! divides evenly never buys one bar too many). Absent here: any unit.

/// The relative slack of every comparison and rounding.
pub const SLACK: f64 = 1e-9;

/// Below this two SI numbers are the same whatever their ratio, so that the noise of a
/// subtraction does not stand above a limit of zero.
const NOISE: f64 = 1e-12;

/// Where a value stands against a limit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Compared {
    /// Less than the limit by more than the slack.
    Below,
    /// At the limit, within the slack.
    At,
    /// More than the limit by more than the slack.
    Above,
}

/// Where `value` stands against `limit`; what is not a number is `Above`, so it never passes.
pub fn compare(value: f64, limit: f64) -> Compared {
    let slack = (SLACK * value.abs().max(limit.abs())).max(NOISE);
    if value - limit < -slack {
        Compared::Below
    } else if value - limit <= slack || value == limit {
        Compared::At
    } else {
        Compared::Above
    }
}

/// The least whole number not below `x`, less the slack.
pub fn ceil(x: f64) -> f64 {
    libm::ceil(x - SLACK * x.abs().max(1.0)) + 0.0
}

/// The greatest whole number not above `x`, plus the slack.
pub fn floor(x: f64) -> f64 {
    libm::floor(x + SLACK * x.abs().max(1.0)) + 0.0
}

/// The least whole multiple of `step` not below `x`, less the slack; `x` itself without a step.
pub fn ceil_to(x: f64, step: f64) -> f64 {
    if step > 0.0 {
        multiple(ceil(x / step), step)
    } else {
        x
    }
}

/// The greatest whole multiple of `step` not above `x`, plus the slack; `x` itself without a step.
pub fn floor_to(x: f64, step: f64) -> f64 {
    if step > 0.0 {
        multiple(floor(x / step), step)
    } else {
        x
    }
}

/// `x` to `places` decimals, half away from zero; never negative zero.
pub fn round_to(x: f64, places: u8) -> f64 {
    let power = power_of_ten(places);
    // A printed half such as 1.005 lies just below it in binary; the nudge is far below any place.
    let steps = libm::floor(x.abs() * power * (1.0 + 1e-12) + 0.5);
    libm::copysign(steps / power, x) + 0.0
}

/// Ten to a power; those that a binary number holds exactly stand in a table, which is much faster.
fn power_of_ten(places: u8) -> f64 {
    const EXACT: [f64; 16] = [
        1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15,
    ];
    let known = EXACT.get(usize::from(places)).copied();
    known.unwrap_or_else(|| libm::pow(10.0, f64::from(places)))
}

/// `count` steps; a step such as 0.1 or 0.25 is one over a whole number, and dividing by that is
/// exact where multiplying by the step is not.
fn multiple(count: f64, step: f64) -> f64 {
    let inverse = libm::round(1.0 / step);
    if inverse >= 1.0 && (inverse * step - 1.0).abs() < 1e-15 {
        count / inverse
    } else {
        count * step
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn at_the_limit_is_neither_above_nor_below() {
        assert_eq!(
            compare(28.0 * 0.0254 / (28.0 * 0.3048), 1.0 / 12.0),
            Compared::At
        );
        assert_eq!(compare(1.0 + 2e-9, 1.0), Compared::Above);
        assert_eq!(compare(1.0 - 2e-9, 1.0), Compared::Below);
        assert_eq!(compare(0.3 - 0.1 - 0.2, 0.0), Compared::At);
        assert_eq!(compare(f64::NAN, 1.0), Compared::Above);
    }

    #[test]
    fn an_even_division_buys_nothing_more() {
        assert_eq!(ceil(0.3 / 0.1), 3.0);
        assert_eq!(ceil(3.00001), 4.0);
        assert_eq!(ceil(0.0), 0.0);
        assert_eq!(floor(0.6 / 0.2), 3.0);
        assert_eq!(floor(2.99999), 2.0);
        assert_eq!(ceil_to(4.2, 0.1), 4.2);
        assert_eq!(ceil_to(4.21, 0.25), 4.25);
        assert_eq!(floor_to(4.21, 0.25), 4.0);
    }

    #[test]
    fn halves_go_away_from_zero() {
        assert_eq!(round_to(1.005, 2), 1.01);
        assert_eq!(round_to(-2.5, 0), -3.0);
        assert_eq!(round_to(8.3333333, 3), 8.333);
        assert!(round_to(-0.001, 1).is_sign_positive());
    }
}
