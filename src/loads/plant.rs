//! What the plant asks for each mix: as stated, else as the price book says, else as the rows say.
//!
//! Invariants: a price is stated or in the book, and never zero because it is unknown; whoever sells the
//! mix also names trucks, free minutes and small loads. Absent: what a load comes to.

use super::asked::Terms;
use super::read::{Reader, show_minutes};
use super::short_load::{ShortFee, ShortTier};
use super::stated::Stated;
use crate::catalog::{Class, PriceList, ReadyMixTerms, SaleUnit, Supplier};
use crate::quantity::money::{Decimal4, UnitPrice};
use crate::quantity::{Fault, Span, Volume};
use std::collections::BTreeMap;

const BOOK: &str = "the price book, from whoever sells the mix";

/// The terms of every mix whose price is known.
pub(super) fn read_terms(
    reader: &mut Reader<'_>,
    list: &PriceList,
    stated: &Stated,
) -> BTreeMap<String, Terms> {
    let mut terms = BTreeMap::new();
    for (place, pour) in reader.sent.pours.iter().enumerate() {
        let mix = pour.mix.trim();
        if mix.is_empty() || terms.contains_key(mix) {
            continue;
        }
        let found = Plant::of(reader, list, mix).terms(reader, stated);
        match found {
            Some(found) => drop(terms.insert(mix.to_owned(), found)),
            None => reader.fault(unknown_mix(list, mix, place)),
        }
    }
    terms
}

fn unknown_mix(list: &PriceList, mix: &str, place: usize) -> Fault {
    let items = list.items();
    let mixes =
        items.filter(|item| item.class == Class::Material && item.sale_unit == SaleUnit::Yd3);
    let codes: Vec<&str> = mixes.map(|item| item.code.as_str()).collect();
    let accepted = format!(
        "a mix with a price in the book ({}), or `price` stated",
        codes.join(", ")
    );
    let at = format!("/pours/{place}/mix");
    Fault::new(at, format!("\"{mix}\""), accepted, codes.first().copied())
}

/// Whoever sells a mix.
struct Plant<'a> {
    list: &'a PriceList,
    mix: &'a str,
    supplier: Option<&'a Supplier>,
    own: ReadyMixTerms,
    price: Option<UnitPrice>,
    step: Volume,
    least: Volume,
}

impl<'a> Plant<'a> {
    fn of(reader: &Reader<'_>, list: &'a PriceList, mix: &'a str) -> Self {
        // What is sold by another unit is no mix.
        let asked = list.ask(mix, None, None).ok();
        let asked = asked.filter(|asked| asked.item.sale_unit == SaleUnit::Yd3);
        let supplier = asked.and_then(|asked| list.supplier(asked.supplier));
        let yards = |yards: Decimal4| Volume::from_cubic_yards(yards.number());
        let step = asked.map(|asked| yards(asked.item.order_step));
        Self {
            list,
            mix,
            supplier,
            own: supplier.map(|supplier| supplier.terms).unwrap_or_default(),
            price: asked.map(|asked| asked.unit_price),
            step: step
                .filter(|step| *step > Volume::ZERO)
                .unwrap_or(reader.rows.order.step),
            least: asked.map_or(Volume::ZERO, |asked| yards(asked.item.minimum)),
        }
    }

    /// None where nobody says what the mix costs.
    fn terms(&self, reader: &mut Reader<'_>, stated: &Stated) -> Option<Terms> {
        let price = stated.price.or(self.price)?;
        if stated.price.is_none() {
            let told = format!("{price} for one yd3 of {}", self.mix);
            reader.assume_why("/price", told, BOOK);
        }
        let trucks = stated.trucks.clone().unwrap_or_else(|| self.trucks(reader));
        let most = trucks.last().copied().filter(|most| *most > Volume::ZERO);
        let most = most.unwrap_or(self.step);
        Some(Terms {
            step: self.step.min(most),
            least: self.least.min(most),
            trucks,
            price,
            per_load: stated.per_load,
            extra_stop: stated.extra_stop,
            short_load: stated
                .short_load
                .clone()
                .unwrap_or_else(|| self.tiers(reader)),
            free_a_yard: stated.free.unwrap_or_else(|| self.free(reader)),
            wait: stated.wait.unwrap_or_else(|| self.wait(reader)),
            currency: self.list.currency(),
        })
    }

