//! A page written as SVG 1.1.
//!
//! Invariants: well-formed whatever the words; text stays text, as wide as it was reckoned; no script, no
//! style sheet and nothing fetched. Absent: what is drawn.

use super::font::width_of;
use super::scene::{Anchor, Item, Page, Pen, Spot, Text, Tone};
use crate::quantity::round_to;
use std::fmt::Write as _;

/// A page as SVG, in millimetres on the paper.
pub fn write_svg(page: &Page) -> String {
    let (width, height) = (number(page.width), number(page.height));
    let mut svg = format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<svg xmlns=\"http://www.w3.org/2000/svg\" version=\"1.1\" \
         width=\"{width}mm\" height=\"{height}mm\" viewBox=\"0 0 {width} {height}\" xml:lang=\"en\">\n"
    );
    svg.push_str(&svg_body(page));
    svg.push_str("</svg>\n");
    svg
}

/// A page as a picture within a page of HTML.
pub(in crate::documents) fn svg_picture(page: &Page) -> String {
    let (width, height) = (number(page.width), number(page.height));
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {width} {height}\" role=\"img\">\n{}</svg>\n",
        svg_body(page)
    )
}

fn svg_body(page: &Page) -> String {
    let mut svg = String::with_capacity(page.items.len() * 120);
    // Writing into a string cannot fail.
    let _ = writeln!(svg, "<title>{}</title>", escaped(&page.title));
    let _ = writeln!(svg, "<desc>{}</desc>", escaped(&page.description));
    let (width, height) = (number(page.width), number(page.height));
    let _ = writeln!(
        svg,
        "<rect width=\"{width}\" height=\"{height}\" fill=\"#ffffff\"/>"
    );
    for item in &page.items {
        svg.push_str(&written(item));
        svg.push('\n');
    }
    svg
}

fn written(item: &Item) -> String {
    match item {
        Item::Line { through, pen } => {
            format!(
                "<polyline points=\"{}\" fill=\"none\"{}/>",
                points(through),
                stroke(Some(*pen))
            )
        }
        Item::Area { corners, pen, tone } => format!(
            "<polygon points=\"{}\" fill=\"{}\"{}/>",
            points(corners),
            tone.map_or_else(|| "none".to_owned(), colour),
            stroke(*pen)
        ),
        Item::Dot { at, radius, tone } => format!(
            "<circle cx=\"{}\" cy=\"{}\" r=\"{}\" fill=\"{}\"/>",
            number(at.x),
            number(at.y),
            number(*radius),
            colour(*tone)
        ),
        Item::Bitmap { at, size, bitmap } => format!(
            "<image xmlns:xlink=\"http://www.w3.org/1999/xlink\" x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\" xlink:href=\"{}\"/>",
            number(at.x),
            number(at.y),
            number(size.0),
            number(size.1),
            bitmap.as_address()
        ),
        Item::Text(text) => written_text(text),
    }
}

/// Text that a reader's own font makes neither wider nor narrower than was reckoned.
fn written_text(text: &Text) -> String {
    let Spot { x, y } = text.at;
    let anchor = match text.anchor {
        Anchor::Start => "start",
        Anchor::Middle => "middle",
        Anchor::End => "end",
    };
    let mut more = String::new();
    if text.bold {
        more.push_str(" font-weight=\"bold\"");
    }
    if text.turned != 0.0 {
        let _ = write!(
            more,
            " transform=\"rotate({} {} {})\"",
            number(text.turned),
            number(x),
            number(y)
        );
    }
    let width = width_of(&text.words, text.size, text.bold);
    if width > 0.0 {
        let _ = write!(
            more,
            " textLength=\"{}\" lengthAdjust=\"spacingAndGlyphs\"",
            number(width)
        );
    }
    format!(
        "<text x=\"{}\" y=\"{}\" font-family=\"'DejaVu Sans Condensed', sans-serif\" font-size=\"{}\" text-anchor=\"{anchor}\"{more}>{}</text>",
        number(x),
        number(y),
        number(text.size),
        escaped(&text.words)
    )
}

fn points(spots: &[Spot]) -> String {
    let each = |spot: &Spot| format!("{},{}", number(spot.x), number(spot.y));
    spots.iter().map(each).collect::<Vec<_>>().join(" ")
}

fn stroke(pen: Option<Pen>) -> String {
    let Some(pen) = pen else {
        return String::new();
    };
    let dashes: Vec<String> = pen.dashes().iter().map(|dash| number(*dash)).collect();
    let dashes = if dashes.is_empty() {
        String::new()
    } else {
        format!(" stroke-dasharray=\"{}\"", dashes.join(" "))
    };
    format!(
        " stroke=\"#000000\" stroke-width=\"{}\" stroke-linejoin=\"round\"{dashes}",
        number(pen.width())
    )
}

fn colour(tone: Tone) -> String {
    let grey = tone.grey();
    format!("#{grey:02x}{grey:02x}{grey:02x}")
}

/// To the thousandth of a millimetre.
fn number(value: f64) -> String {
    round_to(value, 3).to_string()
}

/// Words that XML takes as words; what XML 1.0 cannot hold at all is a question mark.
pub(in crate::documents) fn escaped(words: &str) -> String {
    let mut safe = String::with_capacity(words.len());
    for letter in words.chars() {
        match letter {
            '&' => safe.push_str("&amp;"),
            '<' => safe.push_str("&lt;"),
            '>' => safe.push_str("&gt;"),
            '"' => safe.push_str("&quot;"),
            '\t' | '\n' | '\r' => safe.push(' '),
            '\u{FFFE}' | '\u{FFFF}' => safe.push('?'),
            letter if letter < ' ' => safe.push('?'),
            letter => safe.push(letter),
        }
    }
    safe
}
