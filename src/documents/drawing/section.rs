//! The typical section: across a run, seen up the path.
//!
//! Invariant: to scale both ways, the cross fall among it.

use super::canvas::{Canvas, Field};
use super::frame::{Title, View, framed};
use super::scale::Scale;
use super::scene::{Page, Pen, Spot, Tone};
use super::subject::Subject;
use crate::geometry::{Across, EdgeLine, GradedPoint, GradedStation, Stands};
use crate::job::{EdgeKind, EdgeName};
use crate::quantity::{Length, Slope, System, round_to};

/// Room for the words beside a section, in millimetres on the paper.
const WORDS: f64 = 92.0;
/// Thickness of a board called 2 in, planed (common practice, no source).
const BOARD: Length = Length::from_inches(1.5);

/// The typical section, or none where the job pours nothing.
pub(super) fn draw_section(subject: &Subject<'_>, title: &Title) -> Option<Page> {
    let piece = subject.typical()?;
    let field = title.paper.field();
    let mut canvas = Canvas::new(field);
    let section = Section::of(subject, piece, (&field, title.system))?;
    canvas.measured(title, section.scale);
    section.draw(&mut canvas);
    section.label(&mut canvas);
    let view = View {
        title: "Typical section",
        description: format!("Across {}, seen up the path.", subject.name(piece)),
        scale: section.scale,
        note: format!(
            "Across {}, at its middle, seen up the path.",
            subject.name(piece)
        ),
    };
    Some(framed(canvas, title, view))
}

/// The same without its frame, in a width and a height on the paper, in millimetres.
pub fn draw_small_section(subject: &Subject<'_>, size: (f64, f64), system: System) -> Option<Page> {
    let piece = subject.typical()?;
    let field = Field {
        left: 0.0,
        top: 0.0,
        right: size.0,
        bottom: size.1,
    };
    let mut canvas = Canvas::new(field);
    let section = Section::of(subject, piece, (&field, system))?;
    section.draw(&mut canvas);
    section.label(&mut canvas);
    let name = subject.name(piece);
    Some(Page {
        width: size.0,
        height: size.1,
        title: "Typical section".to_owned(),
        description: format!("Across {name}, seen up the path, {}.", section.scale.name),
        items: canvas.items,
    })
}

struct Section<'a> {
    subject: &'a Subject<'a>,
    piece: usize,
    station: &'a GradedStation,
    width: Length,
    scale: &'static Scale,
    origin: Spot,
    middle: Length,
    system: System,
    field: Field,
}

/// A layer between two depths below the surface, and how far it reaches past each side.
struct Layer {
    from: Length,
    to: Length,
    past: [Length; 2],
    tone: Tone,
    pen: Pen,
}

impl<'a> Section<'a> {
    fn of(
        subject: &'a Subject<'a>,
        piece: usize,
        (field, system): (&Field, System),
    ) -> Option<Self> {
        let graded = &subject.grades.pieces[piece].stations;
        let station = graded.get(graded.len() / 2)?;
        let width = subject.geometry.surfaces[piece].width;
        let beyond = Length::from_feet(2.5);
        let deep = Length::from_feet(3.0);
        let room = (field.width() - WORDS, field.height() - 12.0);
        let scale = Scale::fitting((width + beyond, deep), room, system);
        let left = field.left + (field.width() - WORDS - scale.on_paper(width)) / 2.0;
        let origin = Spot::new(left, field.top + field.height() * 0.45);
        let middle = station.points[1].finish.elevation;
        Some(Self {
            subject,
            piece,
            station,
            width,
            scale,
            origin,
            middle,
            system,
            field: *field,
        })
    }

    fn point(&self, across: Across) -> &GradedPoint {
        let of = |point: &&GradedPoint| point.across == across;
        self.station
            .points
            .iter()
            .find(of)
            .unwrap_or(&self.station.points[1])
    }

    /// A spot at a distance from the left edge, so far below the surface there.
    fn below(&self, from_left: Length, depth: Length) -> Spot {
        let half = self.width / 2.0;
        let rise = self.station.to_left * (half - from_left);
        let x = self.origin.x + self.scale.on_paper(from_left);
        Spot::new(x, self.origin.y - self.scale.on_paper(rise - depth))
    }

    /// How far below the surface a layer's bottom lies, plumb.
    fn depth(&self, of: fn(&GradedPoint) -> Option<crate::geometry::Grade>) -> Option<Length> {
        of(self.point(Across::Centre)).map(|grade| self.middle - grade.elevation)
    }

