//! Hours along the paper, panels with figures beside them, and bands of time behind.
//!
//! Invariants: a panel begins and ends at a round figure and holds all that it was made for; what lies
//! outside of the hours is cut off at their ends. Absent: what is measured.

use super::canvas::{Canvas, LETTERS};
use super::font::width_of;
use super::scene::{Item, Pen, Spot, Tone};
use crate::quantity::{ceil_to, floor_to, round_to};
use chrono::{NaiveDateTime, TimeDelta, Timelike};

/// Steps between two figures of a panel.
const STEPS: [f64; 13] = [
    0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0,
];

/// Hours between two that are named.
const EVERY: [u32; 7] = [1, 2, 3, 4, 6, 12, 24];

/// Half the width of the line of a figure, in millimetres.
const GRID: f64 = 0.08;

/// Rows in which bands are named, and the height of one, in millimetres.
const ROWS: usize = 3;
const ROW: f64 = 4.2;

/// From one hour to another, between two places on the paper.
#[derive(Clone, Copy, Debug)]
pub(super) struct Axis {
    pub(super) from: NaiveDateTime,
    pub(super) to: NaiveDateTime,
    pub(super) left: f64,
    pub(super) right: f64,
}

/// A stretch of time with a name.
#[derive(Clone, Copy, Debug)]
pub(super) struct Band<'a> {
    pub(super) from: NaiveDateTime,
    pub(super) to: NaiveDateTime,
    pub(super) label: &'a str,
}

/// Figures from the lower to the upper edge.
#[derive(Clone, Copy, Debug)]
pub(super) struct Panel {
    top: f64,
    bottom: f64,
    low: f64,
    high: f64,
    step: f64,
}

impl Panel {
    /// A panel that holds two figures and all between, with at most so many steps.
    pub(super) fn of((top, bottom): (f64, f64), (low, high): (f64, f64), most: u32) -> Self {
        let fits = |step: &&f64| (high - low) / **step <= f64::from(most);
        let step = STEPS.iter().find(fits).copied().unwrap_or(100.0);
        let low = floor_to(low, step);
        Self {
            top,
            bottom,
            low,
            high: ceil_to(high, step).max(low + step),
            step,
        }
    }

    /// How far down the paper a figure stands.
    pub(super) fn at(&self, figure: f64) -> f64 {
        let share = (figure - self.low) / (self.high - self.low);
        self.bottom - share * (self.bottom - self.top)
    }

    /// Its figures, from the lowest.
    fn figures(&self) -> impl Iterator<Item = f64> {
        let (low, step) = (self.low, self.step);
        let count = round_to((self.high - low) / step, 0) as u32;
        (0..=count).map(move |number| round_to(low + f64::from(number) * step, 2))
    }
}

impl Axis {
    /// How far to the right a moment stands; what lies outside stands at the end.
    pub(super) fn at(&self, moment: NaiveDateTime) -> f64 {
        let minutes = |span: TimeDelta| span.num_minutes() as f64;
        let share = minutes(moment - self.from) / minutes(self.to - self.from).max(1.0);
        self.left + share.clamp(0.0, 1.0) * (self.right - self.left)
    }

    /// A grey line for each figure, the figures on the left, the unit at the uppermost.
    pub(super) fn rule(&self, canvas: &mut Canvas, panel: &Panel, unit: &str) {
        for figure in panel.figures() {
            let y = panel.at(figure);
            // An area, since a pen has no grey, and not in the way of labels, which have paper behind them.
            canvas.items.push(Item::Area {
                corners: rectangle((self.left, self.right), (y - GRID, y + GRID)),
                pen: None,
                tone: Some(Tone::Middle),
            });
            let words = match y - panel.top < 1e-6 {
                true => format!("{figure} {unit}"),
                false => figure.to_string(),
            };
            let half = width_of(&words, LETTERS, false) / 2.0;
            let at = Spot::new(self.left - half - 2.0, y);
            canvas.label_near(at, &[at], &words);
        }
        let corner = |x: f64, y: f64| Spot::new(x, y);
        let ends = [
            (
                corner(self.left, panel.top),
                corner(self.left, panel.bottom),
            ),
            (
                corner(self.right, panel.top),
                corner(self.right, panel.bottom),
            ),
        ];
        for (from, to) in ends {
            canvas.line(from, to, Pen::Thin);
        }
        canvas.line(ends[0].1, ends[1].1, Pen::Outline);
    }

