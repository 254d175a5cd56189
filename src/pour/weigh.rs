//! What a day's weather does to a pour: reasons, what is done about it, or why it waits.
//!
//! Invariants: a reason names the figure and the limit that it met; a measure is never there without its
//! reason. Absent: money, and the choice of the hour.

use super::course::{Course, between};
use super::drying::{PourHour, share_of_limit};
use super::measure::{Measure, take};
use super::rows::{MeasureRow, rows};
use super::site::Facts;
use super::words::{clock, percent, rate, temperature};
use crate::quantity::{Citation, Compared, Percent, Span, Temperature, slack::compare};
use crate::setting::{Load, SettingRows, evaporation_limit, is_cold, protection};
use chrono::{NaiveDateTime, TimeDelta};

/// Why a day is as it is.
#[derive(Clone, Debug, PartialEq)]
pub struct Reason {
    /// Its name.
    pub code: &'static str,
    /// True where it makes the pour wait.
    pub waits: bool,
    /// What was found, against what, and what to do.
    pub text: String,
    /// Where the limit comes from.
    pub source: Citation,
}

/// Whether to pour.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum GoOrWait {
    /// As planned.
    Go,
    /// With what is listed.
    GoWith,
    /// On another day.
    Wait,
}

impl GoOrWait {
    /// The word of the answer.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Go => "go",
            Self::GoWith => "go_with",
            Self::Wait => "wait",
        }
    }
}

/// Reasons and measures gathered so far.
#[derive(Clone, Debug, Default)]
pub(super) struct Weighed {
    pub(super) reasons: Vec<Reason>,
    pub(super) measures: Vec<Measure>,
}

impl Weighed {
    pub(super) fn tell(&mut self, code: &'static str, text: String, source: &Citation) {
        self.push(code, (false, text), source);
    }

    pub(super) fn wait(&mut self, code: &'static str, text: String, source: &Citation) {
        self.push(code, (true, text), source);
    }

    fn push(&mut self, code: &'static str, (waits, text): (bool, String), source: &Citation) {
        self.reasons.push(Reason {
            code,
            waits,
            text,
            source: source.clone(),
        });
    }

    pub(super) fn take(&mut self, facts: &Facts<'_>, code: &'static str, row: &'static MeasureRow) {
        if self.measures.iter().all(|measure| measure.code != code) {
            self.measures.push(take(facts, code, row));
        }
    }

    pub(super) fn verdict(&self) -> GoOrWait {
        if self.reasons.iter().any(|reason| reason.waits) {
            GoOrWait::Wait
        } else if self.measures.is_empty() {
            GoOrWait::Go
        } else {
            GoOrWait::GoWith
        }
    }
}

/// The cold of a day and of those after it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cold {
    /// The coldest air while the concrete is protected.
    pub lowest: Temperature,
    /// How long it is protected.
    pub protect: Span,
    /// False where the weather is told for less than that.
    pub told: bool,
}

/// The cold that a pour meets; none where it is not cold.
pub(super) fn measure_cold(
    facts: &Facts<'_>,
    first: NaiveDateTime,
    accelerated: bool,
) -> Option<Cold> {
    let row = protection(Load::NoneExposed);
    let protect = if accelerated {
        row.accelerated
    } else {
        row.usual
    };
    let hours = protect.hours() as i64;
    let weather = &facts.from.pour.weather;
    let each = (0..hours).filter_map(|hour| weather.at(first + TimeDelta::hours(hour)));
    let lowest = each.map(|hour| hour.air).reduce(Temperature::min)?;
    is_cold(lowest).then_some(Cold {
        lowest,
        protect,
        told: weather.at(first + TimeDelta::hours(hours - 1)).is_some(),
    })
}

/// Blankets, warm concrete, and ground that may be frozen.
pub(super) fn weigh_cold(
    weighed: &mut Weighed,
    facts: &Facts<'_>,
    (first, cold): (NaiveDateTime, Cold),
) {
    let (rows, system) = (rows(), facts.from.job.units);
    let limit = &SettingRows::built_in().cold_weather;
    let lowest = temperature(cold.lowest, system);
    if cold.lowest.compare(rows.blankets.least_air) == Compared::Below {
        let least = temperature(rows.blankets.least_air, system);
        let text = format!(
            "The air falls to {lowest}; below {least} one layer of blankets does not keep the slab warm. Wait."
        );
        weighed.wait("too_cold", text, &rows.blankets.source);
    }
    let days = cold.protect.days();
    let text = format!(
        "The air falls to {lowest} within {days:.0} days of the pour, below {}: cover the slab with blankets \
         for {days:.0} days, and let it cool slowly when they come off.",
        temperature(limit.air, system)
    );
    weighed.tell("cold", text, &protection(Load::NoneExposed).source);
    weighed.take(facts, "blankets", &rows.measure.blankets);
    if facts.is_covered() {
        let text =
            "A wet cover freezes: cure with a compound, or with a dry sheet under the blankets."
                .to_owned();
        weighed.tell("wet_cover", text, &Citation::practice());
    }
    if mean_before(facts, first, BATCHED_FROM).is_some_and(|(mean, _)| is_cold(mean)) {
        let text = "The air was below that over half a day before: ask the plant for heated water."
            .to_owned();
        weighed.tell("cold_plant", text, &limit.source);
        weighed.take(facts, "heated", &rows.measure.heated);
    }
    if !cold.told {
        let text =
            "The weather is told for less than the days of protection: look again before the \
                    blankets come off."
                .to_owned();
        weighed.tell("protection_untold", text, &Citation::practice());
    }
}

