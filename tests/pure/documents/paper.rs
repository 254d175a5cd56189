//! The flow of a document over its pages: nothing lost, nothing cut, nothing left alone.

use crossfall::documents::drawing::{
    Anchor, Bitmap, BitmapError, Item, Page, Paper, Text, drawable, width_of, write_pdf,
};
use crossfall::documents::paper::{
    Document, Letterhead, Panel, Part, Prose, Row, Side, Signature, Sum, Table, lay_out_document,
    room_left, write_document,
};
use proptest::prelude::*;

fn document(parts: Vec<Part>) -> Document {
    Document {
        title: "A paper (invented)".to_owned(),
        foot: "A paper (invented)".to_owned(),
        stamp: None,
        parts,
    }
}

fn texts(page: &Page) -> Vec<&Text> {
    let items = page.items.iter();
    items
        .filter_map(|item| match item {
            Item::Text(text) => Some(text),
            _ => None,
        })
        .collect()
}

/// Left, right, and the line on which it stands.
fn taken(text: &Text) -> (f64, f64, f64) {
    let width = width_of(&text.words, text.size, text.bold);
    let left = match text.anchor {
        Anchor::Start => text.at.x,
        Anchor::Middle => text.at.x - width / 2.0,
        Anchor::End => text.at.x - width,
    };
    (left, left + width, text.at.y)
}

fn check_page(page: &Page) {
    let all: Vec<_> = texts(page)
        .into_iter()
        .map(|text| (taken(text), text))
        .collect();
    for ((left, right, y), text) in &all {
        assert!(*left >= 14.99 && *right <= page.width - 14.99, "{text:?}");
        assert!(*y >= 5.0 && *y <= page.height - 5.0, "{text:?}");
    }
    for (n, ((left, right, y), one)) in all.iter().enumerate() {
        for ((from, to, at), other) in &all[n + 1..] {
            let meet = (y - at).abs() < 1.5 && left + 0.01 < *to && from + 0.01 < *right;
            assert!(!meet, "{one:?} lies on {other:?}");
        }
    }
}

/// Letters in their order, spaces left out: lines may be broken anywhere.
fn letters(words: &str) -> String {
    drawable(words).split_whitespace().collect()
}

fn all_letters(pages: &[Page]) -> String {
    let words = pages.iter().flat_map(texts);
    words.map(|text| letters(&text.words)).collect()
}

fn table(rows: usize) -> Table {
    let row = |n: usize| Row::plain(vec![format!("Line {n} of a table"), format!("{n}.00")]);
    Table {
        columns: vec![
            ("What".to_owned(), Side::Left),
            ("USD".to_owned(), Side::Right),
        ],
        rows: (1..=rows)
            .map(row)
            .chain([Row::sum(vec!["All".to_owned(), "1.00".to_owned()])])
            .collect(),
    }
}

#[test]
fn a_long_table_goes_on_under_its_heads_and_loses_no_row() {
    let pages = lay_out_document(&document(vec![Part::Table(table(1000))]), Paper::Letter);
    assert!(pages.len() > 10);
    for page in &pages {
        check_page(page);
        let words: Vec<&str> = texts(page).iter().map(|text| text.words.as_str()).collect();
        assert_eq!(words.iter().filter(|words| **words == "What").count(), 1);
    }
    let whole = all_letters(&pages);
    assert!((1..=1000).all(|n| whole.contains(&format!("Line{n}ofatable"))));
    let last = format!("Page {0} of {0}", pages.len());
    assert!(
        texts(&pages[pages.len() - 1])
            .iter()
            .any(|text| text.words == last)
    );
}

#[test]
fn figures_of_a_column_end_under_each_other() {
    let pages = lay_out_document(&document(vec![Part::Table(table(12))]), Paper::A4);
    let all = texts(&pages[0]);
    let figures = all.iter().filter(|text| text.words.ends_with(".00"));
    let ends: Vec<f64> = figures.map(|text| taken(text).1).collect();
    assert_eq!(ends.len(), 13);
    assert!(
        ends.iter().all(|end| (end - 195.0).abs() < 1e-9),
        "{ends:?}"
    );
}

#[test]
fn no_heading_ends_a_column_and_no_line_of_a_paragraph_stands_alone() {
    let words = "Words that fill some lines of a column and are broken where it ends. ".repeat(3);
    for filling in 0..60 {
        let parts = vec![
            Part::List(vec!["A line".into(); filling]),
            Part::Heading("Heading".to_owned()),
            Part::Paragraph(words.clone().into()),
            Part::Heading("Heading".to_owned()),
            Part::Paragraph(words.clone().into()),
        ];
        for parts in [parts.clone(), vec![Part::Columns(parts)]] {
            let pages = lay_out_document(&document(parts), Paper::Letter);
            for page in &pages {
                check_page(page);
                check_headings(page);
            }
        }
    }
}

