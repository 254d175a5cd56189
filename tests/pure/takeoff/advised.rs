//! What a person is told before the order goes out: mix, slump, pressure, lifts, rails; both sides of
//! each limit.

use super::close;
use super::jobs::{Taken, straight, taken};
use crossfall::job::{Exposure, Fields};
use crossfall::quantity::Length;
use serde_json::{Value, json};

fn with(section: &str, value: Value) -> Taken {
    taken(&straight(|job| job[section] = value))
}

fn told<'a>(taken: &'a Taken, kind: &str) -> &'a str {
    let mut advices = taken.takeoff.advices.iter();
    let found = advices.find(|advice| advice.kind == kind);
    &found.unwrap_or_else(|| panic!("no advice {kind}")).text
}

/// ACI 318-19 Table 19.3.3.1, from memory: target air by the largest stone, class F1 and class F2 or F3.
#[test]
fn target_air_falls_with_the_size_of_the_stone() {
    let table = [
        (0.375, 6.0, 7.5),
        (0.5, 5.5, 7.0),
        (0.75, 5.0, 6.0),
        (1.0, 4.5, 6.0),
        (1.5, 4.5, 5.5),
    ];
    for (inches, f1, f2) in table {
        let row = Fields::built_in()
            .air(Length::from_inches(inches))
            .expect("a row");
        close(row.target(Exposure::F0).percent(), 0.0, 9);
        close(row.target(Exposure::F1).percent(), f1, 9);
        close(row.target(Exposure::F2).percent(), f2, 9);
        close(row.target(Exposure::F3).percent(), f2, 9);
        close(row.tolerance.percent(), 1.5, 9);
    }
    // Between two sizes the smaller stone decides, which asks for more air.
    let between = Fields::built_in()
        .air(Length::from_inches(0.7))
        .expect("a row");
    close(between.target(Exposure::F3).percent(), 7.0, 9);
}

/// Design and Control of Concrete Mixtures, Table 11-3 (second hand): 2,500 psi in F0, 4,500 psi and 0.45
/// from F1; ACI 318-19 Table 19.3.2.1 (from memory): 3,500 and 0.55, 4,500 and 0.45, 5,000 and 0.40.
#[test]
fn strength_and_water_are_those_of_the_tables() {
    let table = [
        (Exposure::F0, (2500.0, None), (2500.0, None), None),
        (
            Exposure::F1,
            (4500.0, Some(0.45)),
            (3500.0, Some(0.55)),
            None,
        ),
        (
            Exposure::F2,
            (4500.0, Some(0.45)),
            (4500.0, Some(0.45)),
            None,
        ),
        (
            Exposure::F3,
            (4500.0, Some(0.45)),
            (4500.0, Some(0.45)),
            Some((5000.0, 0.40)),
        ),
    ];
    for (class, aid, code, structural) in table {
        let row = Fields::built_in().exposure(class).expect("a row");
        assert_eq!((row.strength.psi().round(), row.w_cm), aid);
        assert_eq!((row.code_strength.psi().round(), row.code_w_cm), code);
        let found = row
            .structural_strength
            .map(|strength| strength.psi().round());
        assert_eq!(found.zip(row.structural_w_cm), structural);
    }
}

#[test]
fn a_mix_too_weak_or_with_the_wrong_air_is_told_of_and_the_default_is_not() {
    let mix = |strength: &str, air: &str| {
        let mut job = straight(|job| job["site"] = json!({"exposure": "F2"}));
        job["slab"] = json!({"concrete": {"strength": strength, "air": air}});
        taken(&job)
    };
    assert!(mix("4499 psi", "6 %").advises("mix_strength"));
    assert!(!mix("4500 psi", "6 %").advises("mix_strength"));
    for (air, wrong) in [
        ("4.4 %", true),
        ("4.5 %", false),
        ("7.5 %", false),
        ("7.6 %", true),
    ] {
        assert_eq!(mix("4500 psi", air).advises("mix_air"), wrong, "{air}");
    }
    let usual = taken(&straight(|_| {}));
    assert!(!usual.advises("mix_strength") && !usual.advises("mix_air"));
    let asked = usual.takeoff.mix_asked.expect("a mix");
    assert_eq!(asked.air, asked.target_air);
}

/// Smaller stone asks for more air, and a job that says only its stone gets it.
#[test]
fn air_follows_the_stone_where_the_job_says_no_more() {
    let taken = with("slab", json!({"concrete": {"aggregate": "3/8 in"}}));
    close(taken.job.slab.concrete.air.percent(), 7.5, 9);
}

