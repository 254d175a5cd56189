//! What suppliers charge beside their goods: short loads by size, deliveries by zone, least orders.
//!
//! Invariants: a charge is one line with its supplier's name; what a supplier charges by its own
//! table is not charged a second time by an item; a zone that cannot be found leaves its line open.
//! Absent: which supplier is chosen.

use super::Parts;
use super::charge::{Charged, PriceLine, Unpriced};
use crate::catalog::{Class, PriceList, PricedFrom, SaleUnit, Supplier};
use crate::quantity::money::{Amount, Decimal4, UnitPrice, extend};
use crate::takeoff::Line;
use std::collections::BTreeMap;

/// True for what is charged by whoever sells the mix, and for nothing else.
pub fn is_of_plant(code: &str) -> bool {
    OF_PLANT.contains(&code)
}

/// Items that a plant charges beside its concrete: they are priced by whoever sells the mix.
const OF_PLANT: &[&str] = &["short-load-yd3", "truck-wait-min"];
/// The item that stands for bringing stone, priced by whoever sells the stone.
pub(super) const STONE_DELIVERY: &str = "stone-delivery";

/// The suppliers on whose prices those of other items hang.
#[derive(Clone, Copy)]
pub(super) struct OfSuppliers<'a> {
    /// Who sells the mix.
    pub(super) plant: Option<&'a str>,
    /// Who sells the stone.
    pub(super) quarry: Option<&'a str>,
}

impl<'a> OfSuppliers<'a> {
    /// The one supplier who can price a code, where its price hangs on another item's supplier.
    pub(super) fn only(&self, code: &str) -> Option<&'a str> {
        match code {
            STONE_DELIVERY => self.quarry,
            _ if OF_PLANT.contains(&code) => self.plant,
            _ => None,
        }
    }
}

/// The suppliers on whose terms a job is priced.
pub(super) struct Terms<'a> {
    of: OfSuppliers<'a>,
    list: &'a PriceList,
}

impl<'a> Terms<'a> {
    /// Those of the suppliers whose prices hold for the mix and the stone of a takeoff.
    pub(super) fn of(parts: Parts<'_>, list: &'a PriceList) -> Self {
        let seller = |line: Option<&Line>| {
            let line = line?;
            let order = (line.order != Decimal4::ZERO).then_some(line.order);
            let asked = list.ask(&line.code, order, None);
            asked.ok().map(|asked| asked.supplier)
        };
        let of = OfSuppliers {
            plant: seller(parts.takeoff.mix()),
            quarry: seller(parts.takeoff.stone()),
        };
        Self { of, list }
    }

    /// The one supplier who can price a code, where its price hangs on another item's supplier.
    pub(super) fn only(&self, code: &str) -> Option<&'a str> {
        self.of.only(code)
    }

    /// True for a code that its supplier charges by a table of its own.
    pub(super) fn replaces(&self, code: &str) -> bool {
        let of = |code: Option<&str>| code.and_then(|code| self.list.supplier(code));
        match code {
            STONE_DELIVERY => of(self.of.quarry).is_some_and(|quarry| !quarry.zones.is_empty()),
            "short-load-yd3" => {
                of(self.of.plant).is_some_and(|plant| !plant.short_load_steps.is_empty())
            }
            _ => false,
        }
    }

    /// The lines that suppliers charge beside `lines`.
    pub(super) fn charge(
        &self,
        parts: Parts<'_>,
        lines: &[PriceLine],
    ) -> Vec<Result<PriceLine, Unpriced>> {
        let mut charged = Vec::new();
        for supplier in suppliers(lines, self.list) {
            let own = Own {
                supplier,
                lines: lines.iter().filter(|line| is_of(line, supplier)).collect(),
                list: self.list,
            };
            if self.of.plant == Some(supplier.code.as_str()) {
                charged.extend(own.short_loads(parts).into_iter().map(Ok));
            }
            charged.extend(self.delivery(&own, parts));
            charged.extend(own.minimum().map(Ok));
        }
        charged
    }

    fn delivery(&self, own: &Own<'_>, parts: Parts<'_>) -> Option<Result<PriceLine, Unpriced>> {
        let supplier = own.supplier;
        if supplier.zones.is_empty() {
            return None;
        }
        let code = supplier.code.as_str();
        let count = match () {
            () if self.of.plant == Some(code) => parts.takeoff.loads().count().max(1),
            () if self.of.quarry == Some(code) => stone_loads(parts),
            () => 1,
        };
        let wanted = self.list.wanted().zone.as_deref();
        let Some(zone) = wanted.and_then(|zone| supplier.zone(zone)) else {
            return Some(Err(own.no_zone(wanted)));
        };
        let description = format!("Delivery to zone {}, {}", zone.name, supplier.name);
        let count = Decimal4::whole(u32::try_from(count).unwrap_or(u32::MAX));
        Some(Ok(own.line(("delivery", description), count, zone.fee)))
    }
}

