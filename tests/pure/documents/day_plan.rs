//! The day plan: that it can be read, and that its bars are the hours of the visits.

use super::drawings::{any_job, check_legible, check_xml, texts};
use crate::worked::{DEMO_JOBS, filled, solved};
use crossfall::catalog::Catalog;
use crossfall::crew::{CrewHours, Rates, plan_hours};
use crossfall::documents::drawing::{
    Item, Page, Paper, Pen, Spot, Title, Tone, draw_day_plan, write_svg,
};
use crossfall::quantity::{Span, System};
use crossfall::takeoff::take_off;
use proptest::prelude::*;

const DAY: f64 = 8.0;

fn hours_of(text: &str) -> CrewHours {
    let (job, geometry) = solved(text);
    let takeoff = take_off(&job, &geometry, Catalog::built_in());
    plan_hours(&job, &geometry, &takeoff, Rates::built_in())
}

fn title(paper: Paper) -> Title {
    Title {
        job: "Somewhere (invented)".to_owned(),
        day: "2026-05-04".to_owned(),
        version: "0".to_owned(),
        system: System::Us,
        paper,
    }
}

fn drawn(hours: &CrewHours, paper: Paper) -> Option<Page> {
    draw_day_plan(hours, Span::from_hours(DAY), &title(paper))
}

/// The same job, beginning on a day.
fn starting(text: &str, date: &str) -> String {
    let mut job: serde_json::Value = serde_json::from_str(text).expect("JSON");
    job["site"]["start"] = serde_json::json!(date);
    job.to_string()
}

/// Left and right ends of the bars, from the uppermost.
fn bars(page: &Page) -> Vec<(f64, f64)> {
    let corners = page.items.iter().filter_map(|item| match item {
        Item::Area {
            corners,
            pen: Some(Pen::Thin),
            tone: Some(Tone::Ink),
        } => Some(corners),
        _ => None,
    });
    corners
        .map(|corners: &Vec<Spot>| (corners[0].x, corners[1].x))
        .collect()
}

/// Width of one day, from two visits on days that follow each other.
fn day_width(hours: &CrewHours, bars: &[(f64, f64)]) -> f64 {
    let visits = hours.visits.windows(2).zip(bars.windows(2));
    let mut next = visits.filter(|(visits, _)| visits[1].day == visits[0].day + 1);
    let (_, two) = next.next().expect("two days that follow each other");
    two[1].0 - two[0].0
}

fn check_bars(hours: &CrewHours, page: &Page) {
    let bars = bars(page);
    assert_eq!(bars.len(), hours.visits.len());
    let longest = hours.visits.iter().map(|visit| visit.on_site.hours());
    let column = longest.fold(DAY, f64::max);
    let day = day_width(hours, &bars);
    for (visit, (left, right)) in hours.visits.iter().zip(&bars) {
        let told = (right - left) / day * column;
        let on_site = visit.on_site.hours();
        assert!((told - on_site).abs() < 1e-6, "{told} h for {on_site} h");
    }
    // A bar that fills its day ends where the next one begins.
    assert!(bars.windows(2).all(|two| two[1].0 > two[0].1 - 1e-9));
}

#[test]
fn every_bar_is_as_long_as_its_visit_and_every_word_can_be_read() {
    for (name, text) in DEMO_JOBS {
        let dated = starting(text, "2026-05-14");
        for (text, paper) in [(text, Paper::Letter), (dated.as_str(), Paper::A4)] {
            let hours = hours_of(text);
            let page = drawn(&hours, paper).expect("there are visits");
            check_legible(&page).unwrap_or_else(|fault| panic!("{name}: {fault}"));
            check_xml(&write_svg(&page));
            check_bars(&hours, &page);
            let told = |words: &str| {
                texts(&page)
                    .filter(|text| text.words.contains(words))
                    .count()
            };
            assert_eq!(told("found no room"), 0, "{name}");
            for visit in &hours.visits {
                let people = match visit.people {
                    1 => "1 person".to_owned(),
                    people => format!("{people} people"),
                };
                let words = format!("{people}, {} h", visit.on_site.hours());
                assert!(told(&words) > 0, "{name}: {words}");
            }
        }
    }
}

