//! Hostile words in every text of every paper that may hold them.
//!
//! Invariant: which texts those are is found by asking, so that a new one is looked at too. Absent: rows of
//! a batch and of the short form, which stand in `rows` and `batch`.

use crate::answered::json_of;
use crate::launched::{Launched, typed};
use serde_json::{Value, json};

/// What would run, close or open something, were it not taken as words.
const HOSTILE: &str =
    "=1+1\"'></text><script>alert(1)</script><i onload=x>;|]]>--><!-- )/OpenAction(";
/// What would break a line, steer a terminal, or turn what follows.
const BREAKING: [&str; 7] = [
    "a\nb",
    "a\r\n2026-01-01 * x",
    "a\u{0}b",
    "\u{1b}[31mred",
    "a\u{85}b",
    "a\u{2028}b",
    "a\u{202e}b",
];
const JOB: &str = include_str!("../../../examples/switchback.json");
const PARTIES: &str = include_str!("../../../examples/proposal-parties.json");

fn texts(value: &Value, at: &str, found: &mut Vec<String>) {
    match value {
        Value::String(_) => found.push(at.to_owned()),
        Value::Array(items) => {
            for (index, item) in items.iter().enumerate() {
                texts(item, &format!("{at}/{index}"), found);
            }
        }
        Value::Object(fields) => {
            for (name, field) in fields.iter().filter(|(name, _)| *name != "estimate") {
                texts(field, &format!("{at}/{name}"), found);
            }
        }
        _ => {}
    }
}

fn with(body: &Value, at: &str, words: &str) -> Value {
    let mut changed = body.clone();
    *changed.pointer_mut(at).expect("it is there") = json!(words);
    changed
}

async fn status(service: &Launched, path: &str, body: &Value) -> u16 {
    let answer = service.post(path).json(body).send().await;
    answer.expect("an answer").status().as_u16()
}

/// The request with hostile words wherever they may stand, and those places. None of them takes words
/// that break a line.
async fn filled(service: &Launched, path: &str, body: &Value) -> (Value, Vec<String>) {
    let (mut places, mut filled, mut taken) = (Vec::new(), body.clone(), Vec::new());
    texts(body, "", &mut places);
    for at in places {
        match status(service, path, &with(body, &at, HOSTILE)).await {
            200 => {
                filled = with(&filled, &at, HOSTILE);
                taken.push(at);
            }
            other => assert!([400, 422].contains(&other), "{path} {at}: {other}"),
        }
    }
    for (number, at) in taken.iter().enumerate() {
        let words = BREAKING[number % BREAKING.len()];
        for words in [words, "a\nb"] {
            let refused = status(service, path, &with(body, at, words)).await;
            assert_eq!(refused, 422, "{path} {at} takes {words:?}");
        }
    }
    assert_eq!(status(service, path, &filled).await, 200, "{path}");
    (filled, taken)
}

/// No element and no attribute that the words brought.
fn check_markup(kind: &str, text: &str) {
    assert!(
        text.contains("&lt;script&gt;"),
        "{kind}: the words are there"
    );
    for never in ["<script", "<i ", "</text><", "<!-- )", "\"'>"] {
        assert!(!text.contains(never), "{kind} holds {never}");
    }
    if kind.contains("html") {
        return;
    }
    let mut reader = quick_xml::Reader::from_str(text);
    reader.config_mut().check_end_names = true;
    loop {
        match reader.read_event().expect("well-formed") {
            quick_xml::events::Event::Eof => break,
            quick_xml::events::Event::Start(start) | quick_xml::events::Event::Empty(start) => {
                let mut names = start.attributes().map(|one| one.expect("an attribute").key);
                assert!(names.all(|name| name.as_ref() != "onload"), "{kind}");
            }
            _ => {}
        }
    }
}

fn check_table(text: &str) {
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .from_reader(text.as_bytes());
    let mut hostile = 0;
    for row in reader.records() {
        for cell in &row.expect("a row") {
            let runs = cell.starts_with(['=', '+', '-', '@', '\t', '\r']);
            assert!(!runs || cell.parse::<f64>().is_ok(), "{cell}");
            hostile += usize::from(cell.contains("=1+1"));
        }
    }
    assert!(hostile > 0, "the words are there: {text}");
}

/// Nothing in it acts: words that name an action stand in a string, after the sign that would end it.
fn check_pdf(bytes: &[u8]) {
    let text = String::from_utf8_lossy(bytes);
    for action in ["/JavaScript", "/Launch", "/URI", "/SubmitForm"] {
        assert!(!text.contains(action), "{action}");
    }
    // What is said of the file is XML, where a bracket ends nothing.
    let (before, described) = text.split_once("<?xpacket begin").expect("it is described");
    let (_, after) = described.split_once("<?xpacket end").expect("to an end");
    for text in [before, after] {
        let acts = text.matches("/OpenAction").count();
        assert_eq!(acts, text.matches("\\)/OpenAction").count());
    }
}

async fn check(service: &Launched, path: &str, body: &Value) {
    let (kind, bytes) = typed(service, path, body).await;
    let text = String::from_utf8_lossy(&bytes);
    match kind.split(';').next().unwrap_or_default() {
        "text/html" | "application/xml" | "image/svg+xml" => check_markup(&kind, &text),
        "text/csv" => check_table(&text),
        "application/pdf" => check_pdf(&bytes),
        other => panic!("{path} gave {other}"),
    }
}

async fn estimate(service: &Launched, job: &Value) -> Value {
    json_of(service.post("/v1/estimates?job=true").json(job)).await
}

