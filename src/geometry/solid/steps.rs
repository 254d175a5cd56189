//! Flights of steps: on the ground or on a waist, with walls beside them.
//!
//! Invariants: where the flight has one tread fewer than risers, the last riser is the face of what it
//! leads to; cheek walls are poured with the steps and carry no stone.
//!
//! # Source
//! Area of a stepped side: the sum of each tread times all risers below it. On a waist: that, less the
//! triangle under the pitch, and the waist's thickness times its slope length.

use super::{Bed, FormHeld, MatShape, Solid, SolidFace, Top, along_slope};
use crate::job::{CheekWalls, Steps, StepsBuild, StepsSupport};
use crate::quantity::{Area, Length, Slope};

/// A flight as it is built; nothing where it is only judged.
pub(super) fn measure(steps: &Steps) -> Option<Solid> {
    let build = steps.build.as_ref()?;
    let flight = Flight::of(steps, build);
    let mut solid = Solid {
        by: Some(build.by),
        parts: vec![("steps", flight.section() * build.width)],
        tops: vec![Top {
            area: build.width * (flight.run + flight.rise),
            slope: Slope::ZERO,
            stepped: true,
        }],
        faces: flight.risers(),
        bed: flight.bed(),
        // A bar at each nosing.
        lines: vec![(flight.treads.len() as u32, build.width)],
        ..Solid::default()
    };
    if build.support == StepsSupport::OnWaist {
        solid.mats.push(MatShape {
            length: flight.pitch(),
            width: build.width,
            times: 1,
            upright: false,
        });
    }
    let walls = build.cheek_walls.as_option();
    let walled = walls.map_or(0, |walls| u32::from(walls.left) + u32::from(walls.right));
    if let Some(walls) = walls.filter(|_| walled > 0) {
        flight.add_walls(&mut solid, (walls, walled));
    }
    let open = (walled..2).map(|_| flight.side());
    solid.faces.extend(open);
    Some(solid)
}

struct Flight<'a> {
    build: &'a StepsBuild,
    /// Each tread with its riser.
    treads: Vec<(Length, Length)>,
    /// All risers, the last of which may be the face of what the flight leads to.
    height: Length,
    rise: Length,
    run: Length,
}

impl<'a> Flight<'a> {
    fn of(steps: &Steps, build: &'a StepsBuild) -> Self {
        let pairs = steps.treads.iter().zip(&steps.risers);
        let treads: Vec<(Length, Length)> = pairs.map(|(tread, riser)| (*tread, *riser)).collect();
        Self {
            build,
            rise: treads.iter().map(|(_, riser)| *riser).sum(),
            run: treads.iter().map(|(tread, _)| *tread).sum(),
            height: steps.risers.iter().sum(),
            treads,
        }
    }

    fn pitch(&self) -> Length {
        along_slope(self.run, self.rise)
    }

    /// Area of the stepped side down to the ground.
    fn stepped(&self) -> Area {
        let mut height = Length::ZERO;
        let areas = self.treads.iter().map(|(tread, riser)| {
            height += *riser;
            *tread * height
        });
        areas.sum()
    }

    /// Area of the side.
    fn section(&self) -> Area {
        match self.build.support {
            StepsSupport::OnGrade => self.stepped(),
            StepsSupport::OnWaist => {
                self.stepped() - self.run * self.rise / 2.0 + self.pitch() * self.build.waist
            }
        }
    }

    fn bed(&self) -> Bed {
        let length = match self.build.support {
            StepsSupport::OnGrade => self.run,
            StepsSupport::OnWaist => self.pitch(),
        };
        Bed {
            area: length * self.build.width,
            ..Bed::default()
        }
    }

    fn risers(&self) -> Vec<SolidFace> {
        let face = |(_, riser): &(Length, Length)| SolidFace {
            length: self.build.width,
            heights: (*riser, *riser),
            held: FormHeld::Hung,
            in_sight: false,
        };
        self.treads.iter().map(face).collect()
    }

    /// A stepped side as a form as high at its ends as the first and the last step.
    fn side(&self) -> SolidFace {
        let section = self.stepped();
        let first = self
            .treads
            .first()
            .map_or(Length::ZERO, |(_, riser)| *riser);
        SolidFace {
            length: self.run,
            // The height at the other end gives the area of the side itself.
            heights: (first, section * 2.0 / self.run - first),
            held: FormHeld::Staked,
            in_sight: true,
        }
    }

    fn add_walls(&self, solid: &mut Solid, (walls, count): (&CheekWalls, u32)) {
        let first = self
            .treads
            .first()
            .map_or(Length::ZERO, |(_, riser)| *riser);
        let beyond = walls.above + walls.below;
        let heights = (first + beyond, self.height + beyond);
        let side = self.run * ((heights.0 + heights.1) / 2.0);
        let times = f64::from(count);
        solid
            .parts
            .push(("cheek walls", side * walls.thickness * times));
        solid.tops.push(Top {
            area: self.pitch() * walls.thickness * times,
            slope: Slope::ZERO,
            stepped: true,
        });
        for _ in 0..count {
            let face = |length, heights, held| SolidFace {
                length,
                heights,
                held,
                in_sight: true,
            };
            let outer = face(self.run, heights, FormHeld::Braced);
            let above = (walls.above, walls.above);
            let inner = face(self.pitch(), above, FormHeld::Hung);
            let front = (heights.0, heights.0);
            let front = face(walls.thickness, front, FormHeld::Braced);
            let faces = [outer, inner, front].into_iter();
            solid
                .faces
                .extend(faces.filter(|face| !face.heights.0.at_most(Length::ZERO)));
        }
        solid.mats.push(MatShape {
            length: self.run,
            width: (heights.0 + heights.1) / 2.0,
            times: count,
            upright: true,
        });
    }
}
