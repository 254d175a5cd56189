//! Grades: the elevations that a crew sets, and what the rod reads.

use crate::worked::{DEMO_JOBS, solved};
use crossfall::geometry::{
    Across, Geometry, GradedPiece, GradedPoint, GradedStation, Grades, Lie, Mark, SurfaceKind,
    count_stations, grade, place_pieces,
};
use crossfall::job::{Day, GradeSheet, GradeSheetRequest, Job, expand, expand_grade_sheet};
use crossfall::quantity::{Length, Slope};
use proptest::prelude::*;

const STRAIGHT: &str = r#"{"slab": {"thickness": "4 in"}, "base": {"depth": "4 in"}, "insulation": "none",
    "ramp": {"width": "60 in", "curb": "none", "cross_slope": "1.5 %", "path": [{"kind": "landing"},
    {"kind": "run", "rise": "28 in", "length": "28 ft"}, {"kind": "landing"}]}}"#;

fn graded(text: &str, asked: &str) -> (Job, Geometry, Grades) {
    let (job, geometry) = solved(text);
    let asked: GradeSheetRequest = serde_json::from_str(asked).expect("a section");
    let (wanted, _) =
        expand_grade_sheet(Some(asked), &job).unwrap_or_else(|faults| panic!("{faults}"));
    let grades = grade(&job, &geometry, &wanted);
    (job, geometry, grades)
}

fn at(piece: &GradedPiece, inches: f64) -> &GradedStation {
    let mut stations = piece.stations.iter();
    let near = |station: &&GradedStation| (station.along.inches() - inches).abs() < 1e-6;
    stations.find(near).expect("a station there")
}

fn point(station: &GradedStation, across: Across) -> &GradedPoint {
    let index = Across::ALL.iter().position(|a| *a == across);
    &station.points[index.expect("one of three")]
}

fn close(found: Length, inches: f64) {
    let found = found.inches();
    assert!(
        (found - inches).abs() < 1e-6,
        "{found} in is not {inches} in"
    );
}

/// Differential levelling: height of instrument is the elevation of the benchmark plus the rod read on it,
/// and a point lies that height less its own reading (US Army FM 5-233, Construction Surveying, chapter on
/// levelling; from memory).
#[test]
fn the_rod_reads_the_height_of_the_instrument_less_the_elevation() {
    let asked = r#"{"step": "4 ft", "datum": "100 ft", "benchmark": {"elevation": "101 ft", "rod": "4.5 ft"}}"#;
    let (_, _, grades) = graded(STRAIGHT, asked);
    let station = at(&grades.pieces[1], 144.0);
    let centre = point(station, Across::Centre);
    // 12 ft up 1:12 is 1 ft above the foot at 100 ft.
    close(centre.finish.elevation, 101.0 * 12.0);
    close(centre.finish.rod.expect("a reading"), 4.5 * 12.0);
    let stone = centre.stone_bottom.expect("stone");
    close(
        stone.rod.expect("a reading"),
        105.5 * 12.0 - stone.elevation.inches(),
    );
    assert_eq!(grades.out_of_sight, None);
}

