//! Drawings: that every word can be read, that every dimension is the ramp's, and that the files are sound.

use crate::worked::{DEMO_JOBS, demo_list, filled};
use crossfall::catalog::Catalog;
use crossfall::crew::Rates;
use crossfall::documents::drawing::{
    Anchor, DrawnView, Item, Page, Paper, Subject, Text, Title, draw, width_of, write_pdf,
    write_svg,
};
use crossfall::estimate::{With, choose, set_out, work_out};
use crossfall::geometry::Geometry;
use crossfall::job::{Job, expand_grade_sheet};
use crossfall::quantity::{Length, System};
use crossfall::rules::RuleSets;
use crossfall::takeoff::{Detail, Takeoff};
use proptest::prelude::*;

struct Drawn {
    job: Job,
    geometry: Geometry,
    takeoff: Takeoff,
    pages: Vec<(DrawnView, Page)>,
}

/// Every view of a job; none where its path turns into itself.
fn drawn(text: &str, paper: Paper) -> Option<Drawn> {
    let job = filled(text);
    let list = demo_list();
    let with = With {
        rules: RuleSets::built_in(),
        catalog: Catalog::built_in(),
        rates: Rates::built_in(),
        list: &list,
    };
    let chosen = choose(&job, with);
    let worked = work_out(&job, chosen.with(with), Detail::Described);
    let (wanted, _) = expand_grade_sheet(None, &job).unwrap_or_else(|faults| panic!("{faults}"));
    let laid = set_out(&job, &worked.geometry, &wanted).ok()?;
    let subject = Subject {
        job: &job,
        geometry: &worked.geometry,
        places: &laid.places,
        grades: &laid.grades,
        takeoff: &worked.takeoff,
    };
    let title = Title {
        job: job.name.clone(),
        day: "2026-05-04".to_owned(),
        version: "0".to_owned(),
        system: job.units,
        paper,
    };
    let views = DrawnView::ALL.into_iter();
    let pages = views
        .filter_map(|view| Some((view, draw(view, &subject, &title)?)))
        .collect();
    Some(Drawn {
        pages,
        geometry: worked.geometry,
        takeoff: worked.takeoff,
        job,
    })
}

pub(super) fn texts(page: &Page) -> impl Iterator<Item = &Text> {
    page.items.iter().filter_map(|item| match item {
        Item::Text(text) => Some(text),
        _ => None,
    })
}

/// Left, top, right and bottom of a text that is not turned: from its capitals' tops to its base line.
pub(super) fn box_of(text: &Text) -> [f64; 4] {
    let wide = width_of(&text.words, text.size, text.bold);
    let left = match text.anchor {
        Anchor::Start => text.at.x,
        Anchor::Middle => text.at.x - wide / 2.0,
        Anchor::End => text.at.x - wide,
    };
    [left, text.at.y - text.size * 0.73, left + wide, text.at.y]
}

pub(super) fn check_legible(page: &Page) -> Result<(), String> {
    let boxes: Vec<([f64; 4], &str)> = texts(page)
        .map(|text| (box_of(text), text.words.as_str()))
        .collect();
    for (n, (a, words)) in boxes.iter().enumerate() {
        let inside =
            a[0] >= 11.9 && a[1] >= 11.9 && a[2] <= page.width - 11.9 && a[3] <= page.height - 8.0;
        if !inside {
            return Err(format!("{words} leaves the page of {}", page.title));
        }
        for (b, others) in &boxes[..n] {
            if a[0] < b[2] && b[0] < a[2] && a[1] < b[3] && b[1] < a[3] {
                return Err(format!("{words} lies on {others} in {}", page.title));
            }
        }
    }
    if let Some(small) = texts(page).find(|text| text.size < 2.9) {
        return Err(format!("{} is too small", small.words));
    }
    Ok(())
}

/// Every length that a drawing may write as a dimension.
fn known(drawn: &Drawn) -> Vec<Length> {
    let (job, geometry) = (&drawn.job, &drawn.geometry);
    let mut lengths = vec![geometry.plan_length(), job.slab.thickness];
    for surface in &geometry.surfaces {
        lengths.extend([
            surface.plan_length,
            surface.width,
            surface.elevation_start,
            surface.elevation_end,
        ]);
    }
    lengths
}