fn stone_loads(parts: Parts<'_>) -> usize {
    let mut lines = parts.takeoff.lines.iter();
    let line = lines.find(|line| line.code == STONE_DELIVERY);
    line.map_or(1.0, |line| line.order.number()).max(1.0) as usize
}

fn is_of(line: &PriceLine, supplier: &Supplier) -> bool {
    line.supplier.as_deref() == Some(supplier.code.as_str())
}

/// Suppliers of goods, by code.
fn suppliers<'a>(lines: &[PriceLine], list: &'a PriceList) -> Vec<&'a Supplier> {
    let goods = lines.iter().filter(|line| line.class == Class::Material);
    let codes = goods.filter_map(|line| line.supplier.as_deref());
    let by_code: BTreeMap<&str, &Supplier> = codes
        .filter_map(|code| Some((code, list.supplier(code)?)))
        .collect();
    by_code.into_values().collect()
}

/// One supplier and its lines.
struct Own<'a> {
    supplier: &'a Supplier,
    lines: Vec<&'a PriceLine>,
    list: &'a PriceList,
}

impl Own<'_> {
    fn short_loads(&self, parts: Parts<'_>) -> Vec<PriceLine> {
        let mut by_step: BTreeMap<Decimal4, (u32, UnitPrice)> = BTreeMap::new();
        for load in parts.takeoff.loads() {
            let size = Decimal4::nearest(load.cubic_yards(), 4);
            if let Some(step) = size.and_then(|size| self.supplier.short_load(size)) {
                by_step.entry(step.below_yd3).or_insert((0, step.fee)).0 += 1;
            }
        }
        let lines = by_step.into_iter().map(|(below, (count, fee))| {
            let description = format!("Short load, below {below} yd3, {}", self.supplier.name);
            self.line(("short-load", description), Decimal4::whole(count), fee)
        });
        lines.collect()
    }

    /// What is missing to the supplier's least order.
    fn minimum(&self) -> Option<PriceLine> {
        let least = self.supplier.minimum_order?;
        let currency = self.list.currency();
        let least = extend(Decimal4::ONE, least, &currency);
        let goods = self
            .lines
            .iter()
            .filter(|line| line.class == Class::Material);
        let goods: Amount = goods.map(|line| line.extended).sum();
        let missing = (least - goods).minor();
        let description = format!("To the least order of {least}, {}", self.supplier.name);
        (missing > 0).then(|| {
            let fee = super::charge::price_of(Amount::from_minor(missing, &currency));
            self.line(("least-order", description), Decimal4::ONE, fee)
        })
    }

    fn line(
        &self,
        (what, description): (&str, String),
        quantity: Decimal4,
        unit_price: UnitPrice,
    ) -> PriceLine {
        let first = self.lines.first();
        PriceLine {
            code: format!("{what}-{}", self.supplier.code),
            description,
            class: Class::Fee,
            of: first.map_or_else(String::new, |line| line.of.clone()),
            order: quantity,
            quantity,
            unit: SaleUnit::Each,
            charged: Charged::BySupplier,
            unit_price,
            extended: extend(quantity, unit_price, &self.list.currency()),
            made_of: Vec::new(),
            supplier: Some(self.supplier.code.clone()),
            expired: None,
            from: first.and_then(|line| self.from(line)),
        }
    }

    /// Its terms come from where its goods do; they have no day of their own.
    fn from(&self, line: &PriceLine) -> Option<PricedFrom> {
        let from = line.from.clone()?;
        Some(PricedFrom {
            from_quantity: None,
            valid_until: None,
            quoted_for: None,
            escalated: None,
            ..from
        })
    }

    fn no_zone(&self, wanted: Option<&str>) -> Unpriced {
        let names: Vec<&str> = self
            .supplier
            .zones
            .iter()
            .map(|zone| zone.name.as_str())
            .collect();
        let names = names.join(", ");
        Unpriced {
            code: format!("delivery-{}", self.supplier.code),
            description: format!("Delivery, {}", self.supplier.name),
            of: "/job/site/zone".to_owned(),
            why: match wanted {
                Some(zone) => format!("the supplier names no zone \"{zone}\"; it names {names}"),
                None => {
                    format!("the supplier charges by zone: say in site.zone which of {names} it is")
                }
            },
        }
    }
}
