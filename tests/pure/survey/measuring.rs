//! Readings reduced: the drawn ramp comes back, a datum does not matter, a hole stays a hole.

use super::{grid, reduced, shot};
use crossfall::geometry::survey::{Surveyed, find_uneven, measure_depth, measure_forms};
use crossfall::job::LevelDirection;
use crossfall::quantity::{Length, Slope};
use proptest::prelude::*;
use serde_json::{Value, json};

fn close(found: f64, expected: f64) {
    let off = (found - expected).abs();
    assert!(off <= 1e-9, "{found} is not {expected}");
}

fn poured(above: impl Fn((usize, f64, f64)) -> f64) -> Value {
    let shots: Vec<Value> = grid().into_iter().map(|at| shot(at, above(at))).collect();
    json!({"stage": "poured", "shots": shots})
}

#[test]
fn a_ramp_as_drawn_gives_its_drawn_slopes() {
    let (_, geometry, _, found) = reduced(&poured(|_| 0.0));
    close(found.runs[0].slope.ratio(), 24.0 / 336.0);
    assert!(found.runs[0].scatter.inches() < 1e-9);
    for window in &found.windows {
        let slope = window.slope.expect("it was read").ratio();
        match (window.piece, window.direction) {
            (_, LevelDirection::Across) => close(slope, -0.015),
            (1, _) => close(slope, 24.0 / 336.0),
            _ => close(slope, 0.0),
        }
    }
    assert_eq!(found.landings.len(), 2);
    for landing in &found.landings {
        close(landing.steepest.ratio(), 0.015);
        close(landing.towards.degrees(), 90.0);
        assert!(landing.pond.is_none());
    }
    assert!(found.lips.iter().all(|lip| lip.height.inches() < 1e-9));
    assert_eq!(found.lips.len(), 6, "three lines over two creases");
    assert!(found.coverage.iter().all(|piece| piece.unmeasured == 0));
    close(found.offset.expect("fitted").metres(), 0.0);
    let uneven = find_uneven(
        &found.profiles,
        Length::from_feet(10.0),
        Length::from_inches(1e-6),
    );
    assert!(uneven.is_empty(), "{uneven:?}");
    assert_eq!(geometry.surfaces.len(), 3);
}

/// US DOJ, ADA Checklist for Polling Places, taking measurements: a gap of 2 in under a 24-in level
/// means 1:12. Read.
#[test]
fn two_inches_under_a_level_of_twenty_four_is_one_in_twelve() {
    let walk = json!({"piece": 1, "readings": ["2 in", "1:12", "8.25 %"]});
    let (.., found) = reduced(&json!({"stage": "poured", "walks": [walk]}));
    let slope = |window: usize| found.windows[window].slope.expect("read");
    assert_eq!(slope(0), Slope::one_in(12.0));
    assert_eq!(slope(1), Slope::one_in(12.0));
    close(slope(2).ratio(), 0.0825);
    // 1/16 in over 24 in.
    close(found.windows[0].uncertainty.percent(), 100.0 / 16.0 / 24.0);
    close(found.windows[1].uncertainty.percent(), 0.1);
}

/// Worked by hand: two shots 24 in apart, 1/16 in each, are 0.0625 x 1.41421 / 24 = 0.36828 %; a level
/// walked over n readings is known to about its own part of the root of n.
#[test]
fn what_a_reading_is_trusted_is_carried_through() {
    let shots = [shot((1, 0.0, 30.0), 0.0), shot((1, 24.0, 30.0), 0.0)];
    let (.., found) = reduced(&json!({"stage": "poured", "shots": shots}));
    let expected = 0.0625 * 2f64.sqrt() / 24.0;
    close(found.windows[0].uncertainty.ratio(), expected);
    close(found.runs[0].uncertainty.ratio(), expected);
    let walk = json!({"piece": 1, "readings": vec!["7 %"; 2]});
    let (.., found) = reduced(&json!({"stage": "poured", "walks": [walk]}));
    close(found.runs[0].uncertainty.percent(), 0.1 / 2f64.sqrt());
    // Three equal readings: weights 3/10, 4/10, 3/10 of the least-squares line through four heights.
    let walk = json!({"piece": 1, "readings": vec!["7 %"; 3]});
    let (.., found) = reduced(&json!({"stage": "poured", "walks": [walk]}));
    close(found.runs[0].uncertainty.percent(), 0.1 * 0.34f64.sqrt());
    close(found.runs[0].slope.percent(), 7.0);
}

