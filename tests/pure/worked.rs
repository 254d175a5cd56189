//! Jobs run through the real flow: read, filled, worked out, priced from the invented demo book.

use crossfall::book::demo_history;
use crossfall::catalog::{Catalog, PriceList};
use crossfall::crew::Rates;
use crossfall::estimate::{Estimate, With, estimate};
use crossfall::geometry::{Geometry, solve};
use crossfall::job::{Day, Job, JobRequest, expand};
use crossfall::quantity::Faults;
use crossfall::rules::RuleSets;
use std::sync::Arc;

pub(crate) fn today() -> Day {
    Day::parse("2026-05-04").expect("a day that exists")
}

pub(crate) fn read(text: &str) -> JobRequest {
    serde_json::from_str(text).unwrap_or_else(|error| panic!("{error}: {text}"))
}

pub(crate) fn filled(text: &str) -> Job {
    expand(read(text), today())
        .unwrap_or_else(|faults| panic!("{faults}"))
        .job
}

pub(crate) fn solved(text: &str) -> (Job, Geometry) {
    let job = filled(text);
    let geometry = solve(&job);
    (job, geometry)
}

pub(crate) fn demo_list() -> PriceList {
    let history = demo_history().expect("the demo book can be read");
    PriceList::new(Arc::new(history), None, today().0).expect("it has a revision")
}

pub(crate) fn priced_from(list: &PriceList, text: &str) -> Result<Estimate, Faults> {
    let with = With {
        rules: RuleSets::built_in(),
        catalog: Catalog::built_in(),
        rates: Rates::built_in(),
        list,
    };
    estimate(read(text), today(), with)
}

pub(crate) fn priced(text: &str) -> Estimate {
    priced_from(&demo_list(), text).unwrap_or_else(|faults| panic!("{faults}"))
}

/// The invented jobs that the README shows: three ramps alone, and an entrance with all that stands around.
pub(crate) const DEMO_JOBS: [(&str, &str); 4] = [
    ("straight", include_str!("../../examples/straight.json")),
    ("l-shape", include_str!("../../examples/l-shape.json")),
    ("switchback", include_str!("../../examples/switchback.json")),
    (
        "school-entrance",
        include_str!("../../examples/school-entrance.json"),
    ),
];
