//! Who supplies what, and what a person is told.

use super::jobs::{reading_room, straight, taken};
use crossfall::job::By;
use crossfall::takeoff::{Detail, take_off_with};
use serde_json::json;

#[test]
fn what_others_supply_is_taken_off_and_needed() {
    let ours = taken(&straight(|_| {}));
    let job = straight(|job| job["base"] = json!({"by": "others"}));
    let theirs = taken(&job);
    let (line, same) = (
        theirs.line("stone-dense-graded"),
        ours.line("stone-dense-graded"),
    );
    assert_eq!((line.by, line.order), (By::Others, same.order));
    assert!(
        theirs
            .takeoff
            .needs
            .iter()
            .any(|need| need.of == "/base" && need.from == By::Others)
    );
    assert!(theirs.takeoff.measures.base_area.is_zero());
    assert!(!theirs.has("plate-compactor-day") && !theirs.has("stone-delivery"));
    assert!(ours.has("plate-compactor-day") && ours.has("stone-delivery"));
}

#[test]
fn what_others_supply_and_we_install_keeps_the_crew_busy() {
    let job = straight(|job| job["base"] = json!({"by": "others_supply_we_install"}));
    let taken = taken(&job);
    assert_eq!(
        taken.line("stone-dense-graded").by,
        By::OthersSupplyWeInstall
    );
    assert!(!taken.takeoff.measures.base_area.is_zero());
    assert!(taken.has("plate-compactor-day") && !taken.has("stone-delivery"));
    assert_eq!(taken.line("plate-compactor-day").by, By::Us);
}

#[test]
fn a_landing_by_others_is_theirs_with_all_that_is_in_it() {
    let job = straight(|job| job["ramp"]["path"][2]["by"] = json!("others"));
    let (all, part) = (taken(&straight(|_| {})), taken(&job));
    let concrete: Vec<By> = part
        .takeoff
        .lines
        .iter()
        .filter(|line| line.code == "concrete-4500-air")
        .map(|line| line.by)
        .collect();
    assert_eq!(concrete, [By::Us, By::Others]);
    assert!(part.takeoff.concrete.net < all.takeoff.concrete.net);
    assert_eq!(part.takeoff.concrete.parts.len(), 3);
    assert!(part.takeoff.measures.surface_area < all.takeoff.measures.surface_area);
}

#[test]
fn a_sub_needs_what_a_prime_does_itself() {
    let sub = taken(&straight(|_| {}));
    let prime = taken(&straight(|job| job["scope"] = json!("prime")));
    for of in [
        "fill",
        "backfill",
        "paving",
        "permit",
        "locate",
        "traffic_control",
    ] {
        let pointer = format!("/site_work/{of}");
        let needs =
            |taken: &super::jobs::Taken| taken.takeoff.needs.iter().any(|need| need.of == pointer);
        assert!(needs(&sub), "{of}");
        assert!(!needs(&prime), "{of}");
    }
    for code in ["permit-fee", "fill", "paving", "traffic-control"] {
        assert!(prime.has(code) && !sub.has(code), "{code}");
    }
    assert_eq!(sub.line("handrail-ft").by, By::Others);
    assert_eq!(prime.line("handrail-ft").by, By::Us);
    // 28 ft at 1:12 is 28.1 ft of run; 12 in at both ends; both sides: 60.19 ft.
    assert_eq!(prime.order("handrail-ft"), "61");
    assert!(prime.takeoff.measures.backfill_length > sub.takeoff.measures.backfill_length);
}

#[test]
fn every_of_points_into_the_expanded_job() {
    for job in [
        reading_room(),
        straight(|job| job["scope"] = json!("prime")),
    ] {
        let taken = taken(&job);
        let written = serde_json::to_value(&taken.job).expect("a job can be written");
        let lines = taken.takeoff.lines.iter().map(|line| line.of);
        let needs = taken.takeoff.needs.iter().map(|need| &*need.of);
        let advices = taken.takeoff.advices.iter().map(|advice| &*advice.of);
        let marks = taken.takeoff.bar_marks.iter().map(|mark| &*mark.of);
        for of in lines.chain(needs).chain(advices).chain(marks) {
            assert!(written.pointer(of).is_some(), "{of}");
        }
    }
}

#[test]
fn the_models_cure_and_sealer_draw_an_advice_and_the_default_pair_does_not() {
    assert!(taken(&reading_room()).advises("cure_and_sealer"));
    let default = taken(&straight(|_| {}));
    assert!(!default.advises("cure_and_sealer") && !default.advises("sealer_age"));
    let early = taken(&straight(|job| {
        job["sealer"] = json!({"earliest_age": "3 d"})
    }));
    assert!(early.advises("sealer_age"));
}

