//! Kickers: what braces a high form from its stakes.
//!
//! Invariant: as many kickers as stakes behind a form that is high enough. Absent here: low forms, walls
//! with ties, the design of a form.

use super::forms::{Face, Held, choose_board, hold_face};
use super::line::{Line, Net, pieces};
use super::part::Part;
use crate::quantity::Length;

pub(super) fn kicker_line(part: &Part, faces: &[Face]) -> Line {
    let rows = &part.catalog.forms;
    let longest = rows.stock.last().map_or(Length::ZERO, |row| row.length);
    let high = |face: &&Face| {
        matches!(face.held, Held::Stakes | Held::Braced)
            && face.highest().at_least(rows.kicker.from)
    };
    let count: u32 = faces
        .iter()
        .filter(high)
        .filter_map(|face| Some((face, choose_board(face, rows)?.board.stakes)))
        .map(|(face, stakes)| hold_face(face, (stakes, longest)))
        .sum();
    Line {
        description: part.name(|| "Form kicker, 2x4 of 30 in".to_owned()),
        quantity: Net::Count(f64::from(count)),
        order: pieces(f64::from(count)),
        uses: Some(rows.again.uses),
        working: part.say(|| {
            let from = part.words.tape(rows.kicker.from);
            format!("one at each stake of forms from {from} up")
        }),
        source: part.cite(&rows.kicker.source),
        ..Line::blank(&rows.kicker.code, "/forms", part.by)
    }
}
