//! Advices: what a person should know before the order goes out.
//!
//! Invariants: an advice never changes a quantity; each says what it rests on. Absent here: rules of
//! accessibility, weather.

use super::line::{Advice, Takeoff};
use super::part::Given;
use super::words::{Words, number};
use crate::catalog::Fit;
use crate::geometry::Stands;
use crate::job::{EdgeKind, Piece, Placing, Work};
use crate::quantity::{Citation, Slope, Span};

pub(super) fn advise(drawn: Given<'_>, takeoff: &mut Takeoff) {
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

fn judge_pair(drawn: Given<'_>) -> Option<Advice> {
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

fn check_sealer_age(drawn: Given<'_>) -> Option<Advice> {
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

fn check_slump(drawn: Given<'_>, steepest: Slope) -> Option<Advice> {
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

fn check_chute(drawn: Given<'_>) -> Option<Advice> {
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

fn check_screws(drawn: Given<'_>) -> Option<Advice> {
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

fn check_spacing(drawn: Given<'_>) -> Option<Advice> {
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

fn check_bags(drawn: Given<'_>, takeoff: &Takeoff) -> Option<Advice> {
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

fn check_flares(drawn: Given<'_>) -> Option<Advice> {
    let flared = |piece: &Piece| matches!(piece, Piece::Run(run) if run.work == Work::New && run.flare.is_some());
    let index = drawn.job.ramp.path.iter().position(flared)?;
    let of = format!("{}/flare", crate::geometry::piece_pointer(index));
    let text = "flared sides are judged but not taken off: add their concrete and forms".to_owned();
    advice(&of, "flare", text, &Citation::practice())
}

fn warn_of_joints(drawn: Given<'_>) -> impl Iterator<Item = Advice> + use<'_> {
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
