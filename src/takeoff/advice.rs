//! Advices: what a person should know before the order goes out.
//!
//! Invariants: an advice never changes a quantity; each says what it rests on. Absent here: rules of
//! accessibility, weather.

use super::line::{Advice, Takeoff};
use super::words::{Words, number};
use crate::catalog::{Catalog, Fit};
use crate::geometry::{Geometry, Stands};
use crate::job::{EdgeKind, Job, Piece, Placing, Work};
use crate::quantity::{Citation, Slope, Span};

/// What advices are drawn from.
#[derive(Clone, Copy)]
pub(super) struct Drawn<'a> {
    pub(super) job: &'a Job,
    pub(super) geometry: &'a Geometry,
    pub(super) catalog: &'a Catalog,
}

pub(super) fn advise(drawn: Drawn, takeoff: &mut Takeoff) {
    let advices = [
        judge_pair(drawn),
        check_sealer_age(drawn),
        check_slump(drawn, takeoff.measures.steepest),
        check_chute(drawn),
        check_screws(drawn),
        check_spacing(drawn),
        check_bags(drawn, takeoff),
        check_flares(drawn),
    ];
    takeoff.advices.extend(advices.into_iter().flatten());
    takeoff.advices.extend(warn_of_joints(drawn));
}

fn advice(of: &str, kind: &'static str, text: String, source: &Citation) -> Option<Advice> {
    Some(Advice {
        of: of.to_owned(),
        kind,
        text,
        source: source.clone(),
    })
}

fn judge_pair(drawn: Drawn) -> Option<Advice> {
    let sealer = drawn.job.sealer.as_option()?;
    let (method, product) = (drawn.job.curing.method.as_str(), sealer.product.as_str());
    let row = drawn.catalog.find_pair(method, product)?;
    let verdict = match row.fit {
        Fit::Fits => return None,
        Fit::FitsAfterRemoval => "does not fit until it is removed",
        Fit::DoesNotFit => "does not fit",
    };
    let curing = method.replace('_', " ");
    let text = format!(
        "curing by {curing} under {product}: {verdict}; {}; cure with a wet cover instead",
        row.why
    );
    advice("/sealer", "cure_and_sealer", text, &row.source)
}

fn days(span: Span) -> String {
    format!("{} d", number(span.days(), 1))
}

fn check_sealer_age(drawn: Drawn) -> Option<Advice> {
    let sealer = drawn.job.sealer.as_option()?;
    let product = sealer.product.as_str();
    let row = drawn
        .catalog
        .curing
        .sealer
        .iter()
        .find(|row| row.product == product)?;
    if sealer.earliest_age.at_least(row.least_age) {
        return None;
    }
    let text = format!(
        "{product} at {} is before the product's own least age of {}; its label wins",
        days(sealer.earliest_age),
        days(row.least_age)
    );
    advice("/sealer/earliest_age", "sealer_age", text, &row.source)
}

fn check_slump(drawn: Drawn, steepest: Slope) -> Option<Advice> {
    let (row, slump) = (&drawn.catalog.concrete.slump, drawn.job.slab.concrete.slump);
    if steepest.at_most(row.from) || slump.at_most(row.most_on_slope) {
        return None;
    }
    let words = Words(drawn.job.units);
    let text = format!(
        "slump {} on a slope of {} %: it will not hold its shape when struck off; order at most {}",
        words.tape(slump),
        number(steepest.percent(), 2),
        words.tape(row.most_on_slope)
    );
    advice("/slab/concrete/slump", "slump", text, &row.source)
}