/// Under every heading, in its column, stand two lines.
fn check_headings(page: &Page) {
    let all = texts(page);
    for heading in all.iter().filter(|text| text.words == "Heading") {
        let under = |text: &&&Text| {
            let below = text.at.y - heading.at.y;
            text.at.x == heading.at.x && below > 0.0 && below < 10.0
        };
        assert_eq!(all.iter().filter(under).count(), 2, "{heading:?}");
    }
}

#[test]
fn two_columns_that_find_room_are_about_equally_high() {
    let parts = vec![Part::Columns(vec![Part::List(vec!["A line".into(); 40])])];
    let pages = lay_out_document(&document(parts), Paper::A4);
    let left = texts(&pages[0])
        .iter()
        .filter(|text| text.words == "A line" && text.at.x < 100.0)
        .count();
    assert_eq!(left, 20);
}

#[test]
fn the_stamp_and_the_number_stand_on_every_page() {
    let paper = Document {
        stamp: Some("BUDGET".to_owned()),
        ..document(vec![
            Part::Table(table(200)),
            Part::NewPage,
            Part::Paragraph("Last".into()),
        ])
    };
    let pages = lay_out_document(&paper, Paper::Letter);
    for (n, page) in pages.iter().enumerate() {
        check_page(page);
        let has = |words: &str| texts(page).iter().any(|text| text.words == words);
        assert!(has("BUDGET") && has(&format!("Page {} of {}", n + 1, pages.len())));
    }
    assert!(write_document(&paper).contains("<p class=\"stamp\" dir=\"auto\">BUDGET</p>"));
}

#[test]
fn letters_that_the_font_lacks_are_told_and_html_keeps_them() {
    let words = "שלום عالم 東京";
    let paper = document(vec![Part::Paragraph(words.into())]);
    let pages = lay_out_document(&paper, Paper::A4);
    let whole = all_letters(&pages);
    assert!(whole.contains("????") && whole.contains("thefontofthispagelacks"));
    assert!(write_document(&paper).contains(&format!("<p dir=\"auto\"><bdi>{words}</bdi></p>")));
    let plain = lay_out_document(&document(vec![Part::Paragraph("½ in".into())]), Paper::A4);
    assert!(!all_letters(&plain).contains("lacks"));
}

#[test]
fn html_holds_words_as_words() {
    let words = "<script>alert(\"1\")</script> & Sons";
    let parts = vec![
        Part::Heading(words.to_owned()),
        Part::Paragraph(Prose::led(words, words)),
        Part::Table(Table {
            columns: vec![(words.to_owned(), Side::Left)],
            rows: vec![Row::plain(vec![words.to_owned()])],
        }),
        Part::Sum(Sum {
            name: words.to_owned(),
            figures: words.to_owned(),
            words: vec![words.into()],
        }),
        Part::Letterhead(Letterhead {
            logo: None,
            name: words.to_owned(),
            lines: vec![words.to_owned()],
            kind: words.to_owned(),
            facts: vec![(words.to_owned(), words.to_owned())],
        }),
        Part::Signatures(vec![Signature {
            party: words.to_owned(),
            lines: vec![words.to_owned()],
        }]),
        Part::Beside(vec![Panel {
            heading: words.to_owned(),
            lines: vec![words.into()],
        }]),
    ];
    let paper = Document {
        title: words.to_owned(),
        foot: words.to_owned(),
        stamp: Some(words.to_owned()),
        parts,
    };
    let html = write_document(&paper);
    assert!(!html.contains("<script"));
    let safe = "&lt;script&gt;alert(&quot;1&quot;)&lt;/script&gt; &amp; Sons";
    assert_eq!(html.matches(safe).count(), 20);
}

/// A PNG of one grey point, as `zlib` and `struct` of Python 3 write it by the published format
/// (ISO/IEC 15948): signature, IHDR, IDAT, IEND with their CRCs.
const POINT: &str =
    "iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAAAAAA6fptVAAAACklEQVR4nGNoAAAAggCBd81ytgAAAABJRU5ErkJggg==";

