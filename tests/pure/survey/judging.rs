//! Readings held against rules, and what to do about them.

use super::{grid, job, shot};
use crate::worked::{demo_list, read, solved};
use crossfall::catalog::Catalog;
use crossfall::crew::Rates;
use crossfall::estimate::{DefectKind, SurveyAnswered, SurveyAsked, With, answer_survey};
use crossfall::job::{Job, expand_grade_sheet};
use crossfall::rules::{Finding, RuleSets, SetVerdict, Verdict};
use proptest::prelude::*;
use serde_json::{Value, json};

fn answered_with_job(mut whole: Value) -> (Job, SurveyAnswered) {
    let sent = read(&whole.to_string());
    whole.as_object_mut().expect("an object").remove("survey");
    let (job, _) = solved(&whole.to_string());
    let (told, _) = SurveyAsked::of(sent.survey, sent.grade_sheet, &job)
        .unwrap_or_else(|faults| panic!("{faults}"));
    let list = demo_list();
    let with = With {
        rules: RuleSets::built_in(),
        catalog: Catalog::built_in(),
        rates: Rates::built_in(),
        list: &list,
    };
    let answer = answer_survey(&job, &told, with).unwrap_or_else(|faults| panic!("{faults}"));
    (job, answer)
}

fn answered(survey: &Value) -> SurveyAnswered {
    answered_with_job(job(survey)).1
}

fn verdict(answer: &SurveyAnswered) -> SetVerdict {
    answer.check.as_ref().expect("judged").check.verdict
}

fn findings<'a>(answer: &'a SurveyAnswered, rule: &'a str) -> impl Iterator<Item = &'a Finding> {
    let check = &answer.check.as_ref().expect("judged").check;
    check.findings.iter().filter(move |f| f.rule == rule)
}

/// The first reading of a level, judged by 405.2 (1:12).
fn read_as(reading: &str, more: &Value) -> (Verdict, Option<String>, Option<bool>) {
    let mut sent = json!({"stage": "poured", "walks": [{"piece": 1, "readings": [reading]}]});
    for (key, value) in more.as_object().expect("an object") {
        sent[key] = value.clone();
    }
    let answer = answered(&sent);
    let decided = answer.check.as_ref().expect("judged").windows[0].clone();
    let decided = decided.expect("it was read");
    let finding = findings(&answer, "ada-2010/405.2").next().expect("judged");
    (
        decided.verdict,
        finding.note.clone(),
        decided.in_field_tolerance,
    )
}

/// 2010 ADA Standards, 405.2: 1:12 = 8.333 %. Read. A digital level is trusted to 0.1 of a point.
#[test]
fn a_window_is_decided_only_where_its_interval_leaves_the_limit_out() {
    let none = json!({});
    assert_eq!(read_as("8.23 %", &none).0, Verdict::Meets);
    assert_eq!(read_as("8.24 %", &none).0, Verdict::Undetermined);
    assert_eq!(read_as("1:12", &none).0, Verdict::Undetermined);
    assert_eq!(read_as("8.43 %", &none).0, Verdict::Undetermined);
    assert_eq!(read_as("8.44 %", &none).0, Verdict::Violates);
    let note = read_as("8.43 %", &none).1.expect("both figures");
    assert!(
        note.contains("8.43 %") && note.contains("8.333 %") && note.contains("0.1"),
        "{note}"
    );
    let sure = json!({"uncertainty": {"level": "0 %"}});
    assert_eq!(read_as("1:12", &sure).0, Verdict::AtLimit);
    assert_eq!(read_as("8.334 %", &sure).0, Verdict::Violates);
}

