//! Lines of concrete: the mix or the bags, short loads, waiting, the pump.
//!
//! Invariants: one order a part; fees are only ours to pay where the concrete is. Absent here: the
//! arithmetic of the order, prices.

use super::concrete::Poured;
use super::concrete_order::{
    Allowance, ConcreteOrder, WasteAsked, allow_waste, charge_waiting, choose_order, count_bags,
    measure_shortfall, measure_unloading, order_up, share_loads,
};
use super::line::{AROUND, Line, MIX, Net, Takeoff, pieces, steps, waste_of};
use super::part::Part;
use super::words::{number, percent, yards};
use crate::catalog::{BagRow, Catalog, Class, PlacingRow, StrengthRow};
use crate::job::{By, Job, Placing};
use crate::quantity::{Length, Percent, Span, Volume, ceil_to};

pub(super) fn take_off_concrete(part: &Part, poured: &Poured, takeoff: &mut Takeoff) {
    if poured.net <= Volume::ZERO {
        return;
    }
    let bagged = part.job.crew.placing == Placing::Bags;
    let allowance = allow(part, poured, bagged);
    let mut order = ask_for(part, poured, &allowance);
    let ours = part.by == By::Us;
    if bagged {
        add_bags(part, (poured, &allowance, &mut order), takeoff);
    } else {
        add_mix(part, (poured, &allowance, &order), takeoff);
        takeoff.add_if(ours, short_load(part, (poured.of, &order)));
        takeoff.add_if(ours, truck_wait(part, &order));
        takeoff.add_if(
            ours && part.job.crew.placing == Placing::Pump,
            pump_visit(part),
        );
    }
    if part.by.is_ours() {
        takeoff.measures.loads += u32::try_from(order.loads.len()).unwrap_or(u32::MAX);
        if poured.of == MIX {
            takeoff.measures.concrete_volume += poured.net;
        }
        // Ours is the order to show; one that others supply only where there is no other.
        if poured.of == AROUND {
            takeoff.measures.before_volume += poured.net;
            takeoff.before.push(order);
        } else if takeoff.concrete.net.is_zero() {
            takeoff.concrete = order;
        }
    }
}

fn allow<'a>(part: &Part<'a>, poured: &Poured, bagged: bool) -> Allowance<'a> {
    let slab = &part.job.slab;
    let asked = WasteAsked {
        net: poured.net,
        area: poured.area,
        on_board: part.job.insulation.as_option().is_some(),
        bagged,
        rule: slab.waste_rule,
        stated: slab.waste,
    };
    allow_waste(&asked, &part.catalog.concrete)
}

/// The whole order as ready-mix, with the bags that would do instead.
fn ask_for(part: &Part, poured: &Poured, allowance: &Allowance) -> ConcreteOrder {
    let rows = &part.catalog.concrete;
    let order = order_up(poured.net + allowance.volume, rows.order.step);
    let loads = share_loads(order, rows);
    let choice = |order| choose_order(order, (poured.net, rows.small_order.lost), poured.area);
    let hours = find_placing(part).map_or(Span::ZERO, |row| row.hours_a_yard);
    let bags = allow(part, poured, true).volume + poured.net;
    ConcreteOrder {
        net: poured.net,
        parts: poured.parts.clone(),
        waste: allowance.volume,
        order,
        short_of_minimum: measure_shortfall(&loads, rows),
        loads,
        neighbours: [
            choice(order - rows.order.step),
            choice(order),
            choice(order + rows.order.step),
        ],
        unload_minutes_free: rows.unloading.free_a_yard * order.cubic_yards(),
        unload_minutes_needed: measure_unloading(order, hours, part.job.crew.people()),
        bags: rows.bag.first().map_or(0, |bag| count_bags(bags, bag)),
        bags_break_even: rows.bags_pay.below,
    }
}

fn find_placing<'a>(part: &Part<'a>) -> Option<&'a PlacingRow> {
    let method = part.job.crew.placing.as_str();
    part.catalog
        .concrete
        .placing
        .iter()
        .find(|row| row.method == method)
}

/// Item code of the mix that a job asks for.
pub fn mix_code(job: &Job, catalog: &Catalog) -> String {
    find_strength(job, catalog).map_or_else(|code| code, |row| row.code.clone())
}

