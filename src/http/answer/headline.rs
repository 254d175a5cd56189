//! The ten things that come first, as a caller reads them.

use super::View;
use super::check::{MeasuredAnswer, set_verdict, verdict};
use super::price::{PerAreaAnswer, per_area};
use crate::catalog::Class;
use crate::estimate::{Estimate, Headline, Tightest, Unknown};
use crate::quantity::Percent;
use crate::quantity::money::Amount;
use crate::quantity::shown::{H, InMm, Pct, Yd3M3};
use serde::Serialize;
use utoipa::ToSchema;

/// What a person reads first, in this order.
#[derive(Debug, Serialize, ToSchema)]
pub struct HeadlineAnswer {
    /// Whether it complies, and where there is least room.
    pub verdict: VerdictAnswer,
    /// The price, and whether it is whole.
    pub price: HeadPriceAnswer,
    /// Usual and bad; null unless risk is asked for.
    pub price_range: Option<PriceRangeAnswer>,
    /// Price over new surface area.
    pub price_per_area: Option<PerAreaAnswer>,
    /// Concrete to order.
    pub concrete_order: HeadConcreteAnswer,
    /// Paid hours.
    pub paid_hours: HeadHoursAnswer,
    /// Visits and days.
    pub visits: HeadVisitsAnswer,
    /// Direct cost by class.
    pub direct_cost: Vec<DirectAnswer>,
    /// Overhead and profit.
    pub overhead_and_profit: EarnedAnswer,
    /// Inputs not measured that move the price most, with the question to ask.
    pub unknowns: Vec<UnknownAnswer>,
    /// How long it holds.
    pub validity: ValidityAnswer,
}

/// Whether it complies.
#[derive(Debug, Serialize, ToSchema)]
pub struct VerdictAnswer {
    /// `complies`, `does_not_comply` or `undetermined`.
    pub verdict: &'static str,
    /// The required finding with the least room.
    pub tightest: Option<TightestAnswer>,
    /// The verdict in a sentence.
    pub text: String,
}

/// The finding with the least room.
#[derive(Debug, Serialize, ToSchema)]
pub struct TightestAnswer {
    /// Rule id.
    pub rule: String,
    /// JSON Pointer into the expanded job.
    pub subject: String,
    /// Its verdict.
    pub verdict: &'static str,
    /// What was measured.
    pub measured: Option<MeasuredAnswer>,
    /// The limit.
    pub limit: Option<MeasuredAnswer>,
    /// What to do.
    pub remedy: Option<String>,
}

/// The price.
#[derive(Debug, Serialize, ToSchema)]
pub struct HeadPriceAnswer {
    /// The price; null while a line has none.
    pub total: Option<Amount>,
    /// Currency.
    pub currency: String,
    /// True when every line has a price.
    pub complete: bool,
    /// Lines without a price.
    pub unpriced: usize,
    /// The sum of what has a price.
    pub priced_so_far: Amount,
}

/// A range of prices.
#[derive(Debug, Serialize, ToSchema)]
pub struct PriceRangeAnswer {
    /// What it usually comes to.
    pub usual: Amount,
    /// On a bad job.
    pub bad: Amount,
}

/// Concrete.
#[derive(Debug, Serialize, ToSchema)]
pub struct HeadConcreteAnswer {
    /// To order.
    pub order: Yd3M3,
    /// In the forms.
    pub net: Yd3M3,
    /// Extra depth over the whole area that the order absorbs.
    pub depth_error: InMm,
    /// The same as the tape shows it.
    pub depth_error_tape: String,
    /// Trucks.
    pub trucks: usize,
    /// What the short load costs; null where there is none.
    pub short_load_fee: Option<Amount>,
}

/// Hours.
#[derive(Debug, Serialize, ToSchema)]
pub struct HeadHoursAnswer {
    /// Paid.
    pub paid: H,
    /// People times hours on site.
    pub on_site: H,
    /// Of that, waiting.
    pub standby: H,
    /// Travel.
    pub travel: H,
}

/// Visits and days.
#[derive(Debug, Serialize, ToSchema)]
pub struct HeadVisitsAnswer {
    /// Visits.
    pub count: usize,
    /// Days from the first to the last.
    pub calendar_days: u32,
    /// Days on which the entrance is closed.
    pub days_entrance_closed: u32,
}

/// Direct cost of one class.
#[derive(Debug, Serialize, ToSchema)]
pub struct DirectAnswer {
    /// Class.
    pub class: Class,
    /// Amount.
    pub amount: Amount,
}

/// What the office earns.
#[derive(Debug, Serialize, ToSchema)]
pub struct EarnedAnswer {
    /// In money.
    pub amount: Amount,
    /// Of the price; null while the price is not whole.
    pub of_price: Option<Pct>,
    /// Over the crew-days (paid days of one person, travel left out).
    pub per_crew_day: Option<Amount>,
}