/// US Access Board report on dimensional tolerances (2011), 1.2.5: half a point on a ramp's running
/// slope is suggested; it is no law. Read.
#[test]
fn a_field_tolerance_is_told_and_never_mends_a_broken_rule() {
    let sure = json!({"uncertainty": {"level": "0 %"}});
    let (verdict, note, inside) = read_as("8.8 %", &sure);
    assert_eq!((verdict, inside), (Verdict::Violates, Some(true)));
    let note = note.expect("a note");
    assert!(
        note.contains("violates, inside the advisory field tolerance"),
        "{note}"
    );
    let (verdict, note, inside) = read_as("8.84 %", &sure);
    assert_eq!((verdict, inside), (Verdict::Violates, Some(false)));
    assert!(note.expect("a note").contains("outside"));
    assert_eq!(read_as("8 %", &sure).2, None);
}

#[test]
fn what_nobody_measured_is_open() {
    let walk = |readings: Value| {
        let mut walks = vec![json!({"piece": 1, "readings": readings})];
        for piece in 0..3 {
            let along =
                json!({"piece": piece, "direction": "across", "readings": vec!["1.4 %"; 2]});
            walks.push(along);
        }
        for piece in [0, 2] {
            walks.push(json!({"piece": piece, "readings": ["0 %", "0 %"]}));
        }
        answered(&json!({"stage": "poured", "walks": walks}))
    };
    assert_eq!(
        verdict(&walk(json!(vec!["7.1 %"; 14]))),
        SetVerdict::Complies
    );
    let mut readings = vec![json!("7.1 %"); 14];
    readings[4] = json!("9.5 %");
    assert_eq!(verdict(&walk(json!(readings))), SetVerdict::DoesNotComply);
    readings[4] = Value::Null;
    let answer = walk(json!(readings));
    assert_eq!(verdict(&answer), SetVerdict::Undetermined);
    let notes: Vec<_> = findings(&answer, "ada-2010/405.2")
        .filter_map(|finding| finding.note.clone())
        .collect();
    assert!(
        notes.iter().any(|note| note.contains("1 lengths")),
        "{notes:?}"
    );
}

/// A ramp of 20 in over 28 ft (5.95 %), its landings falling 0.5 %: a bump of 0.4 in, one reading too
/// steep, and a hollow of 0.35 in. Invented.
fn planted() -> Value {
    let height = |(piece, along, across): (usize, f64, f64)| {
        let centre: f64 = match piece {
            0 => 0.0,
            1 => 20.0 * along / 336.0,
            _ => 20.0,
        };
        let falls = if piece == 1 { 0.015 } else { 0.005 };
        let planted = match (piece, along, across) {
            (1, 168.0, 30.0) => 0.4,
            (2, 30.0, 30.0) => -0.35,
            _ => 0.0,
        };
        centre - falls * (across - 30.0) + planted
    };
    let shots: Vec<Value> = grid()
        .into_iter()
        .map(|(piece, along, across)| {
            let elevation = format!("{} in", height((piece, along, across)) + 812.5);
            json!({"piece": piece, "along": format!("{along} in"),
                "across": format!("{across} in"), "elevation": elevation})
        })
        .collect();
    let mut readings = vec!["5.95 %"; 14];
    readings[9] = "9.2 %";
    let mut whole = job(&json!({"stage": "poured", "shots": shots,
        "walks": [{"piece": 1, "across": "12 in", "readings": readings}]}));
    whole["ramp"]["path"][1]["rise"] = json!("20 in");
    for piece in [0, 2] {
        whole["ramp"]["path"][piece]["slope_across"] = json!("0.5 %");
    }
    whole
}

#[test]
fn three_planted_defects_are_found_and_nothing_else() {
    let (_, answer) = answered_with_job(planted());
    let found: Vec<_> = answer.defects.iter().map(|d| (d.kind, d.piece)).collect();
    let expected = [
        (DefectKind::Bump, 1),
        (DefectKind::Window, 1),
        (DefectKind::Ponding, 2),
    ];
    assert_eq!(found, expected, "{:#?}", answer.defects);
    assert_eq!(answer.defects[1].subject, "/survey/walks/0/readings/9");
    assert!((answer.defects[0].from.inches() - 168.0).abs() < 1e-9);
    assert_eq!(verdict(&answer), SetVerdict::DoesNotComply);
    let kinds: Vec<&str> = answer.cautions.iter().map(|c| c.kind.as_str()).collect();
    assert!(
        kinds.contains(&"silica") && kinds.contains(&"code"),
        "{kinds:?}"
    );
    assert!(
        answer.headline.contains("3 places to mend"),
        "{}",
        answer.headline
    );
    // The bump is ground off its whole height in the panels that meet there.
    let there = answer.mends.iter().filter(|mend| {
        mend.piece == 1 && mend.from.inches() <= 168.001 && mend.to.inches() >= 167.999
    });
    let grinds: Vec<f64> = there.map(|mend| mend.grind.inches()).collect();
    assert!(!grinds.is_empty());
    for grind in grinds {
        assert!((grind - 0.4).abs() < 1e-6, "{grind}");
    }
}

