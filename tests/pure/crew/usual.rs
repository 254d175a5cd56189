//! Usual ramps of about 200 ft2, read as an owner would.

use super::jobs::{Solved, usual};

/// Common practice, no source: a straight ramp, an L or a switchback of about 200 ft2 takes 35 to
/// 75 hours on site, visits summed.
#[test]
fn a_usual_ramp_takes_between_35_and_75_hours_on_site() {
    for (name, sent) in usual() {
        let solved = Solved::of(sent);
        let area = solved.geometry.new_area().square_feet();
        assert!((185.0..=225.0).contains(&area), "{name}: {area} ft2");
        let on_site = solved.hours().totals.on_site.hours();
        assert!((35.0..=75.0).contains(&on_site), "{name}: {on_site} h");
    }
}

#[test]
fn no_day_of_a_usual_ramp_runs_over_and_the_pour_waits_longest() {
    for (name, sent) in usual() {
        let hours = Solved::of(sent).hours();
        let longest = hours
            .visits
            .iter()
            .max_by(|a, b| a.standby.total_cmp(&b.standby));
        assert!(
            longest.is_some_and(|visit| visit.governed_by == "setting"),
            "{name}: {longest:?}"
        );
        for visit in &hours.visits {
            assert!(visit.on_site.hours() <= 8.0, "{name}: {visit:?}");
            assert!(visit.people <= 3, "{name}: {visit:?}");
        }
        assert_eq!(hours.visits.len(), 6, "{name}");
    }
}

/// An owner reads each task: none is nothing, none is a day's work of the whole crew.
#[test]
fn no_task_of_a_usual_ramp_is_nothing_or_a_whole_day() {
    for (name, sent) in usual() {
        for task in Solved::of(sent).hours().tasks {
            let hours = task.hours.hours();
            assert!(
                (0.2..=8.0).contains(&hours),
                "{name}: {} {hours} h",
                task.code
            );
        }
    }
}
