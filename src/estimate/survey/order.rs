//! What comes of the concrete order when the slab is not as thick as drawn.
//!
//! Invariants: waste, step and loads are the takeoff's; pieces that were not measured count as drawn;
//! work by others is not ours to order.

use crate::catalog::Worths;
use crate::estimate::{With, under_terms};
use crate::geometry::Geometry;
use crate::job::{By, Job, Placing, Work};
use crate::quantity::{Area, Volume};
use crate::takeoff::{Detail, WasteAsked, allow_waste, order_up, share_loads, take_off_with};

/// An order before and after the survey.
#[derive(Clone, Debug, PartialEq)]
pub struct OrderChange {
    /// Net concrete, as drawn.
    pub planned_net: Volume,
    /// Order, as drawn.
    pub planned_order: Volume,
    /// Net concrete, as measured.
    pub net: Volume,
    /// Allowed for loss.
    pub waste: Volume,
    /// Order, as measured.
    pub order: Volume,
    /// Its trucks.
    pub loads: Vec<Volume>,
}

/// The order for the volumes of pieces: index, as drawn, as measured. None where nothing of ours was
/// measured.
pub(super) fn change_order(
    job: &Job,
    (geometry, volumes): (&Geometry, &[(usize, Volume, Volume)]),
    with: With<'_>,
) -> Option<OrderChange> {
    let ours = |piece: usize| {
        let piece = &job.ramp.path[piece];
        piece.work() == Work::New && piece.by() == By::Us
    };
    let own = volumes.iter().filter(|(piece, ..)| ours(*piece));
    let mut more = None;
    for (_, drawn, measured) in own {
        let sum = more.get_or_insert(Volume::ZERO);
        *sum += *measured - *drawn;
    }
    let more = more?;
    let worths = Worths::by(with.list);
    let takeoff = take_off_with(job, geometry, (with.catalog, worths), Detail::Described);
    let catalog = under_terms(&takeoff, with);
    let takeoff = take_off_with(job, geometry, (&catalog, worths), Detail::Described);
    let planned = &takeoff.concrete;
    let surfaces = geometry.surfaces.iter().enumerate();
    let area: Area = surfaces
        .filter(|(piece, _)| ours(*piece))
        .map(|(_, surface)| surface.area)
        .sum();
    let net = (planned.net + more).max(Volume::ZERO);
    let asked = WasteAsked {
        net,
        area,
        on_board: job.insulation.as_option().is_some(),
        bagged: job.crew.placing == Placing::Bags,
        rule: job.slab.waste_rule,
        stated: job.slab.waste,
    };
    let rows = &catalog.concrete;
    let waste = allow_waste(&asked, rows).volume;
    let order = order_up(net + waste, rows.order.step);
    Some(OrderChange {
        planned_net: planned.net,
        planned_order: planned.order,
        net,
        waste,
        order,
        loads: share_loads(order, rows),
    })
}
