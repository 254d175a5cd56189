//! How far each modifier holds for a job, and what bends a task.
//!
//! Invariants: a factor f on a share s of a task gives 1 + s × (f − 1); different facts multiply, shares
//! of one surface by its slope add, for they exclude each other; no text and nothing allocated until a
//! task is shown. Absent: hours.

use super::edge_form::StakedForms;
use super::measured::new_pieces;
use super::modifier::{Fact, Modifier};
use super::rate::{RateRow, Rates};
use crate::geometry::Geometry;
use crate::job::{Access, By, Job};
use crate::quantity::{Area, Length, Slope};

/// How far each modifier holds.
#[derive(Clone, Copy, Debug)]
pub(super) struct Weights {
    /// Those that hold at all, as bits.
    called: u32,
    /// By the place of the modifier among the rows.
    weights: [f64; u32::BITS as usize],
}

/// A modifier and how far it holds for one task.
#[derive(Clone, Copy, Debug)]
pub(super) struct Bent<'r> {
    pub(super) modifier: &'r Modifier,
    pub(super) weight: f64,
}

impl Bent<'_> {
    /// What it adds to a factor of 1.
    pub(super) fn more(self) -> f64 {
        self.weight * (self.modifier.likely - 1.0)
    }

    const fn is_by_slope(self) -> bool {
        matches!(
            self.modifier.fact,
            Fact::SlopeBetween(..) | Fact::SlopeAbove(..)
        )
    }

    /// True where the weight says how often and not how much of the task.
    pub(super) const fn is_counted(self) -> bool {
        matches!(self.modifier.fact, Fact::AwayBeyond(..))
    }
}

/// The factor that several modifiers make together.
pub(super) fn product<'r>(bent: impl Iterator<Item = Bent<'r>>) -> f64 {
    let (mut factor, mut by_slope) = (1.0, 0.0);
    for one in bent {
        if one.is_by_slope() {
            by_slope += one.more();
        } else {
            factor *= 1.0 + one.more();
        }
    }
    factor * (1.0 + by_slope)
}

impl Weights {
    pub(super) fn of(facts: &Facts<'_>, modifiers: &[Modifier]) -> Self {
        let mut weights = [0.0; u32::BITS as usize];
        let mut called = 0;
        for (index, (modifier, weight)) in modifiers.iter().zip(&mut weights).enumerate() {
            *weight = facts.weigh(modifier.fact);
            if *weight > 0.0 {
                called |= 1 << index;
            }
        }
        Self { called, weights }
    }

    /// What bends a task of a row, of whose forms so much tapers.
    pub(super) fn bend<'r>(
        &self,
        row: &RateRow,
        tapering: f64,
        rates: &'r Rates,
    ) -> impl Iterator<Item = Bent<'r>> {
        let mut left = (row.bent_by | row.float_bent_by) & self.called;
        let (whole, weights) = (row.bent_by, &self.weights);
        let float = rates.figures.float_share.likely;
        std::iter::from_fn(move || {
            let index = left.trailing_zeros();
            left &= left.wrapping_sub(1);
            let modifier = rates.modifiers.get(index as usize)?;
            let part = if whole & (1 << index) == 0 {
                float
            } else {
                1.0
            };
            let weight = match modifier.fact {
                Fact::Tapering => tapering,
                _ => weights[index as usize],
            };
            Some(Bent {
                modifier,
                weight: weight * part,
            })
        })
        .filter(|bent| bent.weight > 0.0)
    }
}

/// What modifiers are called by.
pub(super) struct Facts<'a> {
    pub(super) job: &'a Job,
    pub(super) geometry: &'a Geometry,
    pub(super) forms: &'a StakedForms,
}

/// A surface that is placed and finished.
struct Paved {
    area: Area,
    slope: Slope,
    /// Where it is known.
    width: Option<Length>,
}

impl Facts<'_> {
    /// How far a fact holds: a share of what it is about, or once, or, of the way, how often.
    fn weigh(&self, fact: Fact) -> f64 {
        let (site, crew) = (&self.job.site, &self.job.crew);
        let whole = |holds: bool| f64::from(u8::from(holds));
        let air = site.air;
        match fact {
            Fact::SlopeBetween(over, to) => {
                self.weigh_surface(|top| whole(!top.slope.at_most(over) && top.slope.at_most(to)))
            }
            Fact::SlopeAbove(over) => self.weigh_surface(|top| whole(!top.slope.at_most(over))),
            Fact::Narrow(whole, none) => self.weigh_surface(|top| fade(top.width, whole, none)),
            Fact::Curved => self.weigh_curved(),
            Fact::Tapering => {
                whole(self.forms.low.tapering + self.forms.high.tapering > Length::ZERO)
            }
            Fact::Alone => whole(crew.people() == 1),
            Fact::AwayBeyond(reach) if site.truck_to_pour.at_most(reach) => 0.0,
            Fact::AwayBeyond(reach) => (site.truck_to_pour - reach) / reach,
            Fact::LimitedAccess => whole(site.access == Access::Limited),
            Fact::Occupied => whole(site.occupied),
            Fact::FirstOfItsKind => whole(crew.first_of_its_kind),
            Fact::AirBelow(limit) => whole(air.is_some_and(|air| !air.at_least(limit))),
            Fact::AirBetween(least, most) => {
                whole(air.is_some_and(|air| air.at_least(least) && air.at_most(most)))
            }
            Fact::AirAbove(limit) => whole(air.is_some_and(|air| !air.at_most(limit))),
        }
    }

    /// The mean of a weight over the surface, by area.
    fn weigh_surface(&self, weight: impl Fn(&Paved) -> f64) -> f64 {
        let (mut area, mut weighted) = (0.0, 0.0);
        for paved in self.paved() {
            let surface = paved.area.square_feet();
            area += surface;
            weighted += surface * weight(&paved);
        }
        if area > 0.0 { weighted / area } else { 0.0 }
    }

    fn paved(&self) -> impl Iterator<Item = Paved> {
        let path = new_pieces(self.job, self.geometry).map(|(_, surface)| Paved {
            area: surface.area,
            slope: surface.slope,
            width: Some(surface.width),
        });
        let around = self.geometry.solids.iter();
        let around = around.filter(|solid| solid.by.is_some_and(By::is_ours));
        let around = around.flat_map(|solid| &solid.tops);
        let around = around.filter(|top| !top.stepped).map(|top| Paved {
            area: top.area,
            slope: top.slope,
            width: None,
        });
        path.chain(around)
    }

    /// The job states it for all edge forms together.
    fn weigh_curved(&self) -> f64 {
        let (curved, edges) = (self.job.forms.curved, self.forms.edges());
        if edges > Length::ZERO {
            (curved / edges).min(1.0)
        } else {
            0.0
        }
    }
}

/// All of it up to the one width, nothing from the other on, in proportion between them.
fn fade(width: Option<Length>, whole: Length, none: Length) -> f64 {
    width.map_or(0.0, |width| {
        ((none - width) / (none - whole)).clamp(0.0, 1.0)
    })
}
