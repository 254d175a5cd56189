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
            "Cover to the edges {}, laps {} bar diameters. Lengths are those of the order, laps included.{}",
            steel.edge_cover.tape(title.system),
            steel.lap_diameters,
            name_around(&subject.takeoff.bar_marks)
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

/// Marks that lie in no piece of the ramp, and so not on its plan.
fn name_around(marks: &[BarMark]) -> String {
    let mut around = marks.iter().filter(|mark| mark.pieces.is_none());
    let Some(first) = around.next() else {
        return String::new();
    };
    let last = around.next_back().unwrap_or(first);
    format!(
        " {} to {} lie in what is poured around the ramp: see the schedule.",
        first.mark, last.mark
    )
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
        let places = self.places(mark)?;
        let (first, last) = (places.first()?, places.last()?);
        let cover = self.steel.edge_cover;
        let share = f64::from(n) / f64::from(mark.count.saturating_sub(1).max(1));
        Some(match mark.way {
            BarWay::Along => {
                let (seat, across) = self.spread(mark, places, share)?;
                // Pieces of other widths have their left edges elsewhere; a bar runs straight through.
                let on = |place: &Place, along: Length| {
                    let (across, _) = place.from_edges(seat.point(across, Length::ZERO));
                    self.ground.on(place, across, along)
                };
                (on(first, cover), on(last, last.length - cover))
            }
            BarWay::Across => {
                let whole: Length = places.iter().map(|place| place.length).sum();
                let along = cover + (whole - cover * 2.0) * share;
                let at = |across: Length| self.ground.on(first, across, along);
                (at(cover), at(first.width - cover))
            }
        })
    }

    fn places(&self, mark: &BarMark) -> Option<&[Place]> {
        let (from, to) = mark.pieces?;
        self.subject.places.get(from..=to)
    }

    /// Where a bar along lies: in the narrowest piece of its own, or, in a landing that is wider than the
    /// run through it, beside the bars of the run.
    fn spread<'b>(
        &'b self,
        mark: &BarMark,
        places: &'b [Place],
        share: f64,
    ) -> Option<(&'b Place, Length)> {
        let cover = self.steel.edge_cover;
        let seat = narrowest(places)?;
        let Some(run) = self.through(mark).filter(|run| run.width < seat.width) else {
            return Some((seat, cover + (seat.width - cover * 2.0) * share));
        };
        let (left, _) = seat.from_edges(run.point(Length::ZERO, Length::ZERO));
        let right = seat.width - left - run.width;
        let spacing = self.steel.spacing_across;
        let across = if right > left {
            let from = (left + run.width - cover + spacing).min(seat.width - cover);
            from + (seat.width - cover - from) * share
        } else {
            let to = (left + cover - spacing).max(cover);
            cover + (to - cover) * share
        };
        Some((seat, across))
    }

    /// The narrowest piece of the bars that run through the piece of a mark and on.
    fn through(&self, mark: &BarMark) -> Option<&Place> {
        let mut marks = self.subject.takeoff.bar_marks.iter();
        let through = marks.find(|other| {
            let (Some(theirs), Some(ours)) = (other.pieces, mark.pieces) else {
                return false;
            };
            let holds = theirs.0 <= ours.0 && ours.1 <= theirs.1;
            other.way == BarWay::Along && holds && other.mark != mark.mark
        })?;
        narrowest(self.places(through)?)
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

fn narrowest(places: &[Place]) -> Option<&Place> {
    places.iter().min_by(|a, b| a.width.total_cmp(&b.width))
}
