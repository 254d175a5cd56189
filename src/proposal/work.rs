//! Section 2: the work that the price contains, from the tasks that the crew is paid for.
//!
//! Invariant: no work is named that no task stands for, so that what others do never appears.

use super::text::{filled, say, work_rows};
use super::{Offer, ProposalSection, ProposalSite, ProposalTable};
use crate::geometry::SurfaceKind;
use crate::job::{By, CuringMethod, Element, Finish, Job, Stone, ThicknessMeasured, Work};
use crate::quantity::{Length, System, round_to};

pub(super) fn included(offer: &Offer<'_>) -> ProposalSection {
    let mut section = ProposalSection::new(2);
    if let Some(site) = offer.site {
        section.say(&say().numbers, &numbers(site));
        section.table = Some(pieces(site));
    }
    let facts = facts(offer);
    for row in work_rows() {
        let done = row.tasks.iter().any(|code| has_task(offer, code));
        if done {
            let less = row.less.as_ref().and_then(|less| filled(less, &facts));
            section.points.extend(filled(&row.says, &facts).or(less));
        }
    }
    if let Some(list) = offer.site.and_then(|site| built_with(&site.job)) {
        section
            .points
            .extend(filled(&say().built_with, &[("list", list)]));
    }
    section
}

/// What we build beside the path, by its kind; none where there is nothing.
fn built_with(job: &Job) -> Option<String> {
    let elements = job.elements.iter().filter_map(|element| {
        let (kind, by, count) = match element {
            Element::Walk(walk) => ("walk", walk.by, 1),
            Element::Slab(slab) => ("slab", slab.by, slab.count),
            Element::ThickenedEdge(edge) => ("thickened edge", edge.by, 1),
            Element::TurnDown(edge) => ("turned-down edge", edge.by, 1),
            Element::StripFooting(footing) => ("strip footing", footing.by, 1),
            Element::FrostWall(wall) => ("frost wall", wall.by, 1),
            Element::TieIn(tie) => ("tie-in to what stands there", tie.by, 1),
        };
        (by != By::Others).then_some((kind, count))
    });
    let steps = job
        .ramp
        .steps
        .iter()
        .filter_map(|steps| steps.build.as_ref());
    let steps = steps
        .filter(|build| build.by != By::Others)
        .map(|_| ("flight of steps", 1));
    let ramps = job
        .ramp
        .curb_ramps
        .iter()
        .filter_map(|ramp| ramp.build.as_ref());
    let ramps = ramps
        .filter(|build| build.by != By::Others)
        .map(|_| ("curb ramp", 1));
    let mut kinds: Vec<(&str, u32)> = Vec::new();
    for (kind, more) in elements.chain(steps).chain(ramps) {
        match kinds.iter_mut().find(|(known, _)| *known == kind) {
            Some((_, count)) => *count = count.saturating_add(more),
            None => kinds.push((kind, more)),
        }
    }
    let words = kinds
        .iter()
        .map(|(kind, count)| format!("{count} × {kind}"));
    let words: Vec<String> = words.collect();
    (!words.is_empty()).then(|| words.join(", "))
}

fn has_task(offer: &Offer<'_>, code: &str) -> bool {
    tasks(offer).any(|(known, ..)| known == code)
}

/// Code, value and unit of every task.
fn tasks<'a>(offer: &'a Offer<'_>) -> impl Iterator<Item = (&'a str, f64, &'a str)> {
    let hours = offer.answer.crew_hours.iter();
    let tasks = hours.flat_map(|hours| hours.tasks.iter().flatten());
    tasks.map(|task| {
        let quantity = &task.quantity;
        (task.code.as_str(), quantity.value, quantity.unit.as_str())
    })
}

/// A count with its word.
pub(super) fn counted(count: usize, one: &str, many: &str) -> String {
    match count {
        1 => format!("1 {one}"),
        count => format!("{count} {many}"),
    }
}

