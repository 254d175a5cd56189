//! Lines of steel: stock bars from the fewest cuts, wire, chairs.
//!
//! Invariant: marks are lettered through the whole job. Absent here: how many bars there are.

use super::cutting::{CutList, NODES_AT_MOST, cut_from_stock};
use super::line::{Line, Net, Takeoff, pieces, waste_of};
use super::part::Part;
use super::steel::{BarMark, Mat, measure_mat, name_mark};
use super::words::{number, percent, stock};
use crate::catalog::BarRow;
use crate::quantity::{Area, Length, Mass};

const OF: &str = "/reinforcement";

pub(super) fn take_off_steel(part: &Part, takeoff: &mut Takeoff) {
    let Some(steel) = part.job.reinforcement.as_option() else {
        return;
    };
    let size = steel.bar.as_str();
    let Some(row) = part.catalog.steel.bar.iter().find(|row| row.bar == size) else {
        return;
    };
    let mut mat = measure_mat(part, steel, row);
    let stock = part.catalog.steel.stock.length;
    let lengths: Vec<(Length, u32)> = mat
        .marks
        .iter()
        .map(|mark| (mark.length, mark.count))
        .collect();
    let cuts = cut_from_stock(&row.code, &lengths, stock, NODES_AT_MOST);
    for mark in &mut mat.marks {
        mark.mark = name_mark(takeoff.bar_marks.len());
        takeoff.bar_marks.push(mark.clone());
    }
    let by = part.supplier(steel.by);
    takeoff.add(Line {
        by,
        ..bar_line(part, (&mat, &cuts), row)
    });
    takeoff.add(Line {
        by,
        ..wire_line(part, &mat)
    });
    takeoff.add(Line {
        by,
        ..chair_line(part, row)
    });
    takeoff.cut_lists.push(cuts);
    if by.is_ours() {
        takeoff.measures.bar_mass += weight(&mat);
        takeoff.measures.bar_crossings += mat.crossings;
    }
}

fn weight(mat: &Mat) -> Mass {
    mat.marks.iter().map(|mark| mark.weight).sum()
}

fn bar_line(part: &Part, (mat, cuts): (&Mat, &CutList), row: &BarRow) -> Line {
    let net: Length = mat
        .marks
        .iter()
        .map(|mark| mark.length * f64::from(mark.count))
        .sum();
    let stock = stock(cuts.stock);
    Line {
        description: part.name(|| format!("Deformed bar {}, {stock}", row.bar)),
        quantity: Net::Length(net),
        waste: waste_of(cuts.stock * f64::from(cuts.bars) / net, 1.0),
        order: pieces(f64::from(cuts.bars)),
        working: part.say(|| {
            format!(
                "{} = {}; {} at {}; cut list {} bars, {}",
                list_marks(part, &mat.marks),
                part.words.run(net),
                part.words.weight(weight(mat)),
                weight_a_length(part, row),
                cuts.bars,
                if cuts.proven_least {
                    "proven least".to_owned()
                } else {
                    format!("not proven least, no fewer than {}", cuts.bound)
                }
            )
        }),
        source: part.cite(&row.source),
        ..Line::blank(&row.code, OF, part.by)
    }
}

fn weight_a_length(part: &Part, row: &BarRow) -> String {
    if part.words.is_us() {
        format!("{} lb/ft", row.lb_per_ft)
    } else {
        format!(
            "{} kg/m",
            number(
                Mass::from_pounds(row.lb_per_ft * Length::from_metres(1.0).feet()).kilograms(),
                3
            )
        )
    }
}

fn list_marks(part: &Part, marks: &[BarMark]) -> String {
    /// More marks than this are counted, not listed.
    const LISTED: usize = 12;
    let mut words: Vec<String> = marks
        .iter()
        .take(LISTED)
        .map(|mark| {
            let laps = match mark.laps {
                0 => String::new(),
                1 => " with 1 lap".to_owned(),
                laps => format!(" with {laps} laps"),
            };
            format!(
                "{} {} x {}{laps}",
                mark.mark,
                mark.count,
                part.words.run(mark.length)
            )
        })
        .collect();
    if marks.len() > LISTED {
        words.push(format!("and {} more marks", marks.len() - LISTED));
    }
    words.join(", ")
}

fn wire_line(part: &Part, mat: &Mat) -> Line {
    let row = &part.catalog.steel.tie_wire;
    let wire = Mass::from_pounds(weight(mat).short_tons() * row.lb_per_ton);
    let line = Line {
        description: part.name(|| format!(
            "Tie wire, 16 gauge, roll of {} lb",
            number(row.roll.pounds(), 2)
        )),
        quantity: Net::Mass(wire),
        working: part.say(|| format!(
            "{} lb / 2000 x {} lb a ton = {} lb, for {} crossings, {} of them tied; / {} lb a roll; up",
            number(weight(mat).pounds(), 1),
            row.lb_per_ton,
            number(wire.pounds(), 2),
            number(mat.crossings, 0),
            percent(row.tied),
            number(row.roll.pounds(), 2)
        )),
        source: part.cite(&row.source),
        ..Line::blank(&row.code, OF, part.by)
    };
    line.shared(wire / row.roll, 1.0)
}

/// Mats that lie flat around the ramp.
fn mats_around(part: &Part) -> Area {
    let mats = part.solids().flat_map(|solid| &solid.mats);
    mats.filter(|mat| !mat.upright)
        .map(|mat| mat.length * mat.width * f64::from(mat.times))
        .sum()
}

fn chair_line(part: &Part, row: &BarRow) -> Line {
    let area = part.path_area() + mats_around(part);
    let chairs = area / row.chair_area;
    let line = Line {
        description: part.name(|| "Bar support".to_owned()),
        quantity: Net::Count(chairs),
        working: part.say(|| {
            format!(
                "{} / {} each; up",
                part.words.area(area),
                part.words.area(row.chair_area)
            )
        }),
        source: part.cite(&part.catalog.steel.chair.source),
        ..Line::blank(&part.catalog.steel.chair.code, OF, part.by)
    };
    line.shared(chairs, 1.0)
}
