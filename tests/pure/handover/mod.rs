//! Finished ramps handed over: days, tickets, mix, sealer, care, warranty, by hand.
//!
//! Invariants: every party, ticket and day is invented; days are counted on a calendar by hand. Absent: the
//! survey, which is judged over HTTP in the service's tests.

mod built_by;
mod papers;
mod refusing;
mod tickets;

use crate::worked::solved;
use crossfall::catalog::Catalog;
use crossfall::handover::{Built, Handover, HandoverRequest, hand_over};
use crossfall::job::Day;
use crossfall::takeoff::take_off;
use serde_json::{Value, json};

pub(crate) fn day(text: &str) -> Day {
    Day::parse(text).expect("a day")
}

/// A straight ramp of 24 in over 28 ft, poured on a Monday and handed over a month later.
pub(crate) fn sent() -> Value {
    json!({
        "job": {"name": "Mill Street 4 (invented)", "ramp": {"width": "60 in", "path": [
            {"kind": "landing", "length": "60 in"},
            {"kind": "run", "rise": "24 in", "length": "28 ft"},
            {"kind": "landing", "length": "60 in"}
        ]}},
        "poured_on": "2026-05-18",
        "handed_over_on": "2026-06-20",
        "seller": {"name": "Hill Concrete (invented)"},
        "buyer": {"name": "Mill Library (invented)"},
    })
}

/// The same with further fields.
pub(crate) fn sent_with(further: Value) -> Value {
    let mut all = sent();
    for (name, value) in further.as_object().expect("fields") {
        all[name] = value.clone();
    }
    all
}

pub(crate) fn read(sent: &Value) -> HandoverRequest {
    serde_json::from_value(sent.clone()).expect("it reads")
}

/// Handed over without a survey, as JSON.
pub(crate) fn handed(sent: &Value) -> Value {
    serde_json::to_value(whole(sent)).expect("JSON")
}

pub(crate) fn whole(sent: &Value) -> Handover {
    let request = read(sent);
    let today = day("2026-07-01");
    let faults = request.check(today);
    assert!(faults.is_empty(), "{faults}");
    let (job, geometry) = solved(&sent["job"].to_string());
    let takeoff = take_off(&job, &geometry, Catalog::built_in());
    let built = Built {
        job: &job,
        takeoff: &takeoff,
        survey: None,
        today,
    };
    hand_over(request, built, Vec::new())
}

#[test]
fn without_a_survey_it_says_first_that_nothing_was_measured() {
    let told = handed(&sent());
    assert_eq!(told["survey"], Value::Null);
    let headline = told["headline"].as_str().expect("text");
    assert!(headline.contains("was not measured"), "{headline}");
    let cautions = told["cautions"].to_string();
    assert!(
        cautions.contains("Acceptance is the authority's"),
        "{cautions}"
    );
    assert!(cautions.contains("No warranty was stated"), "{cautions}");
}

/// By hand: 18 May to 20 June is 33 days; May has 31.
#[test]
fn days_stand_in_their_order_with_the_age_of_the_slab() {
    let told = handed(&sent_with(json!({
        "sawn_on": "2026-05-19", "forms_off_on": "2026-05-20",
        "sealer": {"applied_on": "2026-06-16", "by": "own crew"},
    })));
    let dates = told["dates"].as_array().expect("dates");
    let all: Vec<(&str, &str, i64)> = dates
        .iter()
        .map(|one| {
            let text = |name: &str| one[name].as_str().expect("text");
            (
                text("what"),
                text("on"),
                one["age_days"].as_i64().expect("a number"),
            )
        })
        .collect();
    assert_eq!(
        all,
        [
            ("poured", "2026-05-18", 0),
            ("sawn", "2026-05-19", 1),
            ("forms_off", "2026-05-20", 2),
            ("sealed", "2026-06-16", 29),
            ("handed_over", "2026-06-20", 33),
        ]
    );
    assert!(!told["cautions"].to_string().contains("sawn"), "{told}");
    let late = handed(&sent_with(json!({"sawn_on": "2026-05-20"})));
    assert!(
        late["cautions"].to_string().contains("sawn 2 days after"),
        "{late}"
    );
    let mut open = sent();
    open.as_object_mut()
        .expect("fields")
        .remove("handed_over_on");
    let told = handed(&open);
    assert_eq!(
        told["handed_over_on"], "2026-07-01",
        "today, as it was given"
    );
}

