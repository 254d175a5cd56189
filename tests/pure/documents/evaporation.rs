//! Evaporation over the hours: that it can be read, and that its lines are the figures. All weather is invented.

use super::drawings::{check_legible, check_xml, texts};
use chrono::{NaiveDate, NaiveDateTime, TimeDelta};
use crossfall::documents::drawing::{
    EvaporationChart, EvaporationHour, Item, NamedBand, Page, Paper, Pen, RateLimit, Spot, Title,
    Tone, draw_evaporation, write_svg,
};
use crossfall::quantity::{System, Temperature};
use crossfall::setting::EvaporationRate;
use proptest::prelude::*;

fn at(hour: u32, minute: u32) -> NaiveDateTime {
    let day = NaiveDate::from_ymd_opt(2026, 5, 18).expect("a day");
    day.and_hms_opt(hour, minute, 0).expect("a time")
}

fn degf(warm: f64) -> Temperature {
    Temperature::parse(&format!("{warm} degF")).expect("a temperature")
}

/// From 06:00, the slab poured at 08:00; the highest rate is the fourth.
const RATES: [f64; 11] = [
    0.02, 0.04, 0.09, 0.237, 0.12, 0.18, 0.15, 0.11, 0.08, 0.05, 0.04,
];

pub(super) fn chart() -> EvaporationChart {
    let hour = |(number, rate): (usize, &f64)| EvaporationHour {
        at: at(6 + number as u32, 0),
        rate: EvaporationRate::from_lb_ft2_h(*rate),
        air: degf(55.0 + 2.0 * number as f64),
        slab: (number >= 2).then(|| degf(68.0 + number as f64)),
    };
    let limit = |rate, applies| RateLimit {
        rate: EvaporationRate::from_lb_ft2_h(rate),
        applies,
    };
    let band = |from, to, label: &str| NamedBand {
        from,
        to,
        label: label.to_owned(),
    };
    EvaporationChart {
        heading: "Monday 18 May, first truck 08:00".to_owned(),
        hours: RATES.iter().enumerate().map(hour).collect(),
        limits: vec![limit(0.2, true), limit(0.1, false)],
        bands: vec![
            band(at(9, 30), at(11, 0), "edge, float"),
            band(at(10, 30), at(12, 30), "broom"),
            band(at(14, 0), at(20, 0), "saw"),
        ],
    }
}

fn title(system: System, paper: Paper) -> Title {
    Title {
        job: "Somewhere (invented)".to_owned(),
        day: "2026-05-04".to_owned(),
        version: "0".to_owned(),
        system,
        paper,
    }
}

fn drawn(chart: &EvaporationChart) -> Page {
    draw_evaporation(chart, &title(System::Us, Paper::Letter)).expect("hours")
}

/// The dots of the rates, in the order of the hours.
fn dots(page: &Page) -> Vec<Spot> {
    let dots = page.items.iter().filter_map(|item| match item {
        Item::Dot { at, radius, .. } if *radius > 0.7 => Some(*at),
        _ => None,
    });
    dots.collect()
}

/// How far down a line of a pen lies that goes straight across most of the page.
fn across(page: &Page, wanted: Pen) -> Vec<f64> {
    let lines = page.items.iter().filter_map(|item| match item {
        Item::Line { through, pen } if *pen == wanted => Some(through),
        _ => None,
    });
    lines
        .filter(|through| through[0].y == through[1].y && through[1].x - through[0].x > 100.0)
        .map(|through| through[0].y)
        .collect()
}

/// The limits, 0.20 and 0.10, give the scale; each dot has to lie where its rate does on it.
#[test]
fn every_dot_lies_where_its_rate_does() {
    let page = drawn(&chart());
    let (high, low) = (across(&page, Pen::Joint), across(&page, Pen::Hidden));
    let ([high], [low]) = (&high[..], &low[..]) else {
        panic!("one line a limit: {high:?}, {low:?}");
    };
    let dots = dots(&page);
    assert_eq!(dots.len(), RATES.len());
    for (dot, rate) in dots.iter().zip(RATES) {
        let told = 0.2 + 0.1 * (high - dot.y) / (low - high);
        assert!((told - rate).abs() < 1e-9, "{told} for {rate}");
    }
    let top = dots.iter().map(|dot| dot.y).fold(f64::INFINITY, f64::min);
    assert_eq!(top, dots[3].y, "the highest point is the highest rate");
    let told = |words: &str| texts(&page).any(|text| text.words == words);
    assert!(told("highest 0.237 at 09:00"));
    assert!(told("limit 0.20, applies") && told("limit 0.10") && told("air") && told("slab"));
}

