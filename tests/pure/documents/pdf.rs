//! Pages as PDF: that words are found again where they belong, and that nothing breaks the writer.

use super::read_pdf::{operations, words};
use crossfall::documents::drawing::{
    Anchor, Item, Page, Pen, Spot, Text, Tone, drawable, width_of, write_pdf,
};
use proptest::prelude::*;

/// Points in a millimetre: a point is 1/72 inch (ISO 32000-1, 8.3.2.3, from memory), an inch 25.4 mm.
const POINTS: f64 = 72.0 / 25.4;

const HEIGHT: f64 = 297.0;

fn page(items: Vec<Item>) -> Page {
    Page {
        width: 210.0,
        height: HEIGHT,
        title: "A page (invented)".to_owned(),
        description: "Lines and letters.".to_owned(),
        items,
    }
}

fn text(words: &str, at: Spot) -> Text {
    Text {
        at,
        words: words.to_owned(),
        size: 4.0,
        anchor: Anchor::Start,
        turned: 0.0,
        bold: false,
    }
}

fn written(items: Vec<Item>) -> Vec<u8> {
    write_pdf(&[page(items)], "A name").expect("a file")
}

fn check_near(found: f64, wanted: f64) {
    assert!((found - wanted).abs() < 1e-3, "{found} is not {wanted}");
}

/// What is left of a text when the file is read: its letters.
#[test]
fn words_can_be_searched_in_either_weight() {
    let told = [
        "28 in × 28 ft, 1:12 (2 runs)",
        r"a \ back, ((nested)) and )( odd",
        "Žlutý Ж Ω ½ ⅛ ≤ ≥ ± Ø ° … → □ ☐ ✓",
        "fi ffi fl AV To",
    ];
    for bold in [false, true] {
        let items = told.iter().enumerate().map(|(n, words)| {
            let at = Spot::new(20.0, 20.0 + 10.0 * n as f64);
            Item::Text(Text {
                bold,
                ..text(words, at)
            })
        });
        let found = words(&written(items.collect()));
        let found: Vec<&str> = found.iter().map(|found| found.words.as_str()).collect();
        assert_eq!(found, told, "bold: {bold}");
    }
}

#[test]
fn a_letter_that_the_font_lacks_is_a_question_mark() {
    assert_eq!(drawable("Gate 東 (invented) \u{7}"), "Gate ? (invented) ?");
    assert!(matches!(drawable("½ in"), std::borrow::Cow::Borrowed(_)));
    let items = vec![Item::Text(text("Gate 東", Spot::new(20.0, 20.0)))];
    let found = words(&written(items));
    assert_eq!(found[0].words, "Gate ?");
}

/// Anchored by its width, then turned clockwise about its place, as the scene says.
#[test]
fn words_begin_where_their_anchor_and_their_turn_put_them() {
    let at = Spot::new(80.0, 120.0);
    for (anchor, share) in [
        (Anchor::Start, 0.0),
        (Anchor::Middle, 0.5),
        (Anchor::End, 1.0),
    ] {
        for (turned, right, down) in [(0.0, 1.0, 0.0), (90.0, 0.0, 1.0), (-90.0, 0.0, -1.0)] {
            let item = Item::Text(Text {
                anchor,
                turned,
                ..text("landing", at)
            });
            let found = words(&written(vec![item]));
            let back = width_of("landing", 4.0, false) * share;
            check_near(found[0].at[0], (at.x - right * back) * POINTS);
            check_near(found[0].at[1], (HEIGHT - at.y + down * back) * POINTS);
            check_near(found[0].way[0], right);
            check_near(found[0].way[1], -down);
        }
    }
}

#[test]
fn every_pen_has_its_width_and_its_dashes() {
    for pen in Pen::ALL {
        let through = vec![Spot::new(20.0, 30.0), Spot::new(120.0, 30.0)];
        let found = operations(&written(vec![Item::Line { through, pen }]));
        let numbers = |name: &str| {
            let mut named = found.iter().filter(|operation| operation.name == name);
            named.next().map(|operation| operation.numbers.clone())
        };
        check_near(numbers("w").expect("a width")[0], pen.width() * POINTS);
        // The last number is where the dashes begin.
        let dashes = numbers("d").unwrap_or_else(|| vec![0.0]);
        assert_eq!(dashes.len(), pen.dashes().len() + 1, "{pen:?}");
        for (found, wanted) in dashes.iter().zip(pen.dashes()) {
            check_near(*found, wanted * POINTS);
        }
        for (name, x) in [("m", 20.0), ("l", 120.0)] {
            check_near(numbers(name).expect("a line")[0], x * POINTS);
        }
        assert!(numbers("S").is_some() && numbers("f").is_none(), "{pen:?}");
    }
}

