//! The sheet laid out as one page, upright.
//!
//! Invariants: columns are as wide as their words ask for; a cell that is wider than its column is
//! shortened with a sign; blocks follow each other without lying on one another.

use super::block::{Block, Body, Sheet};
use crate::documents::drawing::{
    Anchor, Item, Page, Paper, Pen, Spot, Text, drawable, shortened, width_of,
};

/// Free paper around everything, in millimetres.
const MARGIN: f64 = 10.0;
/// Between two columns, in millimetres.
const GUTTER: f64 = 5.0;
/// Height of the letters, in millimetres.
const LETTERS: f64 = 2.9;
/// From one line to the next, in millimetres.
const LINE: f64 = 3.7;
/// From one line to write on to the next, in millimetres.
const BLANK: f64 = 5.6;
/// Height of a heading with its rule, in millimetres.
const HEADING: f64 = 5.2;

/// The sheet as an upright page, and whether all of it found room.
pub fn lay_out(sheet: &Sheet, paper: Paper) -> (Page, bool) {
    let (long, short) = paper.size();
    let (page, bottom) = lay_out_on(sheet, (short, long));
    (page, bottom <= long - MARGIN)
}

/// The sheet on a page that lies on its long side, and is longer where its tables are.
pub fn lay_out_long(sheet: &Sheet, paper: Paper) -> Page {
    let (page, bottom) = lay_out_on(sheet, paper.size());
    Page {
        height: page.height.max(bottom + MARGIN),
        ..page
    }
}

/// The sheet on a page of a width and a height, and where it ends.
fn lay_out_on(sheet: &Sheet, (width, height): (f64, f64)) -> (Page, f64) {
    let mut writer = Writer { items: Vec::new() };
    let (left, right) = (MARGIN, width - MARGIN);
    let about = drawable(&sheet.subtitle);
    let from = right - width_of(&about, LETTERS, false);
    writer.text(Spot::new(from, MARGIN + 4.5), &about, (LETTERS, false));
    let title = shortened(&drawable(&sheet.title), (5.0, true), from - left - 4.0);
    writer.text(Spot::new(left, MARGIN + 4.5), &title, (5.0, true));
    let mut y = MARGIN + 8.0;
    let mut blocks = sheet.blocks.iter().peekable();
    while let Some(block) = blocks.next() {
        let beside = blocks.next_if(|next| !block.wide && !next.wide);
        let middle = f64::midpoint(left, right);
        y = match beside {
            Some(beside) => {
                let half = GUTTER / 2.0;
                let first = writer.block(block, (left, middle - half), y);
                first.max(writer.block(beside, (middle + half, right), y))
            }
            None => writer.block(block, (left, right), y),
        };
        y += 2.0;
    }
    let page = Page {
        width,
        height,
        title: drawable(&sheet.title).into_owned(),
        description: sheet.subtitle.clone(),
        items: writer.items,
    };
    (page, y - 2.0)
}

struct Writer {
    items: Vec<Item>,
}

impl Writer {
    fn text(&mut self, at: Spot, words: &str, (size, bold): (f64, bool)) {
        self.items.push(Item::Text(Text {
            at,
            words: words.to_owned(),
            size,
            anchor: Anchor::Start,
            turned: 0.0,
            bold,
        }));
    }

    fn line(&mut self, from: Spot, to: Spot, pen: Pen) {
        let through = vec![from, to];
        self.items.push(Item::Line { through, pen });
    }

    fn boxed(&mut self, from: Spot, to: Spot) {
        let corners = vec![from, Spot::new(to.x, from.y), to, Spot::new(from.x, to.y)];
        let (pen, tone) = (Some(Pen::Thin), None);
        self.items.push(Item::Area { corners, pen, tone });
    }

    /// Writes a block from `top` down, and says where it ends.
    fn block(&mut self, block: &Block, (left, right): (f64, f64), top: f64) -> f64 {
        let heading = shortened(&drawable(&block.heading), (3.2, true), right - left);
        self.text(Spot::new(left, top + 3.2), &heading, (3.2, true));
        self.line(
            Spot::new(left, top + 4.2),
            Spot::new(right, top + 4.2),
            Pen::Outline,
        );
        let top = top + HEADING;
        match &block.body {
            Body::Table {
                heads,
                rows,
                to_fill,
            } => self.table((heads, rows), (left, right), (top, *to_fill)),
            Body::Checks(texts) => self.checks(texts, (left, right), top),
            Body::Lines(texts) => self.lines(texts, (left, right), top),
            Body::Blanks(texts) => self.blanks(texts, (left, right), top),
            Body::Picture(page) => self.picture(page, (left, right), top),
        }
    }

    fn checks(&mut self, texts: &[String], (left, right): (f64, f64), top: f64) -> f64 {
        let mut y = top;
        for text in texts {
            self.boxed(Spot::new(left, y + 0.5), Spot::new(left + 2.6, y + 3.1));
            y = self.wrapped(text, (left + 4.0, right), y);
        }
        y
    }

    fn lines(&mut self, texts: &[String], (left, right): (f64, f64), top: f64) -> f64 {
        texts
            .iter()
            .fold(top, |y, text| self.wrapped(text, (left, right), y))
    }

