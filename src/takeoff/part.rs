//! The new pieces that one party builds: what is taken off together.
//!
//! Invariants: existing pieces belong to no part; every new piece belongs to one. Absent here: any
//! quantity of a material.

use super::plan::Plan;
use super::words::Words;
use crate::catalog::{Catalog, Worths};
use crate::geometry::{EdgeLine, Geometry, Solid, Surface, SurfaceKind};
use crate::job::{By, Job, Work};
use crate::quantity::{Area, Citation};

/// The new pieces that one party builds.
pub(super) struct Part<'a> {
    pub(super) job: &'a Job,
    pub(super) geometry: &'a Geometry,
    pub(super) catalog: &'a Catalog,
    pub(super) plan: &'a Plan,
    worths: Worths<'a>,
    pub(super) by: By,
    pub(super) words: Words,
    detail: Detail,
    holds: Vec<bool>,
}

/// What a takeoff is made from.
#[derive(Clone, Copy)]
pub(super) struct Given<'a> {
    pub(super) job: &'a Job,
    pub(super) geometry: &'a Geometry,
    pub(super) catalog: &'a Catalog,
    pub(super) plan: &'a Plan,
    /// What decides between lengths that can be bought.
    pub(super) worths: Worths<'a>,
    /// How much is told.
    pub(super) detail: Detail,
}

/// How much a takeoff tells beside its quantities; most of its time goes into texts.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Detail {
    /// Codes and quantities alone, for pricing one job many times: no description, source, advice or
    /// need.
    Amounts,
    /// What each line is and where it comes from.
    Described,
    /// And how each figure comes about.
    Worked,
}

impl Detail {
    /// The working of a figure.
    pub(super) fn say(self, working: impl FnOnce() -> String) -> String {
        if self == Self::Worked {
            working()
        } else {
            String::new()
        }
    }

    /// What a line is.
    pub(super) fn name(self, description: impl FnOnce() -> String) -> String {
        if self == Self::Amounts {
            String::new()
        } else {
            description()
        }
    }

    /// Where a line comes from.
    pub(super) fn cite(self, source: &Citation) -> Citation {
        if self == Self::Amounts {
            Citation::untold()
        } else {
            source.clone()
        }
    }

    /// Common practice.
    pub(super) fn practice(self) -> Citation {
        if self == Self::Amounts {
            Citation::untold()
        } else {
            Citation::practice()
        }
    }
}

impl<'a> Part<'a> {
    /// The pieces that `by` builds; `None` when there are none.
    pub(super) fn of(given: Given<'a>, by: By) -> Option<Self> {
        let Given {
            job,
            geometry,
            catalog,
            plan,
            worths,
            detail,
        } = given;
        let holds: Vec<bool> = job
            .ramp
            .path
            .iter()
            .map(|piece| piece.work() == Work::New && piece.by() == by)
            .collect();
        let words = Words(job.units);
        let around = geometry.solids.iter().any(|solid| solid.by == Some(by));
        (around || holds.contains(&true)).then_some(Self {
            job,
            geometry,
            catalog,
            plan,
            worths,
            by,
            words,
            detail,
            holds,
        })
    }

    /// What one of an item counts, where that is known.
    pub(super) fn worth_of(&self, code: &str) -> Option<i64> {
        self.worths.of(code)
    }

    /// The working of a figure, where it is asked for.
    pub(super) fn say(&self, working: impl FnOnce() -> String) -> String {
        self.detail.say(working)
    }

    /// What a line is, where it is asked for.
    pub(super) fn name(&self, description: impl FnOnce() -> String) -> String {
        self.detail.name(description)
    }

    /// Common practice, where it is asked for.
    pub(super) fn practice(&self) -> Citation {
        self.detail.practice()
    }

    /// Where a line comes from, where it is asked for.
    pub(super) fn cite(&self, source: &Citation) -> Citation {
        self.detail.cite(source)
    }

    pub(super) fn has(&self, piece: usize) -> bool {
        self.holds.get(piece).copied().unwrap_or(false)
    }

    /// Surfaces with their index in the path.
    pub(super) fn surfaces(&self) -> impl Iterator<Item = (usize, &'a Surface)> {
        let all = self.geometry.surfaces.iter().enumerate();
        all.filter(|(index, _)| self.has(*index))
    }

    /// Edges with their index in the geometry.
    pub(super) fn edges(&self) -> impl Iterator<Item = (usize, &'a EdgeLine)> {
        let all = self.geometry.edges.iter().enumerate();
        all.filter(|(_, edge)| self.has(edge.piece))
    }

    /// What is poured around the ramp.
    pub(super) fn solids(&self) -> impl Iterator<Item = &'a Solid> {
        let all = self.geometry.solids.iter();
        all.filter(|solid| solid.by == Some(self.by))
    }

    /// Area of the surfaces of the path.
    pub(super) fn path_area(&self) -> Area {
        self.surfaces().map(|(_, surface)| surface.area).sum()
    }

    /// Finished surfaces around the ramp.
    pub(super) fn area_around(&self) -> Area {
        self.solids().map(Solid::top_area).sum()
    }

    /// Area of all surfaces.
    pub(super) fn area(&self) -> Area {
        self.path_area() + self.area_around()
    }

    /// Who supplies a material of this part that the job gives to `by`.
    pub(super) fn supplier(&self, by: By) -> By {
        match (self.by, by) {
            (By::Others, _) | (_, By::Others) => By::Others,
            (By::OthersSupplyWeInstall, _) | (_, By::OthersSupplyWeInstall) => {
                By::OthersSupplyWeInstall
            }
            (By::Us, By::Us) => By::Us,
        }
    }

    /// What a piece is called: `run 2`, `landing 1`, counted from the foot.
    pub(super) fn piece_name(&self, piece: usize) -> String {
        let kind = self.geometry.surfaces[piece].kind;
        let same = self.geometry.surfaces[..=piece].iter();
        let count = same.filter(|surface| surface.kind == kind).count();
        match kind {
            SurfaceKind::Landing => format!("landing {count}"),
            SurfaceKind::Run => format!("run {count}"),
        }
    }
}
