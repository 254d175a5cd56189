//! Change orders and job costs, as an office asks for them.

use crate::answered::{json_of, text_of};
use crate::launched::{Launched, cents, problem};
use serde_json::{Value, json};

const SWITCHBACK: &str = include_str!("../../examples/switchback.json");
const CHANGE: &str = include_str!("../../examples/change-order.json");
const COST: &str = include_str!("../../examples/job-cost.json");

fn parsed(text: &str) -> Value {
    serde_json::from_str(text).expect("JSON")
}

async fn compare(service: &Launched, body: &Value) -> Value {
    json_of(service.post("/v1/estimates/compare").json(body)).await
}

fn sum(rows: &Value, field: &str) -> i64 {
    let rows = rows.as_array().expect("rows").iter();
    rows.map(|row| cents(&row[field])).sum()
}

async fn refused_at(service: &Launched, path: &str, body: &Value) -> Vec<String> {
    let problem = problem(service.post(path).json(body), 422).await;
    let errors = problem["errors"].as_array().expect("errors").iter();
    let at = errors.map(|error| error["pointer"].as_str().unwrap_or_default().to_owned());
    at.collect()
}

#[actix_web::test]
async fn the_example_tells_what_the_site_changed_and_its_amounts_add_up() {
    let service = Launched::start().await;
    let sent = parsed(CHANGE);
    let told = compare(&service, &sent).await;
    assert_eq!(told["method"], "sections");
    assert_eq!(sum(&told["causes"], "amount"), cents(&told["net"]));
    assert_eq!(cents(&told["causes"][0]["amount"]), cents(&told["net"]));
    assert!(cents(&told["net"]) > 0);
    let contract = &told["contract"];
    let signed = sum(&json!([told["slips"]["slips"][0]]), "total");
    let of = |part: &str| cents(&contract[part]["with_tax"]);
    assert_eq!(of("signed_slips"), signed);
    assert!(of("unsigned_slips") > 0);
    assert_eq!(of("new"), of("original") + cents(&told["net"]) + signed);
    assert_eq!(cents(&contract["to_bill"]), cents(&told["net"]) + signed);
    assert_eq!(told["demo"], true);
    assert_eq!(told["number"], sent["number"]);
    assert!(!told.to_string().to_lowercase().contains("approv"));
}

/// Each side as a job or as its answer: the net and the lines are the same.
#[actix_web::test]
async fn a_job_and_its_answer_are_the_same_side() {
    let service = Launched::start().await;
    let sent = parsed(CHANGE);
    let answer = async |side: &str| {
        let answer = json_of(service.post("/v1/estimates").json(&sent[side]["job"])).await;
        json!({"estimate": answer})
    };
    let answers = json!({"before": answer("before").await, "after": answer("after").await});
    let jobs = compare(
        &service,
        &json!({"before": sent["before"], "after": sent["after"]}),
    )
    .await;
    let told = compare(&service, &answers).await;
    assert_eq!(told["method"], "lines");
    for field in ["net", "lines", "build_up", "figures", "before", "after"] {
        assert_eq!(told[field], jobs[field], "{field}");
    }
    assert_eq!(sum(&told["causes"], "amount"), cents(&told["net"]));
    let mixed = json!({"before": sent["before"], "after": answers["after"]});
    assert_eq!(compare(&service, &mixed).await["lines"], jobs["lines"]);
    let itself = json!({"before": answers["before"], "after": sent["before"]});
    let itself = compare(&service, &itself).await;
    assert_eq!(cents(&itself["net"]), 0);
    assert_eq!(itself["lines"], json!([]));
}

