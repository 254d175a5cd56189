//! The days of a job: one row a visit, its bar as long as the hours on site within the working day.
//!
//! Invariants: bars are to one scale, and each begins where its day does; what is cut short is marked and
//! counted; shades and hatches tell the same without colour. Absent: the hour at which a day begins.

use super::canvas::{Canvas, Field, LETTERS};
use super::day_axis::{Column, DayAxis};
use super::font::{drawable, width_of};
use super::frame::{Sheet, Title, framed_sheet, shortened};
use super::hours_axis::rectangle;
use super::scene::{Item, Page, Pen, Spot, Tone};
use crate::crew::{CrewHours, Visit};
use crate::quantity::{Span, round_to};

/// Most rows on a page; the rest is counted in the note.
const ROWS: usize = 28;

/// Width of the words on the left, and room kept on the right, in millimetres.
const WORDS: f64 = 96.0;
const RIGHT: f64 = 30.0;

/// Height of the heading of the days, of what stands below them, and of the tallest row, in millimetres.
const HEAD: f64 = 8.0;
const FOOT: f64 = 7.0;
const TALLEST: f64 = 12.0;

/// From one line of words to the next, and how far the second one stands in, in millimetres.
const LINE: f64 = 4.4;
const INDENT: f64 = 3.0;

/// Between two lines of a hatch, in millimetres.
const HATCH: f64 = 2.4;

const CAUTIONS: [&str; 2] = [
    "Reckoned from the job as sent and from usual rates: weather, inspections, deliveries and other jobs move days and hours.",
    "Curing and sealing wait for the age of the concrete. The hour at which a day begins is the crew's to choose.",
];

/// The days of a job; `working_day` is as long as a day's column where no visit is longer. None where
/// nobody comes.
pub fn draw_day_plan(hours: &CrewHours, working_day: Span, title: &Title) -> Option<Page> {
    let last = hours.visits.last()?;
    let plan = DayPlan::of(hours, (working_day, last), &title.paper.field());
    let mut canvas = Canvas::new(title.paper.field());
    plan.draw(&mut canvas);
    let sheet = Sheet {
        title: "Day plan",
        description: plan.describe(),
        heading: format!(
            "Day plan, {}, {} paid h",
            count(plan.hours.calendar_days, "day", "days"),
            shown(plan.hours.totals.paid)
        ),
        note: plan.note(),
        cautions: CAUTIONS,
    };
    Some(framed_sheet(canvas, title, sheet))
}

struct DayPlan<'a> {
    hours: &'a CrewHours,
    rows: &'a [Visit],
    axis: DayAxis,
    /// Hours that a day's column is wide.
    column: Span,
    left: f64,
    top: f64,
    row: f64,
}

impl<'a> DayPlan<'a> {
    fn of(hours: &'a CrewHours, (working_day, last): (Span, &Visit), field: &Field) -> Self {
        let rows = &hours.visits[..hours.visits.len().min(ROWS)];
        let longest = rows.iter().map(|visit| visit.on_site);
        let closed = hours.days_entrance_closed;
        let mut kept: Vec<u32> = rows.iter().map(|visit| visit.day).collect();
        kept.push(closed);
        let shown = rows.last().unwrap_or(last);
        let ends = shown.day.max(closed);
        let first = hours.visits[0].date.map(|date| date.0);
        let sides = (field.left + WORDS, field.right - RIGHT);
        let room = field.height() - HEAD - FOOT;
        Self {
            hours,
            rows,
            axis: DayAxis::new((ends, &kept), first, sides),
            column: longest.fold(working_day, Span::max),
            left: field.left,
            top: field.top + HEAD,
            row: (room / rows.len() as f64).min(TALLEST),
        }
    }

    fn bottom(&self) -> f64 {
        self.top + self.row * self.rows.len() as f64
    }

