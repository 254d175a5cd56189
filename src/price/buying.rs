//! From whom to buy, so that the whole order of a job comes cheapest.
//!
//! Invariants: what is compared is what the job would pay: goods at the price for the quantity
//! ordered, deliveries, least orders; each set of suppliers is weighed whole, with every item bought
//! from the cheapest of the set; a tie goes to fewer suppliers, then to the first by code. Absent:
//! the plant, whose terms change the takeoff itself and are weighed in `estimate`.

use super::charge::PriceLine;
use super::terms::STONE_DELIVERY;
use crate::catalog::{Class, PriceList, Supplier};
use crate::quantity::money::{Amount, Decimal4, extend};
use std::collections::{BTreeMap, BTreeSet};

/// One supplier that was chosen, and what the next best would have cost.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Choice {
    /// Code of the supplier.
    pub supplier: String,
    /// Its name.
    pub name: String,
    /// Codes of what is bought there.
    pub items: Vec<String>,
    /// What the compared order costs with this choice.
    pub landed: Amount,
    /// The cheapest way without this supplier; none where somebody else sells not all of it.
    pub runner_up: Option<RunnerUp>,
}

/// The cheapest way without a supplier.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RunnerUp {
    /// Names of those who would take its place.
    pub suppliers: Vec<String>,
    /// What the compared order would cost.
    pub landed: Amount,
    /// How much more.
    pub difference: Amount,
}

/// Most suppliers of whom every set is weighed; of more the dearest to keep are left out one by one.
const WEIGHED_AT_MOST: usize = 10;

/// Goods that several suppliers sell, weighed against one another.
pub struct Weighing<'a> {
    goods: Vec<Good<'a>>,
    // What is bought from a supplier in any case, for its least order and its deliveries.
    fixed: BTreeMap<&'a str, Bought>,
    suppliers: Vec<&'a str>,
    stone_loads: Decimal4,
    list: &'a PriceList,
}

/// One of the goods, and what each supplier asks for the order of it.
struct Good<'a> {
    code: &'a str,
    asked: BTreeMap<&'a str, Amount>,
}

/// What is bought from one supplier.
#[derive(Clone, Copy, Default)]
struct Bought {
    goods: Amount,
    stone: bool,
}

impl Bought {
    fn add(&mut self, code: &str, amount: Amount) {
        self.goods += amount;
        self.stone |= code.starts_with("stone-");
    }
}

/// A set of suppliers as bits over `Weighing::suppliers`.
type Set = u32;

impl<'a> Weighing<'a> {
    /// Weighs the material lines of a price whose code is not in `settled`.
    pub fn of(
        lines: &'a [PriceLine],
        settled: &BTreeMap<String, String>,
        list: &'a PriceList,
    ) -> Self {
        let goods = lines.iter().filter(|line| line.class == Class::Material);
        let (mut contested, mut fixed) = (Vec::new(), BTreeMap::new());
        for line in goods.filter(|line| !settled.contains_key(&line.code)) {
            let (code, asked) = (line.code.as_str(), asked(line, list));
            match (asked.len(), line.supplier.as_deref()) {
                (2.., _) => contested.push(Good { code, asked }),
                (_, Some(supplier)) => {
                    let bought: &mut Bought = fixed.entry(supplier).or_default();
                    bought.add(code, line.extended);
                }
                _ => {}
            }
        }
        let suppliers: BTreeSet<&str> = contested
            .iter()
            .flat_map(|good| good.asked.keys().copied())
            .collect();
        let delivery = lines.iter().find(|line| line.code == STONE_DELIVERY);
        Self {
            stone_loads: delivery.map_or(Decimal4::ONE, |line| line.quantity),
            goods: contested,
            fixed,
            suppliers: suppliers.into_iter().collect(),
            list,
        }
    }

    /// The cheapest set, and from whom each item then comes; nothing where no item has a choice.
    pub fn choose(&self) -> Vec<Choice> {
        if self.goods.is_empty() {
            return Vec::new();
        }
        let best = self.best(|_| true);
        let Some((landed, set)) = best else {
            return Vec::new();
        };
        let chosen = self.assigned(set).unwrap_or_default();
        let mut items: BTreeMap<&str, Vec<String>> = BTreeMap::new();
        for (good, supplier) in self.goods.iter().zip(chosen) {
            items
                .entry(supplier)
                .or_default()
                .push(good.code.to_owned());
        }
        items
            .into_iter()
            .map(|(supplier, items)| Choice {
                supplier: supplier.to_owned(),
                name: self.name(supplier),
                items,
                landed,
                runner_up: self.runner_up(supplier, set, landed),
            })
            .collect()
    }

