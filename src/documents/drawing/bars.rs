//! The bar plan: bars as they lie, each mark called out once.
//!
//! Invariant: counts and lengths are those of the order; bars are drawn evenly between their covers.

use super::canvas::Canvas;
use super::frame::{Title, View, framed};
use super::ground::Ground;
use super::scene::{Page, Pen, Spot};
use super::subject::Subject;
use crate::geometry::Place;
use crate::job::Reinforcement;
use crate::quantity::{Length, System};
use crate::takeoff::{BarMark, BarWay};

/// More bars of one mark are drawn as their first and last, with the spread between.
const DRAWN: u32 = 60;

pub(super) fn draw_bars(subject: &Subject<'_>, title: &Title) -> Page {
    let ground = Ground::fitting(subject.places, title);
    let mut canvas = Canvas::new(title.paper.field());
    canvas.measured(title, ground.scale);
    ground.draw(&mut canvas, subject);
    let note = if let Some(steel) = subject.job.reinforcement.as_option() {
        let mut drawer = Drawer {
            subject,
            ground: &ground,
            canvas: &mut canvas,
            steel,
            system: title.system,
        };
        for mark in &subject.takeoff.bar_marks {
            drawer.bars(mark);
        }
        for mark in &subject.takeoff.bar_marks {
            drawer.call_out(mark);
        }
        format!(
            "Cover to the edges {}, laps {} bar diameters. Lengths are those of the order, laps included.",
            steel.edge_cover.tape(title.system),
            steel.lap_diameters
        )
    } else {
        "No bars in this slab.".to_owned()
    };
    let view = View {
        title: "Bars",
        description: "The ramp from above with its reinforcing bars.".to_owned(),
        scale: ground.scale,
        note,
    };
    framed(canvas, title, view)
}

struct Drawer<'a> {
    subject: &'a Subject<'a>,
    ground: &'a Ground,
    canvas: &'a mut Canvas,
    steel: &'a Reinforcement,
    system: System,
}

/// One bar: where it begins and ends.
type Ends = (Spot, Spot);

impl Drawer<'_> {
    fn bars(&mut self, mark: &BarMark) {
        let last = mark.count.saturating_sub(1);
        let few = mark.count <= DRAWN;
        for n in (0..mark.count).filter(|n| few || *n == 0 || *n == last) {
            if let Some((from, to)) = self.ends(mark, n) {
                self.canvas.line(from, to, Pen::Bar);
            }
        }
    }

    fn ends(&self, mark: &BarMark, n: u32) -> Option<Ends> {
        let places = self.subject.places.get(mark.pieces.0..=mark.pieces.1)?;
        let (first, last) = (places.first()?, places.last()?);
        let cover = self.steel.edge_cover;
        let share = f64::from(n) / f64::from(mark.count.saturating_sub(1).max(1));
        Some(match mark.way {
            BarWay::Along => {
                let across = self.spread(mark, places, share);
                let from = self.ground.on(first, across, cover);
                (from, self.ground.on(last, across, last.length - cover))
            }
            BarWay::Across => {
                let whole: Length = places.iter().map(|place| place.length).sum();
                let along = cover + (whole - cover * 2.0) * share;
                let at = |across: Length| self.ground.on(first, across, along);
                (at(cover), at(first.width - cover))
            }
        })
    }

    /// From the left edge to a bar along; bars in the wider part of a landing lie beside the others.
    fn spread(&self, mark: &BarMark, places: &[Place], share: f64) -> Length {
        let cover = self.steel.edge_cover;
        let width = |place: &Place| place.width;
        let narrowest = places.iter().map(width).fold(places[0].width, Length::min);
        let marks = self.subject.takeoff.bar_marks.iter();
        let mut through = marks.filter(|other| {
            let holds = other.pieces.0 <= mark.pieces.0 && mark.pieces.1 <= other.pieces.1;
            other.way == BarWay::Along && holds && other.mark != mark.mark
        });
        let wider = through.find_map(|other| {
            let run = self.subject.places.get(other.pieces.0..=other.pieces.1)?;
            let own = run.iter().map(width).fold(run[0].width, Length::min);
            (own < narrowest).then_some(own)
        });
        match wider {
            Some(run) => {
                let from = run - cover + self.steel.spacing_across.min(narrowest - run);
                from + (narrowest - cover - from) * share
            }
            None => cover + (narrowest - cover * 2.0) * share,
        }
    }

    fn call_out(&mut self, mark: &BarMark) {
        let spacing = match mark.way {
            BarWay::Along => self.steel.spacing_across,
            BarWay::Across => self.steel.spacing_along,
        };
        let words = format!(
            "{}: {} {} at {}, {} long",
            mark.mark,
            mark.count,
            mark.bar.as_str(),
            spacing.tape(self.system),
            mark.length.tape(self.system)
        );
        let middle = (mark.count / 3).min(mark.count.saturating_sub(1));
        if let Some((from, to)) = self.ends(mark, middle) {
            let share = if mark.way == BarWay::Along { 0.3 } else { 0.5 };
            let at = Spot::new(
                from.x + (to.x - from.x) * share,
                from.y + (to.y - from.y) * share,
            );
            self.canvas.label_near(at, &[], &words);
        }
    }
}
