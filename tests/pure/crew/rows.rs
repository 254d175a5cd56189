//! The rows: sound, sourced, and the practice they were taken from.

use crossfall::crew::Rates;
use crossfall::quantity::Verified;

const FILE: &str = include_str!("../../../src/crew/rates.toml");
const MODIFIERS: &str = include_str!("../../../src/crew/modifiers.toml");

/// Common practice, no source: production ranges of a small crew, and the figures for ramps under
/// about 300 ft2 where those are known. Code, low, likely, high.
const PRACTICE: &[(&str, f64, f64, f64)] = &[
    ("layout", 0.003, 0.006, 0.010),
    ("fine-grade", 0.008, 0.014, 0.025),
    ("stone", 0.6, 0.9, 1.5),
    ("form-edge-low", 0.05, 0.08, 0.12),
    ("form-edge-high", 0.08, 0.12, 0.18),
    ("form-edge-slope", 0.09, 0.12, 0.18),
    ("form-side", 0.10, 0.14, 0.20),
    ("form-on-wall", 0.08, 0.12, 0.20),
    ("insulation", 0.005, 0.009, 0.015),
    ("isolation-filler", 0.015, 0.025, 0.04),
    ("bars", 0.008, 0.011, 0.016),
    ("place-chute", 0.6, 0.65, 0.7),
    ("place-barrow", 0.8, 1.1, 1.6),
    ("place-buggy", 0.5, 0.7, 1.0),
    ("place-pump", 0.45, 0.65, 0.9),
    ("place-bags", 5.0, 7.0, 10.0),
    ("strike-off", 0.006, 0.010, 0.016),
    ("finish", 0.008, 0.013, 0.020),
    ("joint-tooled", 0.008, 0.012, 0.02),
    ("cure-compound", 0.001, 0.002, 0.004),
    ("cover-on", 0.003, 0.005, 0.010),
    ("washout", 0.15, 0.25, 0.5),
    ("saw-early-entry", 0.005, 0.008, 0.015),
    ("strip-staked", 0.01, 0.018, 0.03),
    ("strip-side", 0.02, 0.035, 0.06),
    ("rub", 0.03, 0.04, 0.08),
    ("cover-off", 0.003, 0.005, 0.010),
    ("backfill", 0.02, 0.035, 0.06),
    ("handrail", 0.25, 0.45, 0.80),
    ("seal-surface", 0.002, 0.003, 0.006),
    ("seal-joints", 0.02, 0.035, 0.06),
];

/// Common practice, no source: hours before the first unit on a small ramp.
const SETUP: &[(&str, f64)] = &[
    ("layout", 1.25),
    ("stone", 0.5),
    ("saw-early-entry", 2.0),
    ("saw-conventional", 2.0),
    ("seal-surface", 1.75),
];

#[test]
fn rows_hold_the_practice_they_were_taken_from() {
    let rows = Rates::built_in().rows();
    let find = |code: &str| {
        rows.iter()
            .find(|row| row.code == code)
            .expect("a row of that code")
    };
    for (code, low, likely, high) in PRACTICE {
        let row = find(code);
        assert_eq!(
            (row.low, row.likely, row.high),
            (*low, *likely, *high),
            "{code}"
        );
    }
    for (code, hours) in SETUP {
        assert_eq!(find(code).setup_hours, *hours, "{code}");
    }
}

#[test]
fn every_row_has_a_source_and_rising_figures() {
    let rates = Rates::read(FILE, MODIFIERS).expect("the rows read");
    for row in rates.rows() {
        let source = row.source();
        assert!(
            row.low <= row.likely && row.likely <= row.high,
            "{}",
            row.code
        );
        assert!(!source.document.is_empty(), "{}", row.code);
        assert!(
            source.verified == Verified::Practice || source.section.is_some(),
            "{}",
            row.code
        );
        assert!(
            row.people_least >= 1 && !row.includes.is_empty(),
            "{}",
            row.code
        );
    }
    let figures = &rates.figures;
    assert!(figures.pour_crew_volume.low <= figures.pour_crew_volume.likely);
    assert!(figures.pour_crew_volume.likely <= figures.pour_crew_volume.high);
}

/// Each way in which a file may be wrong is caught, and the fault names the place.
#[test]
fn a_broken_file_is_refused() {
    let broken = |from: &str, to: &str| {
        assert!(FILE.contains(from), "{from} is not in the file");
        Rates::read(&FILE.replacen(from, to, 1), MODIFIERS).err()
    };
    let fault = broken("likely = 0.014", "likely = 0.14").expect("likely above high");
    assert!(fault.starts_with("fine-grade"), "{fault}");
    assert!(
        broken("[task.rub]", "[task.rubb]").is_some(),
        "a row is missing"
    );
    assert!(broken("low = 0.003", "low = nan").is_some(), "not a number");
    assert!(
        broken("people_most = 2", "people_most = 1").is_some(),
        "fewer than the least"
    );
    assert!(
        broken("likely = \"7 yd3\"", "likely = \"7 ft2\"").is_some(),
        "the wrong unit"
    );
    assert!(
        broken("document = \"common practice, no source\"\n", "").is_some(),
        "no source"
    );
    assert!(
        broken("[figure.drying]", "[figure.dryness]").is_some(),
        "a figure is missing"
    );
}
