//! An item as a caller writes it, and how it becomes a write to the book.
//!
//! Invariant: every fault is listed, with a pointer into the body as it was sent. Absent: what the
//! book holds already, except the terms of a supplier that is only renamed.

use super::ApiError;
use crate::{
    book::ItemWrite,
    catalog::{
        Charge, Class, Holds, Item, Price, PriceList, SaleUnit, Supplier, check_code, check_item,
        check_price, check_text,
    },
    job::Day,
    quantity::{
        Fault, Faults,
        money::{Decimal4, UnitPrice},
    },
};
use serde::Deserialize;
use utoipa::ToSchema;

/// Prices that one write may bring.
const PRICES_AT_MOST: usize = 100;

/// How an item is charged to a job.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, serde::Serialize, Deserialize, deserr::Deserr, ToSchema,
)]
#[serde(rename_all = "snake_case")]
pub(super) enum ChargeKind {
    /// The whole order is charged.
    #[deserr(rename = "bought_for_job")]
    BoughtForJob,
    /// What is used is charged, by the share of its life that the job takes.
    #[deserr(rename = "from_stock")]
    FromStock,
}

/// What one sale unit holds, in the unit in which it is used.
#[derive(Clone, Copy, Debug, serde::Serialize, Deserialize, deserr::Deserr, ToSchema)]
#[serde(deny_unknown_fields)]
#[deserr(error = Faults, deny_unknown_fields)]
pub(super) struct ItemHolds {
    /// How much, above zero.
    pub(super) quantity: Decimal4,
    /// Of what.
    pub(super) unit: SaleUnit,
}

/// A price that is learned with an item.
#[derive(Clone, Debug, Deserialize, deserr::Deserr, ToSchema)]
#[serde(deny_unknown_fields)]
#[deserr(error = Faults, deny_unknown_fields)]
pub(super) struct ItemPriceRequest {
    /// Code of the supplier; one that the book does not know yet needs `supplier_name`.
    #[schema(min_length = 1, max_length = 64, pattern = "^[a-z0-9][a-z0-9._-]*$")]
    supplier: String,
    /// Name of the supplier, for a new one or to rename a known one.
    #[serde(default)]
    #[deserr(default)]
    #[schema(min_length = 1, max_length = 200)]
    supplier_name: Option<String>,
    /// For one sale unit, in the book's currency; zero or more. Left out, it takes back what was
    /// written for the same supplier, day, quantity and job.
    #[serde(default)]
    #[deserr(default)]
    unit_price: Option<UnitPrice>,
    /// The first day on which it holds.
    effective_from: Day,
    /// Holds for orders of at least this, in the sale unit; any order when left out.
    #[serde(default)]
    #[deserr(default)]
    from_quantity: Option<Decimal4>,
    /// The last day on which it holds, where the supplier named one.
    #[serde(default)]
    #[deserr(default)]
    valid_until: Option<Day>,
    /// Name of the one job that it was quoted for; all jobs when left out.
    #[serde(default)]
    #[deserr(default)]
    #[schema(min_length = 1, max_length = 200)]
    quoted_for: Option<String>,
}

/// An item, whole, and prices learned with it.
#[derive(Clone, Debug, Deserialize, deserr::Deserr, ToSchema)]
#[serde(deny_unknown_fields)]
#[deserr(error = Faults, deny_unknown_fields)]
pub(super) struct ItemRequest {
    /// What it is, in the trade's words, on one line.
    #[schema(min_length = 1, max_length = 200)]
    description: String,
    /// Where its lines stand in the build-up of a price.
    class: Class,
    /// The unit that its unit price is for.
    sale_unit: SaleUnit,
    /// Orders are multiples of this, in the sale unit; above zero.
    order_step: Decimal4,
    /// The least that can be ordered, in the sale unit; zero when left out.
    #[serde(default)]
    #[deserr(default)]
    minimum: Option<Decimal4>,
    /// What one sale unit holds, where it is used in another unit.
    #[serde(default)]
    #[deserr(default)]
    holds: Option<ItemHolds>,
    /// How it is charged to a job.
    charge: ChargeKind,
    /// Jobs that one piece serves; with `from_stock`, and only there.
    #[serde(default)]
    #[deserr(default)]
    #[schema(minimum = 1, maximum = 1000)]
    uses: Option<u32>,
    /// The charged quantity is rounded up to a multiple of this; with `from_stock`, and only there.
    #[serde(default)]
    #[deserr(default)]
    pay_step: Option<Decimal4>,
    /// Code of the supplier whose price counts before those of others.
    #[serde(default)]
    #[deserr(default)]
    #[schema(min_length = 1, max_length = 64)]
    preferred_supplier: Option<String>,
    /// Code of the price index that follows what it costs.
    #[serde(default)]
    #[deserr(default)]
    #[schema(min_length = 1, max_length = 64)]
    index: Option<String>,
    /// Prices to add; earlier ones stay.
    #[serde(default)]
    #[deserr(default)]
    #[schema(max_items = 100)]
    prices: Option<Vec<ItemPriceRequest>>,
    /// What is done, in a few words, for the list of revisions.
    #[serde(default)]
    #[deserr(default)]
    #[schema(min_length = 1, max_length = 200)]
    note: Option<String>,
}