fn is_known(length: Length, known: &[Length], system: System) -> bool {
    let step = match system {
        System::Us => Length::from_inches(1.0 / 32.0),
        System::Metric => Length::from_millimetres(0.5),
    };
    known
        .iter()
        .any(|k| (*k - length).abs() <= step + Length::from_millimetres(1e-6))
}

/// Every text of a plan or an elevation that is a length, or an elevation, is one of the ramp's.
fn check_dimensions(drawn: &Drawn) -> Result<usize, String> {
    let known = known(drawn);
    let views = [DrawnView::Plan, DrawnView::Elevation];
    let mut found = 0;
    for (_, page) in drawn.pages.iter().filter(|(view, _)| views.contains(view)) {
        let y_of_title = page.height - 36.0;
        for text in texts(page).filter(|text| text.at.y < y_of_title - 5.0) {
            let words = text
                .words
                .trim_start_matches("el ")
                .trim_start_matches("door ");
            let Ok(length) = Length::parse(words) else {
                continue;
            };
            let is_door = text.words.starts_with("door ");
            if !is_door && !is_known(length, &known, drawn.job.units) {
                return Err(format!(
                    "{} stands on {} and is no length of the ramp",
                    text.words, page.title
                ));
            }
            found += 1;
        }
    }
    Ok(found)
}

#[test]
fn every_word_of_the_demo_drawings_can_be_read_and_every_dimension_is_the_ramps() {
    for (name, text) in DEMO_JOBS {
        let metric = text.replacen('{', "{\"units\": \"metric\",", 1);
        for (text, paper) in [(text, Paper::Letter), (metric.as_str(), Paper::A4)] {
            let drawn = drawn(text, paper).expect("it does not turn into itself");
            assert_eq!(drawn.pages.len(), 5, "{name}");
            for (_, page) in &drawn.pages {
                check_legible(page).unwrap_or_else(|fault| panic!("{name}: {fault}"));
                let full = texts(page).any(|text| text.words.contains("found no room"));
                assert!(!full, "{name}");
            }
            let pieces = drawn.geometry.surfaces.len();
            let found = check_dimensions(&drawn).unwrap_or_else(|fault| panic!("{name}: {fault}"));
            // In plan a length each and an elevation each, in elevation the same and the whole.
            assert!(found >= 4 * pieces + 3, "{name}: {found}");
        }
    }
}

#[test]
fn joints_and_bars_are_those_of_the_takeoff() {
    for (name, text) in DEMO_JOBS {
        let drawn = drawn(text, Paper::Letter).expect("it does not turn into itself");
        let page = |wanted: DrawnView| {
            let mut pages = drawn.pages.iter();
            &pages.find(|(view, _)| *view == wanted).expect("a page").1
        };
        let tags = texts(page(DrawnView::Joints)).filter(|text| {
            let number = text.words.strip_prefix('J');
            number.is_some_and(|number| number.parse::<u32>().is_ok())
        });
        assert_eq!(
            tags.count(),
            drawn.geometry.joints.contraction_count as usize,
            "{name}"
        );
        let marks = drawn.takeoff.bar_marks.iter();
        let (on_plan, around): (Vec<_>, Vec<_>) = marks.partition(|mark| mark.pieces.is_some());
        let noted = texts(page(DrawnView::Bars)).any(|text| text.words.contains("around the ramp"));
        assert_eq!(noted, !around.is_empty(), "{name}");
        for mark in &on_plan {
            let begins = format!("{}: {} ", mark.mark, mark.count);
            let ends = format!("{} long", mark.length.tape(System::Us));
            let called = texts(page(DrawnView::Bars))
                .any(|text| text.words.starts_with(&begins) && text.words.ends_with(&ends));
            assert!(called, "{name}: mark {}", mark.mark);
        }
        let bars = page(DrawnView::Bars).items.iter().filter(|item| {
            matches!(
                item,
                Item::Line {
                    pen: crossfall::documents::drawing::Pen::Bar,
                    ..
                }
            )
        });
        let counted: u32 = on_plan.iter().map(|mark| mark.count).sum();
        assert_eq!(bars.count(), counted as usize, "{name}");
    }
}

