//! Rows as the databases give them, and the values that they stand for.
//!
//! Invariant: a row that cannot be read is refused by name, never guessed at. Absent here: SQL.

use super::BookError;
use crate::catalog::{
    Charge, Class, Head, Holds, Item, Learned, Price, Profit, ReadyMixTerms, Revision, SaleUnit,
    SalesTax, Settings, Supplier, TaxBase,
};
use crate::quantity::money::{Currency, Decimal4, Percentage, UnitPrice};
use chrono::{DateTime, NaiveDate, SecondsFormat, Utc};

/// Row of `book`.
#[derive(sqlx::FromRow)]
pub(super) struct BookRow {
    code: String,
    name: String,
    currency: String,
    demo: i64,
    latest: i64,
}

/// Row of `revision`.
#[derive(sqlx::FromRow)]
pub(super) struct RevisionRow {
    number: i64,
    made_at: String,
    note: String,
}

/// Row of `setting`.
#[derive(sqlx::FromRow)]
pub(super) struct SettingRow {
    revision: i64,
    overhead_e6: i64,
    contingency_e6: i64,
    profit_basis: String,
    profit_e6: i64,
    warranty_e6: i64,
    sales_tax_e6: i64,
    sales_tax_base: String,
    travel_minutes: i64,
}

/// Row of `supplier_version`.
#[derive(sqlx::FromRow)]
pub(super) struct SupplierRow {
    code: String,
    revision: i64,
    name: String,
    short_load_below_yd3_e4: Option<i64>,
    truck_most_yd3_e4: Option<i64>,
    free_unloading_min_yd3_e4: Option<i64>,
}

/// Row of `item_version`.
#[derive(sqlx::FromRow)]
pub(super) struct ItemRow {
    code: String,
    revision: i64,
    description: String,
    class: String,
    sale_unit: String,
    order_step_e4: i64,
    minimum_e4: i64,
    holds_e4: Option<i64>,
    holds_unit: Option<String>,
    uses: Option<i64>,
    pay_step_e4: Option<i64>,
}

/// Row of `price`.
#[derive(sqlx::FromRow)]
pub(super) struct PriceRow {
    item: String,
    supplier: String,
    effective_from: String,
    revision: i64,
    unit_price_e4: i64,
}

impl BookRow {
    /// The newest revision.
    pub(super) fn latest(&self) -> i64 {
        self.latest
    }

    /// What never changes about the book.
    pub(super) fn read(self) -> Result<Head, BookError> {
        let currency = Currency::of_code(&self.currency)
            .ok_or_else(|| BookError::damaged(format!("currency of book {}", self.code)))?;
        Ok(Head {
            code: self.code,
            name: self.name,
            currency,
            demo: self.demo != 0,
        })
    }
}

impl RevisionRow {
    /// The revision.
    pub(super) fn read(self) -> Result<Revision, BookError> {
        let made_at = DateTime::parse_from_rfc3339(&self.made_at)
            .map_err(|_| BookError::damaged(format!("instant of revision {}", self.number)))?;
        Ok(Revision {
            number: self.number,
            made_at: made_at.to_utc(),
            note: self.note,
        })
    }
}

impl SettingRow {
    /// The settings.
    pub(super) fn read(self) -> Result<Learned<Settings>, BookError> {
        let damaged = || BookError::damaged(format!("settings of revision {}", self.revision));
        let rate = Percentage::from_millionths(self.profit_e6);
        let profit = match self.profit_basis.as_str() {
            "margin" => Profit::Margin(rate),
            "markup" => Profit::Markup(rate),
            _ => return Err(damaged()),
        };
        let sales_tax = SalesTax {
            rate: Percentage::from_millionths(self.sales_tax_e6),
            base: TaxBase::from_word(&self.sales_tax_base).ok_or_else(damaged)?,
        };
        let value = Settings {
            overhead: Percentage::from_millionths(self.overhead_e6),
            contingency: Percentage::from_millionths(self.contingency_e6),
            profit,
            warranty: Percentage::from_millionths(self.warranty_e6),
            sales_tax,
            travel_minutes: u32::try_from(self.travel_minutes).map_err(|_| damaged())?,
        };
        Ok(Learned {
            revision: self.revision,
            value,
        })
    }
}

impl SupplierRow {
    /// The supplier.
    pub(super) fn read(self) -> Result<Learned<Supplier>, BookError> {
        let terms = ReadyMixTerms {
            short_load_below_yd3: self.short_load_below_yd3_e4.map(quantity),
            truck_most_yd3: self.truck_most_yd3_e4.map(quantity),
            free_unloading_min_per_yd3: self.free_unloading_min_yd3_e4.map(quantity),
        };
        let value = Supplier {
            code: self.code,
            name: self.name,
            terms,
        };
        Ok(Learned {
            revision: self.revision,
            value,
        })
    }
}

impl ItemRow {
    /// The item.
    pub(super) fn read(self) -> Result<Learned<Item>, BookError> {
        let damaged =
            || BookError::damaged(format!("item {} of revision {}", self.code, self.revision));
        let unit = |word: &str| SaleUnit::from_word(word).ok_or_else(damaged);
        let holds = match (self.holds_e4, self.holds_unit.as_deref()) {
            (Some(holds), Some(word)) => Some(Holds {
                quantity: quantity(holds),
                unit: unit(word)?,
            }),
            (None, None) => None,
            _ => return Err(damaged()),
        };
        let charge = match (self.uses, self.pay_step_e4) {
            (Some(uses), Some(step)) => Charge::FromStock {
                uses: u32::try_from(uses).map_err(|_| damaged())?,
                pay_step: quantity(step),
            },
            (None, None) => Charge::BoughtForJob,
            _ => return Err(damaged()),
        };
        let value = Item {
            class: Class::from_word(&self.class).ok_or_else(damaged)?,
            sale_unit: unit(&self.sale_unit)?,
            order_step: quantity(self.order_step_e4),
            minimum: quantity(self.minimum_e4),
            holds,
            charge,
            code: self.code,
            description: self.description,
        };
        Ok(Learned {
            revision: self.revision,
            value,
        })
    }
}

impl PriceRow {
    /// The price.
    pub(super) fn read(self) -> Result<Learned<Price>, BookError> {
        let effective_from = NaiveDate::parse_from_str(&self.effective_from, "%Y-%m-%d")
            .map_err(|_| BookError::damaged(format!("day of a price of {}", self.item)))?;
        let value = Price {
            item: self.item,
            supplier: self.supplier,
            unit_price: UnitPrice::from_ten_thousandths(self.unit_price_e4),
            effective_from,
        };
        Ok(Learned {
            revision: self.revision,
            value,
        })
    }
}

/// A stored quantity.
const fn quantity(ten_thousandths: i64) -> Decimal4 {
    Decimal4::from_ten_thousandths(ten_thousandths)
}

/// A quantity as it is stored.
pub(super) fn stored(quantity: Option<Decimal4>) -> Option<i64> {
    quantity.map(Decimal4::ten_thousandths)
}

/// A day as it is stored.
pub(super) fn stored_day(day: NaiveDate) -> String {
    day.format("%Y-%m-%d").to_string()
}

/// An instant as it is stored.
pub(super) fn stored_instant(instant: DateTime<Utc>) -> String {
    instant.to_rfc3339_opts(SecondsFormat::Millis, true)
}