/// Common practice, no source: 2 to 3 1/2 in from 1:20 up, 1 to 3 in steeper than 1:12 and on steps.
#[test]
fn slump_has_a_limit_for_slopes_steeper_slopes_and_steps() {
    let sloped = |slump: &str, length: &str| {
        let mut job = straight(|job| job["ramp"]["path"][1]["length"] = json!(length));
        job["slab"] = json!({"concrete": {"slump": slump}});
        taken(&job).advises("slump")
    };
    // 28 in over 46 ft 8 in is 1:20, over 28 ft 1:12.
    assert!(!sloped("5 in", "46 ft 8 in") && sloped("5 in", "46 ft 7 in"));
    assert!(!sloped("3 1/2 in", "28 ft") && sloped("3 1/2 in", "27 ft 11 in"));
    let steps = |slump: &str| {
        let mut job = straight(|job| job["ramp"]["path"][1]["length"] = json!("50 ft"));
        job["ramp"]["steps"] =
            json!([{"risers": ["7 in"], "treads": ["11 in"], "width": "4 ft", "build": {}}]);
        job["slab"] = json!({"concrete": {"slump": slump}});
        taken(&job).advises("slump")
    };
    assert!(steps("3 1/8 in") && !steps("3 in"));
}

/// NAVEDTRA 14045, p. 101 (second hand): 150 lb/ft3, so 150 lb/ft2 at 1 ft, 300 at 2 ft, 450 at 3 ft; half
/// of it x depth on each foot: 75, 300, 675 lb.
#[test]
fn a_form_over_a_foot_high_is_told_what_presses_on_it() {
    let wall = |height: &str| {
        with(
            "elements",
            json!([{"kind": "frost_wall", "legs": ["9 ft"], "thickness": "8 in", "height": height}]),
        )
    };
    assert!(!wall("12 in").advises("form_pressure"));
    for (height, bottom, along) in [("2 ft", 300, 300), ("3 ft", 450, 675)] {
        let taken = wall(height);
        let text = told(&taken, "form_pressure");
        assert!(
            text.contains(&format!(
                "= {bottom} lb/ft2 at the bottom, {along} lb on each foot"
            )),
            "{text}"
        );
    }
    let screws = |spacing: &str| {
        let mut job = straight(|job| job["forms"] = json!({"screw_spacing": spacing}));
        job["ramp"]["path"][1]["edges"] = json!({"left": "form_on_wall"});
        taken(&job).advises("form_pressure")
    };
    assert!(!screws("36 in") && screws("37 in"));
}

/// Common practice, no source: a kicker at each stake from 10 in up.
#[test]
fn forms_from_ten_inches_have_kickers_at_their_stakes() {
    let footing = |depth: &str| {
        with(
            "elements",
            json!([{"kind": "strip_footing", "legs": ["8 ft"], "width": "16 in", "depth": depth}]),
        )
    };
    assert!(!footing("9 in").has("form-kicker"));
    // Two faces of 8 ft behind 2x12s, a stake at each end and every 2 ft.
    assert_eq!(footing("10 in").order("form-kicker"), "10");
}

/// Common practice, no source: no more than 6 in to a set of passes.
#[test]
fn deep_stone_is_compacted_in_lifts() {
    let working = |depth: &str| {
        let taken = with("base", json!({"depth": depth}));
        taken.line("plate-compactor-day").working.clone()
    };
    assert!(!working("6 in").contains("lifts"));
    assert!(working("8 in").starts_with("in 2 lifts of 4 in;"));
}

/// Common practice, no source: half as deep as wide, at least 1/4 in; 231 in3 to the gallon.
#[test]
fn sealant_is_half_as_deep_as_its_joint_is_wide() {
    for (filler, depth) in [
        ("1/4 in", 0.25),
        ("1/2 in", 0.25),
        ("3/4 in", 0.375),
        ("1 in", 0.5),
    ] {
        let taken = with("joints", json!({"filler": filler}));
        close(taken.job.joints.sealant_depth.inches(), depth, 9);
    }
    let stated = with(
        "joints",
        json!({"filler": "1/2 in", "sealant_depth": "1/2 in"}),
    );
    let shaped = with("joints", json!({"filler": "1/2 in"}));
    let gallons = |taken: &Taken| match taken.line("sealant-29oz").quantity {
        crossfall::takeoff::Net::Liquid(volume) => volume.gallons(),
        _ => panic!("a liquid"),
    };
    close(gallons(&stated) / gallons(&shaped), 2.0, 9);
}

/// Common practice, no source: a rougher surface drinks more.
#[test]
fn a_sealer_covers_less_of_a_rough_surface() {
    let coverage = |finish: &str| {
        let taken = with("slab", json!({"finish": finish}));
        let sealer = taken.job.sealer.as_option().expect("a sealer");
        sealer.coverage.ft2_per_gal()
    };
    close(coverage("float") / coverage("broom"), 1.2, 9);
    close(coverage("exposed") / coverage("broom"), 0.75, 9);
}