/// Extensible Markup Language 1.0: read by a parser that checks that names match and that nothing is open.
pub(super) fn check_xml(svg: &str) {
    let mut reader = quick_xml::Reader::from_str(svg);
    reader.config_mut().check_end_names = true;
    let mut depth = 0_i32;
    loop {
        match reader
            .read_event()
            .unwrap_or_else(|error| panic!("{error}"))
        {
            quick_xml::events::Event::Start(_) => depth += 1,
            quick_xml::events::Event::End(_) => depth -= 1,
            quick_xml::events::Event::Eof => break,
            _ => {}
        }
    }
    assert_eq!(depth, 0);
}

#[test]
fn a_name_that_would_break_a_picture_is_only_a_name() {
    let hostile = r#"{"name": "</svg><script>alert(1)</script> & Ж 東 \"x\"", "#;
    let named = DEMO_JOBS[0].1.find("\"site\"").expect("the job has a site");
    let rest = &DEMO_JOBS[0].1[named..];
    let drawn = drawn(&format!("{hostile}{rest}"), Paper::A4).expect("a ramp");
    for (_, page) in &drawn.pages {
        // No name has such a sign; a picture would hold against it all the same.
        let mut page = page.clone();
        page.title.push('\u{7}');
        let svg = write_svg(&page);
        check_xml(&svg);
        assert!(!svg.contains("<script"));
        assert!(!svg.contains('\u{7}'));
    }
}

#[test]
fn a_pdf_has_a_page_for_every_view_and_is_the_same_twice() {
    let pages = |text| {
        drawn(text, Paper::Letter).map(|d| d.pages.into_iter().map(|p| p.1).collect::<Vec<_>>())
    };
    let first = write_pdf(&pages(DEMO_JOBS[1].1).expect("pages"), "A name").expect("a file");
    let again = write_pdf(&pages(DEMO_JOBS[1].1).expect("pages"), "A name").expect("a file");
    assert!(first.starts_with(b"%PDF-1."));
    assert!(first == again, "the same job gives the same bytes");
    let text = String::from_utf8_lossy(&first);
    assert!(text.contains("/Count 5"));
    assert!(!text.contains("/CreationDate"));
}

/// Advance widths as fonttools reads them from the file: `TTFont('condensed.ttf')['hmtx']['zero']` is 1172
/// of 2048, `['space']` 585.
#[test]
fn words_are_as_wide_as_the_font_says() {
    let near = |a: f64, b: f64| assert!((a - b).abs() < 1e-9, "{a} is not {b}");
    near(width_of("0", 2048.0, false), 1172.0);
    near(width_of("0 0", 2048.0, false), 1172.0 * 2.0 + 585.0);
    near(width_of("", 3.0, true), 0.0);
}

pub(super) fn any_job() -> impl Strategy<Value = String> {
    let turn = prop::sample::select(vec!["straight", "left", "right", "back_left", "back_right"]);
    let piece = (turn, 2.0..30.0_f64, 67.0..110.0_f64, 5.0..40.0_f64);
    let units = prop::sample::select(vec!["us", "metric"]);
    (prop::collection::vec(piece, 1..6), units, any::<bool>()).prop_map(|(pieces, units, walled)| {
        let walls = if walled { r#", "edges": {"left": "against_wall"}"# } else { "" };
        let path: Vec<String> = pieces
            .iter()
            .map(|(turn, rise, landing, length)| {
                format!(
                    r#"{{"kind": "run", "rise": "{rise:.2} in", "length": "{length:.2} ft"{walls}}},
                    {{"kind": "landing", "turn": "{turn}", "length": "{landing:.2} in"}}"#
                )
            })
            .collect();
        format!(
            r#"{{"name": "Somewhere (invented)", "units": "{units}", "ramp": {{"path": [{{"kind": "landing"}}, {}]}}}}"#,
            path.join(", ")
        )
    })
}

proptest! {
    #![proptest_config(proptest::test_runner::Config { cases: crate::cases().min(600) / 4, ..crate::config() })]

    #[test]
    fn no_drawing_of_any_ramp_writes_over_itself(text in any_job(), letter in any::<bool>()) {
        let paper = if letter { Paper::Letter } else { Paper::A4 };
        if let Some(drawn) = drawn(&text, paper) {
            for (_, page) in &drawn.pages {
                prop_assert_eq!(check_legible(page), Ok(()));
                check_xml(&write_svg(page));
            }
            if let Err(fault) = check_dimensions(&drawn) {
                prop_assert!(false, "{}", fault);
            }
        }
    }
}
