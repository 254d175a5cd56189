//! Around the slab: handrails, fill, backfill, paving, permit, traffic, and what others must give.
//!
//! Invariants: what is by others is a need, whatever it costs; what is ours and has no quantity here
//! is one line of one, so that a price without it is incomplete. Absent here: the slab.

use super::forms::count_holders;
use super::line::{Line, Need, Net, Takeoff, pieces, steps};
use super::part::{Detail, Given};
use super::words::{Words, number};
use crate::catalog::Class;
use crate::geometry::{Stands, SurfaceKind};
use crate::job::{By, EdgeKind, Handrails, Job, Placing, SiteWork, Support};
use crate::quantity::Length;

pub(super) fn take_off_rails(given: Given<'_>, takeoff: &mut Takeoff) {
    let (job, geometry, detail) = (given.job, given.geometry, given.detail);
    let Some(rails) = job.ramp.handrails.as_option() else {
        return;
    };
    let runs: Vec<Length> = geometry
        .new_surfaces()
        .filter(|surface| surface.kind == SurfaceKind::Run)
        .map(|surface| surface.surface_length)
        .collect();
    if runs.is_empty() {
        return;
    }
    let length = measure_rails(&runs, rails);
    takeoff.add(Line {
        description: detail.name(|| "Handrail with extensions".to_owned()),
        quantity: Net::Length(length),
        order: steps(length.feet(), 1.0),
        order_unit: "ft",
        working: detail.say(|| explain_rails(Words(job.units), (&runs, rails), length)),
        source: detail.practice(),
        ..Line::blank("handrail-ft", "/ramp/handrails", rails.by)
    });
    if rails.by.is_ours() {
        takeoff.measures.handrail_length += length;
        takeoff.add(anchor_line(given, (&runs, rails)));
    }
}

/// Anchors of the posts: one at each end of a rail and between.
fn anchor_line(given: Given<'_>, (runs, rails): (&[Length], &Handrails)) -> Line {
    let row = &given.catalog.rails.post;
    let of_run = |run: &Length| f64::from(count_holders(*run, row.spacing));
    let posts = runs.iter().map(of_run).sum::<f64>() * sides(rails);
    let anchors = posts * row.anchors;
    Line {
        description: given.detail.name(|| row.name.clone()),
        quantity: Net::Count(anchors),
        order: pieces(anchors),
        working: given.detail.say(|| {
            format!(
                "posts at each end of a run and every {} at most: {}, x {} anchors",
                Words(given.job.units).tape(row.spacing),
                number(posts, 0),
                number(row.anchors, 0)
            )
        }),
        source: given.detail.cite(&row.source),
        ..Line::blank(&row.code, "/ramp/handrails", rails.by)
    }
}

/// Rail along each run and its level extensions past both ends, on each side that has one.
pub fn measure_rails(runs: &[Length], rails: &Handrails) -> Length {
    let extension = rails.extension.unwrap_or(Length::ZERO);
    let one_side: Length = runs.iter().map(|run| *run + extension * 2.0).sum();
    one_side * sides(rails)
}

const fn sides(rails: &Handrails) -> f64 {
    if matches!(rails.both_sides, Some(false)) {
        1.0
    } else {
        2.0
    }
}

fn explain_rails(words: Words, (runs, rails): (&[Length], &Handrails), length: Length) -> String {
    let along: Length = runs.iter().sum();
    let extension = rails.extension.map_or_else(
        || "extensions not stated".to_owned(),
        |extension| format!("{} extensions of {}", runs.len() * 2, words.tape(extension)),
    );
    format!(
        "{} of run and {extension}, x {} sides = {}",
        words.run(along),
        number(sides(rails), 0),
        words.run(length)
    )
}

pub(super) fn take_off_site_work(given: Given<'_>, takeoff: &mut Takeoff) {
    let (job, geometry, detail) = (given.job, given.geometry, given.detail);
    let work = &job.site_work;
    if work.backfill.is_ours() {
        let open = geometry
            .new_edges()
            .filter(|edge| edge.stands == Stands::Edge(EdgeKind::Formed));
        takeoff.measures.backfill_length = open.map(|edge| edge.length).sum();
    }
    take_off_barrier(given, takeoff);
    if work.permit == By::Us {
        takeoff.add(Line {
            description: detail.name(|| "Permit fee".to_owned()),
            class: Class::Fee,
            working: detail.say(|| "1 permit".to_owned()),
            source: detail.practice(),
            ..Line::blank("permit-fee", "/site_work/permit", By::Us)
        });
    }
    take_off_sums(given, takeoff);
    if detail != Detail::Amounts {
        list_needs(job, takeoff);
    }
}

