//! The job solved in space: lengths, areas, edges, joints.

mod grades;
mod layout;
mod solids;

use crate::worked::solved;
use crossfall::geometry::{HeightWhat, Stands};
use crossfall::job::EdgeName;
use crossfall::quantity::Length;
use proptest::prelude::*;

const L_RAMP: &str = include_str!("../../data/l-ramp-with-wall.json");

fn close(found: f64, expected: f64) {
    assert!(
        (found - expected).abs() <= 5e-3 * expected.abs().max(1.0),
        "{found} is not {expected}"
    );
}

/// Worked by hand on paper, 64-bit: an L with one run taped along the surface (common practice, no
/// source; the hypotenuse is Euclid's).
#[test]
fn an_l_with_one_run_taped_along_the_surface() {
    let (_, geometry) = solved(L_RAMP);
    close(geometry.total_rise().inches(), 28.0);
    close(geometry.plan_length().feet(), 44.12);
    close(geometry.new_area().square_feet(), 243.16);
    close(geometry.surfaces[3].plan_length.feet(), 15.12);
    close(geometry.surfaces[3].station.feet(), 23.5);
    close(geometry.surfaces[4].elevation_end.inches(), 28.0);
    close(geometry.surfaces[1].clear_width.inches(), 54.0);
    close(geometry.surfaces[2].clear_width.inches(), 60.0);
    close(geometry.surfaces[4].clear_length.inches(), 60.0);
}

/// 4 creases and 2 joints in each run of three even panels; isolation against the walk and the walls.
#[test]
fn its_joints_stand_at_creases_and_between_even_panels() {
    let (_, geometry) = solved(L_RAMP);
    let joints = &geometry.joints;
    assert_eq!(joints.contraction_count, 8);
    close(joints.contraction_length.feet(), 44.0);
    close(joints.isolation_length().feet(), 31.67);
    close(joints.longest_panel().feet(), 5.5);
    close(joints.worst_aspect(), 1.26);
    assert!(joints.warnings.is_empty());
}

/// 2010 ADA Standards, Advisory 405.3, derived: 30 in over 360 in on plan is 361.248 in along the
/// surface (D49 of the reference).
#[test]
fn thirty_inches_over_thirty_feet_is_361_248_in_along_the_surface() {
    let job = r#"{"ramp": {"path": [{"kind": "landing"}, {"kind": "run", "rise": "30 in", "length": "30 ft"}, {"kind": "landing"}]}}"#;
    let (_, geometry) = solved(job);
    assert!((geometry.surfaces[1].surface_length.inches() - 361.248).abs() < 5e-4);
}

/// ACI 302.1R-96 as quoted in trade columns: 24 to 36 times the thickness; a 4-in slab 8 to 12 ft.
#[test]
fn a_panel_over_24_times_the_thickness_is_warned_of_and_over_36_times_is_capped() {
    let factors = |width: &str, spacing: &str| -> Vec<f64> {
        let job = format!(
            r#"{{"slab": {{"thickness": "4 in"}}, "ramp": {{"width": "{width}", "path": [{{"kind": "landing"}},
            {{"kind": "run", "rise": "24 in", "length": "30 ft"}}, {{"kind": "landing"}}]}},
            "joints": {{"spacing": "{spacing}", "slack": "0 %"}}}}"#
        );
        let (_, geometry) = solved(&job);
        geometry
            .joints
            .warnings
            .iter()
            .map(|warning| warning.factor)
            .collect()
    };
    assert!(factors("8 ft", "8 ft").is_empty());
    assert!(factors("8 ft", "11 ft").contains(&24.0));
    assert!(
        factors("12 ft", "12 ft")
            .iter()
            .all(|factor| *factor == 24.0)
    );
    assert!(factors("12 ft 1 in", "18 ft").contains(&36.0));
}

/// W26. ACI 302.1R-80 as quoted in trade columns: 3 ft for an inch of slab at the most, 18 ft in 6 in.
#[test]
fn w26_a_six_inch_slab_is_warned_of_over_18_feet() {
    let warned = |width: &str| {
        let job = format!(
            r#"{{"slab": {{"thickness": "6 in"}}, "ramp": {{"width": "{width}", "path": [{{"kind": "landing", "length": "18 ft"}},
            {{"kind": "run", "rise": "6 in", "length": "18 ft"}}, {{"kind": "landing", "length": "18 ft"}}]}},
            "joints": {{"spacing": "18 ft", "slack": "0 %"}}}}"#
        );
        let (_, geometry) = solved(&job);
        geometry
            .joints
            .warnings
            .iter()
            .any(|warning| warning.factor > 30.0)
    };
    assert!(!warned("18 ft") && warned("18 ft 1 in"));
}

