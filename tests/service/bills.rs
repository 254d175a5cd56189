//! A job priced, billed and posted over HTTP, each answer sent on as it came.

use crate::answered::json_of;
use crate::launched::{Launched, cents, problem};
use serde_json::{Value, json};

const JOB: &str = include_str!("../../examples/switchback.json");

async fn estimate(service: &Launched) -> Value {
    let job: Value = serde_json::from_str(JOB).expect("JSON");
    json_of(
        service
            .post("/v1/estimates?job=true&working=true")
            .json(&job),
    )
    .await
}

fn request(estimate: &Value, number: &str) -> Value {
    json!({
        "number": number, "issue_date": "2026-06-30",
        "seller": {"name": "Mill Ramp Crew (invented)"}, "buyer": {"name": "Weir Builders (invented)"},
        "estimate": estimate
    })
}

fn accounts() -> Value {
    json!({
        "receivable": "Assets:Receivable", "retainage": "Assets:Retainage", "income": "Income:Ramps",
        "tax": "Liabilities:Tax", "cash": "Assets:Bank", "budget": "Equity:Budget",
        "cost": {"material": "Expenses:Material", "labour": "Expenses:Labour", "equipment": "Expenses:Equipment",
                 "fee": "Expenses:Fees", "sub": "Expenses:Subs"}
    })
}

#[actix_web::test]
async fn a_whole_job_is_billed_and_posted_to_the_cent() {
    let service = Launched::start().await;
    let estimate = estimate(&service).await;
    let bill = json_of(
        service
            .post("/v1/invoices")
            .json(&request(&estimate, "INV-1")),
    )
    .await;
    assert_eq!(bill["totals"]["payable"], estimate["price"]["total"]);
    let sent = json!({"accounts": accounts(), "entries": [
        {"bill": bill},
        {"payment": {"bill": "INV-1", "date": "2026-07-14", "amount": "500.00", "currency": "USD", "reference": "T-9"}},
        {"budget": {"date": "2026-05-04", "number": "B-1", "estimate": estimate}}
    ]});
    let journal = json_of(service.post("/v1/journals").json(&sent)).await;
    for entry in journal["entries"].as_array().expect("entries") {
        let side = |side: &str| -> i64 {
            let postings = entry["postings"].as_array().expect("postings").iter();
            postings
                .filter(|posting| posting.get(side).is_some())
                .map(|posting| cents(&posting[side]))
                .sum()
        };
        assert_eq!(side("debit"), side("credit"), "{entry}");
        assert_eq!(side("debit"), cents(&entry["sum"]));
    }
    let budget = &journal["entries"][2];
    let steps = estimate["price"]["build_up"].as_array().expect("steps");
    assert_eq!(
        cents(&budget["sum"]),
        cents(&steps[0]["amount"]) + cents(&steps[1]["amount"])
    );
    let again = json_of(service.post("/v1/journals").json(&sent)).await;
    assert_eq!(again, journal, "the same request, the same ids");
}

#[actix_web::test]
async fn a_bill_and_a_journal_are_tables_too() {
    let service = Launched::start().await;
    let estimate = estimate(&service).await;
    let mut sent = request(&estimate, "INV-1");
    sent["buyer"]["name"] = json!("=cmd|' /C calc'!A0");
    sent["retainage"] = json!("10 %");
    let bill = json_of(service.post("/v1/invoices").json(&sent)).await;
    let csv = service
        .post("/v1/invoices?format=csv")
        .json(&sent)
        .send()
        .await;
    let csv = csv.expect("an answer").text().await.expect("a text");
    let rows: Vec<&str> = csv.trim_end().split("\r\n").collect();
    assert!(rows[0].starts_with("document,kind,date,"), "{csv}");
    assert!(rows[1].contains("'=cmd|"), "{csv}");
    let amount = |row: &&str| {
        let cell = row.split(',').rev().nth(3).expect("an amount");
        cents(&json!(cell))
    };
    let sum: i64 = rows[1..].iter().map(amount).sum();
    assert_eq!(sum, cents(&bill["totals"]["with_tax"]));
    let sent = json!({"accounts": accounts(), "entries": [{"bill": bill}]});
    let csv = service
        .post("/v1/journals")
        .header("Accept", "text/csv")
        .json(&sent)
        .send()
        .await;
    let csv = csv.expect("an answer").text().await.expect("a text");
    assert_eq!(csv.trim_end().split("\r\n").count(), 1 + 3, "{csv}");
    for (query, said) in [
        (
            "format=text",
            "2026-06-30 * (INV-1) =cmd,' /C calc'!A0, Invoice INV-1",
        ),
        (
            "format=text&dialect=beancount&open=true",
            "2026-06-30 open Assets:Receivable USD\n",
        ),
    ] {
        let text = service
            .post(&format!("/v1/journals?{query}"))
            .json(&sent)
            .send()
            .await;
        let text = text.expect("an answer").text().await.expect("a text");
        assert!(text.contains(said), "{text}");
    }
}

