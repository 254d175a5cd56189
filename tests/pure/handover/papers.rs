//! The handover on paper: every word of it, escaped, on a few pages.

use super::{sent_with, whole};
use crossfall::documents::compose_handover;
use crossfall::documents::drawing::Paper;
use crossfall::documents::paper::{lay_out_document, write_document};
use serde_json::json;

#[test]
fn every_sentence_stands_on_paper_and_is_escaped() {
    let handover = whole(&sent_with(json!({
        "customer": {"name": "Mill & Sons <\"=1+1\"> \u{5d0}\u{5d1} (invented)"},
        "number": "H-7", "warranty": {"years": 2},
        "tickets": [{"number": "<b>1</b>", "volume": "3 yd3", "air": "1 %"}],
        "sealer": {"applied_on": "2026-06-16", "by": "own crew & son"},
    })));
    let document = compose_handover(&handover);
    assert_eq!(
        document.stamp, None,
        "nothing was measured, so that nothing is broken"
    );
    let html = write_document(&document);
    for wanted in [
        "Mill &amp; Sons &lt;",
        "&lt;b&gt;1&lt;/b&gt;",
        "own crew &amp; son",
        "\u{5d0}\u{5d1}",
        "through 2028-06-20",
        "day 29",
        "H-7",
        "was not measured",
        "nothing of the ramp",
    ] {
        assert!(html.contains(wanted), "{wanted} in {html}");
    }
    assert!(!html.contains("<b>1</b>") && !html.contains("<script"));
    let escaped = |text: &str| {
        let text = text.replace('&', "&amp;").replace('<', "&lt;");
        text.replace('>', "&gt;")
    };
    let mut sentences: Vec<String> = handover.care.iter().map(|one| one.sentence()).collect();
    sentences.extend(handover.cautions.iter().cloned());
    sentences.extend(handover.concrete.remarks.iter().cloned());
    for sentence in sentences {
        let start = escaped(&sentence);
        assert!(
            html.contains(&start.replace('"', "&quot;")) || html.contains(&start),
            "{start}"
        );
    }
    let pages = lay_out_document(&document, Paper::A4);
    assert!((1..=3).contains(&pages.len()), "{}", pages.len());
}
