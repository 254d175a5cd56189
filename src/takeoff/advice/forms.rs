//! Advices on forms: screws and pressure.
//!
//! Invariant: an advice never changes a quantity. Absent here: the design of a form.

use super::super::line::{Advice, Takeoff};
use super::super::part::Given;
use super::super::words::{Words, number};
use super::advice;
use crate::geometry::Stands;
use crate::job::EdgeKind;
use crate::quantity::{Length, Stress};

pub(super) fn advise(drawn: Given<'_>, takeoff: &Takeoff) -> impl Iterator<Item = Advice> {
    let highest = takeoff.measures.form_highest;
    [check_screws(drawn), check_pressure(drawn, highest)]
        .into_iter()
        .flatten()
}

/// Fluid head: what presses at the bottom is weight x depth, on each foot of form half of it x depth.
fn check_pressure(drawn: Given<'_>, highest: Length) -> Option<Advice> {
    let row = &drawn.catalog.forms.pressure;
    let spacing = drawn.job.forms.screw_spacing;
    let screwed = screws_hold(drawn) && !spacing.at_most(row.span);
    if highest.at_most(row.height) && !screwed {
        return None;
    }
    let words = Words(drawn.job.units);
    let (deep, weight) = (highest.feet(), row.weight.lb_per_ft3());
    let pressed = if words.is_us() {
        format!(
            "{} lb/ft3 x {} ft = {} lb/ft2 at the bottom, {} lb on each foot along it",
            number(weight, 0),
            number(deep, 2),
            number(weight * deep, 0),
            number(weight * deep * deep / 2.0, 0)
        )
    } else {
        let bottom = Stress::from_psi(weight * deep / 144.0);
        format!("{} at the bottom", words.stress(bottom))
    };
    let far = if screwed {
        format!("; screws {} apart are far for that", words.tape(spacing))
    } else {
        String::new()
    };
    let text = format!(
        "a form {} high holds the full head of wet concrete: {pressed}{far}; brace it for that, and fill in \
         layers all round",
        words.tape(highest)
    );
    advice("/forms", "form_pressure", text, &row.source)
}

fn screws_hold(drawn: Given<'_>) -> bool {
    let on_wall = |stands: Stands| stands == Stands::Edge(EdgeKind::FormOnWall);
    drawn.geometry.new_edges().any(|edge| on_wall(edge.stands))
}

fn check_screws(drawn: Given<'_>) -> Option<Advice> {
    if !screws_hold(drawn) {
        return None;
    }
    let row = &drawn.catalog.forms.screw;
    let words = Words(drawn.job.units);
    let text = format!(
        "a {} screw through a {} board leaves {} in the wall, {} the least embedment of {}; {} leaves {}; keep screws {} from an edge of the wall",
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
        words.tape(row.length - row.board),
        words.tape(row.edge)
    );
    advice("/forms", "screw_embedment", text, &row.source)
}
