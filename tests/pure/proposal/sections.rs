//! What each section says, held to the answer that it is made of.

use super::{proposed, request_of, small_request};
use crate::worked::DEMO_JOBS;
use crossfall::documents::drawing::{Item, Paper};
use crossfall::documents::paper::{lay_out_document, write_document};
use crossfall::documents::{Drawn, compose_proposal};
use crossfall::proposal::{Proposal, ProposalSection};
use crossfall::quantity::System;
use serde_json::{Value, json};

fn section(proposal: &Proposal, number: usize) -> &ProposalSection {
    &proposal.sections[number - 1]
}

fn words(proposal: &Proposal, number: usize) -> String {
    let section = section(proposal, number);
    let rows = section
        .table
        .iter()
        .flat_map(|table| table.rows.iter().flatten());
    let all = section
        .paragraphs
        .iter()
        .chain(rows)
        .chain(&section.after)
        .chain(&section.points);
    all.cloned().collect::<Vec<_>>().join("\n")
}

fn check_says(proposal: &Proposal, number: usize, said: &[&str]) {
    let words = words(proposal, number);
    for said in said {
        assert!(
            words.contains(said),
            "section {number} lacks {said:?}: {words}"
        );
    }
}

fn on_paper(proposal: &Proposal) -> crossfall::documents::paper::Document {
    let drawn = Drawn {
        subject: None,
        system: System::Us,
        paper: Paper::Letter,
    };
    compose_proposal(proposal, None, drawn)
}

#[test]
fn the_sections_of_a_demo_job_say_what_its_answer_says() {
    let mut request = request_of(DEMO_JOBS[0].1);
    request["estimate"]["job"]["basis"]["/base/depth"] = json!("told");
    let (proposal, _) = proposed(&request);
    assert_eq!(proposal.sections.len(), 13);
    let price = request["estimate"]["price"]["total"]
        .as_str()
        .expect("a total");
    assert_eq!(json!(proposal.price.amount), json!(price));
    check_says(
        &proposal,
        1,
        &[
            "Drawing A-101, site plan (invented) of 2026-04-02",
            "One point was told",
            "depth of the base",
        ],
    );
    check_says(
        &proposal,
        2,
        &[
            "1 run and 2 landings, rising 2 ft over 36 ft 8 in",
            "26 ft 8 in",
            "5 ft 6 in",
            "4 ft 6 in",
            "7.5 %",
            "compact 4 in of dense-graded stone",
            "no. 4 bars at 1 ft 6 in",
            "3.51 yd3 of 4500 psi, 6 % air",
            "5 in thick, measured square",
            "joints 1 1/4 in deep at about 5 ft",
            "silane sealer, at 14 days",
        ],
    );
    check_says(
        &proposal,
        3,
        &[
            "Walls and compacted fill, up to 9 in",
            "before 2026-05-11",
            "after 2026-05-14",
        ],
    );
    check_says(
        &proposal,
        4,
        &["Rock, soft or wet ground", "Removal of the old handrail"],
    );
    // 1:12 is 8.33 %, 1:48 is 2.08 % (2010 ADA Standards, 405.2 and 405.3).
    check_says(
        &proposal,
        5,
        &[
            "7.5 % running and 1.5 % cross",
            "405.2 and 405.3",
            "leaves 0.83 and 0.58 points",
        ],
    );
    check_says(
        &proposal,
        7,
        &[
            "6 visits over 17 calendar days",
            "closed for 4 days",
            "3 working days",
            "2026-05-13",
        ],
    );
    check_says(
        &proposal,
        8,
        &[
            "USD 8,076.59 (eight thousand",
            "Good until 2026-06-03, 30 days from 2026-05-04",
            "420.00",
            "-310.00",
        ],
    );
    check_says(&proposal, 9, &["R. Sample", "79.26"]);
    check_says(&proposal, 10, &["by day 25", "At most 10 %", "30 days"]);
    check_says(&proposal, 13, &["take second place", "Only R. Sample"]);
}

/// What others do is no work of ours, and is told once.
#[test]
fn what_others_do_is_in_no_list_of_ours() {
    let (proposal, _) = proposed(&request_of(DEMO_JOBS[0].1));
    for code in ["handrail", "ackfill"] {
        assert!(!words(&proposal, 2).contains(code), "{code}");
    }
    let needs = section(&proposal, 3).table.clone().expect("rows").rows;
    let left_out = &section(&proposal, 4).points;
    assert!(needs.iter().all(|need| !left_out.contains(&need[0])));
}

/// A prime builder's list grows, and the way of payment follows the scope.
#[test]
fn payment_follows_the_scope_of_the_job() {
    let prime = DEMO_JOBS[0].1.replacen('{', "{\"scope\": \"prime\",", 1);
    let mut request = request_of(&prime);
    // The demo book has no price for fill and paving.
    request["budget"] = json!(true);
    let (proposal, _) = proposed(&request);
    check_says(&proposal, 10, &["30 % with your order", "pour"]);
    let (pointers, defaulted): (Vec<_>, Vec<_>) = proposal
        .defaulted
        .iter()
        .map(|one| (one.pointer.as_str(), one.value.as_str()))
        .unzip();
    assert!(pointers.contains(&"/payment/kind") && defaulted.contains(&"prime"));
    assert!(!pointers.contains(&"/payment/retained"), "{pointers:?}");
}

