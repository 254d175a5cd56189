//! The trades of a takeoff, one after the other, and which parts of a job each of them reads.
//!
//! Invariant: what a trade takes off depends on the shape of the ramp and on the parts of the job that
//! [`Trade::reads_the_same`] compares, and on nothing else; a law of the tests holds every input that
//! is moved to that. Absent: what each trade takes off.

use super::curb::{Curbs, measure_curbs};
use super::line::Takeoff;
use super::part::Part;
use super::{
    bars, boards, concrete, curing, earthwork, forms, insulation, joints, ready_mix, stone,
};
use crate::geometry::PouredWith;
use crate::job::Job;
use std::cell::OnceCell;

/// What is taken off together.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Trade {
    /// Breaking out, digging, hauling.
    Earthwork,
    /// Mix or bags, loads, fees.
    Concrete,
    /// Stone under the slab.
    Stone,
    /// Insulation board.
    Insulation,
    /// Bars, wire, chairs.
    Steel,
    /// Boards, stakes, screws.
    Forms,
    /// Isolation, sealant, saw.
    Joints,
    /// Curing and sealing.
    Curing,
}

/// A part with its curbs, which several trades need.
pub(super) struct Site<'p, 'a> {
    part: &'p Part<'a>,
    curbs: OnceCell<Curbs>,
}

impl<'p, 'a> Site<'p, 'a> {
    pub(super) const fn of(part: &'p Part<'a>) -> Self {
        Self {
            part,
            curbs: OnceCell::new(),
        }
    }

    /// The curbs of the part.
    pub(super) fn curbs(&self) -> &Curbs {
        self.curbs.get_or_init(|| measure_curbs(self.part))
    }
}

impl Trade {
    /// In the order in which a ramp is built.
    pub(super) const ALL: [Self; 8] = [
        Self::Earthwork,
        Self::Concrete,
        Self::Stone,
        Self::Insulation,
        Self::Steel,
        Self::Forms,
        Self::Joints,
        Self::Curing,
    ];

    /// Whether two jobs with the same ramp say the same of all that this trade reads.
    pub(super) fn reads_the_same(self, a: &Job, b: &Job) -> bool {
        match self {
            Self::Earthwork => {
                a.earthwork == b.earthwork
                    && a.base == b.base
                    && a.slab.thickness == b.slab.thickness
            }
            Self::Concrete => {
                let board = |job: &Job| job.insulation.as_option().is_some();
                let crew = |job: &Job| (job.crew.placing, job.crew.people());
                a.slab == b.slab && board(a) == board(b) && crew(a) == crew(b)
            }
            Self::Stone => a.base == b.base,
            Self::Insulation => a.insulation == b.insulation,
            Self::Steel => {
                a.reinforcement == b.reinforcement
                    && a.slab.thickness == b.slab.thickness
                    && a.slab.concrete.strength == b.slab.concrete.strength
            }
            Self::Forms => a.forms == b.forms && a.slab.thickness == b.slab.thickness,
            Self::Joints => a.joints == b.joints && a.slab.thickness == b.slab.thickness,
            Self::Curing => a.curing == b.curing && a.sealer == b.sealer,
        }
    }

    /// Takes it off.
    pub(super) fn take_off(self, site: &Site<'_, '_>, takeoff: &mut Takeoff) {
        let part = site.part;
        match self {
            Self::Earthwork => earthwork::take_off_earthwork(part, takeoff),
            Self::Concrete => {
                for poured in [PouredWith::Footings, PouredWith::Walls] {
                    let poured = concrete::measure_before(part, poured);
                    ready_mix::take_off_concrete(part, &poured, takeoff);
                }
                let poured = concrete::measure_concrete(part, site.curbs());
                ready_mix::take_off_concrete(part, &poured, takeoff);
            }
            Self::Stone => stone::take_off_stone(part, takeoff),
            Self::Insulation => insulation::take_off_insulation(part, takeoff),
            Self::Steel => bars::take_off_steel(part, takeoff),
            Self::Forms => {
                let faces = forms::measure_faces(part, site.curbs());
                boards::take_off_forms(part, &faces, takeoff);
            }
            Self::Joints => joints::take_off_joints(part, takeoff),
            Self::Curing => curing::take_off_curing(part, site.curbs(), takeoff),
        }
    }
}