    /// The hours below a panel, as many of them as there is room for; midnight by its date.
    pub(super) fn tell_hours(&self, canvas: &mut Canvas, bottom: f64) {
        let hours = (self.to - self.from).num_hours().max(1);
        let wide = (self.right - self.left) / hours as f64;
        let room = width_of("00:00", LETTERS, false) + 3.0;
        let every = EVERY.iter().find(|every| f64::from(**every) * wide > room);
        let every = every.copied().unwrap_or(24);
        for at in (0..=hours).filter_map(|n| self.from.checked_add_signed(TimeDelta::hours(n))) {
            let x = self.at(at);
            let named = at.hour().is_multiple_of(every);
            let long = if named { 2.0 } else { 1.0 };
            canvas.line(Spot::new(x, bottom), Spot::new(x, bottom + long), Pen::Thin);
            let words = match at.hour() {
                0 => at.format("%-d %b"),
                _ => at.format("%H:%M"),
            };
            if named {
                let at = Spot::new(x, bottom + 5.0);
                canvas.label_near(at, &[at], &words.to_string());
            }
        }
    }

    /// Bands in grey behind all panels, their names above them; names of neighbours stand in rows of their own.
    pub(super) fn shade(
        &self,
        canvas: &mut Canvas,
        bands: &[Band<'_>],
        (names, top, bottom): (f64, f64, f64),
    ) {
        let told =
            |band: &&Band<'_>| band.from < band.to && band.to > self.from && band.from < self.to;
        let bands: Vec<&Band<'_>> = bands.iter().filter(told).collect();
        for band in &bands {
            let sides = (self.at(band.from), self.at(band.to));
            let corners = rectangle(sides, (top, bottom));
            canvas.area(corners, None, Some(Tone::Light));
        }
        let row = |number: usize| names + ROW * ((number % ROWS) as f64 + 0.5);
        for (number, band) in bands.iter().enumerate() {
            let (left, right) = (self.at(band.from), self.at(band.to));
            for x in [left, right] {
                canvas.items.push(Item::Line {
                    through: vec![Spot::new(x, row(number)), Spot::new(x, bottom)],
                    pen: Pen::Thin,
                });
            }
            let middle = f64::midpoint(left, right);
            let spots = [0, 1, 2].map(|more| Spot::new(middle, row(number + more)));
            canvas.label_near(spots[0], &spots, band.label);
        }
    }

    /// The name of a line, on the right of its end.
    pub(super) fn name(&self, canvas: &mut Canvas, y: f64, words: &str) {
        let half = width_of(words, LETTERS, false) / 2.0;
        let x = self.right + half + 2.0;
        let spots = [0.0, -2.2, 2.2, -4.4, 4.4].map(|by| Spot::new(x, y + by));
        canvas.label_near(Spot::new(self.right, y), &spots, words);
    }
}

/// The corners between two sides and two heights.
pub(super) fn rectangle((left, right): (f64, f64), (top, bottom): (f64, f64)) -> Vec<Spot> {
    let corners = [(left, top), (right, top), (right, bottom), (left, bottom)];
    corners.map(|(x, y)| Spot::new(x, y)).to_vec()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_panel_begins_and_ends_at_round_figures() {
        let figures = |low, high, most| -> Vec<f64> {
            let panel = Panel::of((0.0, 100.0), (low, high), most);
            panel.figures().collect()
        };
        assert_eq!(figures(0.0, 0.23, 7), [0.0, 0.05, 0.1, 0.15, 0.2, 0.25]);
        assert_eq!(figures(52.0, 71.0, 4), [50.0, 55.0, 60.0, 65.0, 70.0, 75.0]);
        assert_eq!(figures(-3.0, -3.0, 4), [-3.0, -2.99]);
        let panel = Panel::of((10.0, 110.0), (0.0, 0.2), 7);
        assert_eq!(
            [panel.at(0.0), panel.at(0.1), panel.at(0.2)],
            [110.0, 60.0, 10.0]
        );
    }

    #[test]
    fn what_lies_outside_of_the_hours_stands_at_their_ends() {
        let at =
            |text: &str| NaiveDateTime::parse_from_str(text, "%Y-%m-%dT%H:%M").expect("a moment");
        let axis = Axis {
            from: at("2026-05-18T06:00"),
            to: at("2026-05-18T18:00"),
            left: 20.0,
            right: 140.0,
        };
        let found = ["2026-05-18T05:00", "2026-05-18T12:30", "2026-05-19T01:00"];
        assert_eq!(found.map(|text| axis.at(at(text))), [20.0, 85.0, 140.0]);
    }
}
