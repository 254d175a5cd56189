//! The joint plan: where the slab is cut, and where it stands apart from what is there.

use super::canvas::Canvas;
use super::frame::{Title, View, framed};
use super::ground::Ground;
use super::scene::{Page, Pen, Spot};
use super::subject::Subject;
use crate::geometry::{PanelGrid, Stands};
use crate::job::{EdgeName, JointMethod};
use crate::quantity::{Length, System};

pub(super) fn draw_joints(subject: &Subject<'_>, title: &Title) -> Page {
    let ground = Ground::fitting(subject.places, title);
    let mut canvas = Canvas::new(title.paper.field());
    canvas.measured(title, ground.scale);
    ground.draw(&mut canvas, subject);
    let mut drawer = Drawer {
        subject,
        ground: &ground,
        canvas: &mut canvas,
        system: title.system,
        tags: 0,
    };
    for grid in &subject.geometry.joints.panels {
        drawer.panels(grid);
    }
    drawer.creases();
    drawer.isolation();
    let joints = &subject.job.joints;
    let method = match joints.method {
        JointMethod::Tooled => "tooled",
        _ => "sawn",
    };
    let all = &subject.geometry.joints;
    let depth = joints.depth.tape(title.system);
    let note = format!(
        "J: contraction joints, {} in all, {} long together, {method} {depth} deep. I: isolation joints, {}, filler {}. Panels are measured along the surface.",
        all.contraction_count,
        all.contraction_length.tape(title.system),
        all.isolation_length().tape(title.system),
        joints.filler.tape(title.system)
    );
    let view = View {
        title: "Joints",
        description: "The ramp from above with its contraction and isolation joints.".to_owned(),
        scale: ground.scale,
        note,
    };
    framed(canvas, title, view)
}

struct Drawer<'a> {
    subject: &'a Subject<'a>,
    ground: &'a Ground,
    canvas: &'a mut Canvas,
    system: System,
    tags: u32,
}

impl Drawer<'_> {
    /// Joints between the panels of a piece, and the size of a panel.
    fn panels(&mut self, grid: &PanelGrid) {
        let place = self.subject.places[grid.piece];
        for n in 1..grid.along {
            let along = place.length * (f64::from(n) / f64::from(grid.along));
            let ends =
                [Length::ZERO, place.width].map(|across| self.ground.on(&place, across, along));
            self.joint(ends);
        }
        for n in 1..grid.across {
            let across = place.width * (f64::from(n) / f64::from(grid.across));
            let ends =
                [Length::ZERO, place.length].map(|along| self.ground.on(&place, across, along));
            self.joint(ends);
        }
        let middle = |share: f64| {
            self.ground
                .on(&place, place.width * 0.5, place.length * share)
        };
        let count = match grid.along * grid.across {
            1 => "1 panel".to_owned(),
            many => format!("{many} panels"),
        };
        let words = format!(
            "{count} {} x {}",
            grid.length.tape(self.system),
            grid.width.tape(self.system)
        );
        self.canvas.label_near(middle(0.5), &[], &words);
    }

    fn joint(&mut self, [from, to]: [Spot; 2]) {
        self.tags += 1;
        self.canvas.line(from, to, Pen::Joint);
        let spots = [from, to].map(|end| outside(end, if end == from { to } else { from }));
        self.canvas
            .label_near(from, &spots, &format!("J{}", self.tags));
    }

    /// Joints where two new pieces meet; each stands with the upper piece.
    fn creases(&mut self) {
        let edges = self.subject.geometry.edges.iter();
        let met = |edge: &&crate::geometry::EdgeLine| {
            edge.name == EdgeName::Start && edge.stands == Stands::Joined
        };
        let mut pieces: Vec<usize> = edges.filter(met).map(|edge| edge.piece).collect();
        pieces.dedup();
        for piece in pieces {
            let place = self.subject.places[piece];
            // A landing may be wider than what arrives at it.
            let arriving = piece.checked_sub(1).map_or(place.width, |below| {
                self.subject.places[below].width.min(place.width)
            });
            let from = place.arrival.max(Length::ZERO);
            let to = (from + arriving).min(place.width);
            let ends = [from, to].map(|across| self.ground.on(&place, across, Length::ZERO));
            self.joint(ends);
        }
    }

    fn isolation(&mut self) {
        for (n, joint) in self.subject.geometry.joints.isolation.iter().enumerate() {
            let place = self.subject.places[joint.piece];
            let (width, length, zero) = (place.width, place.length, Length::ZERO);
            let ends = match joint.edge {
                EdgeName::Start => [(zero, zero), (width, zero)],
                EdgeName::End => [(zero, length), (width, length)],
                EdgeName::Left => [(zero, zero), (zero, length)],
                EdgeName::Right => [(width, zero), (width, length)],
            };
            let [a, b] = ends.map(|(across, along)| self.ground.on(&place, across, along));
            self.canvas.line(a, b, Pen::Bar);
            let middle = Spot::new(f64::midpoint(a.x, b.x), f64::midpoint(a.y, b.y));
            let words = format!("I{} {}", n + 1, joint.length.tape(self.system));
            self.canvas.label_near(middle, &[], &words);
        }
    }
}

/// A spot a little beyond an end of a line.
fn outside(end: Spot, other: Spot) -> Spot {
    let (x, y) = (end.x - other.x, end.y - other.y);
    let far = libm::hypot(x, y).max(1e-9);
    end.moved(x / far * 4.0, y / far * 4.0)
}
