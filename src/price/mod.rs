//! What a job costs and what it is offered for: lines, build-up, total.
//!
//! Invariants: money is exact and rounded once a line and once a step; a charged quantity is rounded
//! to its pay step first, so that quantity times unit price can be redone from what is printed; a
//! total is the sum of rounded lines and steps; a line without a price leaves the total open.
//! Absent: quantities and hours of its own making, the clock, the store.

mod advice;
mod build_up;
mod buying;
mod charge;
mod extras;
mod labour;
mod pour;
mod setting;
mod sum;
mod supply;
mod terms;

pub use advice::{PriceAdvice, advise_prices};
pub use build_up::{BuildUp, Step, StepName};
pub use buying::{Choice, RunnerUp, Weighing};
pub use charge::{Charged, PriceLine, Unpriced};
pub use extras::{Extra, ExtrasFrom, price_extras};
pub use pour::{DayCost, MeasureCost, price_pour_day};
pub use setting::{Profit, SettingFrom, SettingUsed, Settings};
pub use sum::{Lookups, sum_up};
pub use supply::{Supply, Way, WayCost, compare_supply};
pub use terms::is_of_plant;

use crate::catalog::{Class, PriceList};
use crate::crew::CrewHours;
use crate::geometry::Geometry;
use crate::job::Job;
use crate::quantity::Area;
use crate::quantity::money::{Amount, Currency};
use crate::takeoff::Takeoff;

/// A priced job.
#[derive(Clone, Debug, PartialEq)]
pub struct Priced {
    /// Currency of every amount.
    pub currency: Currency,
    /// What is charged, line by line.
    pub lines: Vec<PriceLine>,
    /// What could not be priced, and why.
    pub unpriced: Vec<Unpriced>,
    /// From direct cost to price; complete only without unpriced lines.
    pub build_up: BuildUp,
    /// The settings that were used and where each came from.
    pub settings: Vec<SettingUsed>,
    /// The area that a price per area is for.
    pub area: Area,
    /// Crew-days that overhead and profit are spread over.
    pub crew_days: f64,
    /// From whom to buy, where the job asked for the cheapest.
    pub choices: Vec<Choice>,
}

/// Everything a price is made of.
#[derive(Clone, Copy)]
pub struct Parts<'a> {
    /// The expanded job.
    pub job: &'a Job,
    /// The job solved in space.
    pub geometry: &'a Geometry,
    /// What it takes.
    pub takeoff: &'a Takeoff,
    /// Who works how long.
    pub hours: &'a CrewHours,
}

/// Prices a job from a list.
pub fn price_job(parts: Parts<'_>, list: &PriceList) -> Priced {
    let currency = list.currency();
    let (mut lines, unpriced) = charge::charge_lines(parts, list);
    let settings = Settings::of(parts.job, list);
    let direct = lines.iter().map(|line| line.extended).sum();
    lines.extend(charge::charge_requirements(parts.job, direct, &currency));
    let build_up = BuildUp::of(&lines, &settings, &currency);
    Priced {
        currency,
        lines,
        unpriced,
        build_up,
        settings: settings.used,
        area: parts.geometry.finished_area(),
        crew_days: parts.hours.crew_days,
        choices: Vec::new(),
    }
}

impl Priced {
    /// True when every line has a price.
    pub fn complete(&self) -> bool {
        self.unpriced.is_empty()
    }

    /// The price, where it is complete.
    pub fn total(&self) -> Option<Amount> {
        self.complete().then(|| self.build_up.total())
    }

    /// The sum of the lines that have a price.
    pub fn priced_so_far(&self) -> Amount {
        self.build_up.direct()
    }

    /// The lines of one class, summed.
    pub fn subtotal(&self, class: Class) -> Amount {
        sum_of(&self.lines, class, &self.currency)
    }

    /// Price over the finished surface; a statistic, rounded to the minor unit.
    pub fn per_area(&self, area: f64) -> Option<Amount> {
        let total = self.total()?;
        share_of(total, area, &self.currency)
    }

    /// Overhead and profit over the crew-days; a statistic, rounded to the minor unit.
    pub fn per_crew_day(&self) -> Option<Amount> {
        let total = self.total()?;
        let earned =
            self.build_up.amount(StepName::Overhead) + self.build_up.amount(StepName::Profit);
        let _ = total;
        share_of(earned, self.crew_days, &self.currency)
    }

    /// Age in days of the oldest price used.
    pub fn oldest_price_days(&self) -> Option<i64> {
        self.lines
            .iter()
            .filter_map(|line| line.from.as_ref())
            .map(|from| from.age_days)
            .max()
    }
}

/// `amount` over a number that is no money; rounded half away from zero.
fn share_of(amount: Amount, over: f64, currency: &Currency) -> Option<Amount> {
    if over <= 0.0 || !over.is_finite() {
        return None;
    }
    let minor = libm::round(amount.minor() as f64 / over);
    (minor.abs() < 9e15).then(|| Amount::from_minor(minor as i64, currency))
}

fn sum_of(lines: &[PriceLine], class: Class, currency: &Currency) -> Amount {
    let of_class = lines.iter().filter(|line| line.class == class);
    Amount::zero(currency) + of_class.map(|line| line.extended).sum::<Amount>()
}
