//! Doors at landings: clear floor in front and beside, its slope, and the threshold.
//!
//! Invariants: of two ways to comply the better one is shown, depth and strip always of the same
//! row; a row for a door with a closer takes the place of the one without. Absent here: the numbers.
//!
//! # Source
//! 2010 ADA Standards, 404.2.4 with its table, 404.2.4.4, 404.2.5.

use super::bench::Bench;
use super::finding::{Finding, Measured, Verdict};
use super::measure::Measure;
use super::row::{Beyond, Clearance, Rule, With};
use crate::geometry::piece_pointer;
use crate::job::{Door, EdgeName, Landing, Opens, Piece, Work};
use crate::quantity::{Length, Slope};

/// A door with the landing in front of it.
struct Doorway<'a> {
    door: &'a Door,
    landing: &'a Landing,
    subject: String,
    name: &'a str,
    /// Clear floor square to the door.
    depth: Length,
    /// Clear floor along the door's edge.
    room: Length,
}

/// Judges every door.
pub(super) fn check_doors(bench: &mut Bench) {
    let job = bench.job;
    let names = bench.way.names.clone();
    for (index, piece) in job.ramp.path.iter().enumerate() {
        let Piece::Landing(landing) = piece else {
            continue;
        };
        let Some(door) = &landing.door else { continue };
        let surface = &bench.geometry.surfaces[index];
        let (depth, room) = match door.edge {
            EdgeName::Start | EdgeName::End => (surface.clear_length, surface.clear_width),
            EdgeName::Left | EdgeName::Right => (surface.clear_width, surface.clear_length),
        };
        let subject = format!("{}/door", piece_pointer(index));
        let doorway = Doorway {
            door,
            landing,
            subject,
            name: &names[index],
            depth,
            room,
        };
        check_clearance(bench, &doorway);
        check_floor(bench, &doorway);
        check_threshold(bench, &doorway);
    }
}

fn check_clearance(bench: &mut Bench, doorway: &Doorway) {
    let set = bench.set;
    let rules = [Measure::DoorDepth, Measure::DoorStrip, Measure::DoorRoom].map(|m| bench.rule(m));
    let [Some(depth), Some(strip), Some(room)] = rules else {
        return;
    };
    let ways: Vec<Vec<(&Rule, Finding)>> = fitting_rows(&set.clearances, doorway.door)
        .into_iter()
        .map(|row| {
            let mut findings = vec![(depth, weigh_depth(bench, depth, (doorway, row)))];
            if !row.strip.is_zero() {
                findings.push((strip, weigh_strip(bench, strip, (doorway, row))));
            }
            findings.push((room, weigh_room(bench, room, (doorway, row))));
            findings
        })
        .collect();
    // Broken counts more than open; of equals the first row stands.
    let cost = |findings: &[(&Rule, Finding)]| -> u32 {
        findings
            .iter()
            .map(|(_, finding)| match finding.verdict {
                Verdict::Violates => 10,
                Verdict::Undetermined => 1,
                _ => 0,
            })
            .sum()
    };
    let best = ways.into_iter().min_by_key(|findings| cost(findings));
    for (rule, finding) in best.unwrap_or_default() {
        bench.push(rule, finding);
    }
}

/// Rows for this door: those that need what it has, else those that need nothing.
fn fitting_rows<'a>(rows: &'a [Clearance], door: &Door) -> Vec<&'a Clearance> {
    let here: Vec<&Clearance> = rows
        .iter()
        .filter(|row| row.row.approach == door.approach && row.row.opens == door.opens)
        .collect();
    let has = |row: &&&Clearance| match row.row.with {
        Some(With::Closer) => door.closer,
        Some(With::CloserAndLatch) => door.closer && door.latch,
        None => false,
    };
    let special: Vec<&Clearance> = here.iter().filter(has).copied().collect();
    if special.is_empty() {
        return here
            .into_iter()
            .filter(|row| row.row.with.is_none())
            .collect();
    }
    special
}

fn weigh_depth(bench: &Bench, rule: &Rule, (doorway, row): (&Doorway, &Clearance)) -> Finding {
    let side = match doorway.door.opens {
        Opens::OntoLanding => "pull",
        Opens::Away => "push",
    };
    let note = format!(
        "depth square to the door, {} approach, {side} side",
        doorway.door.approach
    );
    let figures = (Measured::Length(doorway.depth), Measured::Length(row.depth));
    bench
        .weigh_against(rule, &doorway.subject, figures)
        .by(doorway.landing.by)
        .note(note)
        .remedy(|| {
            let (more, to) = (bench.up(row.depth - doorway.depth), &row.row.depth);
            format!(
                "deepen {} by {more}, to {to} clear in front of the door",
                doorway.name
            )
        })
}

