//! Faults of a request: each with its place, what was found, what is accepted and an example.

use super::read;
use serde_json::{Value, json};

fn body() -> Value {
    json!({
        "pours": [
            {"name": "Walk", "volume": "2 yd3", "area": "North", "mix": "concrete-4500-air",
             "arrive": {"day": "2026-06-02", "from": "07:00", "to": "09:00"}, "placing": "20 min"},
            {"name": "Steps", "volume": "1 yd3", "area": "South", "mix": "concrete-4500-air",
             "arrive": {"day": "2026-06-02", "from": "07:00", "to": "10:00"}, "placing": "25 min"}
        ]
    })
}

fn faults(change: impl Fn(&mut Value)) -> Vec<(String, String, String, String)> {
    let mut sent = body();
    change(&mut sent);
    let faults = read(&sent).err().unwrap_or_default();
    faults
        .0
        .into_iter()
        .map(|fault| {
            (
                fault.pointer,
                fault.found,
                fault.accepted,
                fault.example.unwrap_or_default(),
            )
        })
        .collect()
}

#[test]
fn a_sound_request_has_none() {
    assert_eq!(faults(|_| {}), []);
}

/// A place in the request, what is put there, where the fault then stands, and a part of what is accepted.
fn one_fault_each() -> Vec<(&'static str, Value, &'static str, &'static str)> {
    vec![
        ("/trucks", json!(["0 yd3"]), "/trucks/0", "1 yd3 to 20 yd3"),
        ("/trucks", json!([]), "/trucks", "1 to 10 sizes"),
        ("/limit", json!("10 min"), "/limit", "20 min to 5 h"),
        ("/loading", json!("-1 min"), "/loading", "0"),
        ("/most_stops", json!(5), "/most_stops", "1 to 4"),
        ("/most_stops", json!(0), "/most_stops", "1 to 4"),
        ("/per_load", json!("-1.00"), "/per_load", "zero or more"),
        ("/price", json!("-1.00"), "/price", "zero or more"),
        (
            "/short_load",
            json!([{"below": "4 yd3"}]),
            "/short_load/0",
            "one of fee",
        ),
        (
            "/short_load",
            json!([{"below": "4 yd3", "fee": "1.00", "each_missing_yd3": "1.00"}]),
            "/short_load/0",
            "one of fee",
        ),
        (
            "/short_load",
            json!([{"below": "0 yd3", "fee": "1.00"}]),
            "/short_load/0/below",
            "1 yd3",
        ),
        (
            "/short_load",
            json!([{"below": "4 yd3", "fee": "1.00"}, {"below": "4 yd3", "fee": "2.00"}]),
            "/short_load/1/below",
            "each size once",
        ),
        (
            "/pours/0/volume",
            json!("0 yd3"),
            "/pours/0/volume",
            "0.05 yd3 to 100 yd3",
        ),
        (
            "/pours/0/placing",
            json!("0 min"),
            "/pours/0/placing",
            "1 min to 10 h",
        ),
        (
            "/pours/0/area",
            json!("plant"),
            "/pours/0/area",
            "other than plant",
        ),
        (
            "/pours/0/area",
            json!(" "),
            "/pours/0/area",
            "other than plant",
        ),
        (
            "/pours/0/mix",
            json!("gravel"),
            "/pours/0/mix",
            "concrete-4500-air",
        ),
        (
            "/pours/0/mix",
            json!("stone-dense-graded"),
            "/pours/0/mix",
            "concrete-4500-air",
        ),
        ("/pours/0/mix", json!(""), "/pours/0/mix", "item code"),
        (
            "/pours/1/name",
            json!("walk "),
            "/pours/1/name",
            "/pours/0/name",
        ),
        ("/pours/1/name", json!(""), "/pours/1/name", "1 to 80"),
        (
            "/pours/1/arrive/to",
            json!("06:59"),
            "/pours/1/arrive/to",
            "07:00 or later",
        ),
        (
            "/pours/1/placing",
            json!("61 min"),
            "/pours/1/placing",
            "at most 60 min",
        ),
        (
            "/pours/1/arrive",
            json!({"day": "2026-06-02", "from": "00:00", "to": "00:29"}),
            "/pours/1/arrive/to",
            "00:30 or later",
        ),
        (
            "/pours/1/arrive",
            json!({"day": "2026-06-02", "from": "23:40", "to": "23:50"}),
            "/pours/1/arrive/from",
            "23:35 or earlier",
        ),
        (
            "/travel",
            json!({"table": [{"from": "plant", "to": "Nroth", "time": "5 min"}]}),
            "/travel/table/0/to",
            "north, south",
        ),
        (
            "/travel",
            json!({"table": [{"from": "Nroth", "to": "south", "time": "5 min"}]}),
            "/travel/table/0/from",
            "plant, or an area",
        ),
        (
            "/travel",
            json!({"table": [{"from": "South", "to": "plant", "time": "5 min"}]}),
            "/travel/table/0/to",
            "north, south",
        ),
        (
            "/travel",
            json!({"table": [{"from": "plant", "to": "north", "time": "4 h"}]}),
            "/travel/table/0/time",
            "0",
        ),
        ("/travel", json!({"to_area": "4 h"}), "/travel/to_area", "0"),
        ("/name", json!("n".repeat(81)), "/name", "at most 80"),
    ]
}

