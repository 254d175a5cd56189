//! Evaporation over the hours of a pour: its rate with the limits, and below it the temperatures of the air
//! and the slab; the windows of the finisher as bands behind both.
//!
//! Invariants: the rate and the limits are to one scale, and so are both temperatures; a line has a dot at
//! every hour that is told. Absent: what makes the rate, and what is done against it.

use super::canvas::{Canvas, Field};
use super::frame::{Sheet, Title, framed_sheet};
use super::hours_axis::{Axis, Band, Panel};
use super::scene::{Page, Pen, Spot};
use crate::quantity::shown::FC;
use crate::quantity::{System, Temperature, round_to};
use crate::setting::EvaporationRate;
use chrono::NaiveDateTime;

/// Height of the lower panel, of the names of the bands, of the hours, and between the panels, in
/// millimetres.
const LOWER: f64 = 36.0;
const NAMES: f64 = 13.0;
const HOURS: f64 = 8.0;
const BETWEEN: f64 = 6.0;

/// Room for the figures on the left and the names of the lines on the right, in millimetres.
const LEFT: f64 = 24.0;
const RIGHT: f64 = 30.0;

const CAUTIONS: [&str; 2] = [
    "Reckoned from the weather as told for a place nearby: measure air, humidity, wind and concrete at the slab on the day.",
    "The windows are usual ones at these temperatures: bleed water and the feel of the surface decide, and only a look at the slab shows them.",
];

/// What is drawn.
#[derive(Clone, Debug, PartialEq)]
pub struct EvaporationChart {
    /// The day and what else tells this pour from another, for the heading.
    pub heading: String,
    /// The hours in their order; at least two.
    pub hours: Vec<EvaporationHour>,
    /// The limits.
    pub limits: Vec<RateLimit>,
    /// The windows of the finisher, in their order.
    pub bands: Vec<NamedBand>,
}

/// One hour.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct EvaporationHour {
    /// Its beginning, on the clock of the site.
    pub at: NaiveDateTime,
    /// Water that leaves the surface.
    pub rate: EvaporationRate,
    /// Temperature of the air.
    pub air: Temperature,
    /// Temperature of the slab; none before it is poured.
    pub slab: Option<Temperature>,
}

/// A rate from which on something is done.
#[derive(Clone, Debug, PartialEq)]
pub struct RateLimit {
    /// The rate.
    pub rate: EvaporationRate,
    /// True where it is the one that holds for this mix.
    pub applies: bool,
}

/// A stretch of time with a name.
#[derive(Clone, Debug, PartialEq)]
pub struct NamedBand {
    /// When it begins.
    pub from: NaiveDateTime,
    /// When it ends.
    pub to: NaiveDateTime,
    /// What is done then.
    pub label: String,
}

/// The picture; none where fewer than two hours are told.
pub fn draw_evaporation(chart: &EvaporationChart, title: &Title) -> Option<Page> {
    let [first, .., last] = &chart.hours[..] else {
        return None;
    };
    let field = title.paper.field();
    let axis = Axis {
        from: first.at,
        to: last.at,
        left: field.left + LEFT,
        right: field.right - RIGHT,
    };
    let drawing = Drawing {
        chart,
        axis,
        system: title.system,
    };
    let mut canvas = Canvas::new(field);
    drawing.draw(&mut canvas, &field);
    let sheet = Sheet {
        title: "Evaporation",
        description: drawing.describe(),
        heading: format!("Evaporation, {}", chart.heading),
        note: "Dots: each hour's rate. Long dashes: the limit that applies. Grey: windows of the finisher."
            .to_owned(),
        cautions: CAUTIONS,
    };
    Some(framed_sheet(canvas, title, sheet))
}

struct Drawing<'a> {
    chart: &'a EvaporationChart,
    axis: Axis,
    system: System,
}