#[test]
fn a_logo_is_taken_or_refused_with_a_reason() {
    let logo = Bitmap::from_base64(POINT).expect("a picture");
    let (width, height) = logo.fitted((42.0, 20.0));
    assert_eq!((width, height), (20.0, 20.0));
    let head = Letterhead {
        logo: Some(logo),
        name: "A crew (invented)".to_owned(),
        lines: Vec::new(),
        kind: "PAPER".to_owned(),
        facts: Vec::new(),
    };
    let paper = document(vec![Part::Letterhead(head)]);
    let pages = lay_out_document(&paper, Paper::A4);
    let file = write_pdf(&pages, "A paper").expect("a file");
    assert!(String::from_utf8_lossy(&file).contains("/Subtype/Image"));
    assert!(write_document(&paper).contains(&format!("data:image/png;base64,{POINT}")));
    for (sent, why) in [
        ("no base64!", BitmapError::Letters),
        ("R0lGODlhAQABAAAAACw=", BitmapError::Format),
        (&"A".repeat(300_000), BitmapError::Large),
        ("iVBORw0KGgo=", BitmapError::Damaged),
        ("/9j/4AAQSkZJRg==", BitmapError::Damaged),
        // The same point with its packed letters torn off.
        (
            "iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAAAAAA6fptVAAAACklEQVR4nGNoAAAA",
            BitmapError::Damaged,
        ),
    ] {
        assert_eq!(Bitmap::from_base64(sent), Err(why), "{sent:.40}");
    }
}

/// A head that says 60,000 by 60,000 points unpacks into gigabytes.
#[test]
fn a_small_file_that_unpacks_into_a_large_one_is_refused() {
    let head = "iVBORw0KGgoAAAANSUhEUgAA6mAAAOpgCAAAAACluSqeAAAACklEQVR4nGNoAAAAggCBd81ytgAAAABJRU5ErkJggg==";
    assert_eq!(Bitmap::from_base64(head), Err(BitmapError::Points));
}

#[test]
fn what_is_left_of_a_page_is_what_the_next_part_finds() {
    let parts = vec![Part::List(vec!["A line".into(); 10])];
    let room = room_left(&parts, Paper::Letter);
    assert_eq!(room.pages, 1);
    let empty = room_left(&[], Paper::Letter);
    assert!((empty.height - empty.whole).abs() < 1e-9 && room.height < empty.height - 30.0);
}

fn any_words() -> impl Strategy<Value = String> {
    prop_oneof![
        any::<String>(),
        "[a-z]{1,12}( [a-z]{1,12}){0,60}",
        "[A-Za-z0-9]{100,400}",
    ]
}

fn any_part() -> impl Strategy<Value = Part> {
    let table = prop::collection::vec((any_words(), "[0-9,.]{1,14}"), 1..6).prop_map(|rows| {
        let row = |(words, money): (String, String)| Row::plain(vec![words, money]);
        Part::Table(Table {
            columns: vec![
                ("What".to_owned(), Side::Left),
                ("EUR".to_owned(), Side::Right),
            ],
            rows: rows.into_iter().map(row).collect(),
        })
    });
    let panels = prop::collection::vec((any_words(), any_words()), 1..4).prop_map(|panels| {
        let panel = |(heading, line): (String, String)| Panel {
            heading,
            lines: vec![line.into()],
        };
        Part::Beside(panels.into_iter().map(panel).collect())
    });
    prop_oneof![
        any_words().prop_map(Part::Heading),
        any_words().prop_map(|words| Part::Paragraph(Prose::led("Led:", &words))),
        prop::collection::vec(any_words(), 1..5)
            .prop_map(|points| Part::List(points.into_iter().map(Prose::from).collect())),
        table,
        panels,
        Just(Part::NewPage),
    ]
}

proptest! {
    #![proptest_config(crate::config())]

    #[test]
    fn whatever_flows_stays_on_its_pages(
        first in prop::collection::vec(any_part(), 0..4),
        columns in prop::collection::vec(any_part(), 0..6),
    ) {
        let paper = document(first.into_iter().chain([Part::Columns(columns)]).collect());
        let pages = lay_out_document(&paper, Paper::Letter);
        pages.iter().for_each(check_page);
        let whole = all_letters(&pages);
        for part in &paper.parts {
            if let Part::Paragraph(prose) = part {
                let wanted = letters(&prose.words());
                prop_assert!(pages.len() > 1 || whole.contains(&wanted), "{wanted}");
            }
        }
        prop_assert!(write_pdf(&pages, "A paper").is_ok());
        let html = write_document(&paper);
        prop_assert!(html.ends_with("</html>\n"));
    }
}
