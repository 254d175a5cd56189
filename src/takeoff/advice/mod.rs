//! Advices: what a person should know before the order goes out.
//!
//! Invariants: an advice never changes a quantity; each says what it rests on. Absent here: rules of
//! accessibility, weather.

mod concrete;
mod forms;
mod steel;

use super::line::{Advice, Takeoff};
use super::part::Given;
use super::words::{Words, number};
use crate::catalog::Fit;
use crate::job::{Element, Piece, Work};
use crate::quantity::{Citation, Slope, Span};

pub(super) fn advise(drawn: Given<'_>, takeoff: &mut Takeoff) {
    let advices = [
        judge_pair(drawn),
        check_sealer_age(drawn),
        check_flares(drawn),
        check_walks(drawn),
        check_anchors(drawn),
    ];
    let advices = advices.into_iter().flatten();
    let of_concrete = concrete::advise(drawn, takeoff);
    let of_forms = forms::advise(drawn, takeoff);
    let of_steel = steel::advise(drawn);
    let all = advices.chain(of_concrete).chain(of_forms).chain(of_steel);
    let all: Vec<Advice> = all.collect();
    takeoff.advices.extend(all);
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

/// A walk steeper than a walk may be is a ramp, and this program judges only the ramp as one.
fn check_walks(drawn: Given<'_>) -> Option<Advice> {
    let row = &drawn.catalog.forms.walk;
    let steep = |element: &Element| match element {
        Element::Walk(walk) => walk.stretches.iter().position(|stretch| {
            !Slope::from_ratio((stretch.rise / stretch.length).abs()).at_most(row.from)
        }),
        _ => None,
    };
    let mut elements = drawn.job.elements.iter().enumerate();
    let (index, stretch) = elements.find_map(|(index, element)| Some((index, steep(element)?)))?;
    let of = format!("/elements/{index}/stretches/{stretch}/rise");
    let text =
        "steeper than 1:20, a walk is a ramp: put it into the path of the ramp, where it is judged"
            .to_owned();
    advice(&of, "walk_slope", text, &row.source)
}

fn check_anchors(drawn: Given<'_>) -> Option<Advice> {
    let rails = drawn.job.ramp.handrails.as_option()?;
    if !rails.by.is_ours() {
        return None;
    }
    let (row, words) = (&drawn.catalog.rails.post, Words(drawn.job.units));
    let text = format!(
        "set posts in concrete of {} or more, anchors {} deep and {} from an edge; the rail maker's sheet wins",
        words.stress(row.strength),
        words.tape(row.embedment),
        words.tape(row.edge)
    );
    advice("/ramp/handrails", "rail_anchors", text, &row.source)
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