    fn runner_up(&self, without: &str, chosen: Set, landed: Amount) -> Option<RunnerUp> {
        let bit = 1 << self.suppliers.iter().position(|one| *one == without)?;
        let (next, set) = self.best(|set| set & bit == 0)?;
        let others = self.assigned(set)?.into_iter().collect::<BTreeSet<_>>();
        let taken = self.assigned(chosen)?.into_iter().collect::<BTreeSet<_>>();
        let new: Vec<&str> = others.difference(&taken).copied().collect();
        let named = if new.is_empty() {
            others.into_iter().collect()
        } else {
            new
        };
        Some(RunnerUp {
            suppliers: named.into_iter().map(|code| self.name(code)).collect(),
            landed: next,
            difference: next - landed,
        })
    }

    /// The cheapest set of those allowed.
    fn best(&self, allowed: impl Fn(Set) -> bool) -> Option<(Amount, Set)> {
        let weighed = self.sets().filter(|set| allowed(*set));
        weighed
            .filter_map(|set| Some((self.landed(set)?, set)))
            .min_by_key(|(landed, set)| (*landed, set.count_ones(), *set))
    }

    /// Every set of few suppliers; of many those that are left as one after the other is dropped
    /// whose going saves most or costs least.
    fn sets(&self) -> Box<dyn Iterator<Item = Set> + '_> {
        let count = self.suppliers.len().min(31) as u32;
        if count as usize <= WEIGHED_AT_MOST {
            return Box::new(1..(1 << count));
        }
        let all: Set = (1 << count) - 1;
        let dropped = std::iter::successors(Some(all), move |set| {
            let without = (0..count).map(|bit| 1 << bit).filter(|bit| set & bit != 0);
            let fewer = without.map(|bit| set & !bit);
            let weighed = fewer.filter_map(|set| Some((self.landed(set)?, set)));
            weighed.min().map(|(_, set)| set)
        });
        // Beside them each with one more supplier gone, for the runners-up.
        Box::new(dropped.flat_map(move |set| {
            std::iter::once(set).chain((0..count).map(move |bit| set & !(1 << bit)))
        }))
    }

    /// The supplier of each of the goods under a set; none where one is sold by nobody in it.
    fn assigned(&self, set: Set) -> Option<Vec<&'a str>> {
        let cheapest = |asked: &BTreeMap<&'a str, Amount>| {
            let within = self.suppliers.iter().enumerate();
            within
                .filter(|(bit, _)| *bit < 32 && set & (1 << bit) != 0)
                .filter_map(|(_, supplier)| Some((*asked.get(supplier)?, *supplier)))
                .min()
                .map(|(_, supplier)| supplier)
        };
        self.goods
            .iter()
            .map(|good| cheapest(&good.asked))
            .collect()
    }

    /// What the whole order costs under a set; none where a charge of it is not known.
    fn landed(&self, set: Set) -> Option<Amount> {
        let mut by_supplier = self.fixed.clone();
        for (good, supplier) in self.goods.iter().zip(self.assigned(set)?) {
            let bought = by_supplier.entry(supplier).or_default();
            bought.add(good.code, *good.asked.get(supplier)?);
        }
        let charged = by_supplier
            .iter()
            .map(|(code, bought)| Some(bought.goods + self.beside(code, *bought)?));
        charged.sum()
    }

    /// What a supplier charges beside so much of its goods.
    fn beside(&self, code: &str, bought: Bought) -> Option<Amount> {
        let currency = self.list.currency();
        let zero = Amount::zero(&currency);
        let supplier = self.list.supplier(code)?;
        let least = supplier
            .minimum_order
            .map_or(zero, |price| extend(Decimal4::ONE, price, &currency));
        let missing = if bought.goods < least {
            least - bought.goods
        } else {
            zero
        };
        Some(missing + self.delivery(supplier, bought.stone)?)
    }

    fn delivery(&self, supplier: &Supplier, stone: bool) -> Option<Amount> {
        let currency = self.list.currency();
        let loads = if stone {
            self.stone_loads
        } else {
            Decimal4::ONE
        };
        if !supplier.zones.is_empty() {
            let zone = supplier.zone(self.list.wanted().zone.as_deref()?)?;
            return Some(extend(loads, zone.fee, &currency));
        }
        if !stone {
            return Some(Amount::zero(&currency));
        }
        let quote = self
            .list
            .quote_at(STONE_DELIVERY, Some(loads), &supplier.code);
        Some(extend(loads, quote.ok()?.unit_price, &currency))
    }

    fn name(&self, code: &str) -> String {
        let known = self.list.supplier(code);
        known.map_or(code, |known| &known.name).to_owned()
    }
}

/// What each supplier asks for the order of a line.
fn asked<'a>(line: &PriceLine, list: &'a PriceList) -> BTreeMap<&'a str, Amount> {
    let sellers = list.sellers(&line.code, Some(line.order)).into_iter();
    sellers
        .filter_map(|supplier| {
            let quote = list.quote_at(&line.code, Some(line.order), supplier).ok()?;
            // By another unit the order would have to be worked out anew.
            let same = quote.item.sale_unit == line.unit;
            let extended = extend(line.quantity, quote.unit_price, &list.currency());
            same.then_some((supplier, extended))
        })
        .collect()
}