/// An input that nobody measured.
#[derive(Debug, Serialize, ToSchema)]
pub struct UnknownAnswer {
    /// JSON Pointer into the expanded job.
    pub pointer: String,
    /// `assumed`, `drawing` or `told`.
    pub basis: String,
    /// What was taken.
    pub value: String,
    /// Low end of the usual range.
    pub low: String,
    /// How the price moves there.
    pub at_low: Amount,
    /// High end of the usual range.
    pub high: String,
    /// How the price moves there.
    pub at_high: Amount,
    /// What to ask or measure.
    pub ask: String,
}

/// How long an answer holds.
#[derive(Debug, Serialize, ToSchema)]
pub struct ValidityAnswer {
    /// Age of the oldest price used, in days.
    pub oldest_price_days: Option<i64>,
    /// Revision of the price book.
    pub revision: i64,
    /// Name of this answer.
    pub fingerprint: String,
}

impl HeadlineAnswer {
    /// The headline of an estimate, shown.
    pub fn of(estimate: &Estimate, view: View) -> Self {
        let head = &estimate.headline;
        let system = view.system;
        Self {
            verdict: show_verdict(head, view),
            price: HeadPriceAnswer {
                total: head.price,
                currency: estimate.priced.currency.code().to_owned(),
                complete: head.complete,
                unpriced: head.unpriced,
                priced_so_far: head.priced_so_far,
            },
            price_range: None,
            price_per_area: per_area(&estimate.priced, system),
            concrete_order: HeadConcreteAnswer {
                order: Yd3M3::of(head.concrete_order, system),
                net: Yd3M3::of(head.concrete_net, system),
                depth_error: InMm::of(head.depth_error, system),
                depth_error_tape: head.depth_error.tape(system),
                trucks: head.loads,
                short_load_fee: head.short_load_fee,
            },
            paid_hours: HeadHoursAnswer {
                paid: H::of(head.paid, system),
                on_site: H::of(head.on_site, system),
                standby: H::of(head.standby, system),
                travel: H::of(head.travel, system),
            },
            visits: show_visits(head),
            direct_cost: head
                .direct
                .iter()
                .map(|(class, amount)| DirectAnswer {
                    class: *class,
                    amount: *amount,
                })
                .collect(),
            overhead_and_profit: EarnedAnswer {
                amount: head.overhead_and_profit,
                of_price: head
                    .of_price_percent
                    .map(|p| Pct::of(Percent::from_percent(p), system)),
                per_crew_day: head.per_crew_day,
            },
            unknowns: head.unknowns.iter().map(show_unknown).collect(),
            validity: show_validity(estimate),
        }
    }
}

const fn show_visits(head: &Headline) -> HeadVisitsAnswer {
    HeadVisitsAnswer {
        count: head.visits,
        calendar_days: head.calendar_days,
        days_entrance_closed: head.days_entrance_closed,
    }
}

fn show_validity(estimate: &Estimate) -> ValidityAnswer {
    ValidityAnswer {
        oldest_price_days: estimate.headline.oldest_price_days,
        revision: estimate
            .computed_with
            .books
            .first()
            .map_or(0, |book| book.revision),
        fingerprint: estimate.fingerprint.clone(),
    }
}

fn show_verdict(head: &Headline, view: View) -> VerdictAnswer {
    let tightest = head.tightest.as_ref();
    VerdictAnswer {
        verdict: set_verdict(head.verdict),
        text: verdict_text(head, view),
        tightest: tightest.map(|tightest| TightestAnswer {
            rule: tightest.rule.clone(),
            subject: tightest.subject.clone(),
            verdict: verdict(tightest.verdict),
            measured: tightest
                .measured
                .map(|measured| MeasuredAnswer::of(measured, view)),
            limit: tightest.limit.map(|limit| MeasuredAnswer::of(limit, view)),
            remedy: tightest.remedy.clone(),
        }),
    }
}

fn verdict_text(head: &Headline, view: View) -> String {
    let verdict = set_verdict(head.verdict).replace('_', " ");
    let Some(tightest) = &head.tightest else {
        return verdict;
    };
    let figures = figures(tightest, view);
    let remedy = tightest.remedy.as_ref().map(|remedy| format!(": {remedy}"));
    let remedy = remedy.unwrap_or_default();
    format!("{verdict}; tightest: {}{figures}{remedy}", tightest.rule)
}

fn figures(tightest: &Tightest, view: View) -> String {
    let show = |measured| {
        let shown = MeasuredAnswer::of(measured, view);
        shown
            .tape
            .unwrap_or_else(|| format!("{} {}", shown.value, shown.unit))
    };
    match (tightest.measured, tightest.limit) {
        (Some(measured), Some(limit)) => format!(", {} against {}", show(measured), show(limit)),
        _ => String::new(),
    }
}

fn show_unknown(unknown: &Unknown) -> UnknownAnswer {
    UnknownAnswer {
        pointer: unknown.pointer.clone(),
        basis: unknown.basis.clone(),
        value: unknown.value.clone(),
        low: unknown.low.clone(),
        at_low: unknown.at_low,
        high: unknown.high.clone(),
        at_high: unknown.at_high,
        ask: unknown.ask.clone(),
    }
}
