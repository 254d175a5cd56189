//! What changed between two estimates: worked by hand, laws over random pairs, slips, refusals.

mod contract;
mod laws;
mod lines;
mod sections;
mod slips;

use crate::worked::{demo_list, priced_from, today};
use crossfall::answered::Answered;
use crossfall::catalog::{Catalog, PriceList};
use crossfall::change::{
    Cause, Comparison, End, Price, Side, compare_by_lines, compare_by_sections, sections,
};
use crossfall::crew::Rates;
use crossfall::estimate::{Brief, Estimate, With, estimate};
use crossfall::http::answer::{EstimateAnswer, View};
use crossfall::job::JobRequest;
use crossfall::rules::RuleSets;
use serde_json::{Value, json};

const SWITCHBACK: &str = include_str!("../../../examples/switchback.json");

/// The invented switchback with some values set, each at its pointer.
fn switchback(set: &[(&str, Value)]) -> String {
    let mut job: Value = serde_json::from_str(SWITCHBACK).expect("an example");
    for (pointer, value) in set {
        let mut place = &mut job;
        for part in pointer.split('/').skip(1) {
            place = match place {
                Value::Array(items) => {
                    &mut items[part.parse::<usize>().expect("an index of the path")]
                }
                Value::Object(fields) => fields.entry(part).or_insert_with(|| json!({})),
                other => panic!("{pointer} leads through {other}"),
            };
        }
        *place = value.clone();
    }
    job.to_string()
}

fn priced(list: &PriceList, text: &str) -> Estimate {
    priced_from(list, text).unwrap_or_else(|faults| panic!("{faults}: {text}"))
}

/// The price of a job on the way, as the service finds it; all from one list.
fn total(list: &PriceList, job: &JobRequest) -> Option<Price> {
    let with = With {
        rules: RuleSets::built_in(),
        catalog: Catalog::built_in(),
        rates: Rates::built_in(),
        list,
    };
    let brief = Brief {
        unknowns: false,
        supply: false,
        ..Brief::from(job.clone())
    };
    Side::of(&estimate(brief, today(), with).ok()?).price()
}

/// Two jobs, priced from one list each, compared section by section; a job on the way that names
/// the second revision is priced from the second list.
fn by_sections(lists: [&PriceList; 2], jobs: [&str; 2]) -> Comparison {
    let [was, is] = [priced(lists[0], jobs[0]), priced(lists[1], jobs[1])];
    let end = |estimate, list| End { estimate, list };
    let way = sections(end(&was, lists[0]), end(&is, lists[1]));
    compare_by_sections((&Side::of(&was), &Side::of(&is)), way, |job| {
        let second = job.book.as_ref().and_then(|book| book.revision) == Some(2);
        total(lists[usize::from(second)], job)
    })
}

/// Both from the demo book.
fn of_jobs(before: &str, after: &str) -> Comparison {
    let list = demo_list();
    by_sections([&list, &list], [before, after])
}

fn sent_back(estimate: Estimate) -> Answered {
    let view = View {
        system: estimate.job.units,
        working: true,
    };
    let answer = EstimateAnswer::of(estimate, view, true);
    let text = serde_json::to_string(&answer).expect("an answer can be written");
    serde_json::from_str(&text).expect("an answer can be sent back")
}

/// The same two as answers that were sent back.
fn of_answers(before: &str, after: &str) -> Comparison {
    let list = demo_list();
    let [was, is] = [before, after].map(|job| sent_back(priced(&list, job)));
    let side = |answer: &Answered| Side::of_answer(answer, "/x").expect("it adds up");
    compare_by_lines(&side(&was), &side(&is))
}

fn net(told: &Comparison) -> i64 {
    told.net.expect("both are priced whole").minor()
}

/// What each cause moved, in cents.
fn by_cause(told: &Comparison) -> Vec<(Vec<Cause>, i64)> {
    let steps = told.causes.iter();
    steps
        .map(|step| {
            let amount = step.amount.expect("an amount");
            (step.causes.clone(), amount.minor())
        })
        .collect()
}

fn sum(told: &Comparison) -> i64 {
    by_cause(told).iter().map(|(_, amount)| amount).sum()
}

/// The changes of lines and of the steps above them, in cents.
fn sum_of_rows(told: &Comparison) -> i64 {
    let lines = told.lines.iter().map(|line| line.change.minor());
    let above = told.build_up.iter().filter(|step| step.step != "direct");
    lines.sum::<i64>() + above.map(|step| step.change.minor()).sum::<i64>()
}