/// The weakest class that is strong enough; a strength above every class has a code of its own,
/// which no price book need know.
fn find_strength<'a>(job: &Job, catalog: &'a Catalog) -> Result<&'a StrengthRow, String> {
    let (rows, mix) = (&catalog.concrete, &job.slab.concrete);
    let air = !mix.air.is_zero();
    let enough = |row: &&StrengthRow| row.air == air && row.strength.at_least(mix.strength);
    rows.strength.iter().find(enough).ok_or_else(|| {
        let psi = ceil_to(mix.strength.psi(), rows.order.strength_step.psi());
        let end = if air { "-air" } else { "" };
        format!("concrete-{}{end}", number(psi, 0))
    })
}

fn describe_mix(part: &Part) -> String {
    let mix = &part.job.slab.concrete;
    let strength = part.words.stress(mix.strength);
    let air = if mix.air.is_zero() {
        "no air".to_owned()
    } else {
        format!("air {}", percent(mix.air))
    };
    format!(
        "Ready-mix concrete, {strength}, {air}, stone {}, slump {}",
        part.words.tape(mix.aggregate),
        part.words.tape(mix.slump)
    )
}

fn add_mix(
    part: &Part,
    (poured, allowance, order): (&Poured, &Allowance, &ConcreteOrder),
    takeoff: &mut Takeoff,
) {
    let found = find_strength(part.job, part.catalog);
    let code = found.as_ref().map_or_else(String::as_str, |row| &row.code);
    let step = part.catalog.concrete.order.step.cubic_yards();
    takeoff.add(Line {
        description: part.name(|| describe_mix(part)),
        quantity: Net::Volume(poured.net),
        waste: waste_of((poured.net + allowance.volume) / poured.net, 1.0),
        order: steps(order.order.cubic_yards(), step),
        order_unit: "yd3",
        working: part.say(|| {
            format!(
                "{}; {}; up to the next {step}: {}; {}",
                poured.working,
                explain_waste(part, poured, allowance),
                number(order.order.cubic_yards(), 2),
                explain_neighbours(part, order)
            )
        }),
        source: part.cite(&allowance.source),
        ..Line::blank(code, poured.of, part.by)
    });
}

fn explain_waste(part: &Part, poured: &Poured, allowance: &Allowance) -> String {
    let all = yards(poured.net + allowance.volume);
    if allowance.depth.is_zero() {
        let stated = part.job.slab.waste.is_some();
        let how = if stated { " as stated" } else { "" };
        return format!("+ {}{how} = {all}", percent(allowance.share));
    }
    let lost = if allowance.lost.is_zero() {
        String::new()
    } else {
        format!(
            "{} yd3 lost in truck, chute and tools + ",
            yards(allowance.lost)
        )
    };
    format!(
        "+ {lost}{} of depth x {} ({} yd3) = {all}",
        part.words.tape(allowance.depth),
        part.words.area(poured.area),
        yards(poured.area * allowance.depth)
    )
}

fn explain_neighbours(part: &Part, order: &ConcreteOrder) -> String {
    let lost = part.catalog.concrete.small_order.lost;
    let choices: Vec<String> = order
        .neighbours
        .iter()
        .map(|choice| {
            let depth = part.words.tape(choice.depth_error.abs());
            let order = number(choice.order.cubic_yards(), 2);
            if choice.depth_error < Length::ZERO {
                format!("{order} is short by {depth}")
            } else {
                format!("{order} absorbs {depth}")
            }
        })
        .collect();
    format!(
        "less {} yd3 lost, in depth over the surface: {}",
        yards(lost),
        choices.join(", ")
    )
}

