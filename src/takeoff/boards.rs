//! Lines of forms: boards by stock length, stakes, screws, release agent.
//!
//! Invariants: a board is spliced only where a face is longer than the longest stock that the job
//! allows, and each board of a splice has its own holder at its end; boards are cut at least cost
//! where a price is known, a kerf lost at each cut. Absent here: which faces are formed.

use super::cutting::{CutList, NODES_AT_MOST, Piece, Problem, Stock, StockUsed, cut};
use super::forms::{BoardRun, Face, Held, choose_board, hold_face};
use super::kickers::kicker_line;
use super::line::{Line, Net, Takeoff, pieces, waste_of};
use super::measures::FormStretch;
use super::part::Part;
use super::words::{list, percent, stock as stock_size};
use crate::catalog::{FormBoardRow, StockRow};
use crate::quantity::{Area, Length};

const OF: &str = "/forms";

pub(super) fn take_off_forms(part: &Part, faces: &[Face], takeoff: &mut Takeoff) {
    if faces.is_empty() {
        return;
    }
    let rows = &part.catalog.forms;
    for board in &rows.board {
        let runs: Vec<BoardRun> = faces
            .iter()
            .filter_map(|face| choose_board(face, rows))
            .filter(|run| run.board.name == board.name)
            .collect();
        if !runs.is_empty() {
            add_boards(part, (board, &runs), takeoff);
        }
    }
    takeoff.add(stake_line(part, faces));
    takeoff.add(kicker_line(part, faces));
    takeoff.add(screw_line(part, faces));
    takeoff.add(release_line(part, faces));
    if part.by.is_ours() {
        measure_for_crew(faces, takeoff);
    }
}

fn measure_for_crew(faces: &[Face], takeoff: &mut Takeoff) {
    let measures = &mut takeoff.measures;
    for face in faces {
        let (height, length) = (face.mean_height(), face.length);
        if !matches!(face.held, Held::Cleats | Held::Hung) {
            measures.form_highest = measures.form_highest.max(face.highest());
        }
        match face.held {
            Held::Stakes => {
                measures.form_staked.push(FormStretch {
                    height,
                    length,
                    slope: face.slope,
                    tapers: face.tapers(),
                });
            }
            Held::Screws => measures.form_on_wall += length,
            Held::Cleats => measures.curb_face_form += length,
            Held::Hung => measures.riser_form += length,
            Held::Braced => measures.wall_form_area += face.area(),
        }
        if face.in_sight {
            measures.rubbed_area += face.area();
        }
    }
}

/// Boards of one size, by the stock length they are bought in.
fn add_boards(part: &Part, (board, runs): (&FormBoardRow, &[BoardRun]), takeoff: &mut Takeoff) {
    let waste = part.catalog.forms.courses.waste.plus_one();
    let courses: Length = runs
        .iter()
        .filter(|run| run.in_courses)
        .map(|run| run.length)
        .sum::<Length>()
        * waste;
    let mut lengths: Vec<Piece> = runs
        .iter()
        .filter(|run| !run.in_courses)
        .map(|run| one_piece(run.name.to_owned(), run.length))
        .collect();
    if courses > Length::ZERO {
        lengths.push(one_piece(part.name(|| "courses".to_owned()), courses));
    }
    let cuts = cut_boards(part, board, &lengths);
    let reason = part.say(|| explain_need(part, runs, courses));
    for used in &cuts.stock {
        takeoff.add(board_line(part, (board, used), (&cuts, &reason)));
    }
    takeoff.cut_lists.push(cuts);
}

const fn one_piece(mark: String, length: Length) -> Piece {
    Piece {
        mark,
        length,
        count: 1,
    }
}

/// Stock lengths that the job allows, shortest first.
fn allowed_stock<'a>(part: &Part<'a>) -> impl Iterator<Item = &'a StockRow> {
    let (rows, forms) = (part.catalog.forms.stock.iter(), &part.job.forms);
    rows.filter(|row| forms.stock.iter().any(|stock| stock.as_str() == row.stock))
}

/// The longest of them, beyond which a board is spliced.
fn longest_stock(part: &Part) -> Length {
    allowed_stock(part)
        .map(|row| row.length)
        .fold(Length::ZERO, Length::max)
}

fn cut_boards(part: &Part, board: &FormBoardRow, lengths: &[Piece]) -> CutList {
    let stock = allowed_stock(part).map(|row| {
        let code = format!("board-{}-{}", board.name, row.code);
        Stock {
            worth: part.worth_of(&code),
            length: row.length,
            code,
        }
    });
    let list = cut(&Problem {
        stock: &stock.collect::<Vec<_>>(),
        pieces: lengths,
        kerf: part.catalog.forms.cutting.kerf,
        keep: part.catalog.forms.cutting.keep,
        nodes: NODES_AT_MOST,
    });
    CutList {
        of: OF,
        by: part.by,
        what: part.name(|| board.name.clone()),
        ..list
    }
}

