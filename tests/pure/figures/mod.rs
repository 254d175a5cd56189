//! Single figures: the same as the whole answer, adding up, and honest where they are not known.

mod agreement;
mod notes;
mod sums;
mod unknown;

use crate::worked::priced;
use crossfall::estimate::Estimate;
use crossfall::figures::{Figure, Found, Shown};

/// What a figure comes to.
fn found(estimate: &Estimate, name: &str) -> Found {
    let figure = Figure::named(name).unwrap_or_else(|| panic!("no figure {name}"));
    figure.of(estimate)
}

/// The text of a figure that is known.
fn known(estimate: &Estimate, name: &str) -> String {
    let shown = found(estimate, name).unwrap_or_else(|why| panic!("{name}: {why:?}"));
    shown.as_str().to_owned()
}

/// A usual ramp with one field more, as JSON.
fn ramp(extra: &str, rise: &str, length: &str) -> String {
    format!(
        r#"{{{extra}"ramp": {{"path": [{{"kind": "landing"}},
        {{"kind": "run", "rise": "{rise}", "length": "{length}"}}, {{"kind": "landing"}}]}}}}"#
    )
}

#[test]
fn the_usual_row_holds_the_figures_of_the_contract_in_their_order() {
    let names: Vec<&str> = Figure::usual().iter().map(|figure| figure.name).collect();
    let written = "status, verdict, first_violation, worst_margin, slope, surface_area, \
        concrete_net, concrete_order, stone_order, insulation_boards, bars, form_length, \
        saw_length, paid_hours, standby_hours, visits, crew_days, material, labour, equipment, \
        fees, subs, direct, tax_paid, contingency, overhead, profit, tax_charged, total, \
        price_per_area, per_crew_day, unpriced, top_unknown, oldest_price, valid_until, revision, \
        fingerprint, note";
    assert_eq!(names, written.split(", ").collect::<Vec<_>>());
}

#[test]
fn every_name_is_said_once_with_its_meaning() {
    let all = crossfall::figures::FIGURES;
    assert_eq!(all.len(), 68);
    for (at, figure) in all.iter().enumerate() {
        assert!(all[..at].iter().all(|other| other.name != figure.name));
        assert!(figure.meaning.ends_with('.'), "{}", figure.name);
    }
}

#[test]
fn a_text_stands_on_one_line_and_a_number_is_digits_and_a_point() {
    for job in [
        ramp("", "28 in", "28 ft"),
        ramp(r#""units": "metric","#, "600 mm", "8 m"),
        ramp(r#""name": "a b", "scope": "prime","#, "40 in", "20 ft"),
    ] {
        let estimate = priced(&job);
        for figure in crossfall::figures::FIGURES {
            let Ok(shown) = figure.of(&estimate) else {
                continue;
            };
            match shown {
                Shown::Text(text) => {
                    assert!(!text.is_empty() && !text.contains(['\n', '\r']), "{text}");
                }
                Shown::Number(text) | Shown::Money(text) => check_number(figure, &estimate, &text),
            }
        }
    }
}

fn check_number(figure: &Figure, estimate: &Estimate, text: &str) {
    let digits = text.strip_prefix('-').unwrap_or(text);
    let (whole, places) = digits.split_once('.').unwrap_or((digits, ""));
    let all = |part: &str| part.bytes().all(|one| one.is_ascii_digit());
    assert!(
        !whole.is_empty() && all(whole) && all(places),
        "{}: {text}",
        figure.name
    );
    if let Some(most) = figure.shape.places(estimate.job.units) {
        assert!(
            places.len() <= usize::from(most),
            "{}: {text} has more than {most} places",
            figure.name
        );
    }
}
