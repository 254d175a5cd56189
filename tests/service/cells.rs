//! One figure for a cell: its text, its refusals, and what a spreadsheet asks before it reads.

use crate::answered::text_of;
use crate::launched::{Folder, Launched, client, problem, settings};
use crate::roles::add_key;
use crossfall::book::{Role, open_store};
use reqwest::header::{ACCEPT, ALLOW, CACHE_CONTROL, CONTENT_TYPE, ETAG, IF_NONE_MATCH};
use reqwest::{Method, Response};
use secrecy::ExposeSecret as _;

/// A usual ramp, as a cell's address holds it.
pub(crate) const JOB: &str = "rise_in=28&length_ft=28&runs=2&turn=left&left=wall";

pub(crate) async fn get(service: &Launched, path: &str) -> Response {
    service.get(path).send().await.expect("an answer")
}

pub(crate) fn header(answer: &Response, name: impl reqwest::header::AsHeaderName) -> String {
    let value = answer.headers().get(name).expect("the header");
    value.to_str().expect("text").to_owned()
}

#[actix_web::test]
async fn a_cell_is_one_value_and_nothing_else() {
    let service = Launched::start().await;
    let answer = get(&service, &format!("/v1/cell/paid_hours?{JOB}")).await;
    assert_eq!(answer.status(), 200);
    assert_eq!(header(&answer, CONTENT_TYPE), "text/plain; charset=utf-8");
    assert_eq!(header(&answer, CACHE_CONTROL), "private, max-age=60");
    assert!(header(&answer, ETAG).starts_with("W/\"sha256:"));
    assert!(header(&answer, ETAG).ends_with("-paid_hours\""));
    let value = answer.text().await.expect("text");
    assert!(
        value.parse::<f64>().is_ok_and(|hours| hours > 10.0),
        "{value}"
    );
    assert_eq!(
        text_of(service.get(&format!("/v1/cell/verdict?{JOB}"))).await,
        "complies"
    );
    let unknown = text_of(service.get(&format!("/v1/cell/top_unknown?{JOB}"))).await;
    assert!(unknown.contains("? (+-"), "{unknown}");
}

#[actix_web::test]
async fn what_makes_an_address_new_changes_nothing() {
    let service = Launched::start().await;
    let once = text_of(service.get(&format!("/v1/cell/total?{JOB}"))).await;
    let again =
        text_of(service.get(&format!("/v1/cell/total?{JOB}&_=2026-05-04T10:00&job=x"))).await;
    assert_eq!(once, again);
    assert!(once.ends_with(|one: char| one.is_ascii_digit()) && once.contains('.'));
}

#[actix_web::test]
async fn a_value_that_is_held_already_is_not_sent_again() {
    let service = Launched::start().await;
    let path = format!("/v1/cell/total?{JOB}");
    let tag = header(&get(&service, &path).await, ETAG);
    for held in [tag.clone(), format!("\"other\", {tag}"), "*".to_owned()] {
        let again = service.get(&path).header(IF_NONE_MATCH, held).send().await;
        let again = again.expect("an answer");
        assert_eq!(again.status(), 304);
        assert_eq!(header(&again, ETAG), tag);
        assert_eq!(again.text().await.expect("text"), "");
    }
    let other = format!("/v1/cell/slope?{JOB}");
    let other = service.get(&other).header(IF_NONE_MATCH, tag).send().await;
    assert_eq!(other.expect("an answer").status(), 200);
}

#[actix_web::test]
async fn a_figure_that_nobody_knows_names_those_that_are_near() {
    let service = Launched::start().await;
    let refused = problem(service.get(&format!("/v1/cell/totl?{JOB}")), 404).await;
    let detail = refused["detail"].as_str().expect("text");
    assert!(
        detail.contains("\"totl\"") && detail.contains("total"),
        "{detail}"
    );
}

#[actix_web::test]
async fn what_is_not_known_is_a_problem_of_its_own_kind() {
    let service = Launched::start().await;
    // The demo book has no bar of this size.
    let path = format!("/v1/cell/total?{JOB}&bar=10M");
    let refused = problem(service.get(&path), 422).await;
    assert_eq!(refused["type"], "/problems/unpriced");
    let detail = refused["detail"].as_str().expect("text");
    assert!(
        detail.contains("total is not known: no price for "),
        "{detail}"
    );
    let open = problem(service.get(&format!("/v1/cell/last_day?{JOB}")), 422).await;
    assert_eq!(open["type"], "/problems/undetermined");
    assert!(
        open["detail"]
            .as_str()
            .is_some_and(|text| text.contains("start"))
    );
}

#[actix_web::test]
async fn every_fault_of_a_query_is_told_with_its_name_as_written() {
    let service = Launched::start().await;
    let path = "/v1/cell/total?Rise_IN=abc&length_ft=28&runs=0&nonsense=1&errors=loud&header=no";
    let refused = problem(service.get(path), 422).await;
    let faults = refused["errors"].as_array().expect("faults");
    let columns: Vec<&str> = faults
        .iter()
        .filter_map(|fault| fault["column"].as_str())
        .collect();
    for column in ["Rise_IN", "runs", "nonsense", "errors", "header"] {
        assert!(columns.contains(&column), "{column} in {columns:?}");
    }
}