    fn layers(&self) -> Vec<Layer> {
        let zero = Length::ZERO;
        let slab = self.depth(|point| point.slab_bottom);
        let board = self.depth(|point| point.insulation_bottom);
        let stone = self.depth(|point| point.stone_bottom);
        let past = self
            .subject
            .job
            .base
            .as_option()
            .map_or(zero, |base| base.beyond_edge);
        let past = [EdgeName::Left, EdgeName::Right]
            .map(|side| if self.is_formed(side) { past } else { zero });
        let layer = |from: Option<Length>, to: Option<Length>, tone: Tone, past: [Length; 2]| {
            Some(Layer {
                from: from?,
                to: to?,
                past,
                tone,
                pen: Pen::Thin,
            })
        };
        let slab_layer = layer(Some(zero), slab, Tone::Light, [zero, zero]);
        let slab_layer = slab_layer.map(|layer| Layer {
            pen: Pen::Outline,
            ..layer
        });
        let stone_layer = layer(board.or(slab), stone, Tone::Middle, past);
        let board_layer = layer(slab, board, Tone::Paper, [zero, zero]);
        [stone_layer, board_layer, slab_layer]
            .into_iter()
            .flatten()
            .collect()
    }

    fn edge(&self, side: EdgeName) -> Option<&EdgeLine> {
        let mut edges = self.subject.geometry.edges.iter();
        edges.find(|edge| edge.piece == self.piece && edge.name == side)
    }

    fn is_formed(&self, side: EdgeName) -> bool {
        self.edge(side).is_some_and(EdgeLine::is_formed)
    }

    fn is_wall(&self, side: EdgeName) -> bool {
        let wall = Stands::Edge(EdgeKind::AgainstWall);
        self.edge(side).is_some_and(|edge| edge.stands == wall)
    }

    fn draw(&self, canvas: &mut Canvas) {
        for layer in self.layers() {
            let (left, right) = (-layer.past[0], self.width + layer.past[1]);
            let corners = vec![
                self.below(left, layer.from),
                self.below(right, layer.from),
                self.below(right, layer.to),
                self.below(left, layer.to),
            ];
            canvas.area(corners, Some(layer.pen), Some(layer.tone));
        }
        for side in [EdgeName::Left, EdgeName::Right] {
            self.draw_side(canvas, side);
        }
        self.draw_bars(canvas);
    }

    /// A curb, a form board or a wall at one side.
    fn draw_side(&self, canvas: &mut Canvas, side: EdgeName) {
        let slab = self
            .depth(|point| point.slab_bottom)
            .unwrap_or(Length::ZERO);
        let (edge, out) = match side {
            EdgeName::Left => (Length::ZERO, -1.0),
            _ => (self.width, 1.0),
        };
        let upright =
            |canvas: &mut Canvas, x: (Length, Length), y: (Length, Length), tone: Option<Tone>| {
                let at = |x: Length, depth: Length| {
                    Spot::new(self.below(x, Length::ZERO).x, self.below(edge, depth).y)
                };
                let corners = vec![at(x.0, y.0), at(x.1, y.0), at(x.1, y.1), at(x.0, y.1)];
                canvas.area(corners, Some(Pen::Outline), tone);
            };
        let curb = self.subject.job.ramp.curb.as_option();
        let curb = curb.filter(|_| self.edge(side).is_some_and(|edge| edge.curb));
        let top = curb.map_or(Length::ZERO, |curb| -curb.height);
        if let Some(curb) = curb {
            let inner = edge - curb.width * out;
            upright(
                canvas,
                (edge, inner),
                (top, Length::ZERO),
                Some(Tone::Light),
            );
        }
        if self.is_formed(side) {
            upright(
                canvas,
                (edge, edge + BOARD * out),
                (top, slab),
                Some(Tone::Paper),
            );
        }
        if self.is_wall(side) {
            let gap = self.subject.job.joints.filler * out;
            let face = edge + gap;
            let back = face + Length::from_inches(6.0) * out;
            upright(canvas, (edge, face), (Length::ZERO, slab), Some(Tone::Ink));
            let tall = Length::from_inches(10.0);
            upright(
                canvas,
                (face, back),
                (-tall, slab + tall),
                Some(Tone::Middle),
            );
        }
    }

    /// Bars along as dots, a bar across as a line below them, in the middle of the slab.
    fn draw_bars(&self, canvas: &mut Canvas) {
        let (Some(steel), Some(slab)) = (
            self.subject.job.reinforcement.as_option(),
            self.depth(|point| point.slab_bottom),
        ) else {
            return;
        };
        let cover = steel.edge_cover;
        let depth = slab / 2.0;
        canvas.line(
            self.below(cover, depth).moved(0.0, 0.9),
            self.below(self.width - cover, depth).moved(0.0, 0.9),
            Pen::Bar,
        );
        for n in 0..self.bars_along() {
            let share = f64::from(n) / f64::from(self.bars_along().saturating_sub(1).max(1));
            let from_left = cover + (self.width - cover * 2.0) * share;
            canvas.dot(self.below(from_left, depth), 0.7);
        }
    }