/// What of the work beside the ramp is ours at one sum each.
fn take_off_sums(given: Given<'_>, takeoff: &mut Takeoff) {
    let (job, work) = (given.job, &given.job.site_work);
    // A solid ramp stands on its own concrete.
    let fill = if job.ramp.support == Support::Solid {
        By::Others
    } else {
        work.fill
    };
    let sums = [
        (
            "fill",
            "/site_work/fill",
            "Walls and fill to the underside of the stone",
            fill,
        ),
        (
            "paving",
            "/site_work/paving",
            "Paving against the ramp",
            work.paving,
        ),
        (
            "traffic-control",
            "/site_work/traffic_control",
            "Traffic and pedestrian control",
            work.traffic_control,
        ),
    ];
    for (code, of, what, _) in sums.into_iter().filter(|(.., by)| *by == By::Us) {
        takeoff.add(one_sum(given.detail, (code, of, what)));
    }
}

/// Work beside the ramp that is ours and has no measure.
fn one_sum(detail: Detail, (code, of, what): (&str, &'static str, &str)) -> Line {
    Line {
        description: detail.name(|| what.to_owned()),
        class: Class::Sub,
        working: detail.say(|| "not measured: one sum".to_owned()),
        source: detail.practice(),
        ..Line::blank(code, of, By::Us)
    }
}

/// A rail or barrier of ours along every open edge; what it costs is the office's to say.
fn take_off_barrier(given: Given<'_>, takeoff: &mut Takeoff) {
    let (job, geometry, detail) = (given.job, given.geometry, given.detail);
    let Some(barrier) = job
        .ramp
        .barrier
        .as_option()
        .filter(|barrier| barrier.by.is_ours())
    else {
        return;
    };
    let open: Length = geometry
        .new_edges()
        .filter(|edge| edge.is_formed())
        .map(|edge| edge.length)
        .sum();
    let words = Words(job.units);
    takeoff.add(Line {
        description: detail.name(|| "Rail or barrier along open edges".to_owned()),
        quantity: Net::Length(open),
        order: steps(open.feet(), 1.0),
        order_unit: "ft",
        working: detail.say(|| format!("open edges {}", words.run(open))),
        source: detail.practice(),
        ..Line::blank("barrier-ft", "/ramp/barrier", barrier.by)
    });
}

/// What lies between the finished surface and the fill.
fn fill_depth(job: &Job) -> Length {
    let board = job
        .insulation
        .as_option()
        .map_or(Length::ZERO, |board| board.thickness);
    let stone = job.base.as_option().map_or(Length::ZERO, |base| base.depth);
    job.slab.thickness + board + stone
}

/// What stands around a ramp, who does it, and where the job says so.
#[rustfmt::skip]
const fn site_work_needs(work: &SiteWork) -> [(&'static str, By, &'static str); 5] {
    [
        ("backfill along the open edges once the forms are off", work.backfill, "/site_work/backfill"),
        ("paving raised and laid against the ramp", work.paving, "/site_work/paving"),
        ("permit, and the calls for inspection", work.permit, "/site_work/permit"),
        ("buried lines located and marked", work.locate, "/site_work/locate"),
        ("traffic and pedestrian control", work.traffic_control, "/site_work/traffic_control"),
    ]
}

fn list_needs(job: &Job, takeoff: &mut Takeoff) {
    let (words, work) = (Words(job.units), &job.site_work);
    let depth = words.tape(fill_depth(job));
    let mut needs = Vec::new();
    if job.ramp.support != Support::Solid {
        let fill = format!("walls and compacted fill, up to {depth} below the finished surface");
        needs.push((fill, work.fill, "/site_work/fill"));
    }
    for (what, by, of) in site_work_needs(work) {
        needs.push((what.to_owned(), by, of));
    }
    if let Some(barrier) = job.ramp.barrier.as_option() {
        needs.push((
            "rail or barrier along the open edges".to_owned(),
            barrier.by,
            "/ramp/barrier",
        ));
    }
    if job.crew.placing != Placing::Bags {
        let reach = words.tape(job.site.truck_to_pour);
        let truck = format!("a way for a loaded mixer to within {reach} of the forms");
        needs.push((truck, By::Others, "/site/truck_to_pour"));
    }
    needs.push((
        "water, and a place to wash out".to_owned(),
        By::Others,
        "/site",
    ));
    let of_others = needs.into_iter().filter(|(_, by, _)| *by != By::Us);
    takeoff.needs.extend(of_others.map(|(what, from, of)| Need {
        what,
        from,
        of: of.to_owned(),
    }));
}
