//! Grades: the elevations that a crew sets and checks, station by station.
//!
//! Invariants: every station lies on a piece's own plan length, ends and creases among them; heights
//! below the surface are plumb. Absent: units, texts, and whether any of it is within a rule.

use super::fall::{Across, Lie, lay};
use super::{Geometry, Surface};
use crate::job::{EdgeName, GradeSheet, Job, Piece, Side, Support, ThicknessMeasured, Turn, Work};
use crate::quantity::{Compared, Length, Slope, ceil};

/// The grades of every piece of a path.
#[derive(Clone, Debug, PartialEq)]
pub struct Grades {
    /// One a piece, in the path's order.
    pub pieces: Vec<GradedPiece>,
    /// How many points stand above the line of sight, and by how much the highest does.
    pub out_of_sight: Option<(usize, Length)>,
}

/// The grades of one piece.
#[derive(Clone, Debug, PartialEq)]
pub struct GradedPiece {
    /// Its index in the path.
    pub piece: usize,
    /// How it lies.
    pub lie: Lie,
    /// From its lower end up.
    pub stations: Vec<GradedStation>,
}

/// The grades across one station.
#[derive(Clone, Debug, PartialEq)]
pub struct GradedStation {
    /// From the foot of the path, on plan.
    pub station: Length,
    /// From the lower end of its piece, on plan.
    pub along: Length,
    /// What makes it a station.
    pub mark: Mark,
    /// Rise to the left.
    pub to_left: Slope,
    /// Left edge, middle, right edge.
    pub points: [GradedPoint; 3],
}

/// What makes a place a station.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Mark {
    /// An end of a piece where none joins.
    End,
    /// Where two pieces meet.
    Crease,
    /// A joint across.
    Joint,
    /// The step that was asked for.
    Step,
}

impl Mark {
    /// How it is spelled in an answer.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::End => "end",
            Self::Crease => "crease",
            Self::Joint => "joint",
            Self::Step => "step",
        }
    }
}

impl GradedStation {
    /// The side to which it falls; nothing where it is level across.
    pub fn falls_to(&self) -> Option<Side> {
        match self.to_left.compare(Slope::ZERO) {
            Compared::Above => Some(Side::Right),
            Compared::Below => Some(Side::Left),
            _ => None,
        }
    }
}

/// The grades of one point.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GradedPoint {
    /// Where it lies across.
    pub across: Across,
    /// Finished surface.
    pub finish: Grade,
    /// Top of the form, where one stands there; over a curb that is the curb's top.
    pub form_top: Option<Grade>,
    /// Bottom of the slab; none of an existing piece or of one that is solid to the foot.
    pub slab_bottom: Option<Grade>,
    /// Bottom of the insulation.
    pub insulation_bottom: Option<Grade>,
    /// Bottom of the stone: what is dug to.
    pub stone_bottom: Option<Grade>,
}

/// An elevation, and what the rod reads there.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Grade {
    /// Above the datum.
    pub elevation: Length,
    /// Below the line of sight; none without a benchmark, or above that line.
    pub rod: Option<Length>,
}

/// Stations of one path at most, so that a sheet stays bounded.
pub const MOST_STATIONS: usize = 5000;

/// Two stations closer than this are one.
const CLOSEST: Length = Length::from_inches(1.0 / 16.0);

/// How many stations a step gives, counted without making them.
pub fn count_stations(geometry: &Geometry, step: Length) -> usize {
    let of = |surface: &Surface| ceil(surface.plan_length / step) as usize + 1;
    let joints = geometry.joints.panels.iter();
    let surfaces: usize = geometry.surfaces.iter().map(of).sum();
    surfaces + joints.map(|grid| grid.along as usize).sum::<usize>()
}

/// The grades of a job.
pub fn grade(job: &Job, geometry: &Geometry, wanted: &GradeSheet) -> Grades {
    let below = Below::of(job);
    let lies = lay(job, geometry, wanted);
    let grader = Grader {
        job,
        geometry,
        wanted,
        below,
    };
    let pieces: Vec<GradedPiece> = lies
        .into_iter()
        .enumerate()
        .map(|(piece, lie)| GradedPiece {
            piece,
            stations: grader.stations(piece, &lie),
            lie,
        })
        .collect();
    Grades {
        out_of_sight: wanted.line_of_sight.and_then(|sight| above(sight, &pieces)),
        pieces,
    }
}

/// Points above the line of sight.
fn above(sight: Length, pieces: &[GradedPiece]) -> Option<(usize, Length)> {
    let points = pieces.iter().flat_map(|piece| &piece.stations);
    let points = points.flat_map(|station| &station.points);
    let heights: Vec<Length> = points
        .map(|point| point.form_top.map_or(point.finish, |top| top).elevation - sight)
        .filter(|height| *height > Length::ZERO)
        .collect();
    let highest = heights.iter().copied().max_by(Length::total_cmp)?;
    Some((heights.len(), highest))
}