/// Hours are evenly spaced: half past nine lies half way from the fourth dot to the fifth, and what goes on
/// after the last hour ends there.
#[test]
fn bands_begin_and_end_at_their_times() {
    let page = drawn(&chart());
    let dots = dots(&page);
    let grey = page.items.iter().filter_map(|item| match item {
        Item::Area {
            corners,
            tone: Some(Tone::Light),
            ..
        } => Some((corners[0].x, corners[1].x)),
        _ => None,
    });
    let half = |n: usize| f64::midpoint(dots[n].x, dots[n + 1].x);
    let wanted = [
        (half(3), dots[5].x),
        (half(4), half(6)),
        (dots[8].x, dots[10].x),
    ];
    let found: Vec<(f64, f64)> = grey.collect();
    assert_eq!(found.len(), 3);
    for (found, wanted) in found.iter().zip(wanted) {
        let near = (found.0 - wanted.0).abs() < 1e-6 && (found.1 - wanted.1).abs() < 1e-6;
        assert!(near, "{found:?} for {wanted:?}");
    }
}

/// 1 lb/ft2 is 4.88243 kg/m2 (NIST SP 811, 2008, appendix B.8, from memory): 0.237 is 1.157.
#[test]
fn metric_units_are_drawn_in_their_own_figures() {
    let page = draw_evaporation(&chart(), &title(System::Metric, Paper::A4)).expect("hours");
    check_legible(&page).unwrap_or_else(|fault| panic!("{fault}"));
    let told = |words: &str| texts(&page).any(|text| text.words.contains(words));
    assert!(told("highest 1.157 at 09:00") && told("kg/m2/h") && told("degC"));
    assert!(told("limit 0.98, applies") && told("limit 0.49"));
}

#[test]
fn a_picture_can_be_read_and_needs_two_hours() {
    let page = drawn(&chart());
    check_legible(&page).unwrap_or_else(|fault| panic!("{fault}"));
    check_xml(&write_svg(&page));
    assert!(!texts(&page).any(|text| text.words.contains("found no room")));
    assert!(
        page.description
            .contains("Highest evaporation 0.237 lb/ft2/h at 09:00")
    );
    let mut short = chart();
    short.hours.truncate(1);
    let title = title(System::Us, Paper::Letter);
    assert_eq!(draw_evaporation(&short, &title), None);
}

fn any_chart() -> impl Strategy<Value = EvaporationChart> {
    let hour = (
        0.0..0.8_f64,
        -20.0..110.0_f64,
        prop::option::of(30.0..120.0_f64),
    );
    let band = (0_i64..2_000, 1_i64..600, "[a-z ]{1,14}");
    let hours = prop::collection::vec(hour, 2..48);
    let bands = prop::collection::vec(band, 0..5);
    (hours, bands, 0_u32..24).prop_map(|(hours, bands, from)| {
        let start = at(from, 0);
        let later = |minutes: i64| start + TimeDelta::minutes(minutes);
        let hour = |(n, (rate, air, slab)): (usize, (f64, f64, Option<f64>))| EvaporationHour {
            at: later(60 * n as i64),
            rate: EvaporationRate::from_lb_ft2_h(rate),
            air: degf(air),
            slab: slab.map(degf),
        };
        let band = |(from, lasts, label): (i64, i64, String)| NamedBand {
            from: later(from),
            to: later(from + lasts),
            label,
        };
        EvaporationChart {
            hours: hours.into_iter().enumerate().map(hour).collect(),
            bands: bands.into_iter().map(band).collect(),
            ..chart()
        }
    })
}

proptest! {
    #![proptest_config(proptest::test_runner::Config { cases: crate::cases().min(600) / 2, ..crate::config() })]

    #[test]
    fn no_picture_of_any_weather_writes_over_itself(chart in any_chart(), metric in any::<bool>()) {
        let title = match metric {
            true => title(System::Metric, Paper::A4),
            false => title(System::Us, Paper::Letter),
        };
        let page = draw_evaporation(&chart, &title).expect("hours");
        prop_assert_eq!(check_legible(&page), Ok(()));
    }
}
