//! One line: how much, of what, for how much.
//!
//! Invariants: quantity times price over the price's base is the amount exactly, since the price is that of the
//! whole quantity; a price is never below zero (EN 16931, BR-27), so that an amount below zero has a quantity
//! below zero. Absent: prices for one unit, which would not multiply back to the cent.

use super::codes::unit_code;
use super::money::write_category;
use super::xml::Xml;
use crate::billing::BillTax;
use crate::quantity::money::{Amount, Decimal4};

/// A line of a bill or a quotation.
pub(super) struct Line<'a> {
    pub(super) id: &'a str,
    pub(super) description: &'a str,
    pub(super) amount: Amount,
    /// How much, and the unit as the price book has it.
    pub(super) quantity: Option<(Decimal4, &'a str)>,
    /// The seller's own name of it.
    pub(super) item: Option<&'a str>,
}

impl Line<'_> {
    /// How much without a sign, and its code: one of it where no quantity can be told.
    fn counted(&self) -> (Decimal4, &'static str) {
        let one = (Decimal4::ONE, unit_code("").unwrap_or("C62"));
        let Some((quantity, unit)) = self.quantity else {
            return one;
        };
        match (quantity.ten_thousandths(), unit_code(unit)) {
            (0, _) | (_, None) => one,
            (size, Some(code)) => (Decimal4::from_ten_thousandths(size.saturating_abs()), code),
        }
    }

    fn is_taken_off(&self) -> bool {
        self.amount < Amount::ZERO
    }

    /// Quantity under `name`, and the amount.
    pub(super) fn write_quantity(&self, xml: &mut Xml, name: &str) {
        let (size, code) = self.counted();
        let signed = if self.is_taken_off() {
            Decimal4::ZERO - size
        } else {
            size
        };
        xml.quantity(name, (signed, code));
        xml.amount("LineExtensionAmount", self.amount);
    }

    /// What it is.
    pub(super) fn write_item(&self, xml: &mut Xml, tax: &BillTax) {
        xml.part("Item", |xml| {
            xml.text("Name", self.description);
            xml.holding("SellersItemIdentification", ("ID", self.item));
            write_category(xml, "ClassifiedTaxCategory", tax);
        });
    }

    /// Its price.
    pub(super) fn write_price(&self, xml: &mut Xml) {
        let price = if self.is_taken_off() {
            -self.amount
        } else {
            self.amount
        };
        xml.part("Price", |xml| {
            xml.amount("PriceAmount", price);
            xml.quantity("BaseQuantity", self.counted());
        });
    }
}
