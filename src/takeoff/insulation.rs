//! Insulation board by layout: full strips along each piece, and rips cut from one board used again.
//!
//! Invariants: boards are never fewer than the area needs; a board is cut across wherever a strip
//! ends, so what is left of it goes on in the next. Absent here: a percentage for waste, which the
//! layout replaces.

use super::line::{Line, Net, Takeoff, pieces, waste_of};
use super::part::Part;
use super::words::stock;
use crate::catalog::{BoardRow, SheetRow};
use crate::job::Insulation;
use crate::quantity::{Area, Length, ceil, floor};

/// A strip narrower than this is no strip but rounding.
const NARROWEST: Length = Length::from_inches(1.0 / 64.0);

/// Boards that cover places of a length and a width: full strips along each place, and for what is
/// left of the width rips, of which one board gives as many as fit across it, wherever they lie.
pub fn count_boards(places: &[(Length, Length)], sheet: &SheetRow) -> u32 {
    // Board length used up; a strip may be butted anywhere, so lengths simply add up.
    let mut used = Length::ZERO;
    let mut rips: Vec<(Length, Length)> = Vec::new();
    for (length, width) in places {
        let full = floor(*width / sheet.width);
        used += *length * full;
        let rip = *width - sheet.width * full;
        if rip > NARROWEST {
            rips.push((rip, *length));
        }
    }
    // Widest first, so that what is left beside a wide rip can serve a narrow one.
    rips.sort_by(|a, b| b.0.total_cmp(&a.0));
    let mut offcuts: Vec<(Length, Length)> = Vec::new();
    for (rip, length) in rips {
        let needed = length - take_offcuts(&mut offcuts, rip, length);
        let across = floor(sheet.width / rip).max(1.0);
        let board = needed / across;
        used += board;
        let left = sheet.width - rip * across;
        if left > NARROWEST && board > Length::ZERO {
            offcuts.push((left, board));
        }
    }
    // The cast saturates far above any job.
    ceil(used / sheet.length) as u32
}

/// Takes up to `length` of rips of a width from what is left of earlier boards.
fn take_offcuts(offcuts: &mut [(Length, Length)], rip: Length, length: Length) -> Length {
    let mut taken = Length::ZERO;
    for (width, left) in offcuts.iter_mut() {
        let across = floor(*width / rip);
        if across < 1.0 {
            continue;
        }
        let board = ((length - taken) / across).min(*left);
        taken += board * across;
        *left -= board;
    }
    taken
}

pub(super) fn take_off_insulation(part: &Part, takeoff: &mut Takeoff) {
    let Some(insulation) = part.job.insulation.as_option() else {
        return;
    };
    let Some((row, layers)) = find_board(part, insulation) else {
        return;
    };
    let sheet = &part.catalog.insulation.sheet;
    let places: Vec<(Length, Length)> = part
        .surfaces()
        .map(|(_, surface)| (surface.surface_length, surface.width))
        .collect();
    let area = part.path_area();
    let boards = count_boards(&places, sheet) * layers;
    let by = part.supplier(insulation.by);
    let sheet_area = sheet.width * sheet.length;
    takeoff.add(Line {
        description: part.name(|| {
            format!(
                "Insulation board, {}, {}, {}, {} x {}",
                insulation.class.as_str(),
                part.words.stress(row.strength),
                stock(row.thickness),
                stock(sheet.width),
                stock(sheet.length)
            )
        }),
        quantity: Net::Area(area * f64::from(layers)),
        waste: waste_of(sheet_area * f64::from(boards) / area, f64::from(layers)),
        order: pieces(f64::from(boards)),
        working: part.say(|| explain(part, (area, layers, boards), sheet)),
        source: part.cite(&row.source),
        ..Line::blank(&row.code, "/insulation", by)
    });
    if by.is_ours() {
        takeoff.measures.insulation_area += area;
    }
}

/// The thinnest board that makes the thickness in the fewest layers.
fn find_board<'a>(part: &Part<'a>, insulation: &Insulation) -> Option<(&'a BoardRow, u32)> {
    let class = insulation.class.as_str();
    let rows = || {
        part.catalog
            .insulation
            .board
            .iter()
            .filter(|row| row.class == class)
    };
    let thickest = rows()
        .map(|row| row.thickness)
        .fold(Length::ZERO, Length::max);
    if thickest.is_zero() {
        return None;
    }
    let layers = ceil(insulation.thickness / thickest).max(1.0);
    let row = rows().find(|row| (row.thickness * layers).at_least(insulation.thickness))?;
    Some((row, layers as u32))
}

fn explain(part: &Part, (area, layers, boards): (Area, u32, u32), sheet: &SheetRow) -> String {
    let words = part.words;
    let mut kinds: Vec<(Length, Length)> = Vec::new();
    for (_, surface) in part.surfaces() {
        match kinds
            .iter_mut()
            .find(|(width, _)| (*width - surface.width).abs() < NARROWEST)
        {
            Some((_, length)) => *length += surface.surface_length,
            None => kinds.push((surface.width, surface.surface_length)),
        }
    }
    let strips: Vec<String> = kinds
        .iter()
        .map(|(width, length)| {
            let full = floor(*width / sheet.width);
            let rip = *width - sheet.width * full;
            let rips = if rip > NARROWEST {
                let across = floor(sheet.width / rip).max(1.0);
                format!(" and rips of {}, {across} from a board", words.tape(rip))
            } else {
                String::new()
            };
            format!(
                "{} x {}: {full} full {}{rips}",
                words.run(*length),
                words.tape(*width),
                if full > 1.0 { "strips" } else { "strip" }
            )
        })
        .collect();
    let by_area = ceil(area / (sheet.width * sheet.length));
    let layers = if layers > 1 {
        format!(", {layers} layers")
    } else {
        String::new()
    };
    format!(
        "{}{layers}; offcuts used again: {boards} boards (by area alone {by_area} a layer)",
        strips.join("; ")
    )
}
