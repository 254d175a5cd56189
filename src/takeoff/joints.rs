//! Joints: isolation filler and sealant, contraction joints and the saw.
//!
//! Invariants: an isolation joint stands wherever new concrete meets what exists; a crease is a
//! joint of the upper of its two pieces. Absent here: where joints lie, when they are sawn.

use super::line::{Line, Net, Takeoff, pieces, steps};
use super::part::Part;
use super::words::{gallons, number, percent, stock};
use crate::catalog::{Class, FillerRow};
use crate::geometry::{EdgeLine, Stands};
use crate::job::{EdgeName, JointMethod};
use crate::quantity::{Length, Volume};

pub(super) fn take_off_joints(part: &Part, takeoff: &mut Takeoff) {
    let isolation: Vec<Length> = part
        .geometry
        .joints
        .isolation
        .iter()
        .filter(|joint| part.has(joint.piece))
        .map(|joint| joint.length)
        .chain(
            part.solids()
                .flat_map(|solid| solid.isolation.iter().copied()),
        )
        .collect();
    let length: Length = isolation.iter().sum();
    if length > Length::ZERO {
        if let Some(row) = find_filler(part) {
            takeoff.add(filler_line(part, (&isolation, length), row));
        }
        if part.job.joints.sealed {
            takeoff.add(sealant_line(part, length));
        }
    }
    let sawn = measure_joints(part);
    let saw = part.job.joints.method == JointMethod::Sawn && sawn > Length::ZERO;
    takeoff.add_if(saw && part.by.is_ours(), saw_line(part, sawn));
    takeoff.add_if(saw && part.by.is_ours(), blade_line(part, sawn));
    if part.by.is_ours() {
        takeoff.measures.isolation_length += length;
        takeoff.measures.joint_length += sawn;
        if part.job.joints.sealed {
            takeoff.measures.sealed_length += length;
        }
    }
}

/// The thinnest filler that fills the joint.
fn find_filler<'a>(part: &Part<'a>) -> Option<&'a FillerRow> {
    let rows = &part.catalog.joints;
    let wanted = part.job.joints.filler - rows.strip.tolerance;
    let fills = |row: &&FillerRow| row.thickness.at_least(wanted);
    rows.filler.iter().find(fills).or(rows.filler.last())
}

/// Contraction joints of a part: between its panels, and at creases with the piece below.
fn measure_joints(part: &Part) -> Length {
    let panels = part
        .geometry
        .joints
        .panels
        .iter()
        .filter(|grid| part.has(grid.piece));
    let between: Length = panels
        .map(|grid| {
            let surface = &part.geometry.surfaces[grid.piece];
            surface.width * f64::from(grid.along - 1)
                + surface.surface_length * f64::from(grid.across - 1)
        })
        .sum();
    let mut creases = Length::ZERO;
    let mut last = None;
    for (_, edge) in part.edges().filter(|(_, edge)| is_crease(edge)) {
        // A landing that turns back has its next run at the same edge; that crease is the run's.
        if last != Some(edge.piece) {
            creases += edge.length;
        }
        last = Some(edge.piece);
    }
    let around = part.solids().flat_map(|solid| &solid.contraction);
    between + creases + around.sum::<Length>()
}

fn is_crease(edge: &EdgeLine) -> bool {
    edge.name == EdgeName::Start && edge.stands == Stands::Joined
}