/// Worked by hand: 1.5 % over 60 in is 0.9 in from edge to edge.
#[test]
fn the_left_edge_stands_half_the_cross_fall_above_the_middle() {
    let (_, _, grades) = graded(STRAIGHT, r#"{"step": "4 ft", "falls_to": "right"}"#);
    let station = at(&grades.pieces[1], 48.0);
    close(point(station, Across::Left).finish.elevation, 4.45);
    close(point(station, Across::Centre).finish.elevation, 4.0);
    close(point(station, Across::Right).finish.elevation, 3.55);
    let (_, _, mirrored) = graded(STRAIGHT, r#"{"step": "4 ft", "falls_to": "left"}"#);
    let station = at(&mirrored.pieces[1], 48.0);
    close(point(station, Across::Left).finish.elevation, 3.55);
}

/// Worked by hand: square to a surface of 1:12 and 1.5 %, 4 in are 4 in times the root of
/// 1 + 1/144 + 0.015^2 plumb; measured plumb they are 4 in.
#[test]
fn what_lies_below_is_measured_plumb_from_a_thickness_square_to_the_surface() {
    let (_, _, grades) = graded(STRAIGHT, r#"{"step": "4 ft"}"#);
    let centre = *point(at(&grades.pieces[1], 48.0), Across::Centre);
    let plumb = 4.0 * libm::sqrt(1.0 + 1.0 / 144.0 + 0.015 * 0.015);
    close(centre.slab_bottom.expect("a slab").elevation, 4.0 - plumb);
    close(
        centre.stone_bottom.expect("stone").elevation,
        4.0 - 2.0 * plumb,
    );
    assert_eq!(centre.insulation_bottom, None);
    let vertical = STRAIGHT.replace(
        "\"4 in\"}, \"base\"",
        "\"4 in\", \"thickness_measured\": \"vertical\"}, \"base\"",
    );
    let (_, _, grades) = graded(&vertical, r#"{"step": "4 ft"}"#);
    let centre = *point(at(&grades.pieces[1], 48.0), Across::Centre);
    close(centre.slab_bottom.expect("a slab").elevation, 0.0);
}

#[test]
fn a_form_over_a_curb_stands_as_high_as_the_curb_and_there_is_none_along_a_wall() {
    let job = STRAIGHT.replace(
        "\"curb\": \"none\", \"cross_slope\"",
        "\"curb\": {\"width\": \"6 in\", \"height\": \"4 in\"}, \"cross_slope\"",
    );
    let job = job.replace(
        "\"length\": \"28 ft\"",
        "\"length\": \"28 ft\", \"edges\": {\"left\": \"against_wall\"}, \"curbs\": [\"right\"]",
    );
    let (_, _, grades) = graded(&job, r#"{"step": "4 ft"}"#);
    let station = at(&grades.pieces[1], 48.0);
    let right = point(station, Across::Right);
    let top = right.form_top.expect("a form").elevation;
    close(top - right.finish.elevation, 4.0);
    assert_eq!(point(station, Across::Left).form_top, None);
    // Water runs away from the wall.
    assert!(station.to_left > Slope::ZERO);
}

#[test]
fn stations_are_ends_creases_joints_and_steps_and_none_stands_twice() {
    let (_, geometry, grades) = graded(STRAIGHT, r#"{"step": "4 ft"}"#);
    let run = &grades.pieces[1].stations;
    assert_eq!(run.first().map(|s| s.mark), Some(Mark::Crease));
    assert_eq!(run.last().map(|s| s.mark), Some(Mark::Crease));
    assert_eq!(grades.pieces[0].stations[0].mark, Mark::End);
    let (_, _, turned) = graded(DEMO_JOBS[2].1, "{}");
    let landing = &turned.pieces[2].stations;
    assert_eq!(landing.last().map(|s| s.mark), Some(Mark::End));
    let panels = geometry.joints.panels.iter().find(|grid| grid.piece == 1);
    let joints = run.iter().filter(|s| s.mark == Mark::Joint).count();
    assert_eq!(joints, panels.expect("panels").along as usize - 1);
    assert!(
        run.windows(2)
            .all(|pair| pair[1].along - pair[0].along > Length::from_inches(1.0 / 16.0))
    );
    let made: usize = grades.pieces.iter().map(|piece| piece.stations.len()).sum();
    assert!(made <= count_stations(&geometry, Length::from_feet(4.0)) + 2 * grades.pieces.len());
}

#[test]
fn a_point_above_the_line_of_sight_has_no_reading_and_is_told() {
    let asked = r#"{"step": "4 ft", "benchmark": {"rod": "2 ft"}}"#;
    let (_, _, grades) = graded(STRAIGHT, asked);
    let (count, highest) = grades.out_of_sight.expect("the head stands above 2 ft");
    assert!(count > 0);
    close(highest, 28.45 - 24.0);
    let head = grades.pieces[2].stations.last().expect("an end");
    assert_eq!(point(head, Across::Centre).finish.rod, None);
}

/// Plane geometry: on an L the landing's plane of 1.5 % passes level through both ends of the path on it,
/// so that it falls 1.5 % over the root of two along and across, to the outer corner.
#[test]
fn a_landing_that_turns_falls_to_its_outer_corner() {
    let job = r#"{"ramp": {"width": "60 in", "curb": "none", "cross_slope": "1.5 %", "path": [{"kind": "landing"},
        {"kind": "run", "rise": "14 in", "length": "14 ft"}, {"kind": "landing", "turn": "left", "length": "60 in"},
        {"kind": "run", "rise": "14 in", "length": "14 ft"}, {"kind": "landing"}]}}"#;
    let (_, _, grades) = graded(job, r#"{"falls_to": "right"}"#);
    let Lie::Plane(plane) = grades.pieces[2].lie else {
        panic!("a landing is a plane")
    };
    let part = 1.5 / libm::sqrt(2.0);
    assert!((plane.along.percent() + part).abs() < 1e-9);
    assert!((plane.to_left.percent() - part).abs() < 1e-9);
    assert!((plane.steepest().percent() - 1.5).abs() < 1e-9);
}

/// A first landing that turns back was divided by the nothing between its two ends.
#[test]
fn a_landing_that_is_left_where_it_is_entered_has_grades() {
    for turn in ["back_left", "back_right", "left", "right"] {
        let text = format!(
            r#"{{"ramp": {{"path": [{{"kind": "landing", "turn": "{turn}"}},
            {{"kind": "run", "rise": "12 in", "length": "13 ft 4 in"}}]}}}}"#
        );
        let (_, _, grades) = graded(&text, r#"{"benchmark": {"rod": "5 ft 2 in"}}"#);
        let stations = grades.pieces.iter().flat_map(|piece| &piece.stations);
        let mut points = stations.flat_map(|station| &station.points);
        let finite = |point: &GradedPoint| point.finish.elevation.inches().is_finite();
        assert!(points.all(finite), "{turn}");
    }
}

