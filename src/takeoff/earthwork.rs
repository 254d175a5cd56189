//! Breaking out, digging and hauling; holes for dowels.
//!
//! Invariants: what is filled back is taken off what is hauled; a trench is as deep as what stands in it.
//! Absent here: shoring, buried lines, the price of a tip.
//!
//! # Source
//! Loose = bank x (1 + swell), compacted = bank x (1 - shrink), as the rows say.

use super::joints::saw_days;
use super::line::{AROUND, Line, Need, Net, Takeoff, pieces};
use super::part::Part;
use super::stone::Under;
use super::words::{number, percent, yards};
use crate::catalog::{Class, SoilRow};
use crate::geometry::{Replaced, Trench};
use crate::job::{By, Earthwork};
use crate::quantity::{Area, Length, Volume};

const OF: &str = "/earthwork";

/// Volumes of earthwork.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
struct Moved {
    /// Existing concrete, as it stands.
    broken: Volume,
    broken_area: Area,
    sawn: Length,
    /// In the bank.
    dug: Volume,
    /// Filled back, compacted.
    returned: Volume,
}

pub(super) fn take_off_earthwork(part: &Part, takeoff: &mut Takeoff) {
    take_off_dowels(part, takeoff);
    let mut moved = Moved::default();
    for replaced in part.solids().filter_map(|solid| solid.replaced.as_ref()) {
        moved.add(replaced.area, (replaced.thickness, replaced.sawn));
    }
    let asked = part.job.earthwork.as_ref();
    let ours = asked.filter(|work| work.by == part.by);
    let mut soil = None;
    if let Some(work) = ours {
        dig(part, work, &mut moved);
        soil = find_soil(part, work);
    }
    if moved == Moved::default() {
        return;
    }
    if part.by == By::Us {
        add_lines(part, (&moved, soil), takeoff);
    } else {
        takeoff.needs.push(Need {
            what: "breaking out and digging".to_owned(),
            from: part.by,
            of: OF.to_owned(),
        });
    }
    if part.by.is_ours() {
        let measures = &mut takeoff.measures;
        measures.broken_area += moved.broken_area;
        measures.dug_volume += moved.dug;
        measures.returned_volume += moved.returned;
        measures.cut_length += moved.sawn;
    }
}

impl Moved {
    fn add(&mut self, area: Area, (thickness, sawn): (Length, Length)) {
        self.broken_area += area;
        self.broken += area * thickness;
        self.sawn += sawn;
    }
}

fn find_soil<'a>(part: &Part<'a>, work: &Earthwork) -> Option<&'a SoilRow> {
    let rows = &part.catalog.earthwork.soil;
    rows.iter().find(|row| row.soil == work.soil.as_str())
}

fn dig(part: &Part, work: &Earthwork, moved: &mut Moved) {
    for place in &work.break_out {
        moved.add(place.area, (place.thickness, place.sawn));
    }
    let under = match part.job.base.as_option() {
        Some(base) => Under::of(part, base).area,
        None => part.path_area() + part.solids().map(|solid| solid.bed.area).sum::<Area>(),
    };
    moved.dug += under * work.depth;
    for trench in part.solids().filter_map(|solid| solid.trench.as_ref()) {
        let (dug, returned) = measure_trench(trench, work.working_room);
        moved.dug += dug;
        moved.returned += returned;
    }
}

/// What is dug for a trench, and what is filled back beside what stands in it.
fn measure_trench(trench: &Trench, room: Length) -> (Volume, Volume) {
    let beside = room * f64::from(trench.open_sides);
    let along = trench.length * trench.depth;
    (along * (trench.width + beside), along * beside)
}

fn add_lines(part: &Part, (moved, soil): (&Moved, Option<&SoilRow>), takeoff: &mut Takeoff) {
    if moved.sawn > Length::ZERO {
        takeoff.add(saw_line(part, moved.sawn));
    }
    if moved.broken > Volume::ZERO {
        takeoff.add(breaker_line(part, moved));
    }
    let machine = &part.catalog.earthwork.machine;
    if !moved.dug.at_most(machine.from) {
        takeoff.add(machine_line(part, moved));
    }
    takeoff.add(haul_line(part, (moved, soil)));
}