    /// How many bars run along through the piece.
    fn bars_along(&self) -> u32 {
        let along = crate::takeoff::BarWay::Along;
        let marks = self.subject.takeoff.bar_marks.iter();
        let here = marks.filter(|mark| {
            let within = |(from, to): (usize, usize)| from <= self.piece && self.piece <= to;
            mark.way == along && mark.pieces.is_some_and(within)
        });
        here.map(|mark| mark.count).sum()
    }

    fn label(&self, canvas: &mut Canvas) {
        let curb = self.subject.job.ramp.curb.as_option();
        let curb = curb.map_or(Length::ZERO, |curb| curb.height);
        let edges = [Length::ZERO, self.width].map(|edge| self.below(edge, -curb).y);
        let top = edges[0].min(edges[1]) - 1.0;
        let x = |from_left: Length| self.below(from_left, Length::ZERO).x;
        let ends = (
            Spot::new(x(Length::ZERO), top),
            Spot::new(x(self.width), top),
        );
        canvas.dimension(ends, -5.0, &self.width.tape(self.system));
        let column = self.origin.x + self.scale.on_paper(self.width) + 24.0;
        let words = self.words();
        let step = ((self.field.height() - 8.0) / words.len().max(1) as f64).min(8.0);
        let mut row = (self.origin.y - 34.0).max(self.field.top + 4.0);
        for (at, words) in words {
            let target = self.below(at.0, at.1);
            canvas.call_out(target, Spot::new(column, row), &words);
            row += step;
        }
    }

    /// What each part is, from the top down, with a spot in it.
    fn words(&self) -> Vec<((Length, Length), String)> {
        let job = self.subject.job;
        let tape = |length: Length| length.tape(self.system);
        let right = self.width * 0.93;
        let mut words = self.side_words();
        let across = Slope::from_ratio(self.station.to_left.ratio().abs());
        if !across.is_zero() {
            let side = self
                .station
                .falls_to()
                .map_or("level", |side| side.as_str());
            let fall = format!("falls {} % to the {side}", round_to(across.percent(), 2));
            words.push(((self.width * 0.8, Length::ZERO), fall));
        }
        if let Some(slab) = self.depth(|point| point.slab_bottom) {
            let mix = &job.slab.concrete;
            let strength = mix.strength.print();
            let air = round_to(mix.air.percent(), 1);
            let text = format!("slab {}, {strength}, air {air} %", tape(job.slab.thickness));
            words.push(((right, slab * 0.25), text));
            if let Some(steel) = job.reinforcement.as_option() {
                let (along, across) = (tape(steel.spacing_across), tape(steel.spacing_along));
                let text = format!(
                    "bars {}, along at {along}, across at {across}",
                    steel.bar.as_str()
                );
                words.push(((self.width - steel.edge_cover, slab / 2.0), text));
            }
            if let (Some(board), Some(bottom)) = (
                job.insulation.as_option(),
                self.depth(|point| point.insulation_bottom),
            ) {
                let text = format!("insulation board {}", tape(board.thickness));
                words.push(((right, (slab + bottom) / 2.0), text));
            }
        }
        if let (Some(base), Some(bottom)) =
            (job.base.as_option(), self.depth(|point| point.stone_bottom))
        {
            let text = format!(
                "stone {}, {} past formed edges",
                tape(base.depth),
                tape(base.beyond_edge)
            );
            words.push(((right, bottom - base.depth / 3.0), text));
        }
        words
    }

    fn side_words(&self) -> Vec<((Length, Length), String)> {
        let mut words: Vec<((Length, Length), String)> = Vec::new();
        let curb = self.subject.job.ramp.curb.as_option();
        for (side, edge, inward) in [
            (EdgeName::Right, self.width, -1.0),
            (EdgeName::Left, Length::ZERO, 1.0),
        ] {
            let Some(line) = self.edge(side) else {
                continue;
            };
            if let Some(curb) = curb.filter(|_| line.curb) {
                let (wide, high) = (curb.width.tape(self.system), curb.height.tape(self.system));
                let at = (edge + curb.width * (0.5 * inward), -curb.height / 2.0);
                words.push((at, format!("curb {wide} wide, {high} high")));
            }
            if self.is_wall(side) {
                let filler = self.subject.job.joints.filler;
                let at = (edge - filler * (0.5 * inward), Length::ZERO);
                words.push((
                    at,
                    format!("isolation joint {} at the wall", filler.tape(self.system)),
                ));
            } else if self.is_formed(side) {
                let at = (edge - BOARD * (0.5 * inward), Length::ZERO);
                words.push((at, "form board".to_owned()));
            }
        }
        // A part that stands on both sides is named once, where its name is nearer.
        let mut named = Vec::new();
        words.retain(|(_, name)| {
            let first = !named.contains(name);
            named.push(name.clone());
            first
        });
        words
    }
}
