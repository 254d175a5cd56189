//! Advices on concrete: mix, slump, reach, bags.
//!
//! Invariant: an advice never changes an order. Absent here: what it costs.

use super::super::concrete_order::ConcreteOrder;
use super::super::line::{Advice, Takeoff};
use super::super::mix::Mix;
use super::super::part::Given;
use super::super::words::{Words, number, percent};
use super::advice;
use crate::catalog::SlumpRow;
use crate::job::Placing;
use crate::quantity::shown::Yd3M3;
use crate::quantity::{Slope, Span, Stress};

pub(super) fn advise(drawn: Given<'_>, takeoff: &Takeoff) -> Vec<Advice> {
    let mix = takeoff.mix_asked.as_ref();
    let mut advices: Vec<Advice> = [
        check_slump(drawn, takeoff),
        check_discharge(drawn, &takeoff.concrete),
        check_reach(drawn),
        mix.and_then(|mix| check_strength(drawn, mix)),
        mix.and_then(check_air),
    ]
    .into_iter()
    .flatten()
    .collect();
    let orders = std::iter::once(&takeoff.concrete).chain(&takeoff.before);
    advices.extend(orders.filter_map(|order| check_bags(drawn, order)));
    advices
}

/// The stiffest mix that anything in this job asks for.
fn check_slump(drawn: Given<'_>, takeoff: &Takeoff) -> Option<Advice> {
    let slump = drawn.job.slab.concrete.slump;
    let (steepest, steps) = (
        takeoff.measures.steepest,
        !takeoff.measures.step_area.is_zero(),
    );
    let asks = |row: &&SlumpRow| {
        let here = row.from.is_some_and(|from| !steepest.at_most(from));
        (here || row.steps && steps) && !slump.at_most(row.most)
    };
    let rows = drawn.catalog.concrete.slump.iter();
    let row = rows.filter(asks).min_by(|a, b| a.most.total_cmp(&b.most))?;
    let words = Words(drawn.job.units);
    let text = format!(
        "slump {} on {}: it will not hold its shape when struck off; order at most {}",
        words.tape(slump),
        place(row, steepest),
        words.tape(row.most)
    );
    advice("/slab/concrete/slump", "slump", text, &row.source)
}

fn place(row: &SlumpRow, steepest: Slope) -> String {
    if row.from.is_some() {
        format!("a slope of {} %", number(steepest.percent(), 2))
    } else {
        "steps".to_owned()
    }
}

fn check_reach(drawn: Given<'_>) -> Option<Advice> {
    let placing = drawn.job.crew.placing;
    let rows = &drawn.catalog.concrete.placing;
    let row = rows.iter().find(|row| row.method == placing.as_str())?;
    let (reach, away) = (row.reach?, drawn.job.site.truck_to_pour);
    if away.at_most(reach) {
        return None;
    }
    let further = |row: &&crate::catalog::PlacingRow| {
        row.method != "bags" && row.reach.is_none_or(|reach| away.at_most(reach))
    };
    let others: Vec<&str> = rows
        .iter()
        .filter(further)
        .map(|row| row.method.as_str())
        .collect();
    let words = Words(drawn.job.units);
    let text = format!(
        "the truck stands {} from the forms and a {} reaches about {}: plan by {}",
        words.tape(away),
        placing.as_str(),
        words.tape(reach),
        others.join(" or ")
    );
    advice("/site/truck_to_pour", "reach", text, &row.source)
}

/// The fullest load, from batching until it is placed, held to the time in which it must be out.
fn check_discharge(drawn: Given<'_>, order: &ConcreteOrder) -> Option<Advice> {
    let rows = &drawn.catalog.concrete;
    let load = order.loads.first()?;
    let road = rows.sharing.loading + rows.sharing.to_area;
    let placing = order.unload_minutes_needed * (*load / order.order);
    if (road + placing).at_most(rows.discharge.limit) {
        return None;
    }
    let minutes = |span: Span| number(span.minutes(), 0);
    let text = format!(
        "a load of {} takes {} people {} min to place after about {} min on the road, and must be out {} \
         min after batching: ask for smaller loads, or bring more people",
        Yd3M3::of(*load, drawn.job.units),
        drawn.job.crew.people(),
        minutes(placing),
        minutes(road),
        minutes(rows.discharge.limit)
    );
    advice("/crew", "discharge", text, &rows.discharge.source)
}

fn check_strength(drawn: Given<'_>, mix: &Mix) -> Option<Advice> {
    let (least, water) = mix.code;
    if mix.strength.at_least(least) {
        return None;
    }
    let show = |stress: Stress| Words(drawn.job.units).stress(stress);
    let water = water.map_or_else(String::new, |ratio| {
        format!(
            " with no more than {} of water to cementitious material",
            number(ratio, 2)
        )
    });
    let text = format!(
        "{} in class {}: the code asks {}{water}; let the designer or the plant say what this mix is for",
        show(mix.strength),
        mix.exposure.as_str(),
        show(least)
    );
    advice("/slab/concrete/strength", "mix_strength", text, &mix.source)
}

fn check_air(mix: &Mix) -> Option<Advice> {
    let (least, most) = (
        mix.target_air - mix.air_tolerance,
        mix.target_air + mix.air_tolerance,
    );
    if mix.target_air.is_zero() || mix.air.at_least(least) && mix.air.at_most(most) {
        return None;
    }
    let text = format!(
        "air {} in class {}: with this stone the target is {}, from {} to {}; too little scales in frost, \
         too much weakens",
        percent(mix.air),
        mix.exposure.as_str(),
        percent(mix.target_air),
        percent(least),
        percent(most)
    );
    advice("/slab/concrete/air", "mix_air", text, &mix.air_source)
}

fn check_bags(drawn: Given<'_>, order: &ConcreteOrder) -> Option<Advice> {
    let row = &drawn.catalog.concrete.bags_pay;
    let bagged = drawn.job.crew.placing == Placing::Bags;
    let small = !order.net.is_zero() && order.net.at_most(row.below);
    if bagged == small || order.net.is_zero() {
        return None;
    }
    let net = number(order.net.cubic_yards(), 2);
    let limit = number(row.below.cubic_yards(), 2);
    let what = order.parts.first().map_or("", |(what, _)| what.as_str());
    let text = if bagged {
        format!(
            "{net} yd3 ({what}) from {} bags: above about {limit} yd3 a truck is less work",
            order.bags
        )
    } else {
        format!(
            "{net} yd3 ({what}) would be {} bags: below about {limit} yd3 bags usually pay",
            order.bags
        )
    };
    advice("/crew/placing", "bags", text, &row.source)
}