impl ItemRequest {
    /// The write that it asks for, of the item with this code.
    ///
    /// # Errors
    /// [`ApiError::BadPath`] for a code of the wrong shape, [`ApiError::Faults`] with every fault.
    pub(super) fn read(self, code: &str, book: &PriceList) -> Result<ItemWrite, ApiError> {
        let mut faults = Faults::default();
        check_code(code, "", &mut faults);
        if let Some(fault) = faults.0.first() {
            let detail = format!("The item's code takes {}.", fault.accepted);
            return Err(ApiError::BadPath(detail));
        }
        let charge = self.charge(&mut faults);
        let note = self.note.clone().unwrap_or_else(|| format!("Write {code}"));
        check_text(&note, "/note", &mut faults);
        let (prices, suppliers) = self.prices(code, book, &mut faults);
        let item = Item {
            code: code.to_owned(),
            description: self.description,
            class: self.class,
            sale_unit: self.sale_unit,
            order_step: self.order_step,
            minimum: self.minimum.unwrap_or_default(),
            holds: self.holds.map(|holds| Holds {
                quantity: holds.quantity,
                unit: holds.unit,
            }),
            charge,
            supplier: self.preferred_supplier,
            index: self.index,
        };
        check_item(&item, "", &mut faults);
        Ok(faults.or(ItemWrite {
            item,
            prices,
            suppliers,
            note,
        })?)
    }

    fn charge(&self, faults: &mut Faults) -> Charge {
        match (self.charge, self.uses, self.pay_step) {
            (ChargeKind::FromStock, uses, pay_step) => {
                for (missing, at, example) in [
                    (uses.is_none(), "/uses", "4"),
                    (pay_step.is_none(), "/pay_step", "0.25"),
                ] {
                    if missing {
                        let accepted = "required with \"charge\": \"from_stock\"";
                        faults.push(Fault::new(at, "nothing", accepted, Some(example)));
                    }
                }
                Charge::FromStock {
                    uses: uses.unwrap_or(1),
                    pay_step: pay_step.unwrap_or(Decimal4::ONE),
                }
            }
            (ChargeKind::BoughtForJob, uses, pay_step) => {
                for (there, at) in [(uses.is_some(), "/uses"), (pay_step.is_some(), "/pay_step")] {
                    if there {
                        let accepted = "nothing here, or \"charge\": \"from_stock\"";
                        faults.push(Fault::new(at, "a value", accepted, None));
                    }
                }
                Charge::BoughtForJob
            }
        }
    }

    fn prices(
        &self,
        code: &str,
        book: &PriceList,
        faults: &mut Faults,
    ) -> (Vec<Price>, Vec<Supplier>) {
        let sent = self.prices.as_deref().unwrap_or_default();
        if sent.len() > PRICES_AT_MOST {
            let accepted = format!("at most {PRICES_AT_MOST} prices");
            faults.push(Fault::new(
                "/prices",
                sent.len().to_string(),
                accepted,
                None,
            ));
        }
        let (mut prices, mut suppliers) = (Vec::<Price>::new(), Vec::new());
        for (index, sent) in sent.iter().enumerate() {
            let at = format!("/prices/{index}");
            let price = sent.price(code);
            check_price(&price, &at, faults);
            let same_place = |other: &Price| {
                let of = |p: &Price| (p.effective_from, p.from_quantity);
                (&other.supplier, &other.quoted_for) == (&price.supplier, &price.quoted_for)
                    && of(other) == of(&price)
            };
            if prices.iter().any(same_place) {
                let accepted = "one price for each supplier, day, quantity and job";
                faults.push(Fault::new(&at, "a second price", accepted, None));
            }
            prices.push(price);
            if let Some(supplier) = sent.named_supplier(book) {
                check_name(&supplier, &at, faults);
                check_renamed(&suppliers, &supplier, &at, faults);
                suppliers.push(supplier);
            }
        }
        suppliers.sort_by(|one: &Supplier, other| one.code.cmp(&other.code));
        suppliers.dedup();
        (prices, suppliers)
    }
}

impl ItemPriceRequest {
    fn price(&self, item: &str) -> Price {
        Price {
            item: item.to_owned(),
            supplier: self.supplier.clone(),
            unit_price: self.unit_price,
            effective_from: self.effective_from.0,
            from_quantity: self.from_quantity.unwrap_or_default(),
            valid_until: self.valid_until.map(|day| day.0),
            quoted_for: self.quoted_for.clone(),
        }
    }

    /// The supplier to be written: none when the book itself has it under that name already.
    fn named_supplier(&self, book: &PriceList) -> Option<Supplier> {
        let own = book.history().supplier(&self.supplier, book.revision());
        let known = own.or_else(|| book.supplier(&self.supplier));
        let renamed = |known: &Supplier| {
            self.supplier_name
                .as_ref()
                .is_some_and(|n| *n != known.name)
        };
        match known {
            // One that the book only inherits is copied, since its prices stand here.
            Some(known) if own.is_some() && !renamed(known) => None,
            Some(known) => Some(Supplier {
                name: self
                    .supplier_name
                    .clone()
                    .unwrap_or_else(|| known.name.clone()),
                ..known.clone()
            }),
            None => Some(Supplier {
                code: self.supplier.clone(),
                name: self.supplier_name.clone()?,
                ..Supplier::default()
            }),
        }
    }
}

/// The code has been checked where the price was.
fn check_name(supplier: &Supplier, at: &str, faults: &mut Faults) {
    check_text(&supplier.name, &format!("{at}/supplier_name"), faults);
}

fn check_renamed(named: &[Supplier], supplier: &Supplier, at: &str, faults: &mut Faults) {
    let other = named.iter().find(|named| named.code == supplier.code);
    if let Some(other) = other.filter(|other| other.name != supplier.name) {
        let place = format!("{at}/supplier_name");
        let accepted = "one name for each supplier";
        faults.push(Fault::new(
            place,
            format!("\"{}\"", supplier.name),
            accepted,
            Some(&other.name),
        ));
    }
}
