//! Laws of crew hours, on ramps of any size.

use super::jobs::Solved;
use crossfall::crew::{CrewHours, Task};
use crossfall::takeoff::Net;
use proptest::prelude::*;
use serde_json::{Value, json};

/// A ramp of any usual size and crew.
#[derive(Clone, Debug)]
struct Any {
    width_in: u32,
    run_ft: u32,
    thickness_in: u32,
    crew: u32,
    wet_cover: bool,
    insulated: bool,
    travel_min: u32,
    cured_days: u32,
}

fn any_ramp() -> impl Strategy<Value = Any> {
    let size = (36_u32..=120, 4_u32..=60, 4_u32..=8);
    let choices = (any::<bool>(), any::<bool>());
    (size, 1_u32..=6, choices, 0_u32..=90, 1_u32..=10).prop_map(
        |((width_in, run_ft, thickness_in), crew, choices, travel_min, cured_days)| Any {
            width_in,
            run_ft,
            thickness_in,
            crew,
            wet_cover: choices.0,
            insulated: choices.1,
            travel_min,
            cured_days,
        },
    )
}

impl Any {
    fn job(&self) -> Value {
        let mut members = vec![json!({"class": "finisher", "count": 1})];
        if self.crew > 1 {
            members.push(json!({"class": "labourer", "count": self.crew - 1}));
        }
        let insulation = if self.insulated {
            json!({"thickness": "2 in"})
        } else {
            json!("none")
        };
        let method = if self.wet_cover {
            "wet_cover"
        } else {
            "compound"
        };
        json!({
            "site": {"start": "2026-05-11"},
            "ramp": {"width": format!("{} in", self.width_in), "path": [
                {"kind": "landing"},
                {"kind": "run", "slope": "1:12", "length": format!("{} ft", self.run_ft)},
                {"kind": "landing"}
            ]},
            "slab": {"thickness": format!("{} in", self.thickness_in)},
            "insulation": insulation,
            "curing": {"method": method, "duration": format!("{} d", self.cured_days)},
            "crew": {"members": members, "travel": format!("{} min", self.travel_min)}
        })
    }

    fn hours(&self) -> CrewHours {
        Solved::of(self.job()).hours()
    }
}

/// How much of a task, in the unit of its rate.
fn amount(task: &Task) -> f64 {
    match task.quantity {
        Net::Volume(volume) => volume.cubic_yards(),
        Net::Area(area) => area.square_feet(),
        Net::Length(length) => length.feet(),
        Net::Mass(mass) => mass.pounds(),
        Net::Count(count) => count,
        Net::Time(span) => span.hours(),
        Net::Liquid(volume) => volume.gallons(),
    }
}

/// By how much of its paid hours a larger ramp may come out below a smaller one.
const FALLS_TOGETHER: f64 = 0.02;

/// Rounding noise of sums.
const NOISE: f64 = 1e-6;

proptest! {
    #![proptest_config(crate::config())]

    #[test]
    fn a_longer_or_wider_ramp_never_takes_fewer_hours(
        ramp in any_ramp(), wider in 0_u32..=12, longer in 0_u32..=6,
    ) {
        let larger = Any {
            width_in: ramp.width_in + wider,
            run_ft: ramp.run_ft + longer,
            ..ramp.clone()
        };
        let (ramp, larger) = (Solved::of(ramp.job()), Solved::of(larger.job()));
        // A wider slab may have longer panels, and so fewer joints: then there is less to saw.
        let joints = |solved: &Solved| solved.takeoff.measures.joint_length;
        prop_assume!(joints(&larger) >= joints(&ramp));
        let (less, more) = (ramp.hours().totals, larger.hours().totals);
        prop_assert!(more.task.hours() >= less.task.hours() - NOISE, "{less:?} {more:?}");
        // More may fall together better in a day, which a list schedule cannot rule out; by little.
        let least = less.paid.hours() * (1.0 - FALLS_TOGETHER);
        prop_assert!(more.paid.hours() >= least - NOISE, "{less:?} {more:?}");
    }

    #[test]
    fn paid_hours_are_never_below_hours_on_site_nor_those_below_the_tasks(ramp in any_ramp()) {
        for visit in ramp.hours().visits {
            let on_site = visit.on_site.hours() * f64::from(visit.people);
            prop_assert!(visit.paid.hours() >= on_site - NOISE, "{visit:?}");
            prop_assert!(on_site >= visit.task_hours.hours() - NOISE, "{visit:?}");
            let standby = on_site - visit.task_hours.hours();
            prop_assert!((visit.standby.hours() - standby).abs() < NOISE, "{visit:?}");
        }
    }

    #[test]
    fn paid_hours_are_whole_quarters_and_the_sum_of_their_classes(ramp in any_ramp()) {
        for visit in ramp.hours().visits {
            let quarters = visit.paid.hours() * 4.0;
            prop_assert!((quarters - quarters.round()).abs() < NOISE, "{visit:?}");
            let by_class: f64 = visit.paid_by_class.iter().map(|(_, paid)| paid.hours()).sum();
            prop_assert!((by_class - visit.paid.hours()).abs() < NOISE, "{visit:?}");
            let people: u32 = visit.crew.iter().map(|(_, count)| count).sum();
            prop_assert_eq!(people, visit.people);
        }
    }

    #[test]
    fn visits_stand_in_the_order_of_their_days(ramp in any_ramp()) {
        let hours = ramp.hours();
        for pair in hours.visits.windows(2) {
            prop_assert!(pair[0].day < pair[1].day && pair[0].date < pair[1].date, "{pair:?}");
            prop_assert_eq!(pair[0].visit + 1, pair[1].visit);
        }
        prop_assert_eq!(hours.visits[0].day, 1);
    }

    #[test]
    fn a_task_is_its_setup_and_its_quantity_times_its_rate(ramp in any_ramp()) {
        let hours = ramp.hours();
        for task in &hours.tasks {
            let reckoned = task.setup.hours() + amount(task) * task.rate.likely * task.factor;
            prop_assert!((task.hours.hours() - reckoned).abs() < NOISE, "{task:?}");
        }
        let tasks: f64 = hours.tasks.iter().map(|task| task.hours.hours()).sum();
        let visits: f64 = hours.visits.iter().map(|visit| visit.task_hours.hours()).sum();
        prop_assert!((tasks - visits).abs() < NOISE);
    }

    #[test]
    fn a_task_cut_in_two_days_is_the_whole_task(ramp in any_ramp()) {
        let solved = Solved::of(ramp.job());
        let measures = &solved.takeoff.measures;
        let tasks = solved.hours().tasks;
        let of = |codes: &[&str]| -> f64 {
            let found = tasks.iter().filter(|task| codes.contains(&task.code.as_str()));
            found.map(amount).sum()
        };
        let forms: f64 = measures.form_staked.iter().map(|form| form.length.feet()).sum();
        let edge_forms = of(&["form-edge-slope", "form-edge-low", "form-edge-high"]);
        let stripped = of(&["strip-staked"]) - measures.curb_face_form.feet();
        for (ours, theirs) in [
            (of(&["layout"]), measures.surface_area.square_feet()),
            (of(&["bars-cut"]), measures.bar_mass.pounds()),
            (of(&["stone"]), measures.stone_volume.cubic_yards()),
            (edge_forms, stripped),
            (of(&["seal-surface"]), measures.sealer_area.square_feet()),
        ] {
            prop_assert!((ours - theirs).abs() < NOISE, "{ours} {theirs}");
        }
        prop_assert!(edge_forms <= forms + NOISE);
    }
}
