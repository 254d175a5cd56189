//! A plan in sentences that can be read out on the telephone.
//!
//! Invariant: every figure in a sentence stands in the answer too. Absent: any computing but minutes.

use super::asked::Asked;
use super::plan::{Breaks, Load, Plan, Stop};
use crate::job::TimeOfDay;
use crate::quantity::shown::Yd3M3;
use crate::quantity::{Compared, Volume};

/// What holds for every plan.
pub const CAUTIONS: [&str; 5] = [
    "Whether a load is split is the plant's decision: ask before you count on it, and what a further stop costs.",
    "The time from batching to the end of discharge may be shorter in hot weather, and the specification or the plant may set its own.",
    "A driver may refuse to add water, and water added at one stop stays in the concrete of the next: order a slump that suits them all.",
    "The plan counts trucks, not people: where loads overlap in time at two places, each needs a crew.",
    "A truck does not wait for forms: every pour of a load is ready before the first one starts.",
];

/// One load: who shares it, when to be ready, and what breaks when it is held too long.
pub fn tell_load(asked: &Asked, load: &Load) -> String {
    let names: Vec<&str> = load.stops.iter().map(|stop| name(asked, stop)).collect();
    let order = show(load.order, asked);
    let head = match names.as_slice() {
        [one] => format!("{one} in a load of its own of {order}"),
        several => format!("{} in one load of {order}", list(several)),
    };
    let leaves = TimeOfDay::from_minutes(load.leaves);
    let ready: Vec<String> = load.stops.iter().map(|stop| ready(asked, stop)).collect();
    let ready: Vec<&str> = ready.iter().map(String::as_str).collect();
    format!(
        "{head} on {}, leaving the plant at {leaves}, if {}; {}{}.",
        load.day,
        list(&ready),
        held(asked, load),
        more(asked, load)
    )
}

fn ready(asked: &Asked, stop: &Stop) -> String {
    let at = TimeOfDay::from_minutes(stop.starts);
    let wait = match stop.starts - stop.arrives {
        0 => String::new(),
        minutes => format!(" (the truck waits {minutes} min for it)"),
    };
    format!("{} is ready by {at}{wait}", name(asked, stop))
}

/// The stop where the least can be lost, the first of them.
fn held(asked: &Asked, load: &Load) -> String {
    let Some(tightest) = load.stops.iter().min_by_key(|stop| stop.spare) else {
        return String::new();
    };
    let breaks = match tightest.breaks {
        Breaks::Limit => format!("the {} minutes run out", asked.haul.limit),
        Breaks::Hours(later) => match load.stops.get(later) {
            Some(later) => format!("{} is served after its last hour", name(asked, later)),
            None => String::new(),
        },
    };
    let held = name(asked, tightest);
    match tightest.spare {
        0 => format!("if the truck is held at {held} at all, {breaks}"),
        spare => format!("if the truck is held more than {spare} min at {held}, {breaks}"),
    }
}

/// Says why more is ordered than the step of an order explains.
fn more(asked: &Asked, load: &Load) -> String {
    let over = load.order - load.volume();
    let step = asked.terms.get(&load.mix).map_or(over, |terms| terms.step);
    if over.compare(step) == Compared::Below || over.compare(step) == Compared::At {
        return String::new();
    }
    let over = show(over, asked);
    format!("; {over} more than is poured, which costs less than a smaller load would")
}

/// The plan in one sentence.
pub fn tell_plan(asked: &Asked, plan: &Plan) -> String {
    let (cost, apart) = (plan.cost.charges.total(), plan.one_by_one.charges.total());
    let code = asked.currency.code();
    let saved = apart - cost;
    let (ours, theirs) = (plan.cost.loads, plan.one_by_one.loads);
    let pours = asked.pours.len();
    let ours = match ours {
        1 => "1 load".to_owned(),
        more => format!("{more} loads"),
    };
    let proof = match plan.proven {
        true => "no other plan within the same rules costs less".to_owned(),
        false => format!(
            "no plan within the same rules costs less than {} {code}",
            plan.bound
        ),
    };
    if saved.is_zero() {
        return format!(
            "{pours} pours in {ours} for {cost} {code}: sharing saves nothing here; {proof}."
        );
    }
    format!(
        "{pours} pours in {ours} instead of {theirs} for {cost} {code} instead of {apart} {code}, {saved} {code} less; {proof}."
    )
}

fn name<'a>(asked: &'a Asked, stop: &Stop) -> &'a str {
    &asked.pours[stop.pour].name
}

fn show(volume: Volume, asked: &Asked) -> String {
    Yd3M3::of(volume, asked.units).to_string()
}

/// `a`, `a and b`, `a, b and c`.
fn list(parts: &[&str]) -> String {
    match parts {
        [] => String::new(),
        [one] => (*one).to_owned(),
        [before @ .., last] => format!("{} and {last}", before.join(", ")),
    }
}