#[test]
fn every_tone_has_its_grey() {
    for tone in [Tone::Paper, Tone::Light, Tone::Middle, Tone::Ink] {
        let corners = vec![
            Spot::new(20.0, 30.0),
            Spot::new(60.0, 30.0),
            Spot::new(60.0, 50.0),
        ];
        let area = Item::Area {
            corners,
            pen: None,
            tone: Some(tone),
        };
        let at = Spot::new(90.0, 40.0);
        let radius = 2.0;
        for item in [area, Item::Dot { at, radius, tone }] {
            let found = operations(&written(vec![item]));
            let mut greys = found.iter().filter(|operation| operation.name == "g");
            let grey = greys.next().expect("a grey").numbers[0];
            check_near(grey, f64::from(tone.grey()) / 255.0);
            assert!(found.iter().any(|operation| operation.name == "f"));
        }
    }
}

#[test]
fn a_file_has_the_pages_it_was_given_in_their_sizes() {
    let letter = Page {
        width: 279.4,
        height: 215.9,
        ..page(Vec::new())
    };
    let file = write_pdf(&[page(Vec::new()), letter], "A name (invented)").expect("a file");
    let told = String::from_utf8_lossy(&file);
    // ISO 216 A4 and 11 by 8.5 inches, in points.
    for said in [
        "/Count 2",
        "/Title(A name (invented))",
        "[0 0 595.27",
        "[0 0 792 612]",
    ] {
        assert!(told.contains(said), "{said} in {told}");
    }
    assert!(!told.contains("/CreationDate") && !told.contains("/ModDate"));
    let nothing = Page {
        width: 0.0,
        ..page(Vec::new())
    };
    let refused = write_pdf(&[nothing], "A name").expect_err("no paper");
    assert_eq!(refused.to_string(), "a page has no size");
}

/// Advance widths in 2048ths as fonttools reads them from the files:
/// `t = TTFont('condensed-bold.ttf'); t['hmtx'][t.getBestCmap()[ord('W')]]`.
#[test]
fn both_weights_are_as_wide_as_their_files_say() {
    for (letter, regular, bold) in [
        ("0", 1172.0, 1282.0),
        (" ", 585.0, 641.0),
        ("W", 1822.0, 2033.0),
        ("i", 512.0, 631.0),
        ("É", 1164.0, 1259.0),
        ("½", 1786.0, 1908.0),
        ("Ж", 1985.0, 2256.0),
        ("☐", 1652.0, 1652.0),
        ("東", 978.0, 1069.0),
    ] {
        check_near(width_of(letter, 2048.0, false), regular);
        check_near(width_of(letter, 2048.0, true), bold);
    }
}

fn any_number() -> impl Strategy<Value = f64> {
    let odd = [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, 1e300, -1e38];
    prop_oneof![
        3 => -500.0..500.0_f64,
        1 => prop::sample::select(odd.to_vec()),
        1 => prop::num::f64::ANY,
    ]
}

fn any_item() -> impl Strategy<Value = Item> {
    let spot = || (any_number(), any_number()).prop_map(|(x, y)| Spot::new(x, y));
    let spots = move || prop::collection::vec(spot(), 0..5);
    let pen = || prop::sample::select(Pen::ALL.to_vec());
    let letters = (spot(), any::<String>(), any_number(), any_number());
    prop_oneof![
        (spots(), pen()).prop_map(|(through, pen)| Item::Line { through, pen }),
        (spots(), prop::option::of(pen())).prop_map(|(corners, pen)| {
            let tone = Some(Tone::Light);
            Item::Area { corners, pen, tone }
        }),
        (spot(), any_number()).prop_map(|(at, radius)| {
            let tone = Tone::Ink;
            Item::Dot { at, radius, tone }
        }),
        letters.prop_map(|(at, words, size, turned)| {
            let size_and_turn = Text {
                size,
                turned,
                ..text(&words, at)
            };
            Item::Text(size_and_turn)
        }),
    ]
}

proptest! {
    #![proptest_config(crate::config())]

    #[test]
    fn words_together_are_as_wide_as_apart(
        first in any::<String>(), then in any::<String>(), size in 0.5..20.0_f64, bold in any::<bool>()
    ) {
        let wide = |words: &str| width_of(words, size, bold);
        let together = wide(&format!("{first}{then}"));
        prop_assert!((together - wide(&first) - wide(&then)).abs() <= 1e-9 * together.max(1.0));
        prop_assert!((wide(&drawable(&first)) - wide(&first)).abs() <= 1e-9 * wide(&first).max(1.0));
        prop_assert!(wide("i") > 0.0);
    }

    #[test]
    fn nothing_drawn_breaks_the_writer(
        items in prop::collection::vec(any_item(), 0..6), title in any::<String>(),
        width in any_number()
    ) {
        let file = write_pdf(&[page(items.clone())], &title).expect("a file");
        prop_assert!(file == write_pdf(&[page(items)], &title).expect("a file"));
        for operation in operations(&file) {
            let finite = operation.numbers.iter().all(|number| number.is_finite());
            prop_assert!(finite, "{:?}", operation);
            prop_assert!(!operation.name.to_lowercase().contains("nan"), "{:?}", operation);
        }
        // A page of any size is written or refused.
        let _ = write_pdf(&[Page { width, ..page(Vec::new()) }], &title);
    }
}
