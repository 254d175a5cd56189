//! Lines of steel: stock bars from the fewest cuts, wire, chairs.
//!
//! Invariant: marks are lettered through the whole job. Absent here: how many bars there are.

use super::cutting::{CutList, NODES_AT_MOST, Piece, Problem, Stock, StockUsed, cut};
use super::lap::explain_lap;
use super::line::{Line, Net, Takeoff, pieces, waste_of};
use super::part::Part;
use super::steel::{BarMark, Mat, allowed_stock, measure_mat, name_mark};
use super::wire::{find_wire, take_off_wire};
use super::words::{number, percent, stock};
use crate::catalog::BarRow;
use crate::job::Reinforcement;
use crate::quantity::{Area, Length, Mass, floor};

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
    for mark in &mut mat.marks {
        mark.mark = name_mark(takeoff.bar_marks.len());
        takeoff.bar_marks.push(mark.clone());
    }
    let cuts = cut_bars(part, steel, (&mat.marks, row));
    let by = part.supplier(steel.by);
    for used in &cuts.stock {
        takeoff.add(Line {
            by,
            ..bar_line(part, (&mat, &cuts), (row, used))
        });
    }
    takeoff.add(Line {
        by,
        ..wire_line(part, &mat)
    });
    takeoff.add(Line {
        by,
        ..chair_line(part, (steel, row))
    });
    take_off_wire(part, steel, takeoff);
    if !mat.marks.is_empty() {
        takeoff.cut_lists.push(cuts);
    }
    if by.is_ours() {
        takeoff.measures.bar_mass += weight(&mat);
        takeoff.measures.bar_crossings += mat.crossings;
    }
}

fn weight(mat: &Mat) -> Mass {
    mat.marks.iter().map(|mark| mark.weight).sum()
}

/// Bars cut from the stock that the job allows, at least cost.
fn cut_bars(part: &Part, steel: &Reinforcement, (marks, row): (&[BarMark], &BarRow)) -> CutList {
    let rows: Vec<_> = allowed_stock(part, steel).collect();
    let stock: Vec<Stock> = rows
        .iter()
        .map(|stock| {
            let code = format!("{}-{}", row.code, stock.code);
            // Of one length there is nothing to weigh.
            let worth = (rows.len() > 1).then(|| part.worth_of(&code)).flatten();
            let length = stock.length;
            Stock {
                code,
                length,
                worth,
            }
        })
        .collect();
    let pieces: Vec<Piece> = marks
        .iter()
        .map(|mark| Piece {
            mark: part.name(|| mark.mark.clone()),
            length: cut_to_step(part, mark.length),
            count: mark.count,
        })
        .collect();
    let list = cut(&Problem {
        stock: &stock,
        pieces: &pieces,
        kerf: part.catalog.steel.cutting.kerf,
        keep: part.catalog.steel.cutting.keep,
        nodes: NODES_AT_MOST,
    });
    CutList {
        of: OF,
        by: part.supplier(steel.by),
        what: part.name(|| row.bar.clone()),
        ..list
    }
}

/// A bar as it is cut: a whole step or the next below, which is added to the cover.
fn cut_to_step(part: &Part, length: Length) -> Length {
    let Some(step) = part.catalog.steel.cutting.step else {
        return length;
    };
    let cut = step * floor(length / step);
    // What is shorter than a step is left as it is.
    if cut.is_zero() { length } else { cut }
}

fn bar_line(
    part: &Part,
    (mat, cuts): (&Mat, &CutList),
    (row, used): (&BarRow, &StockUsed),
) -> Line {
    let all = mat.marks.iter();
    let all: Length = all.map(|mark| mark.length * f64::from(mark.count)).sum();
    let net = if cuts.stock.len() == 1 {
        all
    } else {
        cuts.cut_from(&used.code)
    };
    let length = stock(used.length);
    let bars = f64::from(used.count);
    Line {
        description: part.name(|| format!("Deformed bar {}, {length}", row.bar)),
        quantity: Net::Length(net),
        waste: waste_of(used.length * bars / net, 1.0),
        order: pieces(bars),
        working: part.say(|| {
            format!(
                "{} = {}; {} at {}{}; cut list {}, {}",
                list_marks(part, &mat.marks),
                part.words.run(all),
                part.words.weight(weight(mat)),
                weight_a_length(part, row),
                told_laps(part, mat, row),
                list_stock(cuts),
                cuts.proof()
            )
        }),
        source: part.cite(&row.source),
        ..Line::blank(&used.code, OF, part.by)
    }
}

/// How long the laps are, where there are any.
fn told_laps(part: &Part, mat: &Mat, row: &BarRow) -> String {
    let steel = part.job.reinforcement.as_option();
    let steel = steel.filter(|_| mat.marks.iter().any(|mark| mark.laps > 0));
    steel.map_or_else(String::new, |steel| {
        format!("; {}", explain_lap(part, steel, row))
    })
}

/// `22 bars`, or how many of each length.
fn list_stock(cuts: &CutList) -> String {
    if let [one] = &cuts.stock[..] {
        return format!("{} bars", one.count);
    }
    let each = cuts.stock.iter();
    let each: Vec<String> = each
        .map(|used| format!("{} bars of {}", used.count, stock(used.length)))
        .collect();
    each.join(" and ")
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

/// Supports hold two layers of bars, or one sheet of wire, at their cover.
fn chair_line(part: &Part, (steel, row): (&Reinforcement, &BarRow)) -> Line {
    let area = part.path_area() + mats_around(part);
    let wired = find_wire(part, steel).is_some();
    let (each, layers) = if wired {
        (part.catalog.steel.wire_sheet.chair_area, Length::ZERO)
    } else {
        (row.chair_area, row.diameter * 2.0)
    };
    let chairs = area / each;
    let high = part.job.slab.thickness - steel.cover - layers;
    let high = high.max(Length::ZERO);
    let line = Line {
        description: part.name(|| format!("Bar support, {} high", part.words.tape(high))),
        quantity: Net::Count(chairs),
        working: part.say(|| {
            format!(
                "{} / {} each; up",
                part.words.area(area),
                part.words.area(each)
            )
        }),
        source: part.cite(&part.catalog.steel.chair.source),
        ..Line::blank(&part.catalog.steel.chair.code, OF, part.by)
    };
    line.shared(chairs, 1.0)
}