impl Drawing<'_> {
    fn draw(&self, canvas: &mut Canvas, field: &Field) {
        let bottom = field.bottom - HOURS;
        let sides = (field.top + NAMES, bottom - LOWER - BETWEEN);
        let upper = Panel::of(sides, (0.0, self.highest()), 7);
        let (coldest, warmest) = self.temperatures();
        let lower = Panel::of((bottom - LOWER, bottom), (coldest, warmest), 4);
        self.axis
            .shade(canvas, &self.bands(), (field.top, sides.0, bottom));
        self.axis.rule(canvas, &upper, self.rate_unit());
        self.axis.rule(canvas, &lower, self.degree());
        self.axis.tell_hours(canvas, bottom);
        self.limits(canvas, &upper);
        self.rates(canvas, &upper);
        self.warmth(canvas, &lower);
    }

    fn bands(&self) -> Vec<Band<'_>> {
        let bands = self.chart.bands.iter();
        bands
            .map(|band| Band {
                from: band.from,
                to: band.to,
                label: &band.label,
            })
            .collect()
    }

    fn rate(&self, rate: EvaporationRate) -> f64 {
        match self.system {
            System::Us => rate.lb_ft2_h(),
            System::Metric => rate.kg_m2_h(),
        }
    }

    const fn rate_unit(&self) -> &'static str {
        match self.system {
            System::Us => "lb/ft2/h",
            System::Metric => "kg/m2/h",
        }
    }

    /// Degrees of a temperature, by the units in which the trade writes it.
    fn degrees(&self, warm: Temperature) -> f64 {
        FC::of(warm, self.system).shown().value
    }

    fn degree(&self) -> &'static str {
        FC::of(Temperature::ZERO, self.system).shown().unit
    }

    fn highest(&self) -> f64 {
        let rates = self.chart.hours.iter().map(|hour| hour.rate);
        let all = rates.chain(self.chart.limits.iter().map(|limit| limit.rate));
        all.map(|rate| self.rate(rate)).fold(0.0, f64::max)
    }

    fn temperatures(&self) -> (f64, f64) {
        let hours = self.chart.hours.iter();
        let all = hours.flat_map(|hour| [Some(hour.air), hour.slab]);
        let all = all.flatten().map(|warm| self.degrees(warm));
        all.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), warm| {
            (low.min(warm), high.max(warm))
        })
    }

    /// Each limit from side to side, named on the right.
    fn limits(&self, canvas: &mut Canvas, panel: &Panel) {
        for limit in &self.chart.limits {
            let rate = self.rate(limit.rate);
            let y = panel.at(rate);
            let pen = if limit.applies {
                Pen::Joint
            } else {
                Pen::Hidden
            };
            let ends = [self.axis.left, self.axis.right].map(|x| Spot::new(x, y));
            canvas.line(ends[0], ends[1], pen);
            let applies = if limit.applies { ", applies" } else { "" };
            let words = format!("limit {rate:.2}{applies}");
            self.axis.name(canvas, y, &words);
        }
    }

    /// The line of the rates, its highest point told.
    fn rates(&self, canvas: &mut Canvas, panel: &Panel) {
        let spot = |hour: &EvaporationHour| {
            Spot::new(self.axis.at(hour.at), panel.at(self.rate(hour.rate)))
        };
        let spots: Vec<Spot> = self.chart.hours.iter().map(spot).collect();
        draw_line(canvas, &spots, Pen::Outline);
        for at in &spots {
            canvas.dot(*at, 0.8);
        }
        let Some((hour, at)) = self.peak().zip(self.peak().map(spot)) else {
            return;
        };
        let highest = round_to(self.rate(hour.rate), 3);
        let words = format!("highest {highest} at {}", hour.at.format("%H:%M"));
        let above = at.moved(0.0, -4.0);
        let beside = [at.moved(26.0, -3.0), at.moved(-26.0, -3.0)];
        canvas.label_near(at, &[above, beside[0], beside[1]], &words);
    }

    /// The first of the hours with the highest rate.
    fn peak(&self) -> Option<&EvaporationHour> {
        let higher = |a: &&EvaporationHour, b: &&EvaporationHour| {
            self.rate(a.rate)
                .total_cmp(&self.rate(b.rate))
                .then(b.at.cmp(&a.at))
        };
        self.chart.hours.iter().max_by(higher)
    }

    fn warmth(&self, canvas: &mut Canvas, panel: &Panel) {
        let hours = || self.chart.hours.iter();
        let air = hours().map(|hour| (hour.at, Some(hour.air)));
        let slab = hours().map(|hour| (hour.at, hour.slab));
        let lines: [(&str, Pen, Vec<_>); 2] = [
            ("air", Pen::Hidden, air.collect()),
            ("slab", Pen::Outline, slab.collect()),
        ];
        for (name, pen, told) in lines {
            let spots: Vec<Spot> = told
                .into_iter()
                .filter_map(|(at, warm)| {
                    Some(Spot::new(self.axis.at(at), panel.at(self.degrees(warm?))))
                })
                .collect();
            draw_line(canvas, &spots, pen);
            if let Some(last) = spots.last() {
                self.axis.name(canvas, last.y, name);
            }
        }
    }

    fn describe(&self) -> String {
        let peak = self.peak().map(|hour| {
            format!(
                "Highest evaporation {} {} at {}",
                round_to(self.rate(hour.rate), 3),
                self.rate_unit(),
                hour.at.format("%H:%M")
            )
        });
        let limits = self.chart.limits.iter().map(|limit| {
            let rate = round_to(self.rate(limit.rate), 2);
            let applies = if limit.applies { " applies" } else { "" };
            format!("limit {rate}{applies}")
        });
        let bands = self.chart.bands.iter().map(|band| {
            let [from, to] = [band.from, band.to].map(|at| at.format("%H:%M"));
            format!("{} {from} to {to}", band.label)
        });
        let parts: Vec<String> = peak.into_iter().chain(limits).chain(bands).collect();
        parts.join("; ")
    }
}

/// A line through places, which labels keep off.
fn draw_line(canvas: &mut Canvas, spots: &[Spot], pen: Pen) {
    for two in spots.windows(2) {
        canvas.line(two[0], two[1], pen);
    }
}