    fn draw(&self, canvas: &mut Canvas) {
        self.shade(canvas);
        self.rule(canvas);
        for label in self.axis.labels(&self.visited()) {
            let at = Spot::new(label.middle, self.top - HEAD / 2.0);
            canvas.label_near(at, &[at], &label.words);
        }
        for (number, visit) in self.rows.iter().enumerate() {
            self.words(canvas, number, visit);
        }
        for (number, visit) in self.rows.iter().enumerate() {
            self.bar(canvas, number, visit);
        }
        self.tell_closed(canvas);
    }

    fn visited(&self) -> Vec<u32> {
        self.rows.iter().map(|visit| visit.day).collect()
    }

    /// The days when the entrance is closed in grey, weekends hatched.
    fn shade(&self, canvas: &mut Canvas) {
        let closed = self.axis.column(self.hours.days_entrance_closed);
        if let (Some(first), Some(last)) = (self.axis.columns.first(), closed) {
            let corners = rectangle((first.left, last.right), (self.top, self.bottom()));
            canvas.area(corners, None, Some(Tone::Light));
        }
        for column in &self.axis.columns {
            if !column.is_cut() && self.axis.is_weekend(column.from) {
                self.hatch(canvas, column);
            }
        }
    }

    /// Strokes upwards to the right; not in the way of labels, which have paper behind them.
    fn hatch(&self, canvas: &mut Canvas, column: &Column) {
        let wide = column.right - column.left;
        let (mut from, bottom) = (self.top + HATCH, self.bottom() + wide);
        while from < bottom {
            let low = from.min(self.bottom());
            let high = (from - wide).max(self.top);
            let through = [
                Spot::new(column.left + (from - low), low),
                Spot::new(column.left + (from - high), high),
            ];
            thin(canvas, &through);
            from += HATCH;
        }
    }

    /// A line before each day and each row; two strokes where days are cut out.
    fn rule(&self, canvas: &mut Canvas) {
        let (top, bottom) = (self.top, self.bottom());
        let right = self.axis.right();
        for y in [top, bottom] {
            let line = (Spot::new(self.left, y), Spot::new(right, y));
            canvas.line(line.0, line.1, Pen::Outline);
        }
        let rows = (1..self.rows.len()).map(|number| top + self.row * number as f64);
        let across = rows.map(|y| [Spot::new(self.left, y), Spot::new(right, y)]);
        let days = self.axis.columns.iter().map(|column| column.left);
        let down = days.chain([right]);
        let down = down.map(|x| [Spot::new(x, top - 1.2), Spot::new(x, bottom)]);
        for through in across.chain(down) {
            thin(canvas, &through);
        }
        let cut = self.axis.columns.iter().filter(|column| column.is_cut());
        for column in cut {
            self.mark_cut(canvas, column);
        }
    }

    fn mark_cut(&self, canvas: &mut Canvas, column: &Column) {
        let middle = f64::midpoint(column.left, column.right);
        for y in [self.top, self.bottom()] {
            canvas.items.push(Item::Area {
                corners: rectangle((middle - 1.4, middle + 1.4), (y - 0.6, y + 0.6)),
                pen: None,
                tone: Some(Tone::Paper),
            });
            for x in [middle - 1.4, middle + 1.4] {
                let through = vec![Spot::new(x - 0.8, y + 1.8), Spot::new(x + 0.8, y - 1.8)];
                let pen = Pen::Outline;
                canvas.items.push(Item::Line { through, pen });
            }
        }
    }

    fn middle(&self, row: usize) -> f64 {
        self.top + self.row * (row as f64 + 0.5)
    }

    /// Number, day and work of a visit, in two lines where one is too short.
    fn words(&self, canvas: &mut Canvas, row: usize, visit: &Visit) {
        let day = self.axis.name(visit.day, true);
        let words = format!("{}  {day}: {}", visit.visit, visit.description);
        let words = drawable(&words);
        let at = Spot::new(self.left + 0.6, self.middle(row));
        let room = WORDS - 3.0;
        let whole = width_of(&words, LETTERS, false) <= room;
        if whole || self.row < 2.0 * LINE {
            canvas.words_from(at, &shortened(&words, (LETTERS, false), room));
            return;
        }
        let (first, rest) = broken(&words, room);
        canvas.words_from(at.moved(0.0, -LINE / 2.0), first);
        let rest = shortened(rest, (LETTERS, false), room - INDENT);
        canvas.words_from(at.moved(INDENT, LINE / 2.0), &rest);
    }