fn numbers(site: &ProposalSite) -> Vec<(&'static str, String)> {
    let system = site.job.units;
    let surfaces = &site.geometry.surfaces;
    let of_kind = |kind| {
        surfaces
            .iter()
            .filter(|surface| surface.kind == kind)
            .count()
    };
    let length: Length = surfaces.iter().map(|surface| surface.plan_length).sum();
    let rise = surfaces
        .last()
        .map_or(Length::ZERO, |last| last.elevation_end);
    vec![
        ("runs", counted(of_kind(SurfaceKind::Run), "run", "runs")),
        (
            "landings",
            counted(of_kind(SurfaceKind::Landing), "landing", "landings"),
        ),
        ("rise", rise.tape(system)),
        ("length", length.tape(system)),
    ]
}

/// Every piece of the path in numbers.
fn pieces(site: &ProposalSite) -> ProposalTable {
    let system = site.job.units;
    let row = |(n, surface): (usize, &crate::geometry::Surface)| {
        // As the drawings count them.
        let kind = match surface.kind {
            SurfaceKind::Run => "Run",
            SurfaceKind::Landing => "Landing",
        };
        let existing = match surface.work {
            Work::New => "",
            Work::Existing => ", existing",
        };
        vec![
            format!("{kind} {n}{existing}"),
            surface.plan_length.tape(system),
            surface.width.tape(system),
            surface.clear_width.tape(system),
            format!("{} %", round_to(surface.slope.percent().abs(), 2)),
        ]
    };
    ProposalTable {
        heads: ["Piece", "Length", "Slab", "Clear", "Slope"]
            .map(str::to_owned)
            .to_vec(),
        rows: site.geometry.surfaces.iter().enumerate().map(row).collect(),
        figures: 4,
    }
}

fn facts(offer: &Offer<'_>) -> Vec<(&'static str, String)> {
    let mut facts = sums(offer);
    if let Some(site) = offer.site {
        facts.extend(of_job(&site.job));
    }
    facts
}

/// What the tasks measure, summed by what is said of them.
const SUMMED: [(&str, &[&str]); 14] = [
    ("cut-existing", &["cut-existing"]),
    ("break-out", &["break-out"]),
    ("fine-grade", &["fine-grade"]),
    (
        "form-edges",
        &["form-edge-low", "form-edge-high", "form-edge-slope"],
    ),
    ("form-side", &["form-side"]),
    ("form-wall", &["form-wall"]),
    ("form-on-wall", &["form-on-wall"]),
    ("form-curb", &["form-curb"]),
    ("isolation-filler", &["isolation-filler"]),
    ("saw", &["saw-early-entry", "saw-conventional"]),
    ("seal-joints", &["seal-joints"]),
    ("dig", &["dig-hand", "dig-machine"]),
    ("fill-back", &["fill-back"]),
    ("footings-walls", &["footings-walls"]),
];
/// Units that take two decimals on paper; the others take none.
const VOLUMES: [&str; 2] = ["yd3", "m3"];
const PLACED: &str = "place-";

fn sums(offer: &Offer<'_>) -> Vec<(&'static str, String)> {
    let summed = SUMMED.iter().filter_map(|(name, codes)| {
        let of = tasks(offer).filter(|(code, ..)| codes.contains(code));
        sum_of(of).map(|words| (*name, words))
    });
    let placed = tasks(offer).filter(|(code, ..)| code.starts_with(PLACED));
    summed
        .chain(sum_of(placed).map(|words| ("concrete", words)))
        .collect()
}

fn sum_of<'a>(tasks: impl Iterator<Item = (&'a str, f64, &'a str)>) -> Option<String> {
    let all: Vec<_> = tasks.collect();
    let (_, _, unit) = all.first()?;
    let places = if VOLUMES.contains(unit) { 2 } else { 0 };
    let sum: f64 = all.iter().map(|(_, value, _)| value).sum();
    Some(format!("{} {unit}", round_to(sum, places)))
}