#[test]
fn a_bump_is_told_once_and_where_it_is() {
    let bump = |(piece, along, across): (usize, f64, f64)| {
        let here = piece == 1 && along == 168.0 && across == 30.0;
        if here { 0.5 } else { 0.0 }
    };
    let (.., found) = reduced(&poured(bump));
    let along = |line: &&_| {
        let line: &crossfall::geometry::survey::Profile = line;
        line.direction == LevelDirection::Along
    };
    let lines: Vec<_> = found.profiles.iter().filter(along).cloned().collect();
    let uneven = find_uneven(&lines, Length::from_feet(10.0), Length::from_inches(0.25));
    assert_eq!(uneven.len(), 1, "{uneven:?}");
    assert!(uneven[0].bump);
    close(uneven[0].at.inches(), 168.0);
    close(uneven[0].height.inches(), 0.5);
    // Resting on the bump and ten feet on, 24 in from the bump: 1/2 x 96/120.
    close(uneven[0].gap.inches(), 0.4);
}

#[test]
fn a_hollow_in_a_landing_holds_water() {
    let hollow = |(piece, along, across): (usize, f64, f64)| {
        let here = piece == 2 && along == 30.0 && across == 30.0;
        if here { -1.0 } else { 0.0 }
    };
    let (.., found) = reduced(&poured(hollow));
    let ponds: Vec<_> = found.landings.iter().map(|landing| landing.pond).collect();
    assert_eq!(ponds[0], None);
    let pond = ponds[1].expect("water stands");
    // It runs over at the right edge, 1.5 % of 30 in lower than the drawn middle.
    close(pond.depth.inches(), 1.0 - 0.45);
    close(pond.along.inches(), 30.0);
}

#[test]
fn a_lip_is_the_step_between_two_shots_on_one_point() {
    let shots = [shot((1, 100.0, 30.0), 0.0), shot((1, 100.0, 30.0), 0.375)];
    let (.., found) = reduced(&json!({"stage": "poured", "shots": shots}));
    assert_eq!(found.lips.len(), 1);
    close(found.lips[0].height.inches(), 0.375);
    close(found.lips[0].uncertainty.inches(), 0.0625 * 2f64.sqrt());
}

#[test]
fn a_reading_not_taken_leaves_a_hole() {
    let mut readings = vec![json!("7 %"); 14];
    let walk = |readings: &[Value]| {
        let walk = json!({"piece": 1, "readings": readings});
        reduced(&json!({"stage": "poured", "walks": [walk]})).3
    };
    let coverage = |found: &Surveyed| (found.coverage[1].measured, found.coverage[1].unmeasured);
    assert_eq!(coverage(&walk(&readings)), (14, 0));
    readings[5] = Value::Null;
    readings[9] = json!("missing");
    let found = walk(&readings);
    assert_eq!(coverage(&found), (12, 2));
    assert_eq!(found.profiles.len(), 3);
    assert!(found.windows[5].slope.is_none());
    assert_eq!(
        found.coverage[0].unmeasured, 2,
        "a landing of 5 ft holds two levels"
    );
}

