//! The quantity room: units against published values, texts there and back, laws, money.

use crossfall::quantity::Quantity;
use proptest::prelude::*;

mod laws;
mod money;
mod reading;
mod shown;
mod texts;
mod units;
mod wire;

/// Runs `$body` for every quantity type in turn, as `$Q`.
macro_rules! for_every_quantity {
    ($Q:ident => $body:block) => {{
        use crossfall::quantity as q;
        for_every_quantity!(@each $Q $body: Length Area Volume Mass Slope Temperature Span Stress
            Percent Coverage Density Speed);
    }};
    (@each $Q:ident $body:block: $($name:ident)*) => { $({
        type $Q = q::$name;
        $body
    })* };
}
pub(crate) use for_every_quantity;

/// A number of a job's size, either sign, over twelve powers of ten.
fn number() -> impl Strategy<Value = f64> {
    (-1.0..1.0_f64, -5..6_i32).prop_map(|(part, power)| part * 10_f64.powi(power))
}

/// A quantity that a unit of its kind gives for a number of a job's size.
fn quantity<Q: Quantity>() -> impl Strategy<Value = Q> {
    (number(), 0..Q::DIMENSION.rows().len()).prop_map(|(number, at)| {
        let scale = Q::DIMENSION.rows()[at].scale;
        Q::from_si(scale.to_si(number).unwrap_or(number))
    })
}

/// True when two numbers are the same to one in a million million.
fn close(a: f64, b: f64) -> bool {
    (a - b).abs() <= 1e-12 * a.abs().max(b.abs())
}

/// True when a quantity is the same after a text: to one in a million million, and a temperature,
/// whose text counts from another zero, to a ten-thousand-millionth of a degree.
fn alike<Q: Quantity>(a: Q, b: Q) -> bool {
    let degree = Q::DIMENSION == crossfall::quantity::Dimension::Temperature;
    close(a.si(), b.si()) || (degree && (a.si() - b.si()).abs() <= 1e-10)
}
