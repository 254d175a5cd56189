//! The survey's profile: slope of each length of the level along the path, with its limits.
//!
//! Invariants: lengths along the path are to scale, slopes on a scale of their own; a reading that was not
//! taken is a question mark, never a slope. Absent: readings across, which are in the answer's tables.

use super::canvas::{Canvas, Field};
use super::frame::{Title, View, framed};
use super::scale::Scale;
use super::scene::{Page, Pen, Spot, Tone};
use crate::estimate::SurveyAnswered;
use crate::geometry::survey::Window;
use crate::job::LevelDirection;
use crate::quantity::{Length, Slope, floor, round_to};
use crate::rules::{Decided, Measured, Verdict};

/// The profile; none where nothing was read along the path, or no rule holds it.
pub fn draw_survey(answered: &SurveyAnswered, title: &Title) -> Option<Page> {
    let check = answered.check.as_ref()?;
    let along = |window: &&Window| window.direction == LevelDirection::Along;
    let windows = answered.surveyed.windows.iter().zip(&check.windows);
    let windows: Vec<Read<'_>> = windows
        .filter(|(window, _)| along(window))
        .map(|(window, decided)| Read {
            window,
            decided: decided.as_ref(),
        })
        .collect();
    if windows.is_empty() {
        return None;
    }
    let field = title.paper.field();
    let chart = Chart::of(answered, &windows, (&field, title));
    let mut canvas = Canvas::new(field);
    canvas.measured(title, chart.scale);
    chart.draw(&mut canvas, &windows);
    let view = View {
        title: "Survey, slope along the path",
        description: answered.headline.clone(),
        scale: chart.scale,
        note: "Black: breaks a rule. Grey: the readings leave it open. White: within. ?: not read. Dashed: limits."
            .to_owned(),
    };
    Some(framed(canvas, title, view))
}

/// A window with what decides it.
struct Read<'a> {
    window: &'a Window,
    decided: Option<&'a Decided>,
}

impl Read<'_> {
    fn limit(&self) -> Option<Slope> {
        match self.decided?.limit? {
            Measured::Slope(slope) => Some(slope),
            _ => None,
        }
    }

    fn tone(&self) -> Tone {
        match self.decided.map(|decided| decided.verdict) {
            Some(Verdict::Violates) => Tone::Ink,
            Some(Verdict::Undetermined) => Tone::Middle,
            _ => Tone::Paper,
        }
    }
}

struct Chart<'a> {
    answered: &'a SurveyAnswered,
    scale: &'static Scale,
    left: f64,
    bottom: f64,
    /// Millimetres for one percent.
    percent: f64,
    most: f64,
}

