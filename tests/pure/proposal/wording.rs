//! Sentences that say no more than was sent: measures, quotes, budgets, tax.

use super::{proposed, request_of, small_request};
use crate::worked::{DEMO_JOBS, demo_list, priced_from};
use crossfall::documents::compose_proposal;
use crossfall::documents::drawing::Paper;
use crossfall::documents::paper::write_document;
use crossfall::http::answer::{EstimateAnswer, View};
use crossfall::proposal::Proposal;
use crossfall::quantity::System;
use serde_json::{Value, json};

fn said(proposal: &Proposal, number: usize) -> String {
    proposal.sections[number - 1].paragraphs.join(" ")
}

fn page(proposal: &Proposal) -> String {
    let drawn = crossfall::documents::Drawn {
        subject: None,
        system: System::Us,
        paper: Paper::Letter,
    };
    write_document(&compose_proposal(proposal, None, drawn))
}

#[test]
fn the_basis_says_what_was_sent_and_no_more() {
    let (proposal, _) = proposed(&request_of(DEMO_JOBS[0].1));
    let basis = said(&proposal, 1);
    assert!(basis.contains("No point of it was marked to us"), "{basis}");
    assert!(basis.contains("Where one of them differs"), "{basis}");
    assert!(!basis.contains("The same holds"), "{basis}");
    // Without the job nothing is known of its points, and no day of measuring was sent.
    let (proposal, _) = proposed(&small_request("USD", "100.00"));
    let basis = said(&proposal, 1);
    assert_eq!(
        basis,
        "Priced from the dimensions that were given to us, at the prices of 2026-05-04."
    );
}

fn quoted(lines: &[(&str, &str)]) -> Value {
    let mut request = small_request("USD", "1.00");
    let line = request["estimate"]["price"]["lines"][0].clone();
    let lines = lines.iter().map(|(code, day)| {
        let mut line = line.clone();
        line["code"] = json!(code);
        line["price_from"] = json!({"effective": day});
        line
    });
    let lines: Vec<Value> = lines.collect();
    let sum = format!("{}.00", lines.len());
    let price = &mut request["estimate"]["price"];
    price["lines"] = json!(lines);
    price["build_up"][0]["amount"] = json!(sum);
    price["total"] = json!(sum);
    request
}

/// 30 days from 2026-05-04 are 2026-06-03.
#[test]
fn a_quote_is_of_its_own_day_and_priced_anew_after_the_offer_ends() {
    let all = [
        ("concrete-4500-air", "2026-03-02"),
        ("bar-no4", "2026-04-01"),
        ("wire-6x6-w2-1-5x10", "2026-03-20"),
        // No concrete and no steel, for all their codes.
        ("concrete-screw", "2026-01-05"),
        ("concrete-pump-visit", "2026-01-05"),
        ("bar-chair", "2026-01-06"),
    ];
    let (proposal, _) = proposed(&quoted(&all));
    let price = said(&proposal, 8);
    let wanted = "In it concrete as quoted on 2026-03-02 and steel as quoted on 2026-03-20, to be priced anew if ordered after 2026-06-03. The oldest price in it is of 2026-01-05.";
    assert!(price.contains(wanted), "{price}");
    let (proposal, _) = proposed(&quoted(&all[..1]));
    assert!(!said(&proposal, 8).contains("steel"));
    let (proposal, _) = proposed(&quoted(&all[3..]));
    assert!(!said(&proposal, 8).contains("as quoted"));
}

#[test]
fn a_budget_whose_every_line_is_priced_asks_for_no_more_prices() {
    let mut request = quoted(&[("concrete-4500-air", "2026-03-02")]);
    request["budget"] = json!(true);
    let (proposal, _) = proposed(&request);
    let html = page(&proposal);
    for wrong in [
        "so far",
        "could be priced",
        "every line is priced",
        "ood until",
        "ordered after",
    ] {
        assert!(!html.contains(wrong), "{wrong}");
    }
    assert!(html.contains("Budget only, no offer: USD 1.00 (one US dollar"));
    assert_eq!(proposal.valid_until, None);
    assert!(
        proposal
            .defaulted
            .iter()
            .all(|one| one.pointer != "/valid_days")
    );
    let price = &mut request["estimate"]["price"];
    price["unpriced"] = json!([{"code": "x", "description": "A rail", "why": "no price"}]);
    price["total"] = Value::Null;
    let (proposal, _) = proposed(&request);
    let html = page(&proposal);
    for right in [
        "Budget so far",
        "could be priced",
        "once every line is priced",
    ] {
        assert!(html.contains(right), "{right}");
    }
}

/// Three decimals of a tax rate; tax of a price in cents, rounded half up: reckoned in whole numbers.
#[test]
fn tax_at_a_rate_of_three_decimals_is_the_step_of_the_answer() {
    let job = DEMO_JOBS[0].1.trim_end().trim_end_matches('}');
    let job =
        format!(r#"{job}, "price": {{"sales_tax": {{"rate": "8.875 %", "base": "price"}}}}}}"#);
    let estimate = priced_from(&demo_list(), &job).unwrap_or_else(|faults| panic!("{faults}"));
    let view = View {
        system: estimate.job.units,
        working: false,
    };
    let mut request = request_of(DEMO_JOBS[0].1);
    let answer = EstimateAnswer::of(estimate, view, true);
    request["estimate"] = serde_json::to_value(answer).expect("an answer can be written");
    // As it was sent, in case an answer shows fewer decimals.
    let steps = request["estimate"]["price"]["build_up"]
        .as_array_mut()
        .expect("steps");
    let tax = steps
        .iter_mut()
        .find(|step| step["step"] == "tax_charged")
        .expect("tax");
    tax["rate"]["value"] = json!(8.875);
    let (proposal, _) = proposed(&request);
    let steps = request["estimate"]["price"]["build_up"]
        .as_array()
        .expect("steps");
    let tax = steps
        .iter()
        .find(|step| step["step"] == "tax_charged")
        .expect("tax");
    assert_eq!(json!(proposal.price.tax), tax["amount"]);
    assert_eq!(json!(proposal.price.before_tax), tax["base"]);
    assert_eq!(
        json!(proposal.price.amount),
        request["estimate"]["price"]["total"]
    );
    let minor = |amount: &Value| -> i64 {
        let text = amount.as_str().expect("an amount").replace('.', "");
        text.parse().expect("cents")
    };
    let before = minor(&tax["base"]);
    assert_eq!(minor(&tax["amount"]), (before * 8_875 + 50_000) / 100_000);
    let total = minor(&request["estimate"]["price"]["total"]);
    assert_eq!(total, before + minor(&tax["amount"]));
}