fn weigh_strip(bench: &Bench, rule: &Rule, (doorway, row): (&Doorway, &Clearance)) -> Finding {
    let (field, told, side) = match row.row.beyond {
        Beyond::Latch => ("beyond_latch", doorway.door.beyond_latch, "latch"),
        Beyond::Hinge => ("beyond_hinge", doorway.door.beyond_hinge, "hinge"),
    };
    let subject = format!("{}/{field}", doorway.subject);
    let Some(told) = told else {
        let fact = format!("the clear floor beyond the {side} side ({field})");
        let mut finding = bench.unknown(rule, &subject, (&fact, doorway.landing.by));
        finding.limit = Some(Measured::Length(row.strip));
        finding.remedy = Some(format!(
            "find out {fact}: at least {} are asked",
            row.row.strip
        ));
        return finding;
    };
    let figures = (Measured::Length(told), Measured::Length(row.strip));
    bench
        .weigh_against(rule, &subject, figures)
        .by(doorway.landing.by)
        .remedy(|| {
            let (more, strip) = (bench.up(row.strip - told), &row.row.strip);
            format!(
                "keep {strip} clear beyond the {side} side of the door, {more} more than there is"
            )
        })
}

fn weigh_room(bench: &Bench, rule: &Rule, (doorway, row): (&Doorway, &Clearance)) -> Finding {
    let needed = doorway.door.leaf + row.strip;
    let leaf = bench.tape(doorway.door.leaf);
    let note = format!(
        "leaf {leaf} and {} beside it, along the door's edge",
        row.row.strip
    );
    let figures = (Measured::Length(doorway.room), Measured::Length(needed));
    bench
        .weigh_against(rule, &doorway.subject, figures)
        .by(doorway.landing.by)
        .note(note)
        .remedy(|| {
            let (more, to) = (bench.up(needed - doorway.room), bench.up(needed));
            format!(
                "enlarge {} by {more} along the door's edge, to {to} clear",
                doorway.name
            )
        })
}

fn check_floor(bench: &mut Bench, doorway: &Doorway) {
    let Some(rule) = bench.rule(Measure::DoorFloorSlope) else {
        return;
    };
    let landing = doorway.landing;
    let (along, across) = (landing.slope_along.abs(), landing.slope_across.abs());
    let (slope, axis, over) = if along > across {
        (along, "along", landing.length)
    } else {
        (across, "across", landing.width)
    };
    let finding = bench
        .weigh(rule, &doorway.subject, Measured::Slope(slope))
        .by(landing.by)
        .note(format!("{axis} the landing"))
        .remedy(|| {
            let most = rule.slope().unwrap_or(Slope::ZERO) * over;
            let (most, over) = (bench.down(most), bench.tape(over));
            format!("let {} fall at most {most} over its {over}", doorway.name)
        });
    bench.push(rule, finding);
}

fn check_threshold(bench: &mut Bench, doorway: &Doorway) {
    let Some(rule) = bench.rule(Measure::Threshold) else {
        return;
    };
    let subject = format!("{}/threshold", doorway.subject);
    let height = Measured::Length(doorway.door.threshold);
    let by = doorway.landing.by;
    let finding = bench.weigh(rule, &subject, height).by(by);
    let old = bench
        .rule(Measure::OldThreshold)
        .filter(|_| doorway.landing.work == Work::Existing);
    if let (Verdict::Violates, Some(old)) = (finding.verdict, old) {
        let mut finding = bench
            .weigh(old, &subject, height)
            .by(by)
            .remedy(|| raise(bench, old, doorway));
        if finding.verdict != Verdict::Violates {
            finding.verdict = Verdict::Undetermined;
            let bevel = bench
                .rule(Measure::Bevel)
                .map_or_else(String::new, Rule::text);
            finding.remedy = Some(format!(
                "find out whether the existing threshold is bevelled on each side, at most {bevel}"
            ));
            finding = finding.note("not told: the bevels of the existing threshold".to_owned());
        }
        bench.push(old, finding);
        return;
    }
    let finding = finding.remedy(|| raise(bench, rule, doorway));
    bench.push(rule, finding);
}

fn raise(bench: &Bench, rule: &Rule, doorway: &Doorway) -> String {
    let more = bench.up(doorway.door.threshold - rule.length().unwrap_or(Length::ZERO));
    format!(
        "raise {} by {more}, or have a threshold of at most {} set",
        doorway.name,
        rule.text()
    )
}