#[actix_web::test]
async fn a_journal_names_each_account_that_is_missing_or_cannot_be_written() {
    let service = Launched::start().await;
    let estimate = estimate(&service).await;
    let bill = json_of(
        service
            .post("/v1/invoices")
            .json(&request(&estimate, "INV-1")),
    )
    .await;
    let sent = json!({"accounts": {"cost": {"steel": "x"}}, "entries": [{"bill": bill}, {"bill": bill}, {}]});
    let told = problem(service.post("/v1/journals").json(&sent), 422).await;
    let places: Vec<&str> = told["errors"]
        .as_array()
        .expect("errors")
        .iter()
        .filter_map(|e| e["pointer"].as_str())
        .collect();
    for place in [
        "/accounts/cost/steel",
        "/accounts/receivable",
        "/accounts/income",
        "/entries/1",
        "/entries/2",
    ] {
        assert!(places.contains(&place), "{place}: {told}");
    }
    let mut named = accounts();
    named["income"] = json!("(Income)");
    let sent = json!({"accounts": named, "entries": [{"bill": bill}]});
    json_of(service.post("/v1/journals").json(&sent)).await;
    let told = problem(service.post("/v1/journals?format=text").json(&sent), 422).await;
    assert_eq!(told["errors"][0]["found"], "\"(Income)\"");
    let mut altered = bill;
    altered["totals"]["payable"] = json!("1.00");
    let sent = json!({"accounts": accounts(), "entries": [{"bill": altered}]});
    let told = problem(service.post("/v1/journals").json(&sent), 422).await;
    assert_eq!(
        told["errors"][0]["pointer"],
        "/entries/0/bill/totals/payable"
    );
}

#[actix_web::test]
async fn an_altered_estimate_is_billed_by_nobody() {
    let service = Launched::start().await;
    let mut estimate = estimate(&service).await;
    estimate["price"]["lines"][0]["extended"] = json!("1.00");
    let told = problem(
        service
            .post("/v1/invoices")
            .json(&request(&estimate, "INV-1")),
        422,
    )
    .await;
    assert_eq!(
        told["errors"][0]["pointer"],
        "/estimate/price/lines/0/extended"
    );
}

#[actix_web::test]
async fn a_credit_note_takes_a_bill_back() {
    let service = Launched::start().await;
    let estimate = estimate(&service).await;
    let bill = json_of(
        service
            .post("/v1/invoices")
            .json(&request(&estimate, "INV-1")),
    )
    .await;
    let sent = json!({"number": "C-1", "issue_date": "2026-07-02", "bill": bill, "reason": "Billed twice"});
    let credit = json_of(service.post("/v1/credit-notes").json(&sent)).await;
    assert_eq!(credit["totals"], bill["totals"]);
    assert_eq!(
        credit["corrects"],
        json!({"number": "INV-1", "issue_date": "2026-06-30"})
    );
    let sent = json!({"accounts": accounts(), "entries": [{"bill": bill}, {"bill": credit}]});
    let journal = json_of(service.post("/v1/journals").json(&sent)).await;
    let mut left = std::collections::BTreeMap::<String, i64>::new();
    for posting in journal["entries"]
        .as_array()
        .expect("entries")
        .iter()
        .flat_map(|e| e["postings"].as_array().expect("postings"))
    {
        let side = |side: &str| posting.get(side).map_or(0, cents);
        *left.entry(posting["account"].to_string()).or_default() += side("debit") - side("credit");
    }
    assert!(left.values().all(|left| *left == 0), "{left:?}");
}
