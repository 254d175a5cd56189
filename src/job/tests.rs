//! What filling promises: defaults are listed, faults are all found, a full form fills to itself.

use super::{Day, Expanded, Fields, JobRequest, expand};
use crate::quantity::Faults;

fn today() -> Day {
    Day::parse("2026-05-04").expect("a day that exists")
}

fn fill(text: &str) -> Result<Expanded, Faults> {
    let sent: JobRequest = serde_json::from_str(text).expect("readable");
    expand(sent, today())
}

const STRAIGHT: &str = r#"{"ramp": {"path": [
    {"kind": "landing"},
    {"kind": "run", "rise": "28 in", "length": "28 ft"},
    {"kind": "landing"}
]}}"#;

#[test]
fn the_embedded_rows_can_be_read() {
    Fields::read(include_str!("fields.toml")).expect("every row parses");
    for class in super::Exposure::ALL {
        assert!(Fields::built_in().exposure(*class).is_some(), "{class}");
    }
    for product in super::SealerProduct::ALL {
        assert!(Fields::built_in().sealer(*product).is_some(), "{product}");
    }
}

#[test]
fn a_short_job_is_filled_and_every_default_is_listed() {
    let filled = fill(STRAIGHT).expect("a good job");
    assert_eq!(filled.job.slab.thickness.print(), "5 in");
    let pointers: Vec<&str> = filled
        .assumptions
        .iter()
        .map(|a| a.pointer.as_str())
        .collect();
    for pointer in [
        "/slab/thickness",
        "/ramp/width",
        "/ramp/path/2/length",
        "/book/as_of",
    ] {
        assert!(
            pointers.contains(&pointer),
            "{pointer} is not among {pointers:?}"
        );
    }
    let bare: Vec<_> = filled
        .assumptions
        .iter()
        .filter(|a| a.why == "default")
        .collect();
    assert!(bare.is_empty(), "defaults without a row: {bare:?}");
}

#[test]
fn an_expanded_job_expands_to_itself_with_nothing_left_to_assume() {
    for text in [
        STRAIGHT,
        &STRAIGHT.replace("28 ft", "28.123 ft"),
        &STRAIGHT.replace("{\"ramp\"", "{\"units\": \"metric\", \"ramp\""),
    ] {
        let once = fill(text).expect("a good job");
        let written = serde_json::to_string(&once.job).expect("written");
        let twice = fill(&written).expect("still a good job");
        assert_eq!(serde_json::to_string(&twice.job).expect("written"), written);
        let left: Vec<_> = twice.assumptions.iter().map(|a| &a.pointer).collect();
        assert!(left.is_empty(), "still assumed: {left:?}");
    }
}

#[test]
fn every_fault_of_a_job_is_found_at_once() {
    let text = r#"{"slab": {"thickness": "1 in"}, "ramp": {"width": "90 ft", "path": [
        {"kind": "landing"},
        {"kind": "run", "rise": "28 in"},
        {"kind": "landing", "length": "1 in", "curbs": ["start"]}
    ]}, "requirements": [{"name": "badge"}]}"#;
    let faults = fill(text).expect_err("five faults");
    let places: Vec<&str> = faults
        .0
        .iter()
        .map(|fault| fault.pointer.as_str())
        .collect();
    for place in [
        "/slab/thickness",
        "/ramp/width",
        "/ramp/path/1",
        "/ramp/path/2/length",
        "/ramp/path/2/curbs/0",
        "/requirements/0",
    ] {
        assert!(places.contains(&place), "{place} is not among {places:?}");
    }
}

#[test]
fn a_rise_to_the_threshold_loses_the_threshold() {
    let text = r#"{"ramp": {"rise_to": "threshold", "path": [
        {"kind": "landing"}, {"kind": "run", "rise": "28 in", "length": "28 ft"},
        {"kind": "landing", "door": {"edge": "end"}}
    ]}}"#;
    let filled = fill(text).expect("a good job");
    let super::Piece::Run(run) = &filled.job.ramp.path[1] else {
        panic!("a run")
    };
    assert_eq!(run.rise.print(), "2 ft 3 1/2 in");
}

