//! Everything that can be proved without a server: published values, laws, the house itself.
//!
//! One program, so that the package is linked once. `TEST_SIZE` is `ci` (the default) or `long`;
//! nothing is absent from `ci`, only smaller, and its seed is fixed.

use proptest::test_runner::{Config, RngSeed};

mod batch;
mod billing;
mod book;
mod change;
mod cost;
mod crew;
mod documents;
mod estimate;
mod figures;
mod fuzzed;
mod geometry;
mod handover;
mod house;
mod loads;
mod pour;
mod proposal;
mod quantity;
mod rules;
mod setting;
mod sheet;
mod short;
mod survey;
mod takeoff;
mod worked;

/// How many cases a property is tried with.
fn cases() -> u32 {
    match std::env::var("TEST_SIZE").as_deref() {
        Ok("long") => 10_000,
        Ok("ci") | Err(_) => 256,
        Ok(other) => panic!("TEST_SIZE is {other}, and may be ci or long"),
    }
}

/// The property runner's settings: a fixed seed in `ci`, a fresh one in `long`.
fn config() -> Config {
    let cases = cases();
    let rng_seed = if cases == 256 {
        RngSeed::Fixed(28)
    } else {
        RngSeed::Random
    };
    Config {
        cases,
        rng_seed,
        failure_persistence: None,
        ..Config::default()
    }
}