#[test]
fn a_sound_ramp_has_nothing_to_mend() {
    let shots: Vec<Value> = grid().into_iter().map(|at| shot(at, 0.0)).collect();
    let answer = answered(&json!({"stage": "poured", "shots": shots}));
    assert!(answer.defects.is_empty(), "{:#?}", answer.defects);
    assert!(answer.mends.is_empty());
    assert_eq!(
        verdict(&answer),
        SetVerdict::Complies,
        "{}",
        answer.headline
    );
}

/// One stake 3/8 in low over 8 ft x 5 ft of its reach takes 3/8 in x 2 ft x 1 1/4 ft of concrete.
#[test]
fn a_low_stake_is_told_with_what_it_does_to_the_order() {
    let survey = |low: f64| {
        let shots: Vec<Value> = grid()
            .into_iter()
            .map(|at| shot(at, if at == (1, 168.0, 0.0) { -low } else { 0.0 }))
            .collect();
        answered(&json!({"stage": "forms", "shots": shots}))
    };
    let answer = survey(0.375);
    let off: Vec<_> = answer.stakes.iter().filter(|stake| stake.off).collect();
    assert_eq!(off.len(), 1);
    assert!((off[0].raise.inches() - 0.375).abs() < 1e-9);
    let others = answer.stakes.iter().filter(|stake| !stake.off);
    assert!(others.clone().all(|stake| stake.raise.is_zero()));
    let order = answer.order.as_ref().expect("an order");
    let less = (order.net - order.planned_net).cubic_feet();
    assert!((less + 0.375 / 12.0 * 2.0 * 1.25).abs() < 1e-9, "{less}");
    assert!(
        answer
            .headline
            .contains("raise the form of run 1 14 ft up and 0 in from the left by 3/8 in"),
        "{}",
        answer.headline
    );
    assert!(
        answer.headline.contains("-0.003 yd3 net"),
        "{}",
        answer.headline
    );
    let true_forms = survey(0.0);
    let order = true_forms.order.expect("an order");
    assert_eq!(
        order.order, order.planned_order,
        "as drawn, ordered as drawn"
    );
}

/// All forms 1 in low on a base as drawn: the whole slab is an inch thinner than 5 in.
#[test]
fn a_thin_slab_is_told_place_by_place_and_ordered_for() {
    let mut shots = Vec::new();
    for (piece, along, across) in grid() {
        let thick = 5.0
            * (1.0
                + if piece == 1 {
                    (24.0f64 / 336.0).powi(2)
                } else {
                    0.0
                })
            .sqrt();
        shots.push(shot((piece, along, across), -1.0));
        let mut base = shot((piece, along, across), -thick);
        base["of"] = json!("base");
        shots.push(base);
    }
    let (job, answer) = answered_with_job(job(&json!({"stage": "forms", "shots": shots})));
    let depth = answer.depth.as_ref().expect("both were shot");
    assert_eq!(answer.thin(job.slab.thickness).len(), depth.points.len());
    let order = answer.order.as_ref().expect("an order");
    let area = 38.0 * 5.0;
    let less = (order.planned_net - order.net).cubic_feet();
    assert!((less - area / 12.0).abs() < 1e-9, "{less}");
    assert!(order.order < order.planned_order);
}