/// What a change order says is to be billed, billed: both come to the same new sum, with the same tax.
#[actix_web::test]
async fn a_change_is_billed_at_what_its_order_says() {
    let service = Launched::start().await;
    let mut sent = parsed(CHANGE);
    for side in ["before", "after"] {
        sent[side]["job"]["price"] = json!({"sales_tax": {"rate": "6.25 %", "base": "price"}});
    }
    let told = compare(&service, &sent).await;
    let contract = &told["contract"];
    let estimate = json_of(service.post("/v1/estimates").json(&sent["before"]["job"])).await;
    let change =
        json!({"number": "CO-2", "description": "Deeper base", "amount": contract["to_bill"]});
    let bill = json!({
        "number": "INV-1", "issue_date": "2026-07-31", "seller": sent["seller"], "buyer": sent["buyer"],
        "estimate": estimate, "changes": [change],
    });
    let totals = &json_of(service.post("/v1/invoices").json(&bill)).await["totals"];
    for part in ["before_tax", "tax", "with_tax"] {
        assert_eq!(totals[part], contract["new"][part], "{part}");
    }
}

#[actix_web::test]
async fn the_differences_come_as_rows_that_add_up() {
    let service = Launched::start().await;
    let sent = parsed(CHANGE);
    let told = compare(&service, &sent).await;
    let answer = service.post("/v1/estimates/compare?format=csv").json(&sent);
    let text = answer.send().await.expect("an answer").text().await;
    let text = text.expect("a text");
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let (mut causes, mut rows) = (0, 0);
    for row in reader.records() {
        let row = row.expect("a row");
        let change = cents(&json!(row.get(14).expect("a change")));
        match row.get(0) {
            Some("cause") => causes += change,
            _ => rows += change,
        }
    }
    assert_eq!((causes, rows), (cents(&told["net"]), cents(&told["net"])));
}

#[actix_web::test]
async fn a_job_without_a_name_is_called_the_same_on_paper_however_it_is_sent() {
    let service = Launched::start().await;
    let mut sent = parsed(CHANGE);
    for side in ["before", "after"] {
        sent[side]["job"]["name"] = json!("");
    }
    let mut answers = sent.clone();
    for side in ["before", "after"] {
        let estimate = json_of(service.post("/v1/estimates").json(&sent[side]["job"])).await;
        answers[side] = json!({"estimate": estimate});
    }
    for sent in [sent, answers] {
        let page = service
            .post("/v1/estimates/compare?format=html")
            .json(&sent);
        let page = text_of(page).await;
        assert!(page.contains(": Access ramp"), "{page:.400}");
    }
}

#[actix_web::test]
async fn the_change_order_comes_on_paper_with_the_new_sum_and_without_our_costs() {
    let service = Launched::start().await;
    let mut sent = parsed(CHANGE);
    sent["buyer"]["name"] = json!("<b>Hall & \"Sons\" قاعة</b>");
    let told = compare(&service, &sent).await;
    let path = "/v1/estimates/compare?format=html";
    let page = service
        .post(path)
        .json(&sent)
        .send()
        .await
        .expect("an answer");
    let page = page.text().await.expect("a text");
    assert!(page.contains("&lt;b&gt;Hall &amp; "), "{page}");
    let grouped = |amount: &Value| {
        let text = amount.as_str().expect("an amount").to_owned();
        format!(
            "USD {},{}",
            &text[..text.len() - 6],
            &text[text.len() - 6..]
        )
    };
    for said in [
        grouped(&told["contract"]["new"]["with_tax"]),
        grouped(&told["contract"]["original"]["with_tax"]),
    ] {
        assert!(page.contains(&said), "{said}: {page}");
    }
    for ours in ["overhead", "profit", "contingency", "approv"] {
        assert!(!page.to_lowercase().contains(ours), "{ours}");
    }
    let path = "/v1/estimates/compare?format=pdf";
    let paper = service
        .post(path)
        .json(&sent)
        .send()
        .await
        .expect("an answer");
    assert!(paper.bytes().await.expect("bytes").starts_with(b"%PDF-"));
    let bare = json!({"before": sent["before"], "after": sent["after"]});
    let at = refused_at(&service, path, &bare).await;
    assert_eq!(at, ["/number", "/date", "/seller", "/buyer"]);
    sent["after"]["job"]["scope"] = json!("prime");
    assert_eq!(refused_at(&service, path, &sent).await, ["/after"]);
}