fn saw_line(part: &Part, length: Length) -> Line {
    saw_days(part, ("conventional", length), OF, || {
        format!("existing concrete cut along {}", part.words.run(length))
    })
}

fn breaker_line(part: &Part, moved: &Moved) -> Line {
    let row = &part.catalog.earthwork.breaker;
    Line {
        description: part.name(|| "Concrete breaker, day".to_owned()),
        class: Class::Equipment,
        quantity: Net::Area(moved.broken_area),
        order: pieces(moved.broken_area / row.a_day),
        working: part.say(|| {
            format!(
                "{} broken out, {} as it stands; / {} a day; up",
                part.words.area(moved.broken_area),
                part.words.space(moved.broken),
                part.words.area(row.a_day)
            )
        }),
        source: part.cite(&row.source),
        ..Line::blank(&row.code, OF, part.by)
    }
}

fn machine_line(part: &Part, moved: &Moved) -> Line {
    let row = &part.catalog.earthwork.machine;
    Line {
        description: part.name(|| "Small excavator, day".to_owned()),
        class: Class::Equipment,
        quantity: Net::Volume(moved.dug),
        order: pieces(moved.dug / row.a_day),
        working: part.say(|| {
            format!(
                "{} yd3 in the bank; / {} yd3 a day; up",
                yards(moved.dug),
                number(row.a_day.cubic_yards(), 1)
            )
        }),
        source: part.cite(&row.source),
        ..Line::blank(&row.code, OF, part.by)
    }
}

/// Bank volume that leaves the site: what is filled back compacted takes more than its own volume.
fn leaving(moved: &Moved, soil: Option<&SoilRow>) -> Volume {
    let shrink = soil.map_or(0.0, |row| row.shrink.fraction());
    (moved.dug - moved.returned * (1.0 / (1.0 - shrink))).max(Volume::ZERO)
}

fn haul_line(part: &Part, (moved, soil): (&Moved, Option<&SoilRow>)) -> Line {
    let rows = &part.catalog.earthwork;
    let ground = leaving(moved, soil);
    let loose = ground * soil.map_or(1.0, |row| row.swell.plus_one());
    let rubble = moved.broken * rows.broken.swell.plus_one();
    let all = loose + rubble;
    let line = Line {
        description: part.name(|| "Load to the tip".to_owned()),
        class: Class::Fee,
        quantity: Net::Volume(all),
        working: part.say(|| {
            let swell = soil.map_or_else(String::new, |row| percent(row.swell));
            format!(
                "ground {} yd3 dug, {} yd3 filled back, {} yd3 leave the bank, + {swell} = {} yd3 loose; \
                 concrete {} yd3 + {} = {} yd3; {} yd3 / {} yd3 a load; up",
                yards(moved.dug),
                yards(moved.returned),
                yards(ground),
                yards(loose),
                yards(moved.broken),
                percent(rows.broken.swell),
                yards(rubble),
                yards(all),
                number(rows.haul.holds.cubic_yards(), 1)
            )
        }),
        source: part.cite(&rows.haul.source),
        ..Line::blank(&rows.haul.code, OF, part.by)
    };
    line.shared(all / rows.haul.holds, 1.0)
}

/// Holes drilled into what stays; the dowels themselves are bars.
fn take_off_dowels(part: &Part, takeoff: &mut Takeoff) {
    let replaced = part.solids().filter_map(|solid| solid.replaced.as_ref());
    let holes: u32 = replaced.map(|replaced: &Replaced| replaced.dowels).sum();
    if holes == 0 {
        return;
    }
    let row = &part.catalog.earthwork.adhesive;
    let line = Line {
        description: part.name(|| "Adhesive for dowels, cartridge".to_owned()),
        quantity: Net::Count(f64::from(holes)),
        working: part.say(|| format!("{holes} holes / {} a cartridge; up", number(row.holes, 0))),
        source: part.cite(&row.source),
        ..Line::blank(&row.code, AROUND, part.by)
    };
    takeoff.add(line.shared(f64::from(holes) / row.holes, 1.0));
    if part.by.is_ours() {
        takeoff.measures.dowel_holes += f64::from(holes);
    }
}