/// What meets at a crease meets at one line, whatever the turn and wherever it lies on the ground, and the
/// middle of the path keeps the elevations of the height budget.
fn holds_together(job: &Job, geometry: &Geometry, wanted: &GradeSheet) {
    let grades = grade(job, geometry, wanted);
    let places = place_pieces(job, &geometry.surfaces, |surface| surface.plan_length);
    for (index, piece) in grades.pieces.iter().enumerate() {
        let surface = &geometry.surfaces[index];
        if surface.kind != SurfaceKind::Run {
            continue;
        }
        for station in &piece.stations {
            let middle = point(station, Across::Centre).finish.elevation - wanted.datum;
            close(
                middle,
                (surface.elevation_start + surface.slope * station.along).inches(),
            );
        }
        let ends = [(index - 1, Length::ZERO), (index + 1, surface.plan_length)];
        for ((landing, along), across) in ends
            .into_iter()
            .flat_map(|end| Across::ALL.map(|a| (end, a)))
        {
            let from_left = across.from_left(surface.width);
            let here = surface.elevation_start + piece.lie.above_start(along, from_left);
            let (left, up) = places[landing].from_edges(places[index].point(from_left, along));
            let there = geometry.surfaces[landing].elevation_start
                + grades.pieces[landing].lie.above_start(up, left);
            close(here, there.inches());
        }
    }
}

#[test]
fn the_demo_jobs_hold_together_at_every_crease() {
    for (_, text) in DEMO_JOBS {
        let (job, geometry) = solved(text);
        let (wanted, _) =
            expand_grade_sheet(None, &job).unwrap_or_else(|faults| panic!("{faults}"));
        holds_together(&job, &geometry, &wanted);
    }
}

#[test]
fn faults_of_the_section_are_told_by_every_call() {
    let job = STRAIGHT.replacen(
        '{',
        r#"{"grade_sheet": {"step": "1 in", "benchmark": {"rod": "40 ft"}}, "#,
        1,
    );
    let faults = expand(
        crate::worked::read(&job),
        Day::parse("2026-05-04").expect("a day"),
    )
    .expect_err("two faults");
    let places: Vec<&str> = faults
        .0
        .iter()
        .map(|fault| fault.pointer.as_str())
        .collect();
    assert_eq!(places, ["/grade_sheet/step", "/grade_sheet/benchmark/rod"]);
}

proptest! {
    #![proptest_config(crate::config())]

    #[test]
    fn any_turn_holds_together(
        turn in prop::sample::select(vec!["left", "right", "back_left", "back_right", "straight"]),
        side in prop::sample::select(vec!["left", "right"]),
        rise in 4.0..30.0_f64,
        width in 40.0..80.0_f64,
        (along, across) in (-1.5..1.5_f64, 0.0..2.0_f64),
    ) {
        let job = format!(r#"{{"ramp": {{"width": "{width} in", "path": [{{"kind": "landing"}},
            {{"kind": "run", "rise": "{rise} in", "length": "25 ft"}},
            {{"kind": "landing", "turn": "{turn}", "slope_along": "{along} %", "slope_across": "{across} %"}},
            {{"kind": "run", "rise": "{rise} in", "length": "28 ft"}}, {{"kind": "landing"}}]}}}}"#);
        let (job, geometry) = solved(&job);
        let asked = serde_json::from_str(&format!(r#"{{"falls_to": "{side}"}}"#)).expect("a section");
        let (wanted, _) = expand_grade_sheet(Some(asked), &job).unwrap_or_else(|faults| panic!("{faults}"));
        holds_together(&job, &geometry, &wanted);
        let grades = grade(&job, &geometry, &wanted);
        let Lie::Plane(plane) = grades.pieces[2].lie else { panic!("a landing is a plane") };
        // Never steeper than the job says, but where the rise over a short way asks for it.
        let said = libm::hypot(along, across);
        prop_assert!(turn != "straight" || (plane.steepest().percent() - said).abs() < 1e-9);
    }
}
