//! The three days of the examples, as an owner reads them.

use super::{codes, measures, planned};
use crossfall::estimate::PlannedDay;
use crossfall::pour::{GoOrWait, measure_items};
use serde_json::Value;

const DAYS: [&str; 3] = [
    include_str!("../../../examples/pour-mild.json"),
    include_str!("../../../examples/pour-hot-windy.json"),
    include_str!("../../../examples/pour-near-freezing.json"),
];

fn days() -> [PlannedDay; 3] {
    DAYS.map(|text| {
        let job: Value = serde_json::from_str(text).expect("an example");
        planned(&job).remove(0)
    })
}

/// Common practice, no source: what a finisher expects of a mild, a hot and windy, a near-freezing day.
#[test]
fn three_days_differ_as_a_finisher_expects() {
    let [mild, hot, cold] = days();
    assert_eq!(mild.day.verdict, GoOrWait::Go, "{:?}", mild.day.reasons);
    assert_eq!(hot.day.verdict, GoOrWait::GoWith, "{:?}", hot.day.reasons);
    assert_eq!(cold.day.verdict, GoOrWait::GoWith, "{:?}", cold.day.reasons);
    for asked in ["film", "saw_same_day"] {
        assert!(
            measures(&hot.day).contains(&asked),
            "{asked}: {:?}",
            measures(&hot.day)
        );
    }
    for asked in ["blankets", "heated"] {
        assert!(
            measures(&cold.day).contains(&asked),
            "{asked}: {:?}",
            measures(&cold.day)
        );
    }
    // No wet cover in frost, and frost comes back before the concrete is strong enough for it.
    assert!(codes(&cold.day).contains(&"wet_cover") && !cold.day.covered);
    assert!(codes(&cold.day).contains(&"frost_later"));
    // It starts early in the heat, and the stay is shorter; both ask for more dollars than a mild day.
    let hour = |day: &PlannedDay| day.day.first_truck.format("%H:%M").to_string();
    assert!(hour(&hot) < hour(&mild));
    assert!(hot.day.on_site < mild.day.on_site);
    assert!(cold.cost.total > mild.cost.total && hot.cost.total > mild.cost.total);
    // Sawn next morning in mild weather, the same evening in the heat.
    let too_late = |day: &PlannedDay| day.day.saw.expect("sawn").next_day_too_late;
    assert!(!too_late(&mild) && too_late(&hot) && !too_late(&cold));
    let apart = |day: &PlannedDay| (day.day.saw.expect("sawn").visit.0 - day.day.day.0).num_days();
    assert_eq!([apart(&mild), apart(&hot), apart(&cold)], [1, 0, 1]);
    // The cold keeps people off the slab for longer.
    let walked = |day: &PlannedDay| {
        let placed = day.day.course.as_ref().expect("a course").placed;
        let walk = day.day.ages.expect("ages").walk.expect("told");
        (walk - placed).num_hours()
    };
    assert!(walked(&mild) >= 48 && walked(&cold) > walked(&mild));
}

/// Every price of a measure is in the demo book; the sum is that of its parts.
#[test]
fn the_dollars_of_a_day_add_up() {
    for planned in days() {
        assert!(
            planned.cost.unpriced.is_empty(),
            "{:?}",
            planned.cost.unpriced
        );
        let parts = planned
            .cost
            .measures
            .iter()
            .flat_map(|one| [one.bought, one.labour]);
        let parts: i64 = parts.flatten().map(|amount| amount.minor()).sum();
        let stay = planned.cost.stay.expect("wages").minor();
        assert_eq!(parts + stay, planned.cost.total.minor());
    }
    let list = crate::worked::demo_list();
    for item in measure_items() {
        assert!(
            list.quote(item).is_ok(),
            "{item} has no price in the demo book"
        );
    }
}

/// Blankets by hand: 202.08 ft2 of slab take 222.3 ft2 with a tenth for edges, 250 in steps of 50, at 0.22 a
/// foot; half an hour and 0.008 h a foot are 2.12 h, 2.25 in quarters, at the labourer's 43.75.
#[test]
fn blankets_come_to_what_a_hand_reckons() {
    let [.., cold] = days();
    let at = cold
        .day
        .measures
        .iter()
        .position(|one| one.code == "blankets")
        .expect("asked for");
    let (measure, cost) = (&cold.day.measures[at], cold.cost.measures[at]);
    assert!((measure.done - 202.08).abs() < 0.01, "{}", measure.done);
    assert_eq!(cost.quantity.expect("priced").number(), 250.0);
    assert_eq!(cost.bought.expect("priced").to_string(), "55.00");
    assert!((measure.hours.hours() - 2.25).abs() < 1e-9);
    assert_eq!(cost.labour.expect("a wage").to_string(), "98.44");
}

/// The mild day by hand: half an hour more than the estimate for a finisher at 58.40 and two labourers at 43.75
/// is 72.95; the lost trip is four hours of the three, 583.60.
#[test]
fn a_longer_stay_comes_to_what_a_hand_reckons() {
    let [mild, ..] = days();
    assert_eq!(mild.cost.stay.expect("wages").to_string(), "72.95");
    assert_eq!(mild.cost.lost_crew.expect("wages").to_string(), "583.60");
}