    /// The bar of a visit, with who comes for how long.
    fn bar(&self, canvas: &mut Canvas, row: usize, visit: &Visit) {
        let Some(column) = self.axis.column(visit.day) else {
            return;
        };
        let right = column.left + self.axis.day * (visit.on_site / self.column);
        let (middle, half) = (self.middle(row), (self.row * 0.3).min(2.6));
        // A row has one bar, so that no label has to keep off those of others.
        canvas.items.push(Item::Area {
            corners: rectangle((column.left, right), (middle - half, middle + half)),
            pen: Some(Pen::Thin),
            tone: Some(Tone::Ink),
        });
        let words = format!(
            "{}, {} h",
            count(visit.people, "person", "people"),
            shown(visit.on_site)
        );
        let wide = width_of(&words, LETTERS, false) / 2.0 + 1.6;
        let beside = |x: f64| Spot::new(x, middle);
        let spots = [beside(right + wide), beside(column.left - wide)];
        canvas.label_near(beside(right), &spots, &words);
    }

    fn tell_closed(&self, canvas: &mut Canvas) {
        let Some(last) = self.axis.column(self.hours.days_entrance_closed) else {
            return;
        };
        let words = format!(
            "entrance closed {}",
            count(self.hours.days_entrance_closed, "day", "days")
        );
        let (left, y) = (self.axis.columns[0].left, self.bottom() + 2.6);
        for x in [left, last.right] {
            canvas.line(Spot::new(x, y - 2.6), Spot::new(x, y + 2.4), Pen::Outline);
        }
        let half = width_of(&words, LETTERS, false) / 2.0 + 1.2;
        let at = Spot::new(f64::midpoint(left, last.right).max(left + half), y + 1.6);
        let beside = Spot::new(last.right + half, y + 1.6);
        canvas.label_near(at, &[at, beside], &words);
    }

    fn note(&self) -> String {
        let more = self.hours.visits.len() - self.rows.len();
        let more = match more {
            0 => String::new(),
            more => format!(" {more} further visits are in the table only."),
        };
        let mut columns = self.axis.columns.iter().filter(|column| !column.is_cut());
        let weekends = match columns.any(|column| self.axis.is_weekend(column.from)) {
            true => " Hatched: weekend.",
            false => "",
        };
        format!(
            "Black: hours on site; a day is {} h wide. Grey: entrance closed.{weekends} //: days left out.{more}",
            shown(self.column)
        )
    }

    fn describe(&self) -> String {
        let visits = self.hours.visits.iter().map(|visit| {
            let day = self.axis.name(visit.day, true);
            format!(
                "{day}: {}, {}, {} h",
                visit.description,
                count(visit.people, "person", "people"),
                shown(visit.on_site)
            )
        });
        visits.collect::<Vec<_>>().join("; ")
    }
}

/// A thin line that is not in the way of labels, which have paper behind them.
fn thin(canvas: &mut Canvas, through: &[Spot; 2]) {
    canvas.items.push(Item::Line {
        through: through.to_vec(),
        pen: Pen::Thin,
    });
}

/// As many whole words as fit, and the rest.
fn broken(words: &str, room: f64) -> (&str, &str) {
    let fits = |end: &usize| width_of(&words[..*end], LETTERS, false) <= room;
    let mut ends = words.match_indices(' ').map(|(end, _)| end);
    match ends.rfind(fits) {
        Some(end) => (&words[..end], words[end..].trim_start()),
        None => ("", words),
    }
}

fn count(number: u32, one: &str, many: &str) -> String {
    format!("{number} {}", if number == 1 { one } else { many })
}

/// Hours to the quarter.
fn shown(span: Span) -> f64 {
    round_to(span.hours(), 2)
}
