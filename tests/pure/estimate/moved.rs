//! What an input that nobody measured could move: each is moved by hand, and the whole job estimated
//! again from the start.

use crate::worked::{DEMO_JOBS, demo_list, today};
use crossfall::catalog::{Catalog, PriceList};
use crossfall::crew::Rates;
use crossfall::estimate::{Brief, Estimate, With, estimate};
use crossfall::job::{FieldRow, Fields, JobRequest};
use crossfall::quantity::money::Amount;
use crossfall::rules::RuleSets;
use serde_json::{Value, json};

fn asked(job: &Value, list: &PriceList, unknowns: bool) -> Option<Estimate> {
    let sent: JobRequest = serde_json::from_value(job.clone()).ok()?;
    let brief = Brief {
        unknowns,
        supply: false,
        ..Brief::from(sent)
    };
    let with = With {
        rules: RuleSets::built_in(),
        catalog: Catalog::built_in(),
        rates: Rates::built_in(),
        list,
    };
    estimate(brief, today(), with).ok()
}

/// The job with a value at a pointer; none where one stands there, or its section is refused.
fn with_value(job: &Value, pointer: &str, text: &str) -> Option<Value> {
    let mut moved = job.clone();
    let mut place = &mut moved;
    for part in pointer.split('/').skip(1) {
        place = match place {
            Value::Array(items) => items.get_mut(part.parse::<usize>().ok()?)?,
            Value::Object(fields) => fields.entry(part).or_insert_with(|| json!({})),
            _ => return None,
        };
    }
    (*place == json!({})).then(|| *place = json!(text))?;
    Some(moved)
}

fn moved(job: &Value, list: &PriceList, (pointer, text): (&str, &str)) -> Option<Amount> {
    let moved = with_value(job, pointer, text)?;
    Some(asked(&moved, list, false)?.priced.build_up.total())
}

/// Every row that is moved to ends of its own, not in proportion to what was sent.
fn rows() -> impl Iterator<Item = &'static FieldRow> {
    let rows = Fields::built_in().rows();
    rows.filter(|row| {
        row.low
            .as_deref()
            .is_some_and(|low| !low.starts_with(['-', '+']))
    })
}

/// How many inputs were compared, and of those that nobody tells of whether they move nothing.
fn compare(job: &Value, list: &PriceList) -> usize {
    let whole = asked(job, list, true).expect("no fault");
    let base = whole.priced.build_up.total();
    let mut compared = 0;
    for row in rows() {
        let (low, high) = (row.low.as_deref(), row.high.as_deref());
        let ends = [low.expect("a low end"), high.expect("a high end")];
        let pointers: Vec<String> = (0..8)
            .map(|at| row.pointer.replace('*', &at.to_string()))
            .collect();
        for pointer in pointers
            .iter()
            .take(if row.pointer.contains('*') { 8 } else { 1 })
        {
            let by_hand = ends.map(|end| moved(job, list, (pointer, end)));
            let [Some(at_low), Some(at_high)] = by_hand else {
                continue;
            };
            let told = whole
                .unknowns
                .iter()
                .find(|unknown| unknown.pointer == *pointer);
            let assumed = whole.assumptions.iter().any(|one| one.pointer == *pointer);
            match told {
                Some(told) => {
                    assert_eq!(
                        (told.at_low, told.at_high),
                        (at_low - base, at_high - base),
                        "{pointer}"
                    );
                    compared += 1;
                }
                None if assumed => assert_eq!((at_low, at_high), (base, base), "{pointer}"),
                None => {}
            }
        }
    }
    compared
}

fn variants() -> Vec<Value> {
    let mut jobs = Vec::new();
    for (_, text) in DEMO_JOBS {
        let plain: Value = serde_json::from_str(text).expect("an example");
        for (section, value) in [
            ("scope", json!("prime")),
            ("crew", json!({"placing": "bags"})),
            (
                "crew",
                json!({"placing": "pump", "members": [{"class": "finisher", "count": 1}]}),
            ),
            ("insulation", json!("none")),
            ("joints", json!({"method": "sawn", "sealed": false})),
            ("units", json!("metric")),
            (
                "requirements",
                json!([{"name": "bond", "percent": "1.5 %"}]),
            ),
        ] {
            let mut job = plain.clone();
            job[section] = value;
            jobs.push(job);
        }
        let mut solid = plain.clone();
        solid["ramp"]["support"] = json!("solid");
        solid["ramp"]["curb"] = json!({"width": "8 in"});
        jobs.extend([plain, solid]);
    }
    jobs
}

#[test]
fn every_input_moves_the_price_as_much_as_sending_it_does() {
    let list = demo_list();
    let compared: usize = variants().iter().map(|job| compare(job, &list)).sum();
    assert!(compared > 200, "only {compared} inputs were told of");
}