/// What lies under the surface, each square to it or plumb.
#[derive(Clone, Copy)]
struct Below {
    slab: Option<Length>,
    plumb: bool,
    insulation: Option<Length>,
    stone: Option<Length>,
}

impl Below {
    fn of(job: &Job) -> Self {
        let on_grade = job.ramp.support != Support::Solid;
        Self {
            slab: on_grade.then_some(job.slab.thickness),
            plumb: job.slab.thickness_measured == ThicknessMeasured::Vertical,
            insulation: job.insulation.as_option().map(|board| board.thickness),
            stone: job.base.as_option().map(|stone| stone.depth),
        }
    }
}

struct Grader<'a> {
    job: &'a Job,
    geometry: &'a Geometry,
    wanted: &'a GradeSheet,
    below: Below,
}

impl Grader<'_> {
    fn stations(&self, piece: usize, lie: &Lie) -> Vec<GradedStation> {
        let surface = &self.geometry.surfaces[piece];
        let marked = self.marks(piece);
        let station = |(along, mark): (Length, Mark)| GradedStation {
            station: surface.station + along,
            along,
            mark,
            to_left: lie.to_left(along),
            points: Across::ALL.map(|across| self.point((piece, lie), along, across)),
        };
        marked.into_iter().map(station).collect()
    }

    /// Every station of a piece, from its lower end up; where two fall together the greater one counts.
    fn marks(&self, piece: usize) -> Vec<(Length, Mark)> {
        let length = self.geometry.surfaces[piece].plan_length;
        let end = |last: bool| if last { Mark::End } else { Mark::Crease };
        let mut marks = vec![
            (Length::ZERO, end(piece == 0)),
            (length, end(!self.goes_on(piece))),
        ];
        let steps = ceil(length / self.wanted.step) as u32;
        marks.extend((1..steps).map(|n| (self.wanted.step * f64::from(n), Mark::Step)));
        let grids = self.geometry.joints.panels.iter();
        if let Some(grid) = grids.clone().find(|grid| grid.piece == piece) {
            let panel = length / f64::from(grid.along);
            marks.extend((1..grid.along).map(|n| (panel * f64::from(n), Mark::Joint)));
        }
        marks.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        marks.dedup_by(|next, kept| {
            let same = next.0 - kept.0 < CLOSEST;
            if same && next.1 < kept.1 {
                *kept = *next;
            }
            same
        });
        marks
    }

    /// True where the next piece joins at the upper end.
    fn goes_on(&self, piece: usize) -> bool {
        let last = piece + 1 == self.geometry.surfaces.len();
        let turns = match &self.job.ramp.path[piece] {
            Piece::Landing(landing) => landing.turn != Turn::Straight,
            Piece::Run(_) => false,
        };
        !last && !turns
    }

    fn point(&self, (piece, lie): (usize, &Lie), along: Length, across: Across) -> GradedPoint {
        let surface = &self.geometry.surfaces[piece];
        let start = self.wanted.datum + surface.elevation_start;
        let finish = start + lie.above_start(along, across.from_left(surface.width));
        let new = surface.work == Work::New;
        let square = libm::hypot(
            1.0,
            libm::hypot(surface.slope.ratio(), lie.to_left(along).ratio()),
        );
        let slab = self.below.slab.filter(|_| new);
        let slab = slab.map(|thick| finish - thick * if self.below.plumb { 1.0 } else { square });
        let under = |top: Option<Length>, thick: Option<Length>| Some(top? - thick? * square);
        let insulation = under(slab, self.below.insulation);
        let stone = under(insulation.or(slab), self.below.stone);
        let form = self.form_above(piece, across).map(|curb| finish + curb);
        GradedPoint {
            across,
            finish: self.grade(finish),
            form_top: form.map(|top| self.grade(top)),
            slab_bottom: slab.map(|bottom| self.grade(bottom)),
            insulation_bottom: insulation.map(|bottom| self.grade(bottom)),
            stone_bottom: stone.map(|bottom| self.grade(bottom)),
        }
    }

    fn grade(&self, elevation: Length) -> Grade {
        let rod = self.wanted.line_of_sight.map(|sight| sight - elevation);
        Grade {
            elevation,
            rod: rod.filter(|rod| rod.at_least(Length::ZERO)),
        }
    }

    /// Height of the form's top above the surface at an edge; none where no form stands.
    fn form_above(&self, piece: usize, across: Across) -> Option<Length> {
        let name = match across {
            Across::Left => EdgeName::Left,
            Across::Centre => return None,
            Across::Right => EdgeName::Right,
        };
        let mut edges = self.geometry.new_edges();
        let edge = edges.find(|e| e.piece == piece && e.name == name && e.is_formed())?;
        let curb = self.job.ramp.curb.as_option().filter(|_| edge.curb);
        Some(curb.map_or(Length::ZERO, |curb| curb.height))
    }
}