fn check_chute(drawn: Drawn) -> Option<Advice> {
    if drawn.job.crew.placing != Placing::Chute {
        return None;
    }
    let method = Placing::Chute.as_str();
    let row = drawn
        .catalog
        .concrete
        .placing
        .iter()
        .find(|row| row.method == method)?;
    let (reach, away) = (row.reach?, drawn.job.site.truck_to_pour);
    if away.at_most(reach) {
        return None;
    }
    let words = Words(drawn.job.units);
    let text = format!(
        "the truck stands {} from the forms and a chute reaches about {}: plan a barrow, a buggy or a pump",
        words.tape(away),
        words.tape(reach)
    );
    advice("/site/truck_to_pour", "chute_reach", text, &row.source)
}

fn check_screws(drawn: Drawn) -> Option<Advice> {
    let on_wall = |stands: Stands| stands == Stands::Edge(EdgeKind::FormOnWall);
    drawn
        .geometry
        .new_edges()
        .find(|edge| on_wall(edge.stands))?;
    let row = &drawn.catalog.forms.screw;
    let words = Words(drawn.job.units);
    let text = format!(
        "a {} screw through a {} board leaves {} in the wall, {} the least embedment of {}; {} leaves {}",
        words.tape(row.usual),
        words.tape(row.board),
        words.tape(row.usual - row.board),
        if (row.usual - row.board).at_least(row.least_embedment) {
            "just"
        } else {
            "less than"
        },
        words.tape(row.least_embedment),
        words.tape(row.length),
        words.tape(row.length - row.board)
    );
    advice("/forms", "screw_embedment", text, &row.source)
}

fn check_spacing(drawn: Drawn) -> Option<Advice> {
    let steel = drawn.job.reinforcement.as_option()?;
    let row = &drawn.catalog.steel.shrinkage;
    let most = row.most.min(drawn.job.slab.thickness * row.thicknesses);
    let widest = steel.spacing_along.max(steel.spacing_across);
    if widest.at_most(most) {
        return None;
    }
    let words = Words(drawn.job.units);
    let text = format!(
        "bars at {} are wider apart than the {} of shrinkage steel in structural slabs; a slab on the \
         ground is outside that rule, this is only a note",
        words.tape(widest),
        words.tape(most)
    );
    advice("/reinforcement", "bar_spacing", text, &row.source)
}

fn check_bags(drawn: Drawn, takeoff: &Takeoff) -> Option<Advice> {
    let (row, order) = (&drawn.catalog.concrete.bags_pay, &takeoff.concrete);
    let bagged = drawn.job.crew.placing == Placing::Bags;
    let small = !order.net.is_zero() && order.net.at_most(row.below);
    if bagged == small || order.net.is_zero() {
        return None;
    }
    let net = number(order.net.cubic_yards(), 2);
    let limit = number(row.below.cubic_yards(), 2);
    let text = if bagged {
        format!(
            "{net} yd3 from {} bags: above about {limit} yd3 a truck is less work",
            order.bags
        )
    } else {
        format!(
            "{net} yd3 would be {} bags: below about {limit} yd3 bags usually pay",
            order.bags
        )
    };
    advice("/crew/placing", "bags", text, &row.source)
}

fn check_flares(drawn: Drawn) -> Option<Advice> {
    let flared = |piece: &Piece| matches!(piece, Piece::Run(run) if run.work == Work::New && run.flare.is_some());
    let index = drawn.job.ramp.path.iter().position(flared)?;
    let of = format!("{}/flare", crate::geometry::piece_pointer(index));
    let text = "flared sides are judged but not taken off: add their concrete and forms".to_owned();
    advice(&of, "flare", text, &Citation::practice())
}

fn warn_of_joints(drawn: Drawn) -> impl Iterator<Item = Advice> {
    let words = Words(drawn.job.units);
    drawn
        .geometry
        .joints
        .warnings
        .iter()
        .map(move |warning| Advice {
            of: warning.subject.clone(),
            kind: "joint_spacing",
            text: format!(
                "a panel of {} is longer than {} times the thickness, {}",
                words.tape(warning.panel),
                number(warning.factor, 0),
                words.tape(warning.limit)
            ),
            source: warning.source.clone(),
        })
}
