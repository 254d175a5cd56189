//! Laws over random pairs of jobs.

use super::{by_cause, net, of_answers, of_jobs, sum, sum_of_rows};
use crossfall::change::{Comparison, Moved};
use proptest::prelude::*;
use serde_json::{Value, json};

/// A random job: a ramp of two runs, with some of its other questions answered.
fn job() -> impl Strategy<Value = Value> {
    let shape = (6.0..40.0_f64, 12.0..20.0_f64, 48.0..90.0_f64);
    let rest = (
        3.0..9.0_f64,
        0.0..30.0_f64,
        10.0..90.0_f64,
        0.0..40.0_f64,
        0..6_u8,
    );
    (shape, rest).prop_map(
        |((rise, ratio, width), (depth, waste, travel, overhead, extra))| {
            let run = json!({"kind": "run", "rise": format!("{:.3} in", rise / 2.0),
            "length": format!("{:.3} in", rise * ratio / 2.0)});
            let mut job = json!({
                "ramp": {"width": format!("{width:.2} in"), "path": [
                    {"kind": "landing"}, run, {"kind": "landing"}, run, {"kind": "landing"}]},
                "base": {"depth": format!("{depth:.2} in"), "waste": format!("{waste:.2} %")},
                "crew": {"travel": format!("{travel:.0} min")},
                "price": {"overhead": format!("{overhead:.2} %")},
            });
            match extra {
                0 => job["crew"]["placing"] = json!("pump"),
                1 => job["requirements"] = json!([{"name": "bond", "percent": "1.5 %"}]),
                2 => job["sealer"] = json!("none"),
                3 => job["price"]["profit"] = json!({"basis": "markup", "rate": "12 %"}),
                4 => job["insulation"] = json!({"thickness": "2 in"}),
                _ => {}
            }
            job
        },
    )
}

fn moved(told: &Comparison) -> Vec<&Moved> {
    let figures = &told.figures;
    let mut all = vec![
        &figures.concrete_net,
        &figures.concrete_order,
        &figures.steel,
        &figures.paid_hours,
        &figures.task_hours,
        &figures.visits,
        &figures.calendar_days,
    ];
    all.extend(
        figures
            .tasks
            .iter()
            .chain(&figures.paid_by_item)
            .map(|one| &one.hours),
    );
    all
}

proptest! {
    #![proptest_config(proptest::test_runner::Config { cases: crate::cases().min(500) / 16, ..crate::config() })]

    /// Causes, and lines with the steps above them, add up to the net; both ways of telling have the
    /// same net; the way back costs what the way there saves.
    #[test]
    fn causes_and_rows_add_up_to_the_net(before in job(), after in job()) {
        let (before, after) = (before.to_string(), after.to_string());
        let jobs = of_jobs(&before, &after);
        let answers = of_answers(&before, &after);
        for told in [&jobs, &answers] {
            prop_assert_eq!(sum(told), net(told));
            prop_assert_eq!(sum_of_rows(told), net(told));
            let direct = told.build_up.iter().find(|step| step.step == "direct").expect("direct");
            let lines: i64 = told.lines.iter().map(|line| line.change.minor()).sum();
            prop_assert_eq!(direct.change.minor(), lines);
            for line in &told.lines {
                prop_assert_eq!(line.by_quantity + line.by_price, line.change);
            }
            for step in &told.build_up {
                prop_assert_eq!(step.by_base + step.by_rate, step.change);
            }
        }
        prop_assert_eq!(net(&jobs), net(&answers));
        prop_assert_eq!(net(&of_jobs(&after, &before)), -net(&jobs));
        prop_assert_eq!(net(&of_answers(&after, &before)), -net(&answers));
        prop_assert_eq!(&jobs.figures, &answers.figures);
    }

    /// Nothing differs between a job and itself.
    #[test]
    fn a_job_does_not_differ_from_itself(job in job()) {
        let job = job.to_string();
        for told in [of_jobs(&job, &job), of_answers(&job, &job)] {
            prop_assert_eq!(net(&told), 0);
            prop_assert!(told.lines.is_empty());
            prop_assert!(by_cause(&told).iter().all(|(_, amount)| *amount == 0));
            prop_assert!(told.causes.iter().all(|step| step.changed.is_empty()));
            prop_assert!(told.build_up.iter().all(|step| step.change.is_zero() && step.by_rate.is_zero()));
            for figure in moved(&told) {
                prop_assert_eq!(figure.change.map(|change| change.value), Some(0.0));
            }
        }
    }
}
