//! Pages written as PDF.
//!
//! Invariants: the same pages give the same bytes; text stays text, in the embedded font; what is no place
//! on the paper is left out, so that every number written is one. Absent: the clock, so that no date is
//! written but in words on a page.

use super::bitmap::Bitmap;
use super::font::{BOLD, REGULAR, drawable, width_of};
use super::scene::{Anchor, Item, Page, Pen, Spot, Text, Tone};
use krilla::Document;
use krilla::color::luma;
use krilla::geom::{Path, PathBuilder, Point, Size, Transform};
use krilla::metadata::Metadata;
use krilla::num::NormalizedF32;
use krilla::page::PageSettings;
use krilla::paint::{Fill, LineJoin, Stroke, StrokeDash};
use krilla::surface::Surface;
use krilla::text::{Font, TextDirection};

/// Points in a millimetre.
const POINTS: f64 = 72.0 / 25.4;
/// A circle of radius one is drawn by four curves whose handles are so long.
const HANDLE: f64 = 0.552_284_749_8;

/// Why pages could not be written.
#[derive(Debug, thiserror::Error)]
pub enum PdfError {
    /// The embedded font cannot be read.
    #[error("the embedded font cannot be read")]
    Font,
    /// A page has no size.
    #[error("a page has no size")]
    Size,
    /// The writer refused.
    #[error("the pages cannot be written: {0}")]
    Refused(String),
}

struct Fonts {
    regular: Font,
    bold: Font,
}

/// Pages as one PDF, under a title.
///
/// # Errors
/// [`PdfError`], which no page of this room causes.
pub fn write_pdf(pages: &[Page], title: &str) -> Result<Vec<u8>, PdfError> {
    let font = |file: &'static [u8]| Font::new(file.into(), 0).ok_or(PdfError::Font);
    let fonts = Fonts {
        regular: font(REGULAR)?,
        bold: font(BOLD)?,
    };
    let mut document = Document::new();
    let about = Metadata::new()
        .title(title.to_owned())
        .language("en".to_owned());
    document.set_metadata(about);
    for page in pages {
        let settings = PageSettings::from_wh(points(page.width), points(page.height));
        let mut paper = document.start_page_with(settings.ok_or(PdfError::Size)?);
        let mut surface = paper.surface();
        for item in &page.items {
            draw(&mut surface, item, &fonts);
        }
        surface.finish();
        paper.finish();
    }
    document
        .finish()
        .map_err(|error| PdfError::Refused(format!("{error:?}")))
}

/// Whether every number is one that PDF can hold.
fn are_finite(numbers: &[f32]) -> bool {
    numbers.iter().all(|number| number.is_finite())
}

/// Millimetres as points.
const fn points(millimetres: f64) -> f32 {
    (millimetres * POINTS) as f32
}

fn draw(surface: &mut Surface<'_>, item: &Item, fonts: &Fonts) {
    match item {
        Item::Line { through, pen } => {
            stroke_and_fill(surface, way(through, false), (Some(*pen), None))
        }
        Item::Area { corners, pen, tone } => {
            stroke_and_fill(surface, way(corners, true), (*pen, *tone));
        }
        Item::Dot { at, radius, tone } => {
            stroke_and_fill(surface, circle(*at, *radius), (None, Some(*tone)));
        }
        Item::Bitmap { at, size, bitmap } => place(surface, (*at, *size), bitmap),
        Item::Text(text) => write(surface, text, fonts),
    }
}

fn place(surface: &mut Surface<'_>, (at, size): (Spot, (f64, f64)), bitmap: &Bitmap) {
    let (x, y) = (points(at.x), points(at.y));
    let room = Size::from_wh(points(size.0), points(size.1));
    if let (true, Some(room), Some(image)) = (are_finite(&[x, y]), room, bitmap.image()) {
        surface.push_transform(&Transform::from_translate(x, y));
        surface.draw_image(image, room);
        surface.pop();
    }
}

fn stroke_and_fill(
    surface: &mut Surface<'_>,
    path: Option<Path>,
    (pen, tone): (Option<Pen>, Option<Tone>),
) {
    let Some(path) = path else {
        return;
    };
    if pen.is_none() && tone.is_none() {
        return;
    }
    surface.set_fill(tone.map(fill));
    surface.set_stroke(pen.map(stroke));
    surface.draw_path(&path);
}

fn fill(tone: Tone) -> Fill {
    Fill {
        paint: luma::Color::new(tone.grey()).into(),
        opacity: NormalizedF32::ONE,
        rule: krilla::paint::FillRule::default(),
    }
}

fn stroke(pen: Pen) -> Stroke {
    let dashes: Vec<f32> = pen.dashes().iter().map(|dash| points(*dash)).collect();
    Stroke {
        paint: luma::Color::black().into(),
        width: points(pen.width()),
        line_join: LineJoin::Round,
        dash: (!dashes.is_empty()).then_some(StrokeDash {
            array: dashes,
            offset: 0.0,
        }),
        ..Stroke::default()
    }
}

fn way(through: &[Spot], closed: bool) -> Option<Path> {
    let mut builder = PathBuilder::new();
    for (n, spot) in through.iter().enumerate() {
        let (x, y) = (points(spot.x), points(spot.y));
        if !are_finite(&[x, y]) {
            return None;
        }
        if n == 0 {
            builder.move_to(x, y);
        } else {
            builder.line_to(x, y);
        }
    }
    if closed {
        builder.close();
    }
    builder.finish()
}

fn circle(at: Spot, radius: f64) -> Option<Path> {
    let mut builder = PathBuilder::new();
    let spot = |x: f64, y: f64| (points(at.x + x * radius), points(at.y + y * radius));
    let (x, y) = spot(1.0, 0.0);
    let (_, low) = spot(0.0, 1.0);
    if !are_finite(&[x, y, low]) {
        return None;
    }
    builder.move_to(x, y);
    for (from, to) in [
        ((1.0, 0.0), (0.0, 1.0)),
        ((0.0, 1.0), (-1.0, 0.0)),
        ((-1.0, 0.0), (0.0, -1.0)),
        ((0.0, -1.0), (1.0, 0.0)),
    ] {
        let first = spot(from.0 + to.0 * HANDLE, from.1 + to.1 * HANDLE);
        let second = spot(to.0 + from.0 * HANDLE, to.1 + from.1 * HANDLE);
        let end = spot(to.0, to.1);
        builder.cubic_to(first.0, first.1, second.0, second.1, end.0, end.1);
    }
    builder.close();
    builder.finish()
}

fn write(surface: &mut Surface<'_>, text: &Text, fonts: &Fonts) {
    let width = width_of(&text.words, text.size, text.bold);
    let back = match text.anchor {
        Anchor::Start => 0.0,
        Anchor::Middle => width / 2.0,
        Anchor::End => width,
    };
    let font = if text.bold {
        &fonts.bold
    } else {
        &fonts.regular
    };
    let (x, y) = (points(text.at.x), points(text.at.y));
    let (begins, size) = (points(text.at.x - back), points(text.size));
    let turn = Transform::from_rotate_at(text.turned as f32, x, y);
    let numbers = [turn.sx(), turn.tx(), turn.ty(), begins, size];
    if !are_finite(&numbers) {
        return;
    }
    surface.set_stroke(None);
    surface.set_fill(Some(fill(Tone::Ink)));
    surface.push_transform(&turn);
    surface.draw_text(
        Point::from_xy(begins, y),
        font.clone(),
        size,
        &drawable(&text.words),
        false,
        TextDirection::LeftToRight,
    );
    surface.pop();
}