fn board_line(
    part: &Part,
    (board, used): (&FormBoardRow, &StockUsed),
    (cuts, reason): (&CutList, &str),
) -> Line {
    let net = cuts.cut_from(&used.code);
    let count = f64::from(used.count);
    Line {
        description: part
            .name(|| format!("Form board {}, {}", board.name, stock_size(used.length))),
        quantity: Net::Length(net),
        waste: waste_of(used.length * count / net, 1.0),
        order: pieces(count),
        uses: Some(part.catalog.forms.again.uses),
        working: part.say(|| explain_cuts(part, (cuts, used), reason)),
        source: part.cite(&board.source),
        ..Line::blank(&used.code, OF, part.by)
    }
}

fn explain_cuts(part: &Part, (cuts, used): (&CutList, &StockUsed), reason: &str) -> String {
    let cut: Vec<(u32, String)> = cuts
        .patterns_of(&used.code)
        .map(|pattern| {
            let pieces = pattern.pieces.iter();
            let pieces: Vec<String> = pieces
                .map(|piece| part.words.bare_run(piece.length))
                .collect();
            (pattern.times, pieces.join(" + "))
        })
        .collect();
    let cut = list(&cut, part.words.run_unit());
    let kerf = part.words.tape(cuts.kerf);
    let proof = cuts.proof();
    format!("{reason}; of these, one board each: {cut}; a cut takes {kerf}; {proof}")
}

fn explain_need(part: &Part, runs: &[BoardRun], courses: Length) -> String {
    let mut kinds: Vec<(u32, String)> = Vec::new();
    for run in runs.iter().filter(|run| !run.in_courses) {
        let length = part.words.bare_run(run.length);
        match kinds.iter_mut().find(|(_, known)| *known == length) {
            Some((times, _)) => *times += 1,
            None => kinds.push((1, length)),
        }
    }
    let mut text = Vec::new();
    if !kinds.is_empty() {
        text.push(list(&kinds, part.words.run_unit()));
    }
    let ripped = runs.iter().filter(|run| run.tapers && !run.in_courses);
    let ripped = ripped.count();
    if ripped > 0 {
        text.push(format!("{ripped} of them ripped along to a taper"));
    }
    if courses > Length::ZERO {
        text.push(format!(
            "stacked in courses{}, {} with {} for cutting",
            if runs.iter().any(|run| run.tapers && run.in_courses) {
                " that step down a taper"
            } else {
                ""
            },
            part.words.run(courses),
            percent(part.catalog.forms.courses.waste)
        ));
    }
    text.join("; ")
}

fn stake_line(part: &Part, faces: &[Face]) -> Line {
    let rows = &part.catalog.forms;
    let longest = longest_stock(part);
    let (mut all, mut words) = (0, Vec::new());
    for board in &rows.board {
        let count: u32 = faces
            .iter()
            .filter(|face| matches!(face.held, Held::Stakes | Held::Braced))
            .filter(|face| choose_board(face, rows).is_some_and(|run| run.board.name == board.name))
            .map(|face| hold_face(face, (board.stakes, longest)))
            .sum();
        let told = part.say(|| {
            let every = part.words.tape(board.stakes);
            format!("{} every {every}: {count}", board.name)
        });
        words.extend((count > 0).then_some(told));
        all += count;
    }
    Line {
        description: part.name(|| "Form stake, 24 in".to_owned()),
        quantity: Net::Count(f64::from(all)),
        order: pieces(f64::from(all)),
        uses: Some(rows.again.uses),
        working: part.say(|| {
            format!(
                "behind each board one at each end and between: {}",
                words.join("; ")
            )
        }),
        source: part.cite(&rows.stake.source),
        ..Line::blank(&rows.stake.code, OF, part.by)
    }
}

fn screw_line(part: &Part, faces: &[Face]) -> Line {
    let rows = &part.catalog.forms;
    let longest = longest_stock(part);
    let spacing = part.job.forms.screw_spacing;
    let on_wall = || faces.iter().filter(|face| face.held == Held::Screws);
    let count: u32 = on_wall()
        .map(|face| hold_face(face, (spacing, longest)))
        .sum();
    let length: Length = on_wall().map(|face| face.length).sum();
    Line {
        description: part.name(|| format!("Concrete screw, {}", stock_size(rows.screw.length))),
        quantity: Net::Count(f64::from(count)),
        order: pieces(f64::from(count)),
        working: part.say(|| format!(
            "boards on an existing wall, {}: a screw at each end of a board and every {} between",
            part.words.run(length),
            part.words.tape(spacing)
        )),
        source: part.cite(&rows.screw.source),
        ..Line::blank(&rows.screw.code, "/forms/screw_spacing", part.by)
    }
}

fn release_line(part: &Part, faces: &[Face]) -> Line {
    let row = &part.catalog.forms.release;
    let area: Area = faces.iter().map(Face::area).sum();
    let volume = area / row.coverage;
    let step = row.step.gallons();
    let line = Line {
        description: part.name(|| "Release agent".to_owned()),
        quantity: Net::Liquid(volume),
        order_unit: "gal",
        working: part.say(|| {
            format!(
                "formed faces {}; up to the next {step} gal",
                part.words.covered(area, row.coverage)
            )
        }),
        source: part.cite(&row.source),
        ..Line::blank(&row.code, OF, part.by)
    };
    line.shared(volume.gallons(), step)
}
