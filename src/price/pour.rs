//! What a pour day costs beside the estimate: measures, a longer stay, the saw on a day off, a lost trip.
//!
//! Invariants: an amount is a quantity that is shown times a price of the book, rounded once; what has no
//! price is told, never taken as nothing. Absent: which day is best.

use super::labour::{charged_hours, hour};
use crate::catalog::PriceList;
use crate::crew::{CrewHours, Visit};
use crate::job::Class;
use crate::pour::{Measure, PourDay, PourFrom};
use crate::quantity::Span;
use crate::quantity::money::{Amount, Decimal4, UnitPrice, extend};

/// Tasks by which the visits of the pour and of the saw are known.
const POUR: &str = "place-";
const SAW: &str = "saw-";

/// What a measure costs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct MeasureCost {
    /// How much of the item, in steps of its order.
    pub quantity: Option<Decimal4>,
    /// The item's unit; nothing where it has no price.
    pub unit: &'static str,
    /// The item; none where the book has no price.
    pub bought: Option<Amount>,
    /// The work.
    pub labour: Option<Amount>,
}

/// What a pour day costs beside the estimate.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DayCost {
    /// One a measure, in their order.
    pub measures: Vec<MeasureCost>,
    /// The crew's stay, more than the estimate plans; below nothing where it is less.
    pub stay: Option<Amount>,
    /// All of it, as far as there are prices.
    pub total: Amount,
    /// What has no price in the book.
    pub unpriced: Vec<String>,
    /// The saw visit, where it falls on a day off.
    pub saw: Option<Amount>,
    /// The crew's pay where it comes and the pour does not happen.
    pub lost_crew: Option<Amount>,
    /// The concrete that was batched and is not placed.
    pub lost_concrete: Option<Amount>,
}

/// Prices a day.
///
/// `planned` are the hours of the estimate, which the stay is compared with.
pub fn price_pour_day(
    day: &PourDay,
    (from, planned): (PourFrom<'_>, &CrewHours),
    list: &PriceList,
) -> DayCost {
    let pricer = Pricer {
        from,
        planned,
        list,
    };
    let measures: Vec<MeasureCost> = day.measures.iter().map(|one| pricer.measure(one)).collect();
    let mut unpriced: Vec<String> = Vec::new();
    for (measure, cost) in day.measures.iter().zip(&measures) {
        if measure.item.is_some() && cost.bought.is_none() {
            unpriced.push(measure.item.unwrap_or(measure.code).to_owned());
        }
        if !measure.hours.is_zero() && cost.labour.is_none() {
            unpriced.push(format!("hours of {}", measure.code));
        }
    }
    let stay = pricer.stay(day);
    if stay.is_none() {
        unpriced.push("hours of the crew".to_owned());
    }
    let known = measures.iter().flat_map(|cost| [cost.bought, cost.labour]);
    let total = known
        .chain([stay])
        .flatten()
        .fold(pricer.nothing(), |sum, one| sum + one);
    DayCost {
        measures,
        stay,
        total,
        unpriced,
        saw: day.saw.filter(|saw| saw.off_day).and_then(|_| pricer.saw()),
        lost_crew: pricer.lost_crew(),
        lost_concrete: pricer.lost_concrete(),
    }
}

struct Pricer<'a> {
    from: PourFrom<'a>,
    planned: &'a CrewHours,
    list: &'a PriceList,
}

impl Pricer<'_> {
    fn nothing(&self) -> Amount {
        Amount::zero(&self.list.currency())
    }

    fn wage(&self, class: Class) -> Option<UnitPrice> {
        hour(class.as_str(), self.list)
            .ok()
            .map(|hour| hour.unit_price)
    }

    fn pay(&self, class: Class, hours: Span) -> Option<Amount> {
        let price = self.wage(class)?;
        let sign = if hours < Span::ZERO { -1.0 } else { 1.0 };
        let amount = extend(charged_hours(hours.abs())?, price, &self.list.currency());
        Some(if sign < 0.0 { -amount } else { amount })
    }

    fn measure(&self, measure: &Measure) -> MeasureCost {
        let bought = measure.item.and_then(|code| {
            let item = self.list.item(code)?;
            let step = item.order_step.max(Decimal4::from_ten_thousandths(1));
            let quantity = Decimal4::up_to_step(measure.amount, step)?.max(item.minimum);
            let quote = self.list.quote_for(code, quantity).ok()?;
            let amount = extend(quantity, quote.unit_price, &self.list.currency());
            Some((quantity, amount, item.sale_unit.word()))
        });
        let class = match measure.code {
            "finishers" | "saw_same_day" => Class::Finisher,
            _ => Class::Labourer,
        };
        MeasureCost {
            quantity: bought.map(|(quantity, ..)| quantity),
            unit: bought.map_or("", |(.., unit)| unit),
            bought: bought.map(|(_, amount, _)| amount),
            labour: match measure.hours.is_zero() {
                true => None,
                false => self.pay(class, measure.hours),
            },
        }
    }

    /// The crew of the day as it is manned in that weather, less the crew of the estimate; people brought in are
    /// measures.
    fn stay(&self, day: &PourDay) -> Option<Amount> {
        if day.course.is_none() {
            return Some(self.nothing());
        }
        let own = self.from.hours.visit_that_does(POUR)?;
        let planned = self.planned.visit_that_does(POUR)?;
        let brought = day.measures.iter();
        let brought = brought.filter(|one| matches!(one.code, "finishers" | "own_people"));
        let brought: Span = brought.map(|one| one.hours).sum();
        // Classes share the paid hours of a day as they share those of its visit.
        let share = (day.paid - brought) / own.paid;
        Some(self.paid(own, share)? - self.paid(planned, 1.0)?)
    }

    fn saw(&self) -> Option<Amount> {
        self.paid(self.from.hours.visit_that_does(SAW)?, 1.0)
    }

    /// A share of what a visit is paid.
    fn paid(&self, visit: &Visit, share: f64) -> Option<Amount> {
        let paid = visit.paid_by_class.iter();
        paid.map(|(class, hours)| self.pay(*class, *hours * share))
            .try_fold(self.nothing(), |sum, one| Some(sum + one?))
    }

    /// Each for the least that is paid, or for the way there and back.
    fn lost_crew(&self) -> Option<Amount> {
        let crew = &self.from.job.crew;
        let each = crew.least_hours.max(crew.travel * 2.0);
        let people = self.from.hours.visit_that_does(POUR)?.crew.iter();
        people
            .map(|(class, count)| self.pay(*class, each * f64::from(*count)))
            .try_fold(self.nothing(), |sum, one| Some(sum + one?))
    }

    fn lost_concrete(&self) -> Option<Amount> {
        let mix = self.from.takeoff.mix()?;
        let quote = self.list.quote_for(&mix.code, mix.order).ok()?;
        Some(extend(mix.order, quote.unit_price, &self.list.currency()))
    }
}