fn filler_line(part: &Part, (stretches, length): (&[Length], Length), row: &FillerRow) -> Line {
    /// More stretches than this are counted, not listed.
    const LISTED: usize = 8;
    let strip = &part.catalog.joints.strip;
    let strips = length * strip.waste.plus_one() / strip.length;
    let mut sum: Vec<String> = stretches
        .iter()
        .take(LISTED)
        .map(|stretch| part.words.bare_run(*stretch))
        .collect();
    if stretches.len() > LISTED {
        sum.push(format!("{} more", stretches.len() - LISTED));
    }
    let line = Line {
        description: part.name(|| {
            format!(
                "Isolation joint filler, {} x {}, {}",
                stock(row.thickness),
                part.words.tape(part.job.slab.thickness),
                stock(strip.length)
            )
        }),
        quantity: Net::Length(length),
        waste: strip.waste,
        working: part.say(|| {
            format!(
                "against walls and walks {} = {}; + {} / {} a strip; up",
                sum.join(" + "),
                part.words.run(length),
                percent(strip.waste),
                part.words.run(strip.length)
            )
        }),
        source: part.cite(&row.source),
        ..Line::blank(&row.code, "/joints/filler", part.by)
    };
    line.shared(strips, 1.0)
}

/// Sealant for a length of joint.
pub fn measure_sealant(length: Length, (width, depth): (Length, Length)) -> Volume {
    length * width * depth
}

fn sealant_line(part: &Part, length: Length) -> Line {
    let row = &part.catalog.joints.sealant;
    let (width, depth) = (part.job.joints.filler, part.job.joints.sealant_depth);
    let net = measure_sealant(length, (width, depth));
    let tubes = net * row.waste.plus_one() / row.tube;
    let how = if part.words.is_us() {
        format!(
            "{} x {} x {} in / 19.25",
            part.words.run(length),
            number(width.inches(), 3),
            number(depth.inches(), 3)
        )
    } else {
        format!(
            "{} x {} x {} mm / 3785.4",
            part.words.run(length),
            number(width.millimetres(), 1),
            number(depth.millimetres(), 1)
        )
    };
    let line = Line {
        description: part.name(|| "Joint sealant, 29 fl oz".to_owned()),
        quantity: Net::Liquid(net),
        waste: row.waste,
        working: part.say(|| {
            format!(
                "{how} = {} gal; + {} / {} gal a tube; up",
                gallons(net),
                percent(row.waste),
                number(row.tube.gallons(), 4)
            )
        }),
        source: part.cite(&row.source),
        ..Line::blank(&row.code, "/joints/sealed", part.by)
    };
    line.shared(tubes, 1.0)
}

/// What sawing takes of a blade, bought by the foot that it lasts.
fn blade_line(part: &Part, length: Length) -> Line {
    let kind = part.job.joints.saw.as_str();
    let rows = &part.catalog.joints.saw;
    let code = rows.iter().find(|row| row.saw == kind);
    let code = code.map_or("", |row| row.blade.as_str());
    Line {
        description: part.name(|| "Blade wear, foot of joint".to_owned()),
        quantity: Net::Length(length),
        order: steps(length.feet(), 1.0),
        order_unit: "ft",
        working: part.say(|| format!("{} of joint; up", part.words.run(length))),
        source: part.practice(),
        ..Line::blank(code, "/joints/saw", part.by)
    }
}

fn saw_line(part: &Part, length: Length) -> Line {
    let kind = part.job.joints.saw.as_str();
    saw_days(part, (kind, length), "/joints/saw", || {
        format!(
            "creases and joints between panels {}, {} deep",
            part.words.run(length),
            part.words.tape(part.job.joints.depth)
        )
    })
}

/// Days of a saw for a length of cut; an order of none where no row names the saw.
pub(super) fn saw_days(
    part: &Part,
    (kind, length): (&str, Length),
    of: &'static str,
    what: impl FnOnce() -> String,
) -> Line {
    let Some(row) = part.catalog.joints.saw.iter().find(|row| row.saw == kind) else {
        return Line {
            order: pieces(0.0),
            ..Line::blank("", of, part.by)
        };
    };
    Line {
        description: part.name(|| row.name.clone()),
        class: Class::Equipment,
        quantity: Net::Length(length),
        order: pieces(length / row.a_day),
        working: part.say(|| format!("{}; / {} a day; up", what(), part.words.run(row.a_day))),
        source: part.cite(&row.source),
        ..Line::blank(&row.code, of, part.by)
    }
}