#[test]
fn a_day_is_read_in_one_way_only() {
    assert!(Day::parse("2026-05-11").is_some());
    for text in [
        "2026-5-11",
        "2026-02-30",
        "2026-05- 1",
        "11.05.2026",
        "+2026-05-1",
        "",
    ] {
        assert!(Day::parse(text).is_none(), "{text}");
        let sent = format!(r#"{{"book": {{"as_of": "{text}"}}, "ramp": {{"path": []}}}}"#);
        assert!(serde_json::from_str::<JobRequest>(&sent).is_err(), "{text}");
    }
}

#[test]
fn a_job_filled_without_a_list_is_the_same_job() {
    let sent: JobRequest = serde_json::from_str(STRAIGHT).expect("readable");
    let quiet = super::expand_unlisted(sent, today()).expect("a good job");
    assert_eq!(quiet, fill(STRAIGHT).expect("a good job").job);
}

/// An L whose second run is wide; `length` is what its landing says of itself.
fn turning(width: &str, length: &str) -> String {
    format!(
        r#"{{"ramp": {{"width": "{width}", "path": [
            {{"kind": "landing"}},
            {{"kind": "run", "rise": "14 in", "length": "14 ft"}},
            {{"kind": "landing", "turn": "right"{length}}},
            {{"kind": "run", "rise": "14 in", "length": "14 ft"}},
            {{"kind": "landing"}}
        ]}}}}"#
    )
}

#[test]
fn a_landing_left_to_us_is_as_long_as_the_run_that_leaves_it_sideways_is_wide() {
    // 60 in clear and the curb at its end; a wider run asks for more.
    for (width, length) in [
        ("5 ft", "5 ft 6 in"),
        ("66 in", "5 ft 6 in"),
        ("8 ft", "8 ft"),
    ] {
        let filled = fill(&turning(width, "")).expect("a good job");
        let super::Piece::Landing(landing) = &filled.job.ramp.path[2] else {
            panic!("a landing")
        };
        assert_eq!(landing.length.print(), length, "{width}");
        let listed = filled.assumptions.iter();
        let listed: Vec<&str> = listed
            .filter(|one| one.pointer == "/ramp/path/2/length")
            .map(|one| &*one.value)
            .collect();
        assert_eq!(listed, [length], "{width}");
    }
}

#[test]
fn a_landing_that_is_stated_too_short_for_that_run_is_refused() {
    assert!(fill(&turning("8 ft", r#", "length": "8 ft""#)).is_ok());
    let short = turning("8 ft", r#", "length": "7 ft 11 3/4 in""#);
    let faults = fill(&short).expect_err("too short").0;
    assert_eq!(faults.len(), 1, "{faults:?}");
    assert_eq!(faults[0].pointer, "/ramp/path/2/length");
    assert_eq!(faults[0].example.as_deref(), Some("8 ft"));
}

/// The reading library's own map forgets what is wrong with its values.
#[test]
fn every_fault_of_things_by_name_is_told_at_its_name() {
    let sent = serde_json::json!({
        "basis": {"/ramp/path/1/rise": "guessed", "/ramp/path/1/length": null, "/ramp/width": "told"},
        "book": {"inherited": {"demo": "first"}},
        "ramp": {"path": "none"},
    });
    let faults = deserr::deserialize::<JobRequest, _, Faults>(sent).expect_err("four faults");
    let told: Vec<&str> = faults
        .0
        .iter()
        .map(|fault| fault.pointer.as_str())
        .collect();
    let wanted = [
        "/basis/~1ramp~1path~11~1rise",
        "/basis/~1ramp~1path~11~1length",
        "/book/inherited/demo",
        "/ramp/path",
    ];
    assert!(wanted.iter().all(|at| told.contains(at)), "{told:?}");
    assert_eq!(told.len(), wanted.len(), "{told:?}");
    let sound = serde_json::json!({
        "basis": {"/ramp/width": "told"}, "ramp": {"path": [{"kind": "landing"}]},
    });
    let strict: JobRequest = serde_json::from_value(sound.clone()).expect("sound");
    let listing = deserr::deserialize::<JobRequest, _, Faults>(sound).expect("sound");
    assert_eq!(strict, listing);
    assert_eq!(strict.basis.map_or(0, |basis| basis.len()), 1);
}