    fn trucks(&self, reader: &mut Reader<'_>) -> Vec<Volume> {
        let row = &reader.rows.truck;
        let truck = match self.own.truck_most_yd3 {
            Some(most) => {
                let most = Volume::from_cubic_yards(most.number());
                reader.assume_why("/trucks", most.print(), BOOK);
                most
            }
            None => {
                reader.assume("/trucks", row.payload.print(), &row.source);
                row.payload
            }
        };
        vec![truck]
    }

    fn tiers(&self, reader: &mut Reader<'_>) -> Vec<ShortTier> {
        let steps = self
            .supplier
            .map_or(&[][..], |supplier| &supplier.short_load_steps);
        let tiers: Vec<ShortTier> = match steps {
            [] => self.missing_yards(reader).into_iter().collect(),
            steps => steps
                .iter()
                .map(|step| ShortTier {
                    below: Volume::from_cubic_yards(step.below_yd3.number()),
                    fee: ShortFee::Flat(step.fee),
                })
                .collect(),
        };
        let told: Vec<String> = tiers
            .iter()
            .map(|tier| match tier.fee {
                ShortFee::Flat(fee) => format!("below {}: {fee}", tier.below),
                ShortFee::EachMissing(each) => {
                    format!("below {}: {each} a missing yd3", tier.below)
                }
            })
            .collect();
        reader.assume_why("/short_load", told.join("; "), BOOK);
        tiers
    }

    fn missing_yards(&self, reader: &mut Reader<'_>) -> Option<ShortTier> {
        let below = self.own.short_load_below_yd3;
        let below = below.map(|below| Volume::from_cubic_yards(below.number()));
        let each = self.beside("short-load-yd3");
        if each.is_none() {
            let example = "[{\"below\": \"5 yd3\", \"each_missing_yd3\": \"45.00\"}]";
            refuse_once(reader, "/short_load", "what small loads cost", example);
        }
        Some(ShortTier {
            below: below.unwrap_or(reader.rows.short_load.below),
            fee: ShortFee::EachMissing(each?),
        })
    }

    fn free(&self, reader: &mut Reader<'_>) -> Span {
        let (at, row) = ("/waiting/free_a_yd3", &reader.rows.unloading);
        if let Some(minutes) = self.own.free_unloading_min_per_yd3 {
            let free = Span::from_minutes(minutes.number());
            reader.assume_why(at, show_minutes(free), BOOK);
            return free;
        }
        reader.assume(at, show_minutes(row.free_a_yard), &row.source);
        row.free_a_yard
    }

    fn wait(&self, reader: &mut Reader<'_>) -> UnitPrice {
        let (at, price) = ("/waiting/price_a_minute", self.beside("truck-wait-min"));
        match price {
            Some(price) => reader.assume_why(at, price.to_string(), BOOK),
            None => refuse_once(reader, at, "what a waiting truck costs", "2.50"),
        }
        price.unwrap_or_default()
    }

    /// What an item costs that is priced by whoever sells the mix.
    fn beside(&self, code: &str) -> Option<UnitPrice> {
        let only = self.supplier.map(|supplier| supplier.code.as_str());
        let asked = self.list.ask(code, None, only).ok()?;
        Some(asked.unit_price)
    }
}

fn refuse_once(reader: &mut Reader<'_>, at: &str, what: &str, example: &str) {
    if !reader.is_faulty(|pointer| pointer == at) {
        let accepted = format!("{what}; the book has no price for it");
        reader.fault(Fault::new(at, "nothing", accepted, Some(example)));
    }
}