/// Visits on days 1, 2, 3, 4, 10 and 17, the entrance closed for 4 (as in the test of the days themselves):
/// between 4 and 10 lie five days, between 10 and 17 six.
#[test]
fn a_long_wait_is_cut_and_counted() {
    let hours = hours_of(include_str!("../../../examples/straight.json"));
    let days: Vec<u32> = hours.visits.iter().map(|visit| visit.day).collect();
    assert_eq!(days, [1, 2, 3, 4, 10, 17]);
    let page = drawn(&hours, Paper::Letter).expect("there are visits");
    for words in ["5 days", "6 days"] {
        assert_eq!(texts(&page).filter(|text| text.words == words).count(), 1);
    }
    // Ten weeks more make no day narrower.
    let mut later = hours.clone();
    later.visits.last_mut().expect("a visit").day += 70;
    later.calendar_days += 70;
    let wide = |hours: &CrewHours| {
        let page = drawn(hours, Paper::Letter).expect("there are visits");
        day_width(hours, &bars(&page))
    };
    assert_eq!(wide(&later), wide(&hours));
    assert!(wide(&hours) > 9.0, "{}", wide(&hours));
}

#[test]
fn the_days_when_the_entrance_is_closed_are_grey_and_weekends_are_hatched() {
    // 2026-05-14 is a Thursday: `date -d 2026-05-14 +%A`.
    let hours = hours_of(&starting(DEMO_JOBS[0].1, "2026-05-14"));
    let page = drawn(&hours, Paper::Letter).expect("there are visits");
    let bars = bars(&page);
    let grey = page.items.iter().find_map(|item| match item {
        Item::Area {
            corners,
            tone: Some(Tone::Light),
            ..
        } => Some((corners[0].x, corners[1].x)),
        _ => None,
    });
    let (left, right) = grey.expect("grey days");
    assert!((left - bars[0].0).abs() < 1e-9);
    for (visit, bar) in hours.visits.iter().zip(&bars) {
        let closed = visit.day <= hours.days_entrance_closed;
        assert_eq!(bar.0 < right - 1e-9, closed, "day {}", visit.day);
    }
    let words = format!("entrance closed {} days", hours.days_entrance_closed);
    assert!(texts(&page).any(|text| text.words == words));
    let slanted = page.items.iter().filter(|item| match item {
        Item::Line { through, .. } => {
            through.len() == 2 && through[0].y - through[1].y > 5.0 && through[1].x > through[0].x
        }
        _ => false,
    });
    assert!(slanted.count() > 10, "a weekend is hatched");
}

#[test]
fn more_visits_than_a_page_holds_are_counted() {
    let mut hours = hours_of(DEMO_JOBS[0].1);
    let first = hours.visits[0].clone();
    hours.visits = (1..=40)
        .map(|number| crossfall::crew::Visit {
            visit: number,
            day: number,
            description: "Dig, set forms, fill and compact ".repeat(9),
            ..first.clone()
        })
        .collect();
    let page = drawn(&hours, Paper::A4).expect("there are visits");
    check_legible(&page).unwrap_or_else(|fault| panic!("{fault}"));
    assert_eq!(bars(&page).len(), 28);
    assert!(texts(&page).any(|text| text.words.contains("12 further visits")));
    hours.visits.clear();
    assert_eq!(drawn(&hours, Paper::A4), None);
}

proptest! {
    #![proptest_config(proptest::test_runner::Config { cases: crate::cases().min(600) / 8, ..crate::config() })]

    #[test]
    fn no_day_plan_of_any_job_writes_over_itself(text in any_job(), start in any::<bool>()) {
        let text = match start {
            true => starting(&text, "2026-05-15"),
            false => text,
        };
        let hours = hours_of(&text);
        let day = filled(&text).crew.day;
        let page = draw_day_plan(&hours, day, &title(Paper::Letter));
        prop_assert_eq!(page.is_none(), hours.visits.is_empty());
        if let Some(page) = page {
            prop_assert_eq!(check_legible(&page), Ok(()));
        }
    }
}
