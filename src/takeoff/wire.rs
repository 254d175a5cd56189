//! Welded wire in flat slabs, instead of bars.
//!
//! Invariants: sheets keep the edge cover and lap their neighbours; what is left of a ripped sheet serves
//! again. Absent here: bars that stand or lie in a line, which stay bars.

use super::insulation::count_boards;
use super::line::{Line, Net, Takeoff, pieces};
use super::part::Part;
use super::words::stock;
use crate::catalog::{SheetRow, WireRow};
use crate::job::Reinforcement;
use crate::quantity::{Area, Length, Mass};

const OF: &str = "/reinforcement/wire";

/// The row of the wire that a job lays; none where it lays bars.
pub(super) fn find_wire<'a>(part: &Part<'a>, steel: &Reinforcement) -> Option<&'a WireRow> {
    let wire = steel.wire?;
    let rows = &part.catalog.steel.wire;
    rows.iter().find(|row| row.wire == wire.as_str())
}

/// Slabs that wire lies in, each by its length and its width.
fn flat(part: &Part) -> Vec<(Length, Length)> {
    let path = part.surfaces();
    let path = path.map(|(_, surface)| (surface.surface_length, surface.width));
    let around = part.solids().flat_map(|solid| &solid.mats);
    let around = around.filter(|mat| !mat.upright);
    let around = around.flat_map(|mat| {
        let one = (mat.length, mat.width);
        std::iter::repeat_n(one, mat.times as usize)
    });
    path.chain(around).collect()
}

pub(super) fn take_off_wire(part: &Part, steel: &Reinforcement, takeoff: &mut Takeoff) {
    let Some(row) = find_wire(part, steel) else {
        return;
    };
    let (by, slabs) = (part.supplier(steel.by), flat(part));
    let area: Area = slabs.iter().map(|(length, width)| *length * *width).sum();
    if area.is_zero() {
        return;
    }
    takeoff.add(Line {
        by,
        ..sheet_line(part, (row, steel), (&slabs, area))
    });
    if by.is_ours() {
        let pounds = area.square_feet() / 100.0 * row.lb_per_100_ft2;
        takeoff.measures.bar_mass += Mass::from_pounds(pounds);
    }
}

fn sheet_line(
    part: &Part,
    (row, steel): (&WireRow, &Reinforcement),
    (slabs, area): (&[(Length, Length)], Area),
) -> Line {
    let sheet = &part.catalog.steel.wire_sheet;
    // What a sheet covers beyond the lap over its neighbours; the first of a row covers its lap too.
    let covers = SheetRow {
        width: sheet.width - sheet.lap,
        length: sheet.length - sheet.lap,
        source: sheet.source.clone(),
    };
    let inside = |side: Length| (side - steel.edge_cover * 2.0 - sheet.lap).max(sheet.lap);
    let places: Vec<(Length, Length)> = slabs
        .iter()
        .map(|(length, width)| (inside(*length), inside(*width)))
        .collect();
    let sheets = f64::from(count_boards(&places, &covers));
    let size = format!("{} x {}", stock(sheet.width), stock(sheet.length));
    Line {
        description: part.name(|| format!("Welded wire 6x6-{0}x{0}, sheet {size}", row.wire)),
        quantity: Net::Area(area),
        waste: super::line::waste_of(sheet.width * sheet.length * sheets / area, 1.0),
        order: pieces(sheets),
        working: part.say(|| {
            format!(
                "{} of slab, inside edge covers of {}; sheets lap {}; offcuts used again: {sheets} sheets",
                part.words.area(area),
                part.words.tape(steel.edge_cover),
                part.words.tape(sheet.lap)
            )
        }),
        source: part.cite(&row.source),
        ..Line::blank(&row.code, OF, part.by)
    }
}