#[test]
fn a_base_alone_is_measured_and_not_judged() {
    let shots: Vec<Value> = grid().into_iter().map(|at| shot(at, -5.5)).collect();
    let answer = answered(&json!({"stage": "base", "shots": shots}));
    assert!(answer.check.is_none());
    let order = answer.order.expect("an order");
    assert!(order.net > order.planned_net);
}

/// Every set at once: those whose rows were not read decide nothing, the others do.
#[test]
fn every_set_judges_a_survey() {
    let mut whole = job(&json!({"stage": "poured",
        "walks": [{"piece": 1, "readings": vec!["9 %"; 14]}]}));
    whole["site"] = json!({"rule_sets": ["all"]});
    let (_, answer) = answered_with_job(whole);
    let check = &answer.check.as_ref().expect("judged").check;
    assert!(check.sets.len() > 15);
    let verdict = |id: &str| {
        check
            .sets
            .iter()
            .find(|set| set.id == id)
            .map(|set| set.verdict)
    };
    assert_eq!(verdict("ada-2010"), Some(SetVerdict::DoesNotComply));
    assert!(check.sets.iter().all(|set| !set.advisory));
}

proptest! {
    #![proptest_config(crate::config())]

    /// Taking a reading away never lets a ramp comply that did not.
    #[test]
    fn a_missing_reading_never_mends(
        slopes in prop::collection::vec(5.0..10.0f64, 14),
        taken in prop::collection::vec(any::<bool>(), 14),
    ) {
        let walk = |keep: &dyn Fn(usize) -> bool| {
            let readings: Vec<Value> = slopes
                .iter()
                .enumerate()
                .map(|(at, slope)| if keep(at) { json!(format!("{slope} %")) } else { Value::Null })
                .collect();
            answered(&json!({"stage": "poured", "walks": [{"piece": 1, "readings": readings}]}))
        };
        let (whole, holed) = (walk(&|_| true), walk(&|at| taken[at]));
        let broken = |answer: &SurveyAnswered| {
            let windows = &answer.check.as_ref().expect("judged").windows;
            let broken = windows.iter().map(|w| {
                w.as_ref().is_some_and(|w| w.verdict == Verdict::Violates)
            });
            broken.collect::<Vec<bool>>()
        };
        for (at, (was, is)) in broken(&whole).iter().zip(broken(&holed)).enumerate() {
            prop_assert_eq!(*was && taken[at], is);
        }
        if taken.iter().any(|taken| !taken) {
            prop_assert!(verdict(&holed) != SetVerdict::Complies);
        }
    }
}

/// Forms set to the grade sheet of an L, whose landing falls to its outer corner and whose runs twist to
/// meet it, are right to the mark: the sheet and the survey speak of one surface.
#[test]
fn forms_set_to_the_grade_sheet_are_right() {
    let mut whole: Value = serde_json::from_str(crate::worked::DEMO_JOBS[1].1).expect("JSON");
    let job = crate::worked::filled(&whole.to_string());
    let geometry = crossfall::geometry::solve(&job);
    let (sheet, _) = expand_grade_sheet(None, &job).unwrap_or_else(|faults| panic!("{faults}"));
    let grades = crossfall::geometry::grade(&job, &geometry, &sheet);
    let mut shots = Vec::new();
    for piece in &grades.pieces {
        for station in &piece.stations {
            let width = geometry.surfaces[piece.piece].width;
            for (point, across) in station.points.iter().zip([0.0, 0.5, 1.0]) {
                let across = width * across;
                shots.push(
                    json!({"piece": piece.piece, "along": format!("{} in", station.along.inches()),
                    "across": format!("{} in", across.inches()),
                    "elevation": format!("{} in", point.finish.elevation.inches() + 1200.0)}),
                );
            }
        }
    }
    whole["survey"] = json!({"stage": "forms", "shots": shots});
    let (_, answer) = answered_with_job(whole);
    assert!(answer.stakes.len() > 40);
    for stake in &answer.stakes {
        assert!(stake.form.error.abs().inches() < 1e-6, "{stake:?}");
    }
}
