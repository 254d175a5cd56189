//! Rates, what bends them, and figures, as a caller reads them.
//!
//! Invariant: every row is told with its source. Absent: hours of any job.

use super::hours::{RateAnswer, show_rate};
use super::plain;
use crate::crew::{FigureShown, Modifier, RateRow, Rates, Week};
use crate::quantity::shown::{H, Shown};
use crate::quantity::{Citation, Span, System};
use serde::Serialize;
use utoipa::ToSchema;

/// How modifiers of one task combine.
const COMBINED: &str = "hours = setup + quantity x likely x factor. A modifier f on a share s of a task \
    gives 1 + s (f - 1), and those of a task multiply; the shares of one surface by its slope exclude each \
    other, and what they add is added first. The rows are rates of the site: no factor of efficiency goes \
    on top.";

/// Every rate with what bends it.
#[derive(Debug, Serialize, ToSchema)]
pub struct RatesAnswer {
    /// Name of the rate set.
    #[schema(examples("built-in"))]
    id: String,
    /// Counted up whenever a figure changes.
    version: u32,
    /// The price book whose own rates stand in place; left out where none was asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    book: Option<RatesBookAnswer>,
    /// How hours are reckoned, and how several modifiers combine.
    reckoning: &'static str,
    /// What each task takes, in the order of the work.
    tasks: Vec<RateRowAnswer>,
    /// What bends a rate.
    modifiers: Vec<ModifierAnswer>,
    /// Figures that are no rates.
    figures: Vec<FigureAnswer>,
    /// Days on which nobody works.
    week: WeekAnswer,
}

/// A price book at a revision.
#[derive(Debug, Serialize, ToSchema)]
pub struct RatesBookAnswer {
    /// Its code.
    pub code: String,
    /// Its revision.
    pub revision: i64,
}

/// What one task takes.
#[derive(Debug, Serialize, ToSchema)]
struct RateRowAnswer {
    /// Task code.
    code: &'static str,
    /// What is done.
    description: String,
    /// When: `base`, `mat`, `pour`, `saw`, `close`, `seal`, or `every` visit.
    phase: &'static str,
    /// Hours before the first unit.
    setup: H,
    /// Hours per unit.
    rate: RateAnswer,
    /// Fewest people who can do it.
    people_least: u32,
    /// Most people who can share it; left out where all can.
    #[serde(skip_serializing_if = "Option::is_none")]
    people_most: Option<u32>,
    /// Who does it: `finisher`, or `anybody` of the crew.
    who: &'static str,
    /// What the rate includes.
    includes: String,
    /// Codes of the modifiers that bend it; left out where none does.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    modifiers: Vec<String>,
    /// True when the rate is the office's own, from the price book; left out where it is built in.
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    #[schema(required = false)]
    own: bool,
    /// Where the rate comes from.
    source: Citation,
}

/// What bends a rate.
#[derive(Debug, Serialize, ToSchema)]
struct ModifierAnswer {
    /// Its code.
    code: String,
    /// What it is.
    description: String,
    /// When it holds, and for how much of a task.
    when: String,
    /// Codes of the tasks that it bends as a whole.
    applies_to: Vec<String>,
    /// Codes of the tasks of which it bends the float's share (`float_share` of the figures); left out
    /// where there are none.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    float_of: Vec<String>,
    /// What the rates contain already.
    base: String,
    /// The factor when all goes well.
    #[serde(serialize_with = "plain")]
    low: f64,
    /// The factor used.
    #[serde(serialize_with = "plain")]
    likely: f64,
    /// The factor when little goes well.
    #[serde(serialize_with = "plain")]
    high: f64,
    /// Why.
    why: String,
    /// Where it comes from.
    source: Citation,
}

/// A figure that is no rate; its unit is `1` where it is a plain number.
#[derive(Debug, Serialize, ToSchema)]
struct FigureAnswer {
    /// Its name.
    code: &'static str,
    /// The least usual.
    low: Shown,
    /// What is used.
    likely: Shown,
    /// The most usual.
    high: Shown,
    /// Why.
    why: String,
    /// Where it comes from.
    source: Citation,
}

/// Days on which nobody works.
#[derive(Debug, Serialize, ToSchema)]
struct WeekAnswer {
    /// Those days of the week.
    not_worked: Vec<String>,
    /// Why.
    why: String,
    /// Where this comes from.
    source: Citation,
}

impl RatesAnswer {
    /// Rates in the units of a system.
    pub fn of(rates: &Rates, book: Option<RatesBookAnswer>, system: System) -> Self {
        let rows = rates.rows().into_iter();
        let modifiers = rates.modifiers.iter();
        let figures = rates.figures.shown(system).into_iter();
        Self {
            id: rates.id.clone(),
            version: rates.version,
            book,
            reckoning: COMBINED,
            tasks: rows.map(|row| show_row(rates, row, system)).collect(),
            modifiers: modifiers
                .map(|modifier| show_modifier(modifier, system))
                .collect(),
            figures: figures
                .map(|(code, figure)| show_figure(code, figure))
                .collect(),
            week: show_week(&rates.week),
        }
    }
}

fn show_row(rates: &Rates, row: &RateRow, system: System) -> RateRowAnswer {
    RateRowAnswer {
        code: row.code,
        description: row.description.clone(),
        phase: row.phase.as_str(),
        setup: H::of(Span::from_hours(row.setup_hours), system),
        rate: show_rate(row.rate(), system),
        people_least: row.people_least,
        people_most: row.people_most,
        who: if row.finisher { "finisher" } else { "anybody" },
        includes: row.includes.clone(),
        modifiers: rates
            .bending(row)
            .map(|modifier| modifier.code.clone())
            .collect(),
        own: row.own,
        source: row.source(),
    }
}

fn show_modifier(modifier: &Modifier, system: System) -> ModifierAnswer {
    ModifierAnswer {
        code: modifier.code.clone(),
        description: modifier.description.clone(),
        when: modifier.fact.words(system),
        applies_to: modifier.applies_to.clone(),
        float_of: modifier.float_of.clone(),
        base: modifier.base.clone(),
        low: modifier.low,
        likely: modifier.likely,
        high: modifier.high,
        why: modifier.why.clone(),
        source: modifier.source(),
    }
}

fn show_figure(code: &'static str, figure: FigureShown<'_>) -> FigureAnswer {
    let [low, likely, high] = figure.range;
    FigureAnswer {
        code,
        low,
        likely,
        high,
        why: figure.why.to_owned(),
        source: figure.source,
    }
}

fn show_week(week: &Week) -> WeekAnswer {
    WeekAnswer {
        not_worked: week.not_worked.iter().map(ToString::to_string).collect(),
        why: week.why.clone(),
        source: week.source(),
    }
}