#[actix_web::test]
async fn faults_of_both_sides_and_of_the_slips_are_told_together() {
    let service = Launched::start().await;
    let mut sent = parsed(CHANGE);
    sent["before"]["job"]["ramp"]["path"][1]["rise"] = json!("-1 in");
    sent["after"]["job"]["book"]["code"] = json!("nowhere");
    sent["slips"][0]["agreed_by"]["date"] = json!("2020-01-01");
    sent["buyer"]["name"] = json!("");
    let at = refused_at(&service, "/v1/estimates/compare", &sent).await;
    for pointer in [
        "/before/job/ramp/path/1/rise",
        "/after/job/book/code",
        "/slips/0/agreed_by/date",
        "/buyer/name",
    ] {
        assert!(at.iter().any(|at| at == pointer), "{pointer}: {at:?}");
    }
    let both = json!({"before": {}, "after": {"job": parsed(SWITCHBACK), "estimate": null}});
    assert_eq!(
        refused_at(&service, "/v1/estimates/compare", &both).await,
        ["/before"]
    );
}

#[actix_web::test]
async fn two_currencies_are_never_compared_and_a_sum_that_does_not_hold_is_refused() {
    let service = Launched::start().await;
    let answer = json_of(service.post("/v1/estimates").json(&parsed(SWITCHBACK))).await;
    let mut euro = answer.clone();
    euro["price"]["currency"] = json!("EUR");
    let sent = json!({"before": {"estimate": answer}, "after": {"estimate": euro}});
    assert_eq!(
        refused_at(&service, "/v1/estimates/compare", &sent).await,
        ["/after"]
    );
    let mut wrong = answer.clone();
    wrong["price"]["total"] = json!("1.00");
    let sent = json!({"before": {"estimate": answer}, "after": {"estimate": wrong}});
    let at = refused_at(&service, "/v1/estimates/compare", &sent).await;
    assert_eq!(at, ["/after/estimate/price/total"]);
}

/// The invented cost of the invented switchback.
#[actix_web::test]
async fn the_example_of_a_job_cost_adds_up() {
    let service = Launched::start().await;
    let answer = json_of(service.post("/v1/estimates").json(&parsed(SWITCHBACK))).await;
    let mut sent = parsed(COST);
    sent["estimate"] = answer.clone();
    let told = json_of(service.post("/v1/job-costs").json(&sent)).await;
    let total = &told["total"];
    assert_eq!(sum(&told["causes"], "amount"), cents(&total["variance"]));
    assert_eq!(sum(&told["classes"], "variance"), cents(&total["variance"]));
    assert_eq!(total["estimated"], answer["price"]["build_up"][0]["amount"]);
    assert_eq!(told["not_estimated"].as_array().map(Vec::len), Some(1));
    assert!(told["visits"][0]["ratio"].is_number());
    assert!(told["earned"]["not_billed"].is_string());
    let rows = service.post("/v1/job-costs?format=csv").json(&sent);
    let text = text_of(rows).await;
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let variance = |row: csv::StringRecord| match row.get(12) {
        Some("") | None => 0,
        Some(amount) => cents(&json!(amount)),
    };
    let rows: i64 = reader
        .records()
        .map(|row| variance(row.expect("a row")))
        .sum();
    assert_eq!(rows, cents(&total["variance"]));
}

#[actix_web::test]
async fn names_that_a_spreadsheet_would_run_are_made_text() {
    let service = Launched::start().await;
    let mut sent = parsed(COST);
    sent["estimate"] = json_of(service.post("/v1/estimates").json(&parsed(SWITCHBACK))).await;
    sent["actual"]["bills"] = json!([
        {"code": "=1+1", "supplier": "@SUM(A1) <b>", "amount": "1.00", "document": "+7"},
    ]);
    let rows = service.post("/v1/job-costs?format=csv").json(&sent);
    let text = text_of(rows).await;
    for cell in ["'=1+1", "'@SUM(A1) <b>", "'+7"] {
        assert!(text.contains(cell), "{cell}: {text}");
    }
}
