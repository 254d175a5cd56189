//! Drawings as a reader of the standard takes them: held against the published document type.

use crate::binary::Binary;
use crate::programs::{folder, run, said, succeed};
use std::fs;

/// Scalable Vector Graphics (SVG) 1.1 (Second Edition), W3C Recommendation, 16 August 2011: its document type.
const DOCUMENT_TYPE: &str = "-//W3C//DTD SVG 1.1//EN";

fn drawn(base: &str, call: &str, example: &str) -> String {
    let body = format!("@../../examples/{example}.json");
    let address = format!("{base}{call}");
    let json = "Content-Type: application/json";
    succeed("curl", &["-sSf", "-H", json, "--data", &body, &address])
}

fn faults_of(svg: &str, name: &str) -> Option<String> {
    let out = folder().join("out");
    fs::create_dir_all(&out).expect("a folder for what callers write");
    fs::write(out.join(name), svg).expect("a file");
    let file = format!("out/{name}");
    let checked = run(
        "xmllint",
        &["--nonet", "--noout", "--dtdvalidfpi", DOCUMENT_TYPE, &file],
    );
    (!checked.status.success()).then(|| said(&checked))
}

#[test]
fn every_drawing_of_the_demo_jobs_is_valid_svg() {
    let service = Binary::start();
    let views = ["plan", "elevation", "section", "joints", "bars"];
    let mut calls: Vec<(String, &str)> = vec![("/v1/drawings?view=survey".to_owned(), "survey")];
    for example in ["straight", "l-shape", "switchback"] {
        calls.push(("/v1/ramps/grade-sheet?format=svg".to_owned(), example));
        calls.extend(views.map(|view| (format!("/v1/drawings?view={view}"), example)));
    }
    for (number, (call, example)) in calls.iter().enumerate() {
        let svg = drawn(&service.base, call, example);
        let faults = faults_of(&svg, &format!("drawn-{number}.svg"));
        assert_eq!(faults, None, "{call} of {example}");
    }
    let broken = drawn(&service.base, "/v1/drawings", "straight")
        .replace("<polyline points", "<polyline point");
    assert!(faults_of(&broken, "drawn-broken.svg").is_some_and(|said| said.contains("polyline")));
}