fn add_bags(
    part: &Part,
    (poured, allowance, order): (&Poured, &Allowance, &mut ConcreteOrder),
    takeoff: &mut Takeoff,
) {
    let Some(bag) = part.catalog.concrete.bag.first() else {
        return;
    };
    let volume = bag.makes * f64::from(order.bags);
    let lost = (poured.net, Volume::ZERO);
    let choice = |order| choose_order(order, lost, poured.area);
    order.order = volume;
    order.loads = Vec::new();
    order.short_of_minimum = Volume::ZERO;
    order.unload_minutes_free = Span::ZERO;
    order.unload_minutes_needed = Span::ZERO;
    order.neighbours = [
        choice(volume - bag.makes),
        choice(volume),
        choice(volume + bag.makes),
    ];
    takeoff.add(Line {
        description: part.name(|| {
            format!(
                "Dry concrete mix, bag of {} lb",
                number(bag.mass.pounds(), 0)
            )
        }),
        quantity: Net::Volume(poured.net),
        waste: waste_of((poured.net + allowance.volume) / poured.net, 1.0),
        order: pieces(f64::from(order.bags)),
        working: part.say(|| explain_bags(part, (poured, allowance), bag)),
        source: part.cite(&bag.source),
        ..Line::blank(&bag.code, "/crew/placing", part.by)
    });
}

fn explain_bags(part: &Part, (poured, allowance): (&Poured, &Allowance), bag: &BagRow) -> String {
    let waste = explain_waste(part, poured, allowance);
    let makes = number(bag.makes.cubic_feet(), 3);
    format!(
        "{}; {waste} yd3; x 27 / {makes} ft3 a bag; up",
        poured.working
    )
}

fn short_load(part: &Part, (of, order): (&'static str, &ConcreteOrder)) -> Line {
    let rows = &part.catalog.concrete;
    let limit = || number(rows.short_load.below.cubic_yards(), 2);
    Line {
        description: part.name(|| format!("Short load, what is missing to {} yd3", limit())),
        class: Class::Fee,
        quantity: Net::Volume(order.short_of_minimum),
        order: steps(
            order.short_of_minimum.cubic_yards(),
            rows.order.step.cubic_yards(),
        ),
        order_unit: "yd3",
        working: part.say(|| explain_short_load(order, &limit())),
        source: part.cite(&rows.short_load.source),
        ..Line::blank("short-load-yd3", of, part.by)
    }
}

fn explain_short_load(order: &ConcreteOrder, limit: &str) -> String {
    let loads: Vec<String> = order
        .loads
        .iter()
        .map(|load| number(load.cubic_yards(), 2))
        .collect();
    let count = match loads.len() {
        1 => "1 load".to_owned(),
        more => format!("{more} loads"),
    };
    format!(
        "{count} of {} yd3, each up to {limit}: {} yd3 short",
        loads.join(" + "),
        number(order.short_of_minimum.cubic_yards(), 2)
    )
}

fn truck_wait(part: &Part, order: &ConcreteOrder) -> Line {
    let rows = &part.catalog.concrete;
    let wait = charge_waiting(order.unload_minutes_free, order.unload_minutes_needed);
    let place = find_placing(part);
    let hours = place.map_or(Span::ZERO, |row| row.hours_a_yard).hours();
    let source = place.map_or_else(|| part.practice(), |row| part.cite(&row.source));
    Line {
        description: part.name(|| "Truck waiting beyond the free unloading time".to_owned()),
        class: Class::Fee,
        quantity: Net::Time(wait),
        waste: Percent::ZERO,
        order: pieces(wait.minutes()),
        order_unit: "min",
        working: part.say(|| {
            format!(
                "free {} yd3 x {} min = {} min; {} h x {} yd3 / {} people = {} min; {} min beyond",
                number(order.order.cubic_yards(), 2),
                number(rows.unloading.free_a_yard.minutes(), 1),
                number(order.unload_minutes_free.minutes(), 1),
                number(hours, 2),
                number(order.order.cubic_yards(), 2),
                part.job.crew.people().max(1),
                number(order.unload_minutes_needed.minutes(), 1),
                number(wait.minutes(), 0)
            )
        }),
        source,
        ..Line::blank("truck-wait-min", "/crew/placing", part.by)
    }
}

fn pump_visit(part: &Part) -> Line {
    Line {
        description: part.name(|| "Concrete pump, one visit".to_owned()),
        class: Class::Sub,
        working: part.say(|| "placed by pump: 1 visit".to_owned()),
        source: part.practice(),
        ..Line::blank("concrete-pump-visit", "/crew/placing", part.by)
    }
}