/// A job whose remarks are filled in.
fn job() -> Value {
    let mut job: Value = serde_json::from_str(JOB).expect("an example");
    job["earthwork"] =
        json!({"break_out": [{"area": "20 ft2", "thickness": "4 in", "what": "old walk"}]});
    job["requirements"] = json!([{"name": "induction", "hours_per_person": "1 h"}]);
    job["site"]["zone"] = json!("north");
    job["ramp"]["level_changes"] =
        json!([{"height": "0.2 in", "shape": "vertical", "place": "foot"}]);
    job
}

#[actix_web::test]
async fn no_words_of_a_job_are_more_than_words() {
    let service = Launched::start().await;
    let (job, taken) = filled(&service, "/v1/estimates", &job()).await;
    for at in [
        "/name",
        "/earthwork/break_out/0/what",
        "/requirements/0/name",
    ] {
        assert!(taken.iter().any(|one| one == at), "{at} in {taken:?}");
    }
    for path in [
        "/v1/drawings?view=plan",
        "/v1/drawings?format=pdf",
        "/v1/foreman-sheet",
        "/v1/foreman-sheet?format=pdf",
    ] {
        check(&service, path, &job).await;
    }
}

#[actix_web::test]
async fn no_words_of_an_offer_or_a_bill_are_more_than_words() {
    let service = Launched::start().await;
    let mut named: Value = serde_json::from_str(JOB).expect("an example");
    named["name"] = json!(HOSTILE);
    named["price"] = json!({"sales_tax": {"rate": "6.25 %", "base": "price"}});
    let estimate = estimate(&service, &named).await;
    let mut offer: Value = serde_json::from_str(PARTIES).expect("an example");
    for party in ["seller", "buyer"] {
        offer[party]["country"] = json!("US");
    }
    offer["seller"]["tax_id"] = json!("US000000000");
    offer["seller"]["registration"] = json!("R-0000");
    offer["estimate"] = estimate.clone();
    let (seller, buyer) = (offer["seller"].clone(), offer["buyer"].clone());
    let (offer, taken) = filled(&service, "/v1/proposals?format=json", &offer).await;
    assert!(taken.len() > 20, "{taken:?}");
    for format in ["html", "pdf"] {
        check(&service, &format!("/v1/proposals?format={format}"), &offer).await;
    }
    let head =
        json!({"seller": seller, "buyer": buyer, "issue_date": "2026-06-30", "estimate": estimate});
    for (path, number) in [("/v1/quotations", "Q-1"), ("/v1/invoices", "INV-1")] {
        let mut body = head.clone();
        body["number"] = json!(number);
        if path == "/v1/invoices" {
            body["due_date"] = json!("2026-07-30");
        }
        let (body, taken) = filled(&service, &format!("{path}?format=json"), &body).await;
        assert!(taken.len() > 15, "{taken:?}");
        for format in ["xml", "csv", "html", "pdf"] {
            check(&service, &format!("{path}?format={format}"), &body).await;
        }
    }
}

#[actix_web::test]
async fn no_words_of_a_ledger_make_a_posting_of_their_own() {
    let service = Launched::start().await;
    let estimate = estimate(&service, &job()).await;
    let words = "x; y | z [w] {v} (u) \"t\" \\ 2026-01-01 * ";
    let body = json!({"number": "INV-1", "issue_date": "2026-06-30", "estimate": estimate,
        "seller": {"name": words}, "buyer": {"name": words}});
    let bill = service.post("/v1/invoices").json(&body).send().await;
    let bill: Value = bill.expect("an answer").json().await.expect("JSON");
    let sent = json!({
        "accounts": {"receivable": "Assets:Receivable", "income": "Income:Ramps", "tax": "Liabilities:Tax",
            "cash": "Assets:Bank"},
        "entries": [{"bill": bill}, {"payment": {"bill": "INV-1", "date": "2026-07-14", "amount": "500.00",
            "currency": "USD", "reference": words}}]
    });
    for (dialect, amount) in [("ledger", "USD "), ("beancount", " USD")] {
        let path = format!("/v1/journals?format=text&dialect={dialect}");
        let (_, bytes) = typed(&service, &path, &sent).await;
        let text = String::from_utf8(bytes).expect("UTF-8");
        let begins = |line: &&str| line.starts_with(|c: char| c.is_ascii_digit());
        let heads: Vec<&str> = text.lines().filter(begins).collect();
        assert_eq!(heads.len(), 2, "{text}");
        let sound = |head: &&str| match dialect {
            // Neither a comment nor another payee begins there.
            "ledger" => !head.contains([';', '|']),
            _ => head.matches('"').count() - head.matches("\\\"").count() == 4,
        };
        assert!(heads.iter().all(sound), "{text}");
        let posts = |line: &&str| line.trim_start().starts_with(char::is_uppercase);
        let postings: Vec<&str> = text.lines().filter(posts).collect();
        assert_eq!(postings.len(), 4, "{text}");
        assert!(postings.iter().all(|line| line.contains(amount)), "{text}");
    }
    for account in [
        "Assets:A\n  Assets:B  1",
        "Assets:A  1 USD",
        "Assets;note",
        "(Assets:A)",
    ] {
        for dialect in ["ledger", "beancount"] {
            let changed = with(&sent, "/accounts/cash", account);
            let path = format!("/v1/journals?format=text&dialect={dialect}");
            assert_eq!(status(&service, &path, &changed).await, 422, "{account}");
        }
    }
}
