//! Stone under the slab: area past formed edges, compacted and loose volume, weight, deliveries.
//!
//! Invariants: corners and the strip between runs side by side count once; the job names the kind
//! and only that row is used. Absent here: who compacts how fast.

use super::line::{Line, Net, Takeoff, pieces, steps};
use super::part::Part;
use super::plan::{Plan, Rect, Side, covered_area};
use super::words::{number, percent, yards};
use crate::catalog::{Class, StoneRow};
use crate::geometry::{EdgeLine, Stands};
use crate::job::{Base, EdgeKind, EdgeName, Support};
use crate::quantity::{Area, Length, Mass, Volume, ceil};

const OF: &str = "/base";

/// Stone for an area.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StoneNeeded {
    /// In place.
    pub compacted: Volume,
    /// As delivered.
    pub loose: Volume,
    /// Its weight.
    pub mass: Mass,
}

/// Stone for an area at a compacted depth.
pub fn measure_stone(area: Area, depth: Length, row: &StoneRow) -> StoneNeeded {
    let compacted = area * depth;
    let loose = compacted * row.compaction;
    StoneNeeded {
        compacted,
        loose,
        mass: loose * row.loose,
    }
}

pub(super) fn take_off_stone(part: &Part, takeoff: &mut Takeoff) {
    let Some(base) = part.job.base.as_option() else {
        return;
    };
    let kind = base.material.as_str();
    let Some(row) = part.catalog.stone.stone.iter().find(|row| row.kind == kind) else {
        return;
    };
    let under = Under::of(part, base);
    let stone = measure_stone(under.area, base.depth, row);
    let mass = stone.mass * base.waste.plus_one();
    let rows = &part.catalog.stone;
    let step = rows.order.step.short_tons();
    let by = part.supplier(base.by);
    takeoff.add(Line {
        description: part
            .name(|| format!("{}, {} compacted", row.name, part.words.tape(base.depth))),
        quantity: Net::Mass(stone.mass),
        waste: base.waste,
        order: steps(mass.short_tons(), step),
        order_unit: "ton",
        working: part.say(|| {
            format!(
                "{}; up to the next {step}",
                explain(part, (&under, base), (&stone, row))
            )
        }),
        source: part.cite(&row.source),
        ..Line::blank(&row.code, OF, by)
    });
    let ours = by == crate::job::By::Us;
    takeoff.add_if(
        ours,
        delivery(part, steps(mass.short_tons(), step).number()),
    );
    takeoff.add_if(by.is_ours(), compactor(part, (&stone, base.depth)));
    if by.is_ours() {
        takeoff.measures.base_area += under.area;
        takeoff.measures.stone_volume += stone.compacted;
    }
}

/// What the stone lies under.
pub(super) struct Under {
    slabs: Area,
    formed: Length,
    pub(super) area: Area,
    on_plan: bool,
}

impl Under {
    pub(super) fn of(part: &Part, base: &Base) -> Self {
        // Under a solid ramp the stone lies level at the foot, not along the surface.
        let on_plan = part.job.ramp.support == Support::Solid;
        let flat;
        let plan = if on_plan {
            flat = Plan::lay_out(part.job, part.geometry, |surface| surface.plan_length);
            &flat
        } else {
            part.plan
        };
        let slabs: Vec<Rect> = part.surfaces().map(|(index, _)| plan.slab(index)).collect();
        let slab_area: Area = part
            .surfaces()
            .map(|(_, surface)| {
                if on_plan {
                    surface.plan_length * surface.width
                } else {
                    surface.area
                }
            })
            .sum();
        let mut all = slabs.clone();
        let mut formed = Length::ZERO;
        for (index, edge) in part.edges().filter(|(_, edge)| is_staked(edge)) {
            formed += edge.length;
            all.push(plan.strip(index, edge, (Side::Outward, base.beyond_edge)));
        }
        all.extend(corners(part, plan, base.beyond_edge));
        let beyond = covered_area(&all) - covered_area(&slabs);
        let mut under = Self {
            slabs: slab_area,
            formed,
            area: slab_area + beyond.max(Area::ZERO),
            on_plan,
        };
        let reach = base.beyond_edge;
        for bed in part.solids().map(|solid| &solid.bed) {
            under.slabs += bed.area;
            under.formed += bed.open;
            under.area += bed.area + bed.open * reach + reach * reach * f64::from(bed.corners);
        }
        under
    }
}