fn of_job(job: &Job) -> Vec<(&'static str, String)> {
    let system = job.units;
    let mut facts = vec![
        ("mix", mix(job)),
        ("thickness", job.slab.thickness.tape(system)),
        ("square", square(job).to_owned()),
        ("finish", finish(job.slab.finish).to_owned()),
        ("joint", job.joints.depth.tape(system)),
        ("spacing", job.joints.spacing.tape(system)),
        ("filler", job.joints.filler.tape(system)),
        ("cure", cure(job)),
    ];
    if let Some(curb) = &job.ramp.curb.as_option() {
        let words = format!(
            "{} wide and {} high",
            curb.width.tape(system),
            curb.height.tape(system)
        );
        facts.push(("curb", words));
    }
    facts.extend(poured_before(job).map(|words| ("before", words.to_owned())));
    facts.extend(below_and_within(job));
    facts
}

/// What of ours is poured before the ramp; none where nothing is.
fn poured_before(job: &Job) -> Option<&'static str> {
    let ours = |element: &Element| match element {
        Element::StripFooting(footing) => (footing.by.is_ours(), false),
        Element::FrostWall(wall) => (false, wall.by.is_ours()),
        _ => (false, false),
    };
    let has = |wanted: fn((bool, bool)) -> bool| job.elements.iter().map(ours).any(wanted);
    match (has(|one| one.0), has(|one| one.1)) {
        (true, true) => Some("footings and walls"),
        (true, false) => Some("footings"),
        (false, true) => Some("walls"),
        (false, false) => None,
    }
}

/// Stone, insulation, steel and sealer, each where the job has it.
fn below_and_within(job: &Job) -> Vec<(&'static str, String)> {
    let system = job.units;
    let mut facts = Vec::new();
    if let Some(base) = job.base.as_option() {
        facts.push(("depth", base.depth.tape(system)));
        facts.push(("beyond", base.beyond_edge.tape(system)));
        let stone = match base.material {
            Stone::DenseGraded => "dense-graded stone",
            Stone::Clean => "clean stone",
        };
        facts.push(("stone", stone.to_owned()));
    }
    if let Some(board) = job.insulation.as_option() {
        facts.push(("board", board.thickness.tape(system)));
    }
    if let Some(steel) = job
        .reinforcement
        .as_option()
        .filter(|steel| steel.wire.is_none())
    {
        let (along, across) = (
            steel.spacing_along.tape(system),
            steel.spacing_across.tape(system),
        );
        let every = if along == across {
            along
        } else {
            format!("{along} and {across}")
        };
        facts.push(("bars", format!("{} bars at {every}", steel.bar.as_str())));
    }
    if let Some(sealer) = job.sealer.as_option() {
        facts.push(("sealer", sealer.product.as_str().replace('_', " ")));
        facts.push((
            "age",
            format!("{} days", round_to(sealer.earliest_age.days(), 1)),
        ));
    }
    facts
}

fn mix(job: &Job) -> String {
    let mix = &job.slab.concrete;
    let strength = match job.units {
        System::Us => format!("{} psi", round_to(mix.strength.psi(), 0)),
        System::Metric => format!("{} MPa", round_to(mix.strength.megapascals(), 1)),
    };
    format!("{strength}, {} % air", round_to(mix.air.percent(), 1))
}

const fn square(job: &Job) -> &'static str {
    match job.slab.thickness_measured {
        ThicknessMeasured::SquareToSurface => ", measured square to the surface",
        ThicknessMeasured::Vertical => ", measured plumb",
    }
}

const fn finish(finish: Finish) -> &'static str {
    match finish {
        Finish::Broom => "broom across the way of travel",
        Finish::Float => "leave it floated",
        Finish::Exposed => "leave it for exposing its stone",
    }
}

fn cure(job: &Job) -> String {
    let days = format!("{} days", round_to(job.curing.duration.days(), 1));
    match job.curing.method {
        CuringMethod::WetCover => format!("{days} under a wet cover"),
        CuringMethod::Compound => format!("{days} with a curing compound"),
    }
}
