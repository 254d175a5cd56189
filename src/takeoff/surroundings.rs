//! Around the slab: fill, backfill, paving, permit, traffic, and what others must give.
//!
//! Invariants: what is by others is a need, whatever it costs; what is ours and has no quantity here
//! is one line of one, so that a price without it is incomplete. Absent here: the slab.

use super::line::{Line, Need, Net, Takeoff, steps};
use super::part::{Detail, Given};
use super::words::Words;
use crate::catalog::Class;
use crate::geometry::Stands;
use crate::job::{By, EdgeKind, Job, Placing, SiteWork, Support};
use crate::quantity::Length;

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
