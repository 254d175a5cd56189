//! Whether the crew keeps ahead of the concrete, and when the saw must come.
//!
//! Invariants: one finisher carries the area of the crew's own figure in mild weather, and so much less as it
//! sets sooner; a crew that is behind with the broom is short by as many as would catch up. Absent: where
//! they come from.

use super::after::SawPlan;
use super::course::{Course, Mix};
use super::site::Facts;
use super::weigh::Weighed;
use super::words::day_clock;
use crate::job::{Class, Saw};
use crate::quantity::{Span, ceil};
use crate::setting::{SettingRows, set_factor};

/// Hours in which a pour is finished, over which the slab's temperature counts.
const FINISHING_OVER: Span = Span::from_hours(4.0);

/// Finishers that a pour takes at its temperature.
pub(super) fn count_finishers(facts: &Facts<'_>, course: &Course, share: f64) -> u32 {
    let each = facts.from.rates.figures.finisher_area.likely;
    let later = set_factor(course.slab.mean(FINISHING_OVER)).unwrap_or(1.0) * share;
    let area = facts.area();
    // More time to finish than in mild weather does not make an arm longer.
    ceil(area / (each * later.min(1.0))).max(1.0) as u32
}

/// Finishers that the crew lacks; those who stay at home are counted in, as they can come.
pub(super) fn finishers_short(facts: &Facts<'_>, course: &Course, mix: Mix) -> u32 {
    let brought = mix.people.saturating_sub(facts.crew().people());
    count_finishers(facts, course, mix.share).saturating_sub(finishers_of(facts) + brought)
}

/// Finishers of the crew.
pub(super) fn finishers_of(facts: &Facts<'_>) -> u32 {
    let members = facts.crew().members.iter();
    let finishers = members.filter(|member| member.class == Class::Finisher);
    finishers.map(|member| member.count).sum()
}

/// The saw on a day off, or a slab that does not wait for the morning.
pub(super) fn weigh_saw(weighed: &mut Weighed, facts: &Facts<'_>, saw: &SawPlan) {
    let rows = &SettingRows::built_in().saw;
    let source = match saw.saw {
        Saw::EarlyEntry => &rows.early_entry.source,
        Saw::Conventional => &rows.conventional.source,
    };
    if saw.next_day_too_late {
        let text = format!(
            "Joints can be sawn from {} on, as soon as the edges do not ravel, and by {}: the next morning is too \
             late. Stay, or come back the same day.",
            day_clock(saw.opens),
            day_clock(saw.closes)
        );
        weighed.tell("saw_same_day", text, source);
        let row = &super::rows::rows().measure.saw_same_day;
        let trip = super::day::paid_each(facts, Span::ZERO);
        let measure = super::measure::take_people(row, ("saw_same_day", saw.people), trip);
        weighed.measures.push(measure);
    }
    if saw.off_day {
        let text = format!(
            "The saw comes on {}: {}, {:.2} paid hours.",
            saw.visit.0.format("%A"),
            super::words::people(saw.people),
            saw.paid.hours()
        );
        let source = facts.from.rates.figures.saw_after.source();
        weighed.tell("saw_off_day", text, &source);
    }
}