/// Half a day, over which a plant's stone and sand take the temperature of the air.
const BATCHED_FROM: Span = Span::from_hours(12.0);

/// The mean of the air over a span before a moment, and how much of it is told.
fn mean_before(
    facts: &Facts<'_>,
    moment: NaiveDateTime,
    over: Span,
) -> Option<(Temperature, Span)> {
    let weather = &facts.from.pour.weather;
    let before: Vec<f64> = (1..=over.hours() as i64)
        .filter_map(|hour| weather.at(moment - TimeDelta::hours(hour)))
        .map(|hour| hour.air.kelvins())
        .collect();
    let told = before.len() as f64;
    (!before.is_empty()).then(|| {
        let mean = before.iter().sum::<f64>() / told;
        (Temperature::from_kelvins(mean), Span::from_hours(told))
    })
}

/// Ground that was below freezing for days.
pub(super) fn weigh_ground(weighed: &mut Weighed, facts: &Facts<'_>, first: NaiveDateTime) {
    let row = &rows().frozen_ground;
    let Some((mean, told)) = mean_before(facts, first, row.over) else {
        return;
    };
    if told.at_least(row.known) && mean.at_most(row.mean) {
        let text = format!(
            "The air was at {} on the mean of the {} h before: the ground counts as frozen, and concrete is \
             never placed on that. Thaw it under blankets, or wait.",
            temperature(mean, facts.from.job.units),
            told.hours()
        );
        weighed.wait("frozen_ground", text, &row.source);
    }
}

/// Rain from the first truck until the surface is safe.
pub(super) fn weigh_rain(weighed: &mut Weighed, facts: &Facts<'_>, course: &Course) {
    let rows = rows();
    let safe = match facts.is_covered() {
        true => course.cured,
        false => super::trucks::later(course.cured, rows.rain_on_compound.safe_after),
    };
    let first = course.first;
    let weather = &facts.from.pour.weather;
    let hours = between(first, safe).hours() as i64 + 1;
    let each = (0..hours).map(|hour| first + TimeDelta::hours(hour));
    let told: Vec<(NaiveDateTime, Percent)> = each
        .filter_map(|at| Some((at, weather.at(at)?.rain?)))
        .collect();
    let Some((at, chance)) = told
        .into_iter()
        .reduce(|a, b| if b.1 > a.1 { b } else { a })
    else {
        let text =
            "No chance of rain was told: look at the sky and at the radar before the truck leaves."
                .to_owned();
        return weighed.tell("rain_untold", text, &Citation::practice());
    };
    let found = format!(
        "The chance of rain reaches {} towards {}, and the surface is safe from {} on.",
        percent(chance),
        clock(at),
        clock(safe)
    );
    if chance.at_least(rows.rain.wait) {
        let text = format!("{found} From {} on, wait.", percent(rows.rain.wait));
        weighed.wait("rain", text, &rows.rain.source);
    } else if chance.at_least(rows.rain.cover) {
        let text = format!("{found} Have sheets at hand, and nobody works rain into the surface.");
        weighed.tell("rain", text, &rows.rain.source);
        weighed.take(facts, "sheet", &rows.measure.sheet);
    }
}

/// Drying faster than the mix bleeds.
pub(super) fn weigh_drying(weighed: &mut Weighed, facts: &Facts<'_>, hours: &[PourHour]) {
    let rows = rows();
    let of = |hour: &PourHour| Some((hour.at, hour.evaporation?, hour.behind_windbreak?));
    let Some((at, most, behind)) = hours
        .iter()
        .filter_map(of)
        .reduce(|a, b| if b.1 > a.1 { b } else { a })
    else {
        return;
    };
    let (share, broken) = (share_of_limit(facts, most), share_of_limit(facts, behind));
    if compare(share, 1.0) == Compared::Below {
        return;
    }
    let limit = evaporation_limit(facts.from.pour.bleeding);
    let source = &limit.source;
    let found = format!(
        "Towards {} the surface loses {}, and from {} on it cracks before it sets.",
        clock(at),
        rate(most, facts.from.job.units),
        super::words::limit(limit, facts.from.job.units)
    );
    if compare(broken, rows.drying.wait) != Compared::Below {
        let text = format!(
            "{found} Even behind a windbreak it is too much: wait, or pour at another hour."
        );
        return weighed.wait("drying", text, source);
    }
    weighed.take(facts, "film", &rows.measure.film);
    if compare(share, rows.drying.windbreak) == Compared::Below {
        let text = format!(
            "{found} Spray a film after striking off and after floating, and cure at once."
        );
        return weighed.tell("drying", text, source);
    }
    weighed.take(facts, "windbreak", &rows.measure.windbreak);
    let text = format!(
        "{found} Set a windbreak, which brings it to {}, and spray a film.",
        rate(behind, facts.from.job.units)
    );
    weighed.tell("drying", text, source);
}