#[test]
fn a_wet_mix_on_a_slope_and_a_far_truck_are_told() {
    let slump = |slump: &str| {
        let slump = slump.to_owned();
        taken(&straight(|job| {
            job["slab"] = json!({"concrete": {"slump": slump}})
        }))
        .advises("slump")
    };
    assert!(slump("4 in") && !slump("3 1/2 in"));
    let away = |feet: &str| {
        let feet = feet.to_owned();
        taken(&straight(|job| {
            job["site"] = json!({"truck_to_pour": feet})
        }))
    };
    assert!(away("17 ft").advises("reach") && !away("16 ft").advises("reach"));
    let barrow = |feet: &str| {
        let feet = feet.to_owned();
        taken(&straight(|job| {
            job["site"] = json!({"truck_to_pour": feet});
            job["crew"] = json!({"placing": "barrow"});
        }))
    };
    assert!(barrow("76 ft").advises("reach") && !barrow("75 ft").advises("reach"));
}

#[test]
fn bags_are_ordered_when_placed_and_offered_when_small() {
    let tiny = |placing: &str| {
        let placing = placing.to_owned();
        taken(
            &json!({"crew": {"placing": placing}, "ramp": {"width": "4 ft", "curb": "none", "path": [
                {"kind": "landing", "work": "existing", "length": "5 ft"},
                {"kind": "run", "rise": "6 in", "length": "6 ft"},
                {"kind": "landing", "work": "existing", "length": "5 ft"}
            ]}}),
        )
    };
    // 6.0208 ft x 4 ft x 5/12 ft = 10.035 ft3; and 1/4 in of depth, 0.502 ft3; / 0.6 = 17.56.
    let bags = tiny("bags");
    assert_eq!(bags.order("bag-80lb"), "18");
    assert!(!bags.has("concrete-4500-air") && !bags.has("short-load-yd3"));
    assert_eq!(bags.takeoff.measures.loads, 0);
    let truck = tiny("chute");
    assert!(truck.advises("bags") && !bags.advises("bags"));
    assert_eq!(truck.takeoff.concrete.bags, 18);
    assert_eq!(truck.takeoff.concrete.bags_break_even.cubic_yards(), 1.0);
}

#[test]
fn concrete_takes_the_class_that_is_strong_enough() {
    let code = |strength: &str, air: &str| {
        let mix = json!({"concrete": {"strength": strength, "air": air}});
        taken(&straight(|job| job["slab"] = mix)).takeoff.lines[0]
            .code
            .clone()
    };
    assert_eq!(code("4500 psi", "6 %"), "concrete-4500-air");
    assert_eq!(code("30 MPa", "6 %"), "concrete-4500-air");
    assert_eq!(code("2500 psi", "5 %"), "concrete-3500-air");
    assert_eq!(code("3100 psi", "0 %"), "concrete-4000");
    // No class is strong enough: a code of its own, which no book need price.
    assert_eq!(code("5600 psi", "6 %"), "concrete-6000-air");
    assert_eq!(code("4500 psi", "0 %"), "concrete-4500");
}

#[test]
fn working_speaks_the_units_of_the_job() {
    let metric = taken(&straight(|job| job["units"] = json!("metric")));
    let us = taken(&straight(|_| {}));
    assert!(
        us.takeoff.lines[0]
            .working
            .starts_with("slab 190.49 ft2 x 5/12 ft = ")
    );
    let working = &metric.takeoff.lines[0].working;
    assert!(
        working.starts_with("slab 17.7 m2 x 0.125 m = 2.212 m3; curbs "),
        "{working}"
    );
    for line in &metric.takeoff.lines {
        assert!(
            !line.working.contains(" ft2 "),
            "{}: {}",
            line.code,
            line.working
        );
    }
}

#[test]
fn a_takeoff_without_its_working_is_the_same_takeoff() {
    for job in [
        reading_room(),
        straight(|job| job["ramp"]["support"] = json!("solid")),
    ] {
        let mut full = taken(&job);
        let catalog = crossfall::catalog::Catalog::built_in();
        let mut bare = take_off_with(
            &full.job,
            &full.geometry,
            (catalog, crossfall::catalog::Worths::UNKNOWN),
            Detail::Described,
        );
        assert!(
            full.takeoff
                .lines
                .iter()
                .all(|line| !line.working.is_empty())
        );
        let without = |line: &crossfall::takeoff::Line| line.working.is_empty();
        assert!(bare.lines.iter().all(without));
        for line in full.takeoff.lines.iter_mut().chain(&mut bare.lines) {
            line.working.clear();
        }
        assert_eq!(full.takeoff, bare);
    }
}
