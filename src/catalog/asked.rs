//! What one of an item costs, without the words: for prices that are summed and not shown.
//!
//! Invariant: it is the price of the quote for the same order. Absent: where the price came from.

use super::quote::NoPrice;
use super::{Item, PriceList, Supplier};
use crate::quantity::money::{Decimal4, UnitPrice};

/// What one of an item costs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Asked<'a> {
    /// The item.
    pub item: &'a Item,
    /// Code of the supplier.
    pub supplier: &'a str,
    /// For one sale unit.
    pub unit_price: UnitPrice,
    /// True when it is the same for an order of any size.
    pub whatever_the_order: bool,
}

impl PriceList {
    /// What one costs, of an order of `quantity` or the least that is sold, from whoever was chosen or
    /// from `only`: a [`Quote`] without the words.
    ///
    /// # Errors
    /// [`NoPrice`] says why there is none.
    pub fn ask(
        &self,
        code: &str,
        quantity: Option<Decimal4>,
        only: Option<&str>,
    ) -> Result<Asked<'_>, NoPrice> {
        let only = only.or_else(|| self.chosen(code));
        let found = self.find_price(code, quantity, only)?;
        Ok(Asked {
            item: found.item,
            supplier: &found.price.value.supplier,
            unit_price: self.brought_forward(found.item, &found.price.value).0,
            whatever_the_order: found.whatever_the_order,
        })
    }

    /// True when any supplier charges by tables of its own beside its goods.
    pub fn has_supplier_tables(&self) -> bool {
        let mut books = self.chain().iter();
        books.any(|pinned| {
            let mut known = pinned.history.suppliers(pinned.revision);
            known.any(Supplier::has_tables)
        })
    }

    /// Every supplier from whom `quantity` of an item can be had on the day, by code.
    pub fn sellers(&self, code: &str, quantity: Option<Decimal4>) -> Vec<&str> {
        let mut sellers = Vec::new();
        for pinned in self.chain() {
            let history = pinned.history.item(code);
            let job = self.wanted().job.as_deref();
            let found = history.map(|item| item.offers(self.as_of(), pinned.revision, job));
            let offers = found.map(|found| found.offers).unwrap_or_default();
            let sold = offers.iter().filter_map(|offer| offer.at(quantity));
            sellers.extend(sold.map(|price| price.value.supplier.as_str()));
            // A nearer book's prices go before those it inherits.
            if !sellers.is_empty() {
                break;
            }
        }
        sellers.sort_unstable();
        sellers.dedup();
        sellers
    }
}