/// Worked by hand: the base of the run's first half lies 1/2 in low, so that the mean depth is 5 1/4 in
/// plumb but for the step between the halves.
#[test]
fn depth_is_taken_between_base_and_forms() {
    let mut shots = Vec::new();
    let plumb = 5.0 * (1.0 + (24.0f64 / 336.0).powi(2)).sqrt();
    for along in [0.0, 168.0, 336.0] {
        for across in [0.0, 60.0] {
            shots.push(shot((1, along, across), 0.0));
            let low = if along == 0.0 { 0.5 } else { 0.0 };
            let mut base = shot((1, along, across), -plumb - low);
            base["of"] = json!("base");
            shots.push(base);
        }
    }
    let (job, geometry, told, found) = reduced(&json!({"stage": "forms", "shots": shots}));
    let depth = measure_depth(&job, &geometry, &found, told.uncertainty);
    assert_eq!(depth.points.len(), 6);
    let deepest = depth.points[0].depth.inches();
    close(deepest, 5.0 + 0.5 * 5.0 / plumb);
    close(depth.points[5].depth.inches(), 5.0);
    let (piece, planned, real) = depth.volumes[0];
    assert_eq!(piece, 1);
    // A wedge: 1/2 in at the foot, nothing at 14 ft.
    let more = (real - planned).cubic_feet();
    close(more, 0.5 / 12.0 / 2.0 * 14.0 * 5.0);
}

#[test]
fn one_low_stake_shows_its_whole_error_and_the_others_none() {
    let low = |(piece, along, across): (usize, f64, f64)| {
        let here = piece == 1 && along == 168.0 && across == 0.0;
        if here { -0.375 } else { 0.0 }
    };
    let mut sent = poured(low);
    sent["stage"] = json!("forms");
    let (job, geometry, _, found) = reduced(&sent);
    let (errors, volumes) = measure_forms(&job, &geometry, &found);
    let off: Vec<_> = errors
        .iter()
        .filter(|e| e.error.inches().abs() > 1e-9)
        .collect();
    assert_eq!(off.len(), 1);
    close(off[0].error.inches(), -0.375);
    // A pyramid of one stake: 3/8 in over half of 4 ft and half of 2 1/2 ft.
    let (_, planned, set) = volumes[1];
    close((set - planned).cubic_feet(), -0.375 / 12.0 * 2.0 * 1.25);
}

proptest! {
    #![proptest_config(crate::config())]

    #[test]
    fn the_datum_does_not_matter(
        by in -500.0..500.0f64,
        bumps in prop::collection::vec(-0.3..0.3f64, 63),
    ) {
        let places = grid();
        let sent = |datum: f64| {
            let shots: Vec<Value> = places
                .iter()
                .zip(&bumps)
                .map(|(at, bump)| shot(*at, bump + datum))
                .collect();
            reduced(&json!({"stage": "poured", "shots": shots})).3
        };
        let (here, there) = (sent(0.0), sent(by));
        for (a, b) in here.windows.iter().zip(&there.windows) {
            let off = a.slope.expect("read") - b.slope.expect("read");
            prop_assert!(off.ratio().abs() < 1e-9);
        }
        for (a, b) in here.points.iter().zip(&there.points) {
            prop_assert!((a.elevation - b.elevation).metres().abs() < 1e-9);
        }
        for (a, b) in here.landings.iter().zip(&there.landings) {
            prop_assert!((a.steepest - b.steepest).ratio().abs() < 1e-9);
        }
        let moved = (here.offset.expect("fitted") - there.offset.expect("fitted")).inches();
        prop_assert!((moved - by).abs() < 1e-6);
    }

    #[test]
    fn what_is_not_read_is_counted(taken in prop::collection::vec(any::<bool>(), 14)) {
        let readings: Vec<Value> = taken
            .iter()
            .map(|taken| if *taken { json!("9 %") } else { Value::Null })
            .collect();
        let walk = json!({"piece": 1, "readings": readings});
        let found = reduced(&json!({"stage": "poured", "walks": [walk]})).3;
        let read = taken.iter().filter(|taken| **taken).count();
        prop_assert_eq!(found.coverage[1].measured, read);
        prop_assert_eq!(found.coverage[1].unmeasured, 14 - read);
    }
}