    /// Words broken into lines; where the last ends.
    fn wrapped(&mut self, text: &str, (left, right): (f64, f64), top: f64) -> f64 {
        let mut y = top;
        for line in broken(&drawable(text), right - left) {
            y += LINE;
            self.text(Spot::new(left, y - 0.8), &line, (LETTERS, false));
        }
        y
    }

    fn blanks(&mut self, texts: &[String], (left, right): (f64, f64), top: f64) -> f64 {
        let mut y = top;
        for text in texts {
            y += BLANK;
            self.text(Spot::new(left, y - 1.0), text, (LETTERS, false));
            let from = left + width_of(text, LETTERS, false) + 2.0;
            self.line(
                Spot::new(from, y - 0.6),
                Spot::new(right, y - 0.6),
                Pen::Thin,
            );
        }
        y
    }

    /// A drawing as it is, moved to the middle.
    fn picture(&mut self, page: &Page, (left, right): (f64, f64), top: f64) -> f64 {
        let x = left + (right - left - page.width) / 2.0;
        self.items
            .extend(page.items.iter().map(|item| item.moved(x, top)));
        top + page.height
    }

    fn table(
        &mut self,
        (heads, rows): (&[String], &[Vec<String>]),
        (left, right): (f64, f64),
        (top, to_fill): (f64, bool),
    ) -> f64 {
        let widths = widths(heads, rows, (right - left, to_fill));
        let high = if to_fill { BLANK } else { LINE };
        let mut y = self.row(heads, (&widths, left), (top, LINE, true));
        for row in rows {
            let from = y;
            y = self.row(row, (&widths, left), (y, high, false));
            if to_fill {
                self.boxes(row, (&widths, left), (from, y));
            } else {
                self.line(Spot::new(left, y), Spot::new(right, y), Pen::Thin);
            }
        }
        y
    }

    /// One row; the last cell is broken into lines, the others are shortened.
    fn row(
        &mut self,
        cells: &[String],
        (widths, left): (&[f64], f64),
        (top, high, bold): (f64, f64, bool),
    ) -> f64 {
        let mut x = left;
        let mut bottom = top + high;
        for (n, (cell, width)) in cells.iter().zip(widths).enumerate() {
            let cell = drawable(cell);
            let last = n + 1 == cells.len() && !bold;
            let lines = if last {
                broken(&cell, width - 1.0)
            } else {
                vec![cell.into_owned()]
            };
            for (line, words) in lines.iter().enumerate() {
                let y = top + high + LINE * line as f64;
                let words = shortened(words, (LETTERS, bold), width - 1.0);
                self.text(Spot::new(x, y - 0.9), &words, (LETTERS, bold));
                bottom = bottom.max(y);
            }
            x += width;
        }
        bottom
    }

    fn boxes(
        &mut self,
        cells: &[String],
        (widths, left): (&[f64], f64),
        (top, bottom): (f64, f64),
    ) {
        let mut x = left;
        for (cell, width) in cells.iter().zip(widths) {
            if cell.is_empty() {
                self.boxed(Spot::new(x, top), Spot::new(x + width, bottom));
            }
            x += width;
        }
    }
}

/// How wide each column is: as its words ask for, the rest shared by those that ask for more than fits.
fn widths(heads: &[String], rows: &[Vec<String>], (room, to_fill): (f64, bool)) -> Vec<f64> {
    let wide = |cell: &str, bold: bool| width_of(&drawable(cell), LETTERS, bold) + 2.4;
    let asked: Vec<f64> = heads
        .iter()
        .enumerate()
        .map(|(column, head)| {
            let cells = rows.iter().filter_map(|row| row.get(column));
            cells
                .map(|cell| wide(cell, false))
                .fold(wide(head, true), f64::max)
        })
        .collect();
    let whole: f64 = asked.iter().sum();
    if to_fill {
        let first = asked.first().copied().unwrap_or(0.0);
        let others = asked.len().saturating_sub(1).max(1) as f64;
        let each = ((room - first) / others).min(14.0);
        return std::iter::once(first)
            .chain(asked.iter().skip(1).map(|_| each))
            .collect();
    }
    let Some((last, before)) = asked.split_last() else {
        return asked;
    };
    let taken: f64 = before.iter().sum();
    if whole > room && taken < room * 0.7 {
        // Only the last column holds sentences; it takes what is left.
        return before.iter().copied().chain([room - taken]).collect();
    }
    if whole > room {
        return asked.iter().map(|wide| wide * room / whole).collect();
    }
    let spare = (room - whole) / asked.len() as f64;
    if rows.iter().all(|row| row.len() <= 3) {
        return before
            .iter()
            .copied()
            .chain([last + room - whole])
            .collect();
    }
    asked.iter().map(|wide| wide + spare).collect()
}

/// Words in lines no wider than the room.
fn broken(text: &str, room: f64) -> Vec<String> {
    let mut lines = vec![String::new()];
    for word in text.split_whitespace() {
        let line = lines.last_mut().expect("there is a line");
        let longer = if line.is_empty() {
            word.to_owned()
        } else {
            format!("{line} {word}")
        };
        if width_of(&longer, LETTERS, false) <= room || line.is_empty() {
            *line = longer;
        } else {
            lines.push(word.to_owned());
        }
    }
    lines
}