/// Stakes stand there; a board on a wall has the wall beside it, and no stone.
fn is_staked(edge: &EdgeLine) -> bool {
    edge.stands == Stands::Edge(EdgeKind::Formed)
}

/// The squares outside corners at which two staked edges meet.
fn corners(part: &Part, plan: &Plan, width: Length) -> Vec<Rect> {
    let mut squares = Vec::new();
    let corners = [
        (EdgeName::Left, EdgeName::Start),
        (EdgeName::Left, EdgeName::End),
        (EdgeName::Right, EdgeName::Start),
        (EdgeName::Right, EdgeName::End),
    ];
    for (piece, _) in part.surfaces() {
        let reached = |name: EdgeName, other: EdgeName| {
            plan.edges_of(piece).any(|index| {
                let edge = &part.geometry.edges[index];
                edge.name == name && is_staked(edge) && plan.reaches(index, edge, other)
            })
        };
        for (side, end) in corners {
            if reached(side, end) && reached(end, side) {
                squares.push(plan.corner(piece, (side, end), width));
            }
        }
    }
    squares
}

fn explain(
    part: &Part,
    (under, base): (&Under, &Base),
    (stone, row): (&StoneNeeded, &StoneRow),
) -> String {
    let words = part.words;
    let how = if under.on_plan { " on plan" } else { "" };
    let loose = number(row.loose.tons_per_yd3(), 3);
    format!(
        "slab {}{how} and {} past {} of formed edge, corners once = {}; x {} {} = {} yd3 compacted; \
         x {} = {} yd3 loose; x {loose} ton/yd3 = {} ton; + {} = {}",
        words.area(under.slabs),
        words.tape(base.beyond_edge),
        words.run(under.formed),
        words.area(under.area),
        words.factor(base.depth),
        words.to_yards(),
        yards(stone.compacted),
        number(row.compaction, 3),
        yards(stone.loose),
        number(stone.mass.short_tons(), 3),
        percent(base.waste),
        number(stone.mass.short_tons() * base.waste.plus_one(), 3)
    )
}

fn delivery(part: &Part, tons: f64) -> Line {
    let row = &part.catalog.stone.delivery;
    let payload = row.payload.short_tons();
    Line {
        description: part.name(|| "Delivery of stone".to_owned()),
        class: Class::Fee,
        quantity: Net::Count(tons / payload),
        order: pieces(tons / payload),
        working: part.say(|| {
            format!(
                "{} ton / {} ton a truck; up",
                number(tons, 1),
                number(payload, 1)
            )
        }),
        source: part.cite(&row.source),
        ..Line::blank(&row.code, OF, part.by)
    }
}

/// Stone deeper than one set of passes compacts goes in lifts of one depth.
fn explain_lifts(part: &Part, depth: Length) -> String {
    let lifts = ceil(depth / part.catalog.stone.lift.most);
    if lifts <= 1.0 {
        return String::new();
    }
    let each = part.words.tape(depth / lifts);
    format!("in {} lifts of {each}; ", number(lifts, 0))
}

fn compactor(part: &Part, (stone, depth): (&StoneNeeded, Length)) -> Line {
    let row = &part.catalog.stone.compactor;
    let days = stone.compacted / row.a_day;
    Line {
        description: part.name(|| "Plate compactor, day".to_owned()),
        class: Class::Equipment,
        quantity: Net::Volume(stone.compacted),
        order: pieces(days),
        working: part.say(|| {
            format!(
                "{}{} yd3 compacted / {} yd3 a day; up",
                explain_lifts(part, depth),
                yards(stone.compacted),
                number(row.a_day.cubic_yards(), 1)
            )
        }),
        source: part.cite(&row.source),
        ..Line::blank(&row.code, OF, part.by)
    }
}