/// Worked: a run of 28.1 ft has posts at 0 and every 6 ft at most: 6 a side, four anchors each.
#[test]
fn rails_that_we_set_are_anchored() {
    let rails = |by: &str| {
        taken(&straight(|job| {
            job["ramp"]["handrails"] = json!({"by": by, "extension": "12 in"})
        }))
    };
    assert_eq!(rails("us").order("rail-anchor"), "48");
    assert!(rails("us").advises("rail_anchors"));
    assert!(!rails("others").has("rail-anchor") && !rails("others").advises("rail_anchors"));
}

/// ASTM C94/C94M (second hand): 90 min from batching. 30 min on the road (common practice, no source) leave
/// 60 for placing: at 0.65 h a yd3 three people place 4.6 yd3, five 7.7.
#[test]
fn a_load_that_cannot_be_out_in_ninety_minutes_is_told_of() {
    let pour = |people: u32, yards: f64| {
        let mut job = straight(|job| job["slab"] = json!({"thickness": "6 in", "waste": "0 %"}));
        // So much concrete, in two landings and a run of one width; an order is rounded up to a quarter yard.
        let feet = yards * 27.0 / 0.5 / 5.0 - 12.0;
        job["ramp"]["path"] = json!([
            {"kind": "landing", "length": format!("{feet} ft")},
            {"kind": "run", "rise": "1/8 in", "length": "6 ft"},
            {"kind": "landing", "length": "6 ft"}
        ]);
        job["ramp"]["curb"] = json!("none");
        job["crew"] = json!({"members": [{"class": "finisher", "count": 1}, {"class": "labourer", "count": people - 1}]});
        taken(&job).advises("discharge")
    };
    assert!(!pour(3, 4.4) && pour(3, 4.6));
    assert!(!pour(5, 7.4) && pour(5, 7.6));
}

/// A board on a taper is ripped; higher than a board, courses step down.
#[test]
fn forms_on_a_taper_are_ripped_or_stacked() {
    let wall = |from: &str, to: &str| {
        with(
            "elements",
            json!([{"kind": "slab", "length": "9 ft", "width": "4 ft", "thickness": from,
            "thickness_end": to}]),
        )
    };
    let says = |taken: &Taken, words: &str| {
        let mut lines = taken
            .takeoff
            .lines
            .iter()
            .filter(|line| line.code.starts_with("board-"));
        lines.any(|line| line.working.contains(words))
    };
    assert!(says(
        &wall("6 in", "9 in"),
        "2 of them ripped along to a taper"
    ));
    assert!(!says(&wall("9 in", "9 in"), "ripped"));
    assert!(says(
        &wall("6 in", "14 in"),
        "stacked in courses that step down a taper"
    ));
}

/// Worked, with 2010 ADA Standards 505.10.3: five risers of 6 in and four treads of 12 in have their first and
/// last nosing 4 ft apart and 2 ft higher; below them the rail goes on for a tread; above, 12 in level.
#[test]
fn rails_of_steps_follow_their_nosings() {
    let rails = |steps: Value| {
        let taken = taken(&straight(|job| {
            job["ramp"]["handrails"] = json!({"by": "us", "extension": "12 in"});
            job["ramp"]["steps"] = steps;
        }));
        match taken.line("handrail-ft").quantity {
            crossfall::takeoff::Net::Length(length) => length.feet(),
            other => panic!("{other:?}"),
        }
    };
    let flight = |build: Value| json!([{"risers": vec!["6 in"; 5], "treads": vec!["12 in"; 4], "width": "4 ft", "build": build}]);
    let more = rails(flight(json!({}))) - rails(json!([]));
    close(
        more,
        2.0 * (f64::hypot(4.0, 2.0) + f64::hypot(1.0, 0.5) + 1.0),
        9,
    );
    // A flight that is only judged has no rail of ours.
    close(rails(flight(Value::Null)), rails(json!([])), 9);
}

/// 2010 ADA Standards 403.3: a walk is no steeper than 1:20.
#[test]
fn a_steep_walk_is_sent_into_the_path() {
    let walk = |rise: &str| {
        with(
            "elements",
            json!([{"kind": "walk", "stretches": [{"length": "20 ft", "rise": rise}]}]),
        )
    };
    assert!(!walk("12 in").advises("walk_slope") && walk("12 1/8 in").advises("walk_slope"));
    assert!(walk("-12 1/8 in").advises("walk_slope"));
}