#[test]
fn a_limit_that_is_passed_is_told_and_nobody_is_said_to_accept_it() {
    let mut request = request_of(DEMO_JOBS[0].1);
    request["local_code"] = json!("Code of Alder Fork (invented)");
    let findings = request["estimate"]["check"]["findings"]
        .as_array_mut()
        .expect("findings");
    findings[0]["margin"]["value"] = json!(-0.4);
    let (proposal, _) = proposed(&request);
    check_says(
        &proposal,
        5,
        &[
            "is -0.4 and 0.58 points",
            "designer has to settle",
            "Code of Alder Fork",
            "Acceptance is the authority's",
        ],
    );
}

/// Cost, wage and margin are ours alone: 58.40 and 43.75 an hour, 178.00 a yard, 24.11 %, 6865.10 in all.
#[test]
fn no_cost_of_ours_leaves_with_a_proposal() {
    let (proposal, _) = proposed(&request_of(DEMO_JOBS[0].1));
    let json = serde_json::to_string(&proposal).expect("JSON");
    let html = write_document(&on_paper(&proposal));
    for text in [json, html] {
        for ours in [
            "58.40",
            "43.75",
            "178.00",
            "24.11",
            "6865.10",
            "6,865.10",
            "labourer, 7",
        ] {
            assert!(!text.contains(ours), "{ours}");
        }
    }
}

#[test]
fn no_fact_is_left_open_and_every_table_is_whole() {
    for (name, job) in DEMO_JOBS {
        let (proposal, _) = proposed(&request_of(job));
        for section in &proposal.sections {
            let said = !section.paragraphs.is_empty()
                || !section.points.is_empty()
                || section.table.is_some();
            assert!(said && !section.heading.is_empty(), "{name}: {section:?}");
            if let Some(table) = &section.table {
                assert!(
                    table.rows.iter().all(|row| row.len() == table.heads.len()),
                    "{name}"
                );
            }
        }
        let json = serde_json::to_value(&proposal).expect("JSON")["sections"].to_string();
        assert!(!json.contains('{') || !json.contains("{list}"), "{name}");
        let sentences = proposal
            .sections
            .iter()
            .flat_map(|section| &section.paragraphs);
        assert!(
            sentences.clone().all(|words| !words.contains(['{', '}'])),
            "{name}"
        );
    }
}

#[test]
fn a_budget_says_so_on_each_page_and_is_not_signed() {
    let mut request = request_of(DEMO_JOBS[0].1);
    request["budget"] = json!(true);
    let price = &mut request["estimate"]["price"];
    price["unpriced"] = json!([{"code": "x", "description": "A rail of brass", "why": "no price"}]);
    price["total"] = Value::Null;
    request["exclusions"] = json!(
        (0..30)
            .map(|n| format!("Thing {n} that nobody does"))
            .collect::<Vec<_>>()
    );
    let (proposal, _) = proposed(&request);
    check_says(
        &proposal,
        8,
        &["Budget only, no offer", "Not priced yet: A rail of brass"],
    );
    let document = on_paper(&proposal);
    let pages = lay_out_document(&document, Paper::Letter);
    assert!(pages.len() > 1);
    for page in &pages {
        let texts = page.items.iter().filter_map(|item| match item {
            Item::Text(text) => Some(text.words.as_str()),
            _ => None,
        });
        let texts: Vec<&str> = texts.collect();
        assert!(texts.contains(&"BUDGET, NOT AN OFFER"));
        assert!(!texts.iter().any(|text| text.starts_with("Signature")));
    }
}

#[test]
fn names_of_any_letters_stay_words() {
    let mut request = small_request("USD", "100.00");
    request["seller"]["name"] = json!("<b>Mill & Sons</b> =2+3");
    request["customer"]["name"] = json!("مقاول الخرسانة");
    request["estimate"]["name"] = json!("\"Quoted\" <script>");
    let (proposal, site) = proposed(&request);
    assert!(site.is_none());
    let html = write_document(&on_paper(&proposal));
    assert!(html.contains("&lt;b&gt;Mill &amp; Sons&lt;/b&gt; =2+3"));
    assert!(html.contains("<bdi>مقاول الخرسانة</bdi>") && !html.contains("<script"));
}

#[test]
fn currencies_without_and_with_three_places_are_told_in_theirs() {
    for (code, amount, figures) in [
        ("JPY", "1250000", "JPY 1,250,000"),
        ("KWD", "2500.075", "KWD 2,500.075"),
    ] {
        let (proposal, _) = proposed(&small_request(code, amount));
        assert_eq!(proposal.price.figures, figures);
    }
}

/// A thousand lines are a request like any other.
#[test]
fn a_long_estimate_is_proposed() {
    let mut request = small_request("USD", "1.00");
    let line = request["estimate"]["price"]["lines"][0].clone();
    let price = &mut request["estimate"]["price"];
    price["lines"] = json!(vec![line; 1000]);
    price["build_up"][0]["amount"] = json!("1000.00");
    price["total"] = json!("1000.00");
    let (proposal, _) = proposed(&request);
    assert_eq!(
        proposal.price.words,
        "one thousand US dollars and zero cents"
    );
}
