//! From whom a job buys: its plant first, since the plant's terms change the takeoff, then the rest.
//!
//! Invariants: a job that does not ask for the cheapest buys as the book prefers; each plant is
//! weighed by the whole of what it would charge this job. Absent: the comparison of the other goods,
//! which `price` makes.

use super::{With, price, work_out};
use crate::catalog::PriceList;
use crate::crew::Rates;
use crate::job::{Buying, Job};
use crate::price::{Choice, PriceLine, Priced, RunnerUp, Weighing, is_of_plant};
use crate::quantity::money::Amount;
use crate::takeoff::{Detail, Takeoff};
use std::{borrow::Cow, collections::BTreeMap};

/// What a job is computed with, once its suppliers are chosen.
#[derive(Clone, Debug)]
pub struct Chosen<'a> {
    /// The list with every choice made.
    pub list: PriceList,
    /// The rates, with the crew's own in their place.
    pub rates: Cow<'a, Rates>,
    /// The choices, where the job asked for the cheapest.
    pub choices: Vec<Choice>,
}

impl Chosen<'_> {
    /// What to compute with.
    pub fn with<'a>(&'a self, with: With<'a>) -> With<'a> {
        With {
            list: &self.list,
            rates: &self.rates,
            ..with
        }
    }
}

/// Chooses the suppliers of a job, and takes the crew's own rates.
pub fn choose<'a>(job: &Job, with: With<'a>) -> Chosen<'a> {
    let own = with.list.own_rates();
    let rates = match own.is_empty() {
        true => Cow::Borrowed(with.rates),
        false => Cow::Owned(with.rates.with_own(&own, with.list.book())),
    };
    let (list, choices) = match job.book.buying {
        Some(Buying::Cheapest) => choose_cheapest(
            job,
            With {
                rates: &rates,
                ..with
            },
        ),
        Some(Buying::Preferred) | None => (with.list.clone(), Vec::new()),
    };
    Chosen {
        list,
        rates,
        choices,
    }
}

fn choose_cheapest(job: &Job, with: With<'_>) -> (PriceList, Vec<Choice>) {
    let mut choices: Vec<Choice> = choose_plant(job, with).into_iter().collect();
    let mut chosen = chosen(&choices);
    let list = with.list.choosing(chosen.clone());
    let priced = price_by(job, with, &list).1;
    choices.extend(Weighing::of(&priced.lines, &chosen, &list).choose());
    chosen.extend(self::chosen(&choices));
    (with.list.choosing(chosen), choices)
}

fn chosen(choices: &[Choice]) -> BTreeMap<String, String> {
    let pairs = choices.iter().flat_map(|choice| {
        let items = choice.items.iter();
        items.map(|item| (item.clone(), choice.supplier.clone()))
    });
    pairs.collect()
}

fn price_by(job: &Job, with: With<'_>, list: &PriceList) -> (Takeoff, Priced) {
    let worked = work_out(job, With { list, ..with }, Detail::Described);
    let priced = price(job, &worked, list);
    (worked.takeoff, priced)
}

/// The plant that charges least for the concrete of this job; none where there is no choice.
fn choose_plant(job: &Job, with: With<'_>) -> Option<Choice> {
    let (takeoff, _) = price_by(job, with, with.list);
    let mix = takeoff.mix()?;
    let plants = with.list.sellers(&mix.code, Some(mix.order));
    let mut weighed: Vec<(Amount, &str)> = plants
        .iter()
        .filter_map(|plant| Some((landed(job, with, (&mix.code, plant))?, *plant)))
        .collect();
    weighed.sort_unstable();
    let (landed, plant) = *weighed.first()?;
    let name = |code: &str| {
        let known = with.list.supplier(code);
        known.map_or(code, |known| &known.name).to_owned()
    };
    let next = weighed.get(1).map(|(next, other)| RunnerUp {
        suppliers: vec![name(other)],
        landed: *next,
        difference: *next - landed,
    });
    (plants.len() > 1).then(|| Choice {
        supplier: plant.to_owned(),
        name: name(plant),
        items: vec![mix.code.clone()],
        landed,
        runner_up: next,
    })
}

/// All that a plant would charge; none where a price of it is missing.
fn landed(job: &Job, with: With<'_>, (mix, plant): (&str, &str)) -> Option<Amount> {
    let list = with
        .list
        .choosing(BTreeMap::from([(mix.to_owned(), plant.to_owned())]));
    let (_, priced) = price_by(job, with, &list);
    let beside = |code: &str| {
        let own = ["delivery", "short-load", "least-order"];
        own.iter().any(|what| code == format!("{what}-{plant}"))
    };
    let of_plant = |code: &str| code == mix || is_of_plant(code) || beside(code);
    let open = priced
        .unpriced
        .iter()
        .any(|missing| of_plant(&missing.code));
    let lines = priced.lines.iter();
    let own = lines.filter(|line: &&PriceLine| of_plant(&line.code));
    let sum = Amount::zero(&priced.currency) + own.map(|line| line.extended).sum::<Amount>();
    (!open).then_some(sum)
}