impl<'a> Chart<'a> {
    fn of(
        answered: &'a SurveyAnswered,
        windows: &[Read<'_>],
        (field, title): (&Field, &Title),
    ) -> Self {
        let length = answered.geometry.plan_length();
        let room = (field.width() - 36.0, f64::INFINITY);
        let scale = Scale::fitting((length, Length::ZERO), room, title.system);
        let slopes = windows
            .iter()
            .flat_map(|read| [read.window.slope, read.limit()]);
        let steepest = slopes
            .flatten()
            .map(|slope| slope.percent().abs())
            .fold(1.0, f64::max);
        let most = floor(steepest) + 1.0;
        let high = field.height() - 50.0;
        Self {
            answered,
            scale,
            left: f64::midpoint(field.left, field.right) - scale.on_paper(length) / 2.0,
            bottom: field.bottom - 30.0,
            percent: high / most,
            most,
        }
    }

    fn spot(&self, station: Length, slope: f64) -> Spot {
        Spot::new(
            self.left + self.scale.on_paper(station),
            self.bottom - slope * self.percent,
        )
    }

    fn station(&self, window: &Window, along: Length) -> Length {
        self.answered.geometry.surfaces[window.piece].station + along
    }

    fn draw(&self, canvas: &mut Canvas, windows: &[Read<'_>]) {
        self.axes(canvas);
        for read in windows {
            self.bar(canvas, read);
        }
        for read in windows {
            self.limit(canvas, read);
        }
        for read in windows {
            self.label(canvas, read);
        }
        self.limits(canvas, windows);
    }

    /// A line for each whole percent or, of a steep ramp, for every fifth; and the pieces below.
    fn axes(&self, canvas: &mut Canvas) {
        let whole = self.answered.geometry.plan_length();
        let step = if self.most > 16.0 { 5.0 } else { 1.0 };
        let lines = floor(self.most / step) as u32;
        for n in 0..=lines {
            let slope = f64::from(n) * step;
            let (from, to) = (self.spot(Length::ZERO, slope), self.spot(whole, slope));
            canvas.line(from, to, if n == 0 { Pen::Outline } else { Pen::Thin });
            let at = from.moved(-6.0, 0.0);
            canvas.label_near(at, &[at], &format!("{slope} %"));
        }
        for (piece, surface) in self.answered.geometry.surfaces.iter().enumerate() {
            let ends = [surface.station, surface.station + surface.plan_length];
            let [from, to] = ends.map(|station| self.spot(station, 0.0));
            canvas.line(from, from.moved(0.0, 6.0), Pen::Thin);
            canvas.line(to, to.moved(0.0, 6.0), Pen::Thin);
            let middle = Spot::new(f64::midpoint(from.x, to.x), from.y + 4.0);
            canvas.label_near(
                middle,
                &[middle, middle.moved(0.0, 5.0), middle.moved(0.0, 10.0)],
                &format!("piece {piece}"),
            );
        }
    }

    /// A window as a bar from zero to its slope, its uncertainty as a line at its middle.
    fn bar(&self, canvas: &mut Canvas, read: &Read<'_>) {
        let Some(slope) = read.window.slope else {
            return;
        };
        let slope = slope.percent().abs();
        let ends = [read.window.from, read.window.to].map(|along| self.station(read.window, along));
        let corners = vec![
            self.spot(ends[0], 0.0),
            self.spot(ends[1], 0.0),
            self.spot(ends[1], slope),
            self.spot(ends[0], slope),
        ];
        canvas.area(corners, Some(Pen::Thin), Some(read.tone()));
        let middle = (ends[0] + ends[1]) / 2.0;
        let trust = read.window.uncertainty.percent();
        canvas.line(
            self.spot(middle, slope),
            self.spot(middle, slope + trust),
            Pen::Outline,
        );
    }

    fn limit(&self, canvas: &mut Canvas, read: &Read<'_>) {
        let Some(limit) = read.limit() else {
            return;
        };
        let ends = [read.window.from, read.window.to].map(|along| self.station(read.window, along));
        let [from, to] = ends.map(|station| self.spot(station, limit.percent()));
        canvas.line(from, to, Pen::Joint);
    }

    /// The slope of a window that breaks a rule or is open; a question mark where none was read.
    fn label(&self, canvas: &mut Canvas, read: &Read<'_>) {
        let middle = self.station(read.window, (read.window.from + read.window.to) / 2.0);
        match read.window.slope {
            None => {
                let at = self.spot(middle, 0.0).moved(0.0, -4.0);
                canvas.label_near(at, &[at], "?");
            }
            Some(slope) if read.tone() != Tone::Paper => {
                let slope = slope.percent().abs();
                let trust = read.window.uncertainty.percent();
                let at = self.spot(middle, slope + trust).moved(0.0, -2.6);
                canvas.label_near(at, &[at], &format!("{} %", round_to(slope, 1)));
            }
            Some(_) => {}
        }
    }

    /// Each limit once, at the last window that it holds.
    fn limits(&self, canvas: &mut Canvas, windows: &[Read<'_>]) {
        let mut told: Vec<f64> = Vec::new();
        for read in windows.iter().rev() {
            let Some(limit) = read.limit() else { continue };
            let percent = round_to(limit.percent(), 3);
            if told.contains(&percent) {
                continue;
            }
            told.push(percent);
            let at = self.spot(self.station(read.window, read.window.to), percent);
            let set = read.decided.map_or("", |decided| decided.set.as_str());
            let words = format!("{set} {} %", round_to(percent, 2));
            canvas.label_near(at, &[at.moved(0.0, -3.4), at.moved(0.0, 3.4)], &words);
        }
    }
}
