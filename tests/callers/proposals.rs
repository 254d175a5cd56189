//! A proposal as a reader of PDF takes it: poppler reads its words, and they are those of the data.

use crate::binary::Binary;
use crate::programs::{folder, succeed};
use serde_json::{Value, json};
use std::fs;

/// A request from the answer to a demo job, in a file beside what callers write.
fn asked(base: &str, example: &str) -> String {
    let body = format!("@../../examples/{example}.json");
    let answer = post(base, "/v1/estimates?job=true", &body);
    let parties = fs::read_to_string(folder().join("../../examples/proposal-parties.json"));
    let mut request: Value = serde_json::from_str(&parties.expect("an example")).expect("JSON");
    request["estimate"] = serde_json::from_str(&answer).expect("JSON");
    request["seller"]["name"] = json!("Mill & Sons <yard> (invented)");
    let out = folder().join("out");
    fs::create_dir_all(&out).expect("a folder for what callers write");
    let name = format!("proposal-{example}.json");
    fs::write(out.join(&name), request.to_string()).expect("a file");
    format!("@out/{name}")
}

fn post(base: &str, call: &str, body: &str) -> String {
    let json = "Content-Type: application/json";
    succeed(
        "curl",
        &["-sSf", "-H", json, "--data", body, &format!("{base}{call}")],
    )
}

/// The words of a PDF in the order in which they were written, parted by single spaces.
fn words_of(base: &str, (call, body, name): (&str, &str, &str)) -> String {
    let json = "Content-Type: application/json";
    let file = format!("out/{name}");
    let address = format!("{base}{call}");
    succeed(
        "curl",
        &["-sSf", "-H", json, "--data", body, "-o", &file, &address],
    );
    let text = succeed("pdftotext", &["-raw", "-enc", "UTF-8", &file, "-"]);
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Every figure and sentence of the data, each as words parted by single spaces.
fn said(data: &Value) -> Vec<String> {
    let mut said = vec![data["price"]["figures"].clone()];
    for list in ["alternates", "allowances", "extras"] {
        let list = data[list].as_array().expect("a list");
        said.extend(list.iter().map(|one| one["figures"].clone()));
    }
    for section in data["sections"].as_array().expect("sections") {
        let rows = section["table"]["rows"].as_array().into_iter().flatten();
        said.extend(rows.flat_map(|row| row.as_array().expect("cells").clone()));
        said.extend(section["points"].as_array().expect("points").clone());
    }
    let words = |text: &Value| {
        let text = text.as_str().expect("words");
        text.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    said.iter()
        .map(words)
        .filter(|text| !text.is_empty())
        .collect()
}

#[test]
fn the_words_of_a_proposal_are_those_of_its_data() {
    let service = Binary::start();
    for (example, pages) in [
        ("straight", 2),
        ("l-shape", 2),
        ("switchback", 2),
        ("school-entrance", 2),
    ] {
        let body = asked(&service.base, example);
        let data = post(&service.base, "/v1/proposals?format=json", &body);
        let data: Value = serde_json::from_str(&data).expect("JSON");
        let name = format!("proposal-{example}.pdf");
        let words = words_of(&service.base, ("/v1/proposals?format=pdf", &body, &name));
        assert!(
            words.contains(&format!("Page {pages} of {pages}")),
            "{example}"
        );
        assert!(words.contains("Mill & Sons <yard> (invented)"), "{example}");
        let missing: Vec<String> = said(&data)
            .into_iter()
            .filter(|said| !stands(&words, said))
            .collect();
        assert!(missing.is_empty(), "{example}: {missing:?} in {words}");
    }
}

/// Whether words stand in others; a cell or a point may go on in another column, its beginning may not.
fn stands(words: &str, said: &str) -> bool {
    if words.contains(said) {
        return true;
    }
    let first: Vec<&str> = said.split(' ').take(3).collect();
    words.contains(&first.join(" ")) && said.split(' ').all(|word| words.contains(word))
}