#[test]
fn a_landing_that_turns_back_is_as_wide_as_both_runs_and_the_gap() {
    let job = r#"{"ramp": {"width": "5 ft", "gap": "6 in", "path": [{"kind": "landing"},
        {"kind": "run", "rise": "10 in", "length": "10 ft"}, {"kind": "landing", "turn": "back_left"},
        {"kind": "run", "rise": "10 in", "length": "10 ft"}, {"kind": "landing"}]}}"#;
    let (_, geometry) = solved(job);
    close(geometry.surfaces[2].width.inches(), 126.0);
    let starts: Vec<_> = geometry
        .edges
        .iter()
        .filter(|edge| edge.piece == 2 && edge.name == EdgeName::Start)
        .map(|edge| (edge.stands == Stands::Joined, edge.length.inches().round()))
        .collect();
    assert_eq!(starts, [(true, 60.0), (true, 60.0), (false, 6.0)]);
}

#[test]
fn existing_work_is_isolated_and_not_measured_as_new() {
    let job = r#"{"ramp": {"path": [{"kind": "landing", "work": "existing"},
        {"kind": "run", "rise": "10 in", "length": "10 ft"}, {"kind": "landing"}]}}"#;
    let (_, geometry) = solved(job);
    assert_eq!(geometry.new_surfaces().count(), 2);
    let isolated: Vec<_> = geometry
        .joints
        .isolation
        .iter()
        .map(|joint| (joint.piece, joint.edge))
        .collect();
    assert!(isolated.contains(&(1, EdgeName::Start)), "{isolated:?}");
}

#[test]
fn the_height_budget_names_runs_landings_and_the_threshold() {
    let job = r#"{"ramp": {"path": [{"kind": "landing", "slope_along": "2 %"},
        {"kind": "run", "rise": "10 in", "length": "10 ft"}, {"kind": "landing", "door": {"edge": "end", "threshold": "1/2 in"}}]}}"#;
    let (_, geometry) = solved(job);
    let whats: Vec<_> = geometry
        .height_budget
        .iter()
        .map(|step| step.what)
        .collect();
    assert_eq!(
        whats,
        [HeightWhat::Landing, HeightWhat::Run, HeightWhat::Threshold]
    );
    close(geometry.total_height().inches(), 1.2 + 10.0 + 0.5);
}

proptest! {
    #![proptest_config(crate::config())]

    /// Splitting a run in two of the same slope, with nothing between, changes no length and no area.
    #[test]
    fn splitting_a_run_changes_nothing(rise in 2.0..30.0_f64, ratio in 12.0..20.0_f64, part in 0.2..0.8_f64) {
        let length = rise * ratio;
        let run = |share: f64| format!(r#"{{"kind": "run", "rise": "{} in", "length": "{} in"}}"#, rise * share, length * share);
        let job = |runs: String| format!(r#"{{"ramp": {{"path": [{{"kind": "landing"}}, {runs}, {{"kind": "landing"}}]}}}}"#);
        let (_, whole) = solved(&job(run(1.0)));
        let (_, split) = solved(&job(format!("{}, {}", run(part), run(1.0 - part))));
        prop_assert!((whole.plan_length() / split.plan_length() - 1.0).abs() < 1e-9);
        prop_assert!((whole.new_area() / split.new_area() - 1.0).abs() < 1e-9);
        prop_assert!((whole.total_rise() / split.total_rise() - 1.0).abs() < 1e-9);
    }

    /// Panels are even, add up to the piece, and exceed the spacing by no more than the slack.
    #[test]
    fn panels_add_up_and_keep_the_spacing(feet in 6.0..60.0_f64, spacing in 2.0..18.0_f64, width in 3.0..20.0_f64) {
        let job = format!(r#"{{"ramp": {{"width": "{width} ft", "path": [{{"kind": "landing", "length": "20 ft"}},
            {{"kind": "run", "rise": "6 in", "length": "{feet} ft"}}, {{"kind": "landing", "length": "20 ft"}}]}},
            "joints": {{"spacing": "{spacing} ft"}}}}"#);
        let (_, geometry) = solved(&job);
        let most = Length::from_feet(spacing * 1.05);
        for grid in &geometry.joints.panels {
            let surface = &geometry.surfaces[grid.piece];
            prop_assert!((grid.length * f64::from(grid.along) / surface.surface_length - 1.0).abs() < 1e-9);
            prop_assert!(grid.length.at_most(most));
            prop_assert!(grid.length.at_most(grid.width * 1.5));
        }
    }
}