#[actix_web::test]
async fn an_inline_refusal_is_a_line_of_text_that_nobody_keeps() {
    let service = Launched::start().await;
    let cases = [
        ("GET", "/v1/cell/total?rise_in=abc&length_ft=28", "rise_in"),
        ("GET", "/v1/cell/totl?rise_in=28", "totl"),
        ("GET", "/v1/cell/total?rise_in=28&book=none", "book"),
        ("GET", "/v1/cell/last_day?rise_in=28", "start"),
        ("GET", "/v1/cell/total?rise_in=28&format=pdf", "text"),
        ("GET", "/v1/cell/a/b?x=1", "Nothing is served"),
        ("POST", "/v1/cell/total?rise_in=28", "GET"),
    ];
    for (method, path, holds) in cases {
        let method: Method = method.parse().expect("a method");
        let url = format!("{}{path}&errors=inline", service.base);
        let answer = client()
            .request(method, url)
            .send()
            .await
            .expect("an answer");
        assert_eq!(answer.status(), 200, "{path}");
        assert_eq!(header(&answer, CONTENT_TYPE), "text/plain; charset=utf-8");
        assert_eq!(header(&answer, CACHE_CONTROL), "no-store");
        assert!(!header(&answer, "x-request-id").is_empty());
        let told = answer.text().await.expect("text");
        assert!(
            told.starts_with("#ERR ") && told.contains(holds),
            "{path}: {told}"
        );
        assert!(
            told.chars().count() <= 250 && !told.contains('\n'),
            "{told}"
        );
    }
    let long = format!(
        "/v1/cell/total?rise_in=28&errors=inline&job={}",
        "x".repeat(9_000)
    );
    assert!(
        text_of(service.get(&long))
            .await
            .starts_with("#ERR The request target is longer")
    );
    let host = service
        .get("/v1/cell/total?errors=inline")
        .header("Host", "elsewhere.example");
    let told = text_of(host).await;
    assert!(
        told.starts_with("#ERR This service answers to localhost"),
        "{told}"
    );
    let xml = service
        .get(&format!("/v1/cell/slope?{JOB}&errors=inline"))
        .header(ACCEPT, "image/png");
    assert!(text_of(xml).await.starts_with("#ERR "));
}

#[actix_web::test]
async fn other_paths_refuse_as_ever() {
    let service = Launched::start().await;
    problem(service.get("/v1/figures?errors=inline"), 400).await;
    problem(service.get("/v1/cells/total?errors=inline"), 404).await;
}

#[actix_web::test]
async fn keys_and_rates_are_refused_inline_and_never_given_back() {
    let folder = Folder::new();
    let config = settings(&folder);
    let url = config.database_url.clone().expect("a database");
    let store = open_store(url.expose_secret()).await.expect("it opens");
    let (_, slow) = add_key(&*store, Role::Cell, Some(2)).await;
    let (_, estimate) = add_key(&*store, Role::Estimate, None).await;
    let (_, deliver) = add_key(&*store, Role::Deliver, None).await;
    let service = Launched::start_on(config, folder).await;
    let path = |key: &str| format!("/v1/cell/slope?{JOB}&errors=inline&key={key}");
    let told = text_of(service.get(&format!("/v1/cell/slope?{JOB}&errors=inline"))).await;
    assert!(told.starts_with("#ERR Send a key"), "{told}");
    assert!(
        text_of(service.get(&path("wrong")))
            .await
            .starts_with("#ERR The key sent")
    );
    assert!(
        text_of(service.get(&path(&estimate)))
            .await
            .starts_with("#ERR A key in the query")
    );
    let sent = service
        .get(&format!("/v1/cell/slope?{JOB}&errors=inline"))
        .bearer_auth(&deliver);
    let told = text_of(sent).await;
    assert!(
        told.starts_with("#ERR This call needs a key of role"),
        "{told}"
    );
    assert_eq!(text_of(service.get(&path(&slow))).await, "8.333");
    text_of(service.get(&path(&slow))).await;
    let late = text_of(service.get(&path(&slow))).await;
    assert!(
        late.starts_with("#ERR This key has called as often"),
        "{late}"
    );
    let row = text_of(service.get(&format!(
        "/v1/row?{JOB}&errors=inline&format=csv&key={slow}"
    )))
    .await;
    assert!(row.contains("#ERR") && !row.contains(&slow), "{row}");
}

#[actix_web::test]
async fn a_spreadsheet_may_look_without_a_key_and_computes_nothing() {
    let service = Launched::start_with(|config, folder| {
        config.first_key_file = Some(folder.file("first", crate::launched::KEY));
    })
    .await;
    for path in [
        "/v1/cell/total?rise_in=none",
        "/v1/cell/nothing",
        "/v1/row?a=b",
    ] {
        let url = format!("{}{path}", service.base);
        let head = client().head(&url).send().await.expect("an answer");
        assert_eq!(head.status(), 200, "{path}");
        assert_eq!(head.text().await.expect("text"), "");
        let options = client().request(Method::OPTIONS, &url).send().await;
        let options = options.expect("an answer");
        assert_eq!(options.status(), 204, "{path}");
        assert_eq!(header(&options, ALLOW), "GET, HEAD, OPTIONS");
        problem(client().get(&url), 401).await;
    }
    let foreign = client()
        .head(format!("{}/v1/row", service.base))
        .header("Host", "elsewhere.example");
    assert_eq!(foreign.send().await.expect("an answer").status(), 403);
}