#[test]
fn each_fault_says_where_and_what_instead() {
    for (at, put, pointer, accepted) in one_fault_each() {
        let told = faults(|sent| {
            let (parent, field) = at.rsplit_once('/').expect("a place");
            let parent = sent.pointer_mut(parent).expect("it is there");
            match parent.as_array_mut() {
                Some(list) => list[field.parse::<usize>().expect("an index")] = put.clone(),
                None => parent[field] = put.clone(),
            }
        });
        let [(place, found, accepts, _)] = told.as_slice() else {
            panic!("{at} {put}: {told:?}");
        };
        assert_eq!(place, pointer, "{put}");
        assert!(accepts.contains(accepted), "{put}: {accepts}");
        assert!(!found.is_empty(), "{put}");
    }
}

#[test]
fn all_faults_are_told_at_once() {
    let told = faults(|sent| {
        sent["trucks"] = json!(["0 yd3"]);
        sent["pours"][0]["volume"] = json!("-1 yd3");
        sent["pours"][0]["mix"] = json!("gravel");
        sent["pours"][1]["name"] = json!("Walk");
        sent["pours"][1]["arrive"]["to"] = json!("06:00");
        sent["travel"] = json!({"table": [{"from": "plant", "to": "East", "time": "5 min"}]});
    });
    let mut places: Vec<&str> = told.iter().map(|(place, ..)| place.as_str()).collect();
    places.sort_unstable();
    assert_eq!(
        places,
        [
            "/pours/0/mix",
            "/pours/0/volume",
            "/pours/1/arrive/to",
            "/pours/1/name",
            "/travel/table/0/to",
            "/trucks/0"
        ]
    );
}

#[test]
fn a_fault_of_one_pour_does_not_hide_that_another_is_out_of_reach() {
    let told = faults(|sent| {
        sent["pours"][0]["volume"] = json!("0 yd3");
        sent["pours"][1]["placing"] = json!("61 min");
    });
    let places: Vec<&str> = told.iter().map(|(place, ..)| place.as_str()).collect();
    assert_eq!(places, ["/pours/0/volume", "/pours/1/placing"]);
    assert_eq!(told[1].3, "60 min");
}

#[test]
fn two_to_thirty_pours_are_taken() {
    let many = |count: usize| {
        faults(|sent| {
            let one = sent["pours"][0].clone();
            let pours = (0..count).map(|number| {
                let mut pour = one.clone();
                pour["name"] = json!(format!("pour {number}"));
                pour
            });
            sent["pours"] = pours.collect();
        })
    };
    assert_eq!(many(2), []);
    assert_eq!(many(30), []);
    for count in [0, 1, 31, 5_000] {
        let told = many(count);
        assert_eq!(told.len(), 1, "{count}: {told:?}");
        assert_eq!(
            (told[0].0.as_str(), told[0].2.as_str()),
            ("/pours", "2 to 30")
        );
    }
}
