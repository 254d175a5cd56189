//! Curing and sealing: what covers the surface and the inner faces of curbs.
//!
//! Invariants: outer faces stand in forms or against what exists and are not counted; a cover is
//! used again, a compound is not. Absent here: when it happens, and whether the two go together.

use super::curb::Curbs;
use super::line::{Line, Net, Takeoff};
use super::part::Part;
use super::words::{gallons, number, percent};
use crate::catalog::SealerItemRow;
use crate::job::{CuringMethod, Sealer};
use crate::quantity::{Area, Coverage, Percent, Volume};

/// Liquid for an area, with what is lost.
pub fn measure_liquid(area: Area, coverage: Coverage, waste: Percent) -> Volume {
    area / coverage * waste.plus_one()
}

pub(super) fn take_off_curing(part: &Part, curbs: &Curbs, takeoff: &mut Takeoff) {
    let area = part.area() + curbs.face_area();
    if area <= Area::ZERO {
        return;
    }
    let by = part.supplier(part.job.curing.by);
    let line = match part.job.curing.method {
        CuringMethod::WetCover => cover_line(part, curbs),
        CuringMethod::Compound => compound_line(part, curbs),
    };
    takeoff.add(Line { by, ..line });
    if by.is_ours() {
        takeoff.measures.curing_area += area;
    }
    if let Some(sealer) = part.job.sealer.as_option() {
        take_off_sealer(part, (curbs, sealer), takeoff);
    }
}

fn explain_area(part: &Part, curbs: &Curbs) -> String {
    let words = part.words;
    if curbs.faces.is_empty() {
        return format!("surface {}", words.area(part.area()));
    }
    format!(
        "surface {} and inner curb faces {} x {} = {}",
        words.area(part.area()),
        words.run(curbs.face_length()),
        words.tape(curbs.height),
        words.area(part.area() + curbs.face_area())
    )
}

fn cover_line(part: &Part, curbs: &Curbs) -> Line {
    let row = &part.catalog.curing.cover;
    let area = part.area() + curbs.face_area();
    let rolls = area * row.overlap.plus_one() / row.roll;
    let line = Line {
        description: part.name(|| {
            format!(
                "Wet curing cover, roll of {} ft2",
                number(row.roll.square_feet(), 0)
            )
        }),
        quantity: Net::Area(area),
        waste: row.overlap,
        uses: Some(row.uses),
        working: part.say(|| {
            format!(
                "{}; + {} of overlap, / {} a roll; up",
                explain_area(part, curbs),
                percent(row.overlap),
                part.words.area(row.roll)
            )
        }),
        source: part.cite(&row.source),
        ..Line::blank(&row.code, "/curing", part.by)
    };
    line.shared(rolls, 1.0)
}

fn compound_line(part: &Part, curbs: &Curbs) -> Line {
    let row = &part.catalog.curing.compound;
    let area = part.area() + curbs.face_area();
    let coverage = part.job.curing.coverage;
    let volume = measure_liquid(area, coverage, row.waste);
    let step = row.step.gallons();
    let line = Line {
        description: part.name(|| "Curing compound".to_owned()),
        quantity: Net::Liquid(area / coverage),
        waste: row.waste,
        order_unit: "gal",
        working: part.say(|| {
            format!(
                "{}; {}; + {} = {} gal; up to the next {step}",
                explain_area(part, curbs),
                part.words.covered(area, coverage),
                percent(row.waste),
                gallons(volume)
            )
        }),
        source: part.cite(&row.source),
        ..Line::blank(&row.code, "/curing", part.by)
    };
    line.shared(volume.gallons(), step)
}

fn take_off_sealer(part: &Part, (curbs, sealer): (&Curbs, &Sealer), takeoff: &mut Takeoff) {
    let product = sealer.product.as_str();
    let rows = &part.catalog.curing.sealer;
    let Some(row) = rows.iter().find(|row| row.product == product) else {
        return;
    };
    let by = part.supplier(sealer.by);
    takeoff.add(Line {
        by,
        ..sealer_line(part, (curbs, sealer), row)
    });
    if by.is_ours() {
        takeoff.measures.sealer_area += part.area() + curbs.face_area();
    }
}

fn sealer_line(part: &Part, (curbs, sealer): (&Curbs, &Sealer), row: &SealerItemRow) -> Line {
    let area = part.area() + curbs.face_area();
    let volume = measure_liquid(area, sealer.coverage, sealer.waste);
    let pail = part.catalog.curing.pail.holds;
    let holds = || number(pail.gallons(), 2);
    let line = Line {
        description: part.name(|| format!("{}, {} gal", row.name, holds())),
        quantity: Net::Liquid(area / sealer.coverage),
        waste: sealer.waste,
        working: part.say(|| {
            format!(
                "{}; {}; + {} = {} gal; pails of {} gal, up",
                explain_area(part, curbs),
                part.words.covered(area, sealer.coverage),
                percent(sealer.waste),
                gallons(volume),
                holds()
            )
        }),
        source: part.cite(&row.source),
        ..Line::blank(&row.code, "/sealer", part.by)
    };
    line.shared(volume / pail, 1.0)
}
