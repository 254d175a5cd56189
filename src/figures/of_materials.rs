//! Figures of lengths, areas and materials.
//!
//! Invariants: an order is what is bought, in its own step; where it is shown in a unit that it is
//! not sold in, it is rounded up. Absent: prices.

use super::shape::digits;
use super::{Found, Shown};
use crate::catalog::{Catalog, Class};
use crate::estimate::Estimate;
use crate::job::{By, JointMethod};
use crate::quantity::shown::{Ft2M2, FtM, InMm, LbKg, Yd3M3};
use crate::quantity::{Length, Mass, System, Volume, slack};
use crate::takeoff::{Line, Net};

fn length(length: Length, estimate: &Estimate) -> Found {
    Ok(digits(FtM::of(length, estimate.job.units).shown()))
}

fn concrete(volume: Volume, estimate: &Estimate) -> Found {
    Ok(digits(Yd3M3::of(volume, estimate.job.units).shown()))
}

pub(super) fn plan_length(estimate: &Estimate) -> Found {
    length(estimate.geometry.plan_length(), estimate)
}

pub(super) fn surface_length(estimate: &Estimate) -> Found {
    length(estimate.geometry.surface_length(), estimate)
}

pub(super) fn surface_area(estimate: &Estimate) -> Found {
    let area = Ft2M2::of(estimate.geometry.new_area(), estimate.job.units);
    Ok(digits(area.shown()))
}

pub(super) fn concrete_net(estimate: &Estimate) -> Found {
    concrete(estimate.takeoff.concrete.net, estimate)
}

pub(super) fn concrete_order(estimate: &Estimate) -> Found {
    concrete(estimate.takeoff.concrete.order, estimate)
}

pub(super) fn load_shortfall(estimate: &Estimate) -> Found {
    concrete(estimate.takeoff.concrete.short_of_minimum, estimate)
}

pub(super) fn loads(estimate: &Estimate) -> Found {
    Ok(Shown::count(estimate.takeoff.concrete.loads.len()))
}

pub(super) fn bags(estimate: &Estimate) -> Found {
    Ok(Shown::count(estimate.takeoff.concrete.bags))
}

/// The goods taken off for one part of the job; fees and machines are no goods.
fn goods<'a>(estimate: &'a Estimate, of: &'static str) -> impl Iterator<Item = &'a Line> {
    let lines = estimate.takeoff.lines.iter();
    lines.filter(move |line| line.of == of && line.class == Class::Material)
}

/// What is ordered of a line, in the unit it is sold in: the book's where we buy it.
fn ordered<'a>(estimate: &'a Estimate, line: &'a Line) -> (f64, &'a str) {
    let mut bought = estimate.to_order.iter();
    match bought.find(|bought| bought.code == line.code && line.by == By::Us) {
        Some(bought) => (bought.order.number(), bought.unit),
        None => (line.order.number(), line.order_unit),
    }
}

/// A number in the unit it is sold in as it stands, and up to the next step of one it is not.
fn order_text(number: f64, sold: bool, step: f64) -> Shown {
    let shown = if sold {
        number
    } else {
        slack::round_to(slack::ceil_to(number, step), 4)
    };
    Shown::Number(shown.to_string())
}

pub(super) fn stone_order(estimate: &Estimate) -> Found {
    let orders = goods(estimate, "/base").map(|line| (line, ordered(estimate, line)));
    let mut sold = true;
    let mut mass = Mass::ZERO;
    for (line, (number, unit)) in orders {
        let (weighed, own) = match unit {
            "ton" => (Mass::from_short_tons(number), System::Us),
            "t" => (Mass::from_tonnes(number), System::Metric),
            // Sold by volume: what was taken off stands in tons.
            _ => (Mass::from_short_tons(line.order.number()), System::Us),
        };
        mass += weighed;
        sold &= own == estimate.job.units;
    }
    let number = match estimate.job.units {
        System::Us => mass.short_tons(),
        System::Metric => mass.tonnes(),
    };
    Ok(order_text(slack::round_to(number, 6), sold, 0.1))
}

pub(super) fn insulation_boards(estimate: &Estimate) -> Found {
    let boards = goods(estimate, "/insulation").map(|line| line.order.number());
    // The sum of nothing is a negative zero.
    Ok(Shown::count(boards.sum::<f64>() + 0.0))
}

pub(super) fn bar_weight(estimate: &Estimate) -> Found {
    let marks = estimate.takeoff.bar_marks.iter();
    let weight: Mass = marks.map(|mark| mark.weight).sum();
    Ok(digits(LbKg::of(weight, estimate.job.units).shown()))
}

pub(super) fn bars(estimate: &Estimate) -> Found {
    let lists = estimate.takeoff.cut_lists.iter();
    let of_bars = lists.filter(|list| list.of == "/reinforcement");
    Ok(Shown::count(of_bars.map(|list| list.pieces).sum::<u32>()))
}

pub(super) fn form_length(estimate: &Estimate) -> Found {
    let measures = &estimate.takeoff.measures;
    let staked: Length = measures.form_staked.iter().map(|form| form.length).sum();
    length(
        staked + measures.form_on_wall + measures.curb_face_form,
        estimate,
    )
}

pub(super) fn saw_length(estimate: &Estimate) -> Found {
    let sawn = estimate.job.joints.method == JointMethod::Sawn;
    let joints = estimate.takeoff.measures.joint_length;
    length(if sawn { joints } else { Length::ZERO }, estimate)
}

pub(super) fn saw_depth(estimate: &Estimate) -> Found {
    let depth = InMm::of(estimate.job.joints.depth, estimate.job.units);
    Ok(digits(depth.shown()))
}

pub(super) fn isolation_length(estimate: &Estimate) -> Found {
    length(estimate.geometry.joints.isolation_length(), estimate)
}

/// A liquid, from gallons, litres or pails.
fn liquid(estimate: &Estimate, of: &'static str) -> Found {
    let pail = Catalog::built_in().curing.pail.holds;
    let mut volume = Volume::ZERO;
    let mut sold = true;
    for line in goods(estimate, of) {
        let (number, unit) = ordered(estimate, line);
        let (held, own) = match (unit, line.quantity) {
            ("gal", _) => (Volume::from_gallons(number), System::Us),
            ("L", _) => (Volume::from_litres(number), System::Metric),
            (_, Net::Liquid(_)) => (pail * number, System::Us),
            // A cover is no liquid.
            _ => (Volume::ZERO, estimate.job.units),
        };
        volume += held;
        sold &= own == estimate.job.units;
    }
    let number = match estimate.job.units {
        System::Us => volume.gallons(),
        System::Metric => volume.litres(),
    };
    Ok(order_text(slack::round_to(number, 6), sold, 0.01))
}

pub(super) fn curing_order(estimate: &Estimate) -> Found {
    liquid(estimate, "/curing")
}

pub(super) fn sealer_order(estimate: &Estimate) -> Found {
    liquid(estimate, "/sealer")
}

pub(super) fn rail_length(estimate: &Estimate) -> Found {
    let rails = goods(estimate, "/ramp/handrails").filter_map(|line| match line.quantity {
        Net::Length(length) => Some(length),
        _ => None,
    });
    length(rails.sum(), estimate)
}
