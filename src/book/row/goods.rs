//! Rows of what can be bought and of what it costs.

use super::{BookError, quantity};
use crate::catalog::{Charge, Class, Holds, Item, Learned, Price, SaleUnit};
use crate::quantity::money::UnitPrice;
use chrono::NaiveDate;

/// Row of `item_version`.
#[derive(sqlx::FromRow)]
pub(in crate::book) struct ItemRow {
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
    preferred_supplier: Option<String>,
    index_series: Option<String>,
}

/// Row of `price`.
#[derive(sqlx::FromRow)]
pub(in crate::book) struct PriceRow {
    item: String,
    supplier: String,
    effective_from: String,
    from_quantity_e4: i64,
    quoted_for: String,
    revision: i64,
    unit_price_e4: Option<i64>,
    valid_until: Option<String>,
}

impl ItemRow {
    /// The item.
    pub(in crate::book) fn read(self) -> Result<Learned<Item>, BookError> {
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
            supplier: self.preferred_supplier,
            index: self.index_series,
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
    pub(in crate::book) fn read(self) -> Result<Learned<Price>, BookError> {
        let damaged = || BookError::damaged(format!("day of a price of {}", self.item));
        let day = |text: &str| NaiveDate::parse_from_str(text, "%Y-%m-%d").map_err(|_| damaged());
        let value = Price {
            effective_from: day(&self.effective_from)?,
            valid_until: self.valid_until.as_deref().map(day).transpose()?,
            from_quantity: quantity(self.from_quantity_e4),
            unit_price: self.unit_price_e4.map(UnitPrice::from_ten_thousandths),
            quoted_for: Some(self.quoted_for).filter(|job| !job.is_empty()),
            item: self.item,
            supplier: self.supplier,
        };
        Ok(Learned {
            revision: self.revision,
            value,
        })
    }
}
