//! Three usual ramps of about 200 ft2, read as an owner would.

use super::jobs::{Solved, usual};

#[test]
fn a_usual_ramp_takes_between_35_and_75_hours_on_site() {
    for (name, sent) in usual() {
        let solved = Solved::of(sent);
        let hours = solved.hours();
        println!(
            "== {name}: {:.1} ft2",
            solved.geometry.new_area().square_feet()
        );
        for t in &hours.tasks {
            println!(
                "  {} {:18} {:7.2} h  {:?} x{:.3}",
                t.visit,
                t.code,
                t.hours.hours(),
                t.quantity,
                t.factor
            );
        }
        for v in &hours.visits {
            println!(
                "  V{} d{} {:?} {} {:?} task {:.2} on {:.2} standby {:.2} paid {:.2} {}",
                v.visit,
                v.day,
                v.date.map(|d| d.to_string()),
                v.description,
                v.crew,
                v.task_hours.hours(),
                v.on_site.hours(),
                v.standby.hours(),
                v.paid.hours(),
                v.governed_by
            );
        }
        println!(
            "  {:?} crew days {:.2} calendar {} closed {}",
            hours.totals, hours.crew_days, hours.calendar_days, hours.days_entrance_closed
        );
        for a in &hours.advices {
            println!("  ! {} {}", a.kind, a.text);
        }
        let on_site = hours.totals.on_site.hours();
        assert!((35.0..=75.0).contains(&on_site), "{name}: {on_site} h");
    }
}
