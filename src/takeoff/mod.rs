//! The takeoff: what to order, what the crew handles, what others must supply.
//!
//! Invariants: only new work is taken off, what exists is judged elsewhere; parts add up to the
//! whole; every figure carries the working that leads to it; a material row is used as the catalog
//! gives it; what stock lengths count against each other decides between them. Absent here: a
//! price, an hour, a rule of accessibility.
//!
//! | file | holds |
//! | --- | --- |
//! | `line`, `measures` | the answer |
//! | `trade`, `again` | the trades in their order, and what is kept of a job like it |
//! | `part`, `plan`, `words` | what is taken off together, the ramp unfolded, numbers in words |
//! | `earthwork` | what is broken out, dug and hauled |
//! | `curb`, `concrete`, `concrete_order`, `ready_mix` | concrete, from volumes to orders |
//! | `stone`, `insulation` | what lies under it |
//! | `steel`, `steel_around`, `cutting`, `bars` | bars, cuts, and their lines |
//! | `forms`, `boards` | forms and their lines |
//! | `joints`, `curing` | joints, curing, sealing |
//! | `surroundings`, `advice` | rails, site work, cautions |

mod advice;
mod again;
mod bars;
mod boards;
mod concrete;
mod concrete_order;
mod curb;
mod curing;
mod cutting;
mod earthwork;
mod forms;
mod insulation;
mod joints;
mod kickers;
mod lap;
mod line;
mod measures;
mod mix;
mod part;
mod plan;
mod rails;
mod ready_mix;
mod steel;
mod steel_around;
mod stone;
mod surroundings;
mod trade;
mod wire;
mod words;

pub use again::Kept;
pub use concrete::{measure_slab, measure_solid};
pub use concrete_order::{
    Allowance, ConcreteOrder, OrderChoice, WasteAsked, allow_waste, charge_waiting, choose_order,
    count_bags, measure_shortfall, measure_unloading, order_up, share_loads,
};
pub use curing::measure_liquid;
pub use cutting::{
    CutList, CutPiece, Method, Objective, Pattern, Piece, Problem, Stock, StockUsed, cut,
};
pub use forms::count_holders;
pub use insulation::count_boards;
pub use joints::measure_sealant;
pub use lap::measure_class_b;
pub use line::{Advice, Exact, Line, Need, Net, Takeoff};
pub use measures::{FormStretch, Measures};
pub use mix::Mix;
pub use part::Detail;
pub use rails::{measure_flight_rail, measure_rails};
pub use ready_mix::mix_code;
pub use steel::{BarMark, BarWay, Spaced, add_laps, count_bars, weigh_bar};
pub use stone::{StoneNeeded, measure_stone};

use crate::catalog::{Catalog, Worths};
use crate::geometry::Geometry;
use crate::job::{By, Job};
use crate::quantity::Area;
use part::{Given, Part};
use plan::Plan;
use trade::{Site, Trade};

/// Takes a job off: every material with its order, what the crew handles, what others must supply.
/// Without prices, stock of several lengths is bought as the least length.
pub fn take_off(job: &Job, geometry: &Geometry, catalog: &Catalog) -> Takeoff {
    take_off_with(job, geometry, (catalog, Worths::UNKNOWN), Detail::Worked)
}

/// The same with as much told as is asked for, and cut at least cost where prices are given; the
/// quantities are the same whatever is told.
pub fn take_off_with(
    job: &Job,
    geometry: &Geometry,
    (catalog, worths): (&Catalog, Worths<'_>),
    detail: Detail,
) -> Takeoff {
    let plan = Plan::along_the_surface(job, geometry);
    let given = Given {
        job,
        geometry,
        catalog,
        plan: &plan,
        worths,
        detail,
    };
    let mut takeoff = Takeoff::default();
    for part in BUILDERS.into_iter().filter_map(|by| Part::of(given, by)) {
        let site = Site::of(&part);
        for trade in Trade::ALL {
            trade.take_off(&site, &mut takeoff);
        }
        measure_own(&part, &site, &mut takeoff);
    }
    rails::take_off_rails(given, &mut takeoff);
    surroundings::take_off_site_work(given, &mut takeoff);
    if detail != Detail::Amounts {
        takeoff.mix_asked = mix::judge_mix(given);
        advice::advise(given, &mut takeoff);
    }
    takeoff
}

/// Who may build a piece, ours first.
const BUILDERS: [By; 3] = [By::Us, By::OthersSupplyWeInstall, By::Others];

/// What the crew handles of a part beside its trades.
fn measure_own(part: &Part, site: &Site<'_, '_>, takeoff: &mut Takeoff) {
    if part.by.is_ours() {
        takeoff.measures.curb_length += site.curbs().length;
        measure_surfaces(part, takeoff);
    }
}

fn measure_surfaces(part: &Part, takeoff: &mut Takeoff) {
    let measures = &mut takeoff.measures;
    for (_, surface) in part.surfaces() {
        let level = surface.slope.at_most(part.catalog.forms.slope.from);
        let (sloped, flat) = if level {
            (Area::ZERO, surface.area)
        } else {
            (surface.area, Area::ZERO)
        };
        measures.surface_area += surface.area;
        measures.sloped_area += sloped;
        measures.level_area += flat;
        measures.steepest = measures.steepest.max(surface.slope);
    }
    for top in part.solids().flat_map(|solid| &solid.tops) {
        if top.stepped {
            measures.step_area += top.area;
            continue;
        }
        let level = top.slope.at_most(part.catalog.forms.slope.from);
        let (sloped, flat) = if level {
            (Area::ZERO, top.area)
        } else {
            (top.area, Area::ZERO)
        };
        measures.surface_area += top.area;
        measures.sloped_area += sloped;
        measures.level_area += flat;
        measures.steepest = measures.steepest.max(top.slope);
    }
}
