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
use crate::quantity::shown::PsiMpa;
use crate::quantity::{
    Citation, Compared, Percent, Span, Stress, Temperature, round_to, slack::compare,
};
use crate::setting::{
    Load, SettingRows, Warmth, evaporation_limit, is_cold, measure_equivalent_age, member,
    protection, strength_at,
};
use chrono::{NaiveDateTime, TimeDelta, Timelike};

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

    /// The same of what a plant does to its concrete; nothing is bought where we mix it.
    pub(super) fn take_from_plant(
        &mut self,
        facts: &Facts<'_>,
        code: &'static str,
        row: &'static MeasureRow,
    ) {
        if !facts.is_bagged() {
            self.take(facts, code, row);
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

/// The cold that a pour meets; none where it is not cold. Protection is that of a usual mix: an accelerated one
/// may be let go sooner, which a plan does not count on.
pub(super) fn measure_cold(facts: &Facts<'_>, first: NaiveDateTime) -> Option<Cold> {
    let protect = protection(Load::NoneExposed).usual;
    let (lowest, told) = lowest_in(facts, (first, protect))?;
    is_cold(lowest).then_some(Cold {
        lowest,
        protect,
        told,
    })
}

/// The coldest air over a span from a moment on, and whether all of it is told.
fn lowest_in(
    facts: &Facts<'_>,
    (from, over): (NaiveDateTime, Span),
) -> Option<(Temperature, bool)> {
    let hours = over.hours() as i64;
    let weather = &facts.from.pour.weather;
    let each = (0..hours).filter_map(|hour| weather.at(from + TimeDelta::hours(hour)));
    let lowest = each.map(|hour| hour.air).reduce(Temperature::min)?;
    let told = weather.at(from + TimeDelta::hours(hours - 1)).is_some();
    Some((lowest, told))
}

/// Blankets, and air that is too cold for them.
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
    let until = super::trucks::later(first, cold.protect);
    let text = format!(
        "The air falls to {lowest} within {:.0} days of the pour, below {}: cover the slab and its edges with \
         blankets until {}, forms on, and let it cool slowly when they come off.",
        cold.protect.days(),
        temperature(limit.air, system),
        super::words::day_clock(until)
    );
    weighed.tell("cold", text, &protection(Load::NoneExposed).source);
    weighed.take(facts, "blankets", &rows.measure.blankets);
    if facts.is_wet() {
        let text = "A wet cover freezes: this plan cures with a compound, or a dry sheet under the blankets."
            .to_owned();
        weighed.tell("wet_cover", text, &Citation::practice());
    }
}

/// Frost after protection, and weather that is not told for as long as young concrete minds it.
pub(super) fn weigh_frost(
    weighed: &mut Weighed,
    facts: &Facts<'_>,
    (course, cold): (&Course, Option<Cold>),
) {
    let settings = SettingRows::built_in();
    let system = facts.from.job.units;
    let row = protection(Load::NoneExposed);
    let kept = member(facts.thickness()).map_or(settings.cold_weather.air, |row| row.placed);
    if let Some((lowest, false)) = lowest_in(facts, (course.first, row.usual))
        && lowest.compare(kept) == Compared::Below
    {
        let text = format!(
            "The weather is told for less than the {:.0} days that young concrete minds the cold: look again \
             before the truck comes, and have blankets at hand.",
            row.usual.days()
        );
        weighed.tell("protection_untold", text, &row.source);
    }
    let frost = &settings.many_freezes;
    let from = super::trucks::later(course.first, cold.map_or(row.usual, |cold| cold.protect));
    let Some((at, strength)) = find_frost(facts, course, (from, cold)) else {
        return;
    };
    if strength.compare(frost.strength) == Compared::Below {
        let text = format!(
            "It freezes after protection, from {} on, when the concrete has about {} of the {} that frost while wet asks \
             for: keep it covered and dry, and no salt this winter.",
            super::words::day_clock(at),
            PsiMpa::of(to_hundreds(strength), system),
            PsiMpa::of(frost.strength, system)
        );
        weighed.tell("frost_later", text, &frost.source);
    }
}

/// The first freezing hour from a moment on, and how strong the concrete is by then.
fn find_frost(
    facts: &Facts<'_>,
    course: &Course,
    (from, cold): (NaiveDateTime, Option<Cold>),
) -> Option<(NaiveDateTime, Stress)> {
    let weather = &facts.from.pour.weather;
    let freezing = Temperature::from_celsius(0.0);
    let told = super::after::warmth_told(facts, course, cold);
    let after = (0..told.len()).find(|hour| {
        let at = course.placed + TimeDelta::hours(*hour as i64);
        let air = weather.at(at).map(|told| told.air);
        at >= from && air.is_some_and(|air| air.compare(freezing) == Compared::Below)
    })?;
    let age = measure_equivalent_age(Warmth {
        temperatures: &told[..after],
        step: Span::from_hours(1.0),
    });
    let strength = strength_at(facts.strength(), facts.from.pour.cement, age);
    let at = course.placed + TimeDelta::hours(after as i64);
    Some((at - TimeDelta::minutes(i64::from(at.minute())), strength))
}

/// A strength as far as a plan knows it: to a hundred psi.
fn to_hundreds(strength: Stress) -> Stress {
    const STEP: f64 = 100.0;
    Stress::from_psi(round_to(strength.psi() / STEP, 0) * STEP)
}

/// Air that is too hot while people work.
pub(super) fn weigh_heat(weighed: &mut Weighed, facts: &Facts<'_>, course: &Course) {
    let (hot, system) = (&rows().hot_air, facts.from.job.units);
    let weather = &facts.from.pour.weather;
    let hours = between(course.arrive, course.cured).hours() as i64 + 1;
    let each = (0..hours).map(|hour| course.arrive + TimeDelta::hours(hour));
    let told = each.filter_map(|at| Some((at, weather.at(at)?.air)));
    let hottest = told.reduce(|a, b| if b.1 > a.1 { b } else { a });
    if let Some((at, air)) = hottest.filter(|(_, air)| !air.at_most(hot.most)) {
        let text = format!(
            "The air reaches {} towards {}, above {}: wait for a cooler day or hour.",
            temperature(air, system),
            clock(at),
            temperature(hot.most, system)
        );
        weighed.wait("hot_air", text, &hot.source);
    }
}

/// The mean of the air over a span before a moment, and how much of it is told.
pub(super) fn mean_before(
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
    let (mut most, mut untold): (Option<(NaiveDateTime, Percent)>, _) = (None, None);
    for at in each {
        match weather.at(at).and_then(|hour| hour.rain) {
            Some(rain) if most.is_none_or(|(_, most)| rain > most) => most = Some((at, rain)),
            Some(_) => {}
            None => untold = untold.or(Some(at)),
        }
    }
    if let Some(from) = untold {
        let text = format!(
            "No chance of rain is told from {} on: look at the sky and at the radar before the truck leaves.",
            clock(from)
        );
        weighed.tell("rain_untold", text, &Citation::practice());
    }
    let Some((at, chance)) = most else {
        return;
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