/// By hand from 18 May 2026: a day, a week, 28 days (31 - 18 = 13 of May and 15 of June), the winter after, a year.
#[test]
fn care_has_days_counted_from_the_pour() {
    let told = whole(&sent());
    let line = |id: &str| told.care.iter().find(|one| one.id == id).expect("a line");
    assert_eq!(line("foot").not_before, Some(day("2026-05-19")));
    assert_eq!(line("wheels").not_before, Some(day("2026-05-25")));
    assert_eq!(line("loads").not_before, Some(day("2026-06-15")));
    assert_eq!(line("deicers").until, Some(day("2027-04-30")));
    assert_eq!(line("look").first_by, Some(day("2027-05-18")));
    assert_eq!(line("sand").sentence(), line("sand").text);
    assert!(
        line("deicers")
            .sentence()
            .starts_with("Until 2027-04-30: No de-icing salts")
    );
    assert!(
        told.care
            .iter()
            .all(|one| one.source.document == "common practice, no source")
    );
    // A leap day, poured in a winter that is under way: the next one counts too.
    let told = whole(&sent_with(
        json!({"poured_on": "2028-02-28", "handed_over_on": "2028-04-01"}),
    ));
    let line = |id: &str| told.care.iter().find(|one| one.id == id).expect("a line");
    assert_eq!(line("foot").not_before, Some(day("2028-02-29")));
    assert_eq!(line("wheels").not_before, Some(day("2028-03-06")));
    assert_eq!(line("deicers").until, Some(day("2029-04-30")));
}

/// By hand: the default sealer is silane, at 14 days at the least (its row); 18 May and 14 days is 1 June.
#[test]
fn a_sealer_is_due_went_on_or_went_on_too_early() {
    let due = handed(&sent());
    assert_eq!(due["sealer"]["state"], "due");
    assert_eq!(due["sealer"]["not_before"], "2026-06-01");
    let good = handed(&sent_with(json!({"sealer": {"applied_on": "2026-06-01"}})));
    assert_eq!(
        (&good["sealer"]["state"], &good["sealer"]["age_days"]),
        (&json!("sealed"), &json!(14))
    );
    assert_eq!(good["sealer"]["renew"]["from"], "2031-06-01");
    assert_eq!(good["sealer"]["renew"]["by"], "2036-06-01");
    assert!(!good["cautions"].to_string().contains("may not have taken"));
    let early = handed(&sent_with(json!({"sealer": {"applied_on": "2026-05-31"}})));
    let text = early["sealer"]["text"].to_string();
    assert!(
        text.contains("before 14 days") && text.contains("drop of water"),
        "{text}"
    );
    assert!(early["cautions"].to_string().contains("may not have taken"));
    // The curing of this job keeps a silicate out.
    let mut other =
        sent_with(json!({"sealer": {"applied_on": "2026-06-20", "product": "silicate"}}));
    other["job"]["curing"] = json!({"method": "compound"});
    let told = handed(&other);
    assert!(
        told["sealer"]["text"]
            .to_string()
            .contains("With the curing of this job"),
        "{told}"
    );
    assert_eq!(
        told["sealer"]["renew"],
        Value::Null,
        "a densifier is not renewed"
    );
    let mut none = sent();
    none["job"]["sealer"] = json!("none");
    assert_eq!(handed(&none)["sealer"]["state"], "none");
}

/// By hand: a year from 29 February 2028 ends on 28 February 2029.
#[test]
fn a_warranty_runs_through_the_same_day() {
    let of =
        |warranty: Value| handed(&sent_with(json!({"warranty": warranty})))["warranty"].clone();
    let told = of(json!({"years": 1}));
    assert_eq!(
        (&told["from"], &told["through"]),
        (&json!("2026-06-20"), &json!("2027-06-20"))
    );
    let told = of(json!({"years": 2, "from": "2026-05-31"}));
    assert_eq!(told["through"], "2028-05-31");
    let told = of(json!({"years": 1, "from": "2028-02-29"}));
    assert_eq!(told["through"], "2029-02-28");
    let left = told["leaves_out"].to_string();
    for wanted in [
        "frost movement",
        "settlement of fill",
        "first winter",
        "wheelchairs",
    ] {
        assert!(left.contains(wanted), "{wanted}");
    }
}

/// ACI 318-19 Table 19.3.2.1, as the fields of a job have it second hand: F3 asks 5000 psi of structural concrete and
/// 4500 psi of plain; F0 asks 2500 psi and no air.
#[test]
fn a_mix_stands_beside_what_its_exposure_asks() {
    let of = |exposure: &str, mix: Value| {
        let mut all = sent_with(json!({"mix": mix}));
        all["job"]["site"] = json!({"exposure": exposure});
        handed(&all)["mix"].clone()
    };
    let told = of(
        "F3",
        json!({"strength": "4500 psi", "air": "6 %", "name": "RX-45 (invented)"}),
    );
    assert_eq!(
        (&told["verdict"], &told["asked"]["exposure"]),
        (&json!("meets"), &json!("F3"))
    );
    assert_eq!(
        of("F3", json!({"strength": "3000 psi", "air": "6 %"}))["verdict"],
        "below"
    );
    assert_eq!(
        of("F3", json!({"strength": "4500 psi", "air": "2 %"}))["verdict"],
        "below"
    );
    assert_eq!(
        of("F3", json!({"strength": "4500 psi"}))["verdict"],
        "not_told"
    );
    assert_eq!(
        of("F0", json!({"strength": "3000 psi", "air": "1 %"}))["verdict"],
        "meets"
    );
}

#[test]
fn signs_of_other_languages_stand_as_they_are() {
    let name = "Mill & Sons <\"=1+1\"> \u{5d0}\u{5d1} (invented)";
    let told = handed(&sent_with(json!({"buyer": {"name": name}})));
    assert_eq!(told["buyer"]["name"], name);
}
