//! The generated client at work: it asks the real binary, which has a book of its own.

use crate::{
    binary::Binary,
    programs::{compile, installed, said, succeed},
};

/// Calls one function of the compiled caller.
fn call(function: &str, base: &str) -> String {
    let script = format!(
        "import caller from \"./out/caller.js\"; console.log(await caller.{function}(process.argv[1]));"
    );
    succeed("node", &["--input-type=module", "--eval", &script, base])
        .trim()
        .to_owned()
}

#[test]
fn a_generated_typescript_client_gets_a_price_and_a_refusal() {
    let output = compile("caller.ts", &["--outDir", "out"]);
    assert!(output.status.success(), "{}", said(&output));
    let service = Binary::start();

    let answer = call("price", &service.base);
    let (verdict, rest) = answer.split_once(": ").expect("verdict: total");
    assert!(
        ["complies", "does_not_comply", "undetermined"].contains(&verdict),
        "{answer}"
    );
    let (total, rest) = rest.split_once(" USD, ").expect("a total in dollars");
    assert!(
        total.parse::<f64>().is_ok_and(|total| total > 1_000.0),
        "{answer}"
    );
    let order = rest.strip_suffix(" yd3").expect("an order in cubic yards");
    assert!(
        order.parse::<f64>().is_ok_and(|order| order > 1.0),
        "{answer}"
    );

    assert_eq!(
        call("refusal", &service.base),
        "422 /problems/faults /ramp/width"
    );
}

/// What is sent, answered and expanded fits the schemas that are published.
#[test]
fn jobs_answers_and_expanded_jobs_fit_the_published_schemas() {
    installed();
    let service = Binary::start();
    // Seven jobs, each sent and answered and expanded by four calls.
    let said = succeed("node", &["fits.mjs", &service.base]);
    assert_eq!(said.trim(), "63 fit");
}
