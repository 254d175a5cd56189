//! Rows as the databases give them, and the values that they stand for.
//!
//! Invariant: a row that cannot be read is refused by name, never guessed at. Absent here: SQL.

use super::BookError;
use crate::catalog::{
    Head, Learned, Profit, ReadyMixTerms, Revision, SalesTax, Settings, ShortLoadStep, Supplier,
    TaxBase, Zone,
};
use crate::quantity::money::{Currency, Decimal4, Percentage, UnitPrice};
use chrono::{DateTime, NaiveDate, SecondsFormat, Utc};

mod crew;
mod goods;

pub(super) use crew::{BurdenRow, IndexRow, RateRow, WageRow};
pub(super) use goods::{ItemRow, PriceRow};

/// Row of `book`.
#[derive(sqlx::FromRow)]
pub(super) struct BookRow {
    code: String,
    name: String,
    currency: String,
    demo: i64,
    latest: i64,
    inherits: Option<String>,
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
    price_age_days: i64,
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
    minimum_order_e4: Option<i64>,
}

/// Row of `supplier_charge`.
#[derive(sqlx::FromRow)]
pub(super) struct ChargeRow {
    code: String,
    revision: i64,
    kind: String,
    key: String,
    fee_e4: i64,
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
            inherits: self.inherits,
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
            price_age_days: u32::try_from(self.price_age_days).map_err(|_| damaged())?,
        };
        Ok(Learned {
            revision: self.revision,
            value,
        })
    }
}

impl SupplierRow {
    /// Which supplier it is, and at which revision.
    pub(super) fn place(&self) -> (String, i64) {
        (self.code.clone(), self.revision)
    }

    /// The supplier with its charges.
    pub(super) fn read(self, charges: &[ChargeRow]) -> Result<Learned<Supplier>, BookError> {
        let mut value = Supplier {
            code: self.code,
            name: self.name,
            terms: ReadyMixTerms {
                short_load_below_yd3: self.short_load_below_yd3_e4.map(quantity),
                truck_most_yd3: self.truck_most_yd3_e4.map(quantity),
                free_unloading_min_per_yd3: self.free_unloading_min_yd3_e4.map(quantity),
            },
            minimum_order: self.minimum_order_e4.map(UnitPrice::from_ten_thousandths),
            ..Supplier::default()
        };
        for charge in charges {
            charge.read_into(&mut value)?;
        }
        // As they are written and compared: by rising size, by name.
        value.short_load_steps.sort_by_key(|step| step.below_yd3);
        value.zones.sort_by(|one, other| one.name.cmp(&other.name));
        Ok(Learned {
            revision: self.revision,
            value,
        })
    }
}

impl ChargeRow {
    /// Whose charge it is, and at which revision.
    pub(super) fn place(&self) -> (String, i64) {
        (self.code.clone(), self.revision)
    }

    fn read_into(&self, supplier: &mut Supplier) -> Result<(), BookError> {
        let fee = UnitPrice::from_ten_thousandths(self.fee_e4);
        let damaged = || BookError::damaged(format!("charges of supplier {}", self.code));
        match self.kind.as_str() {
            SHORT_LOAD => supplier.short_load_steps.push(ShortLoadStep {
                below_yd3: quantity(self.key.parse().map_err(|_| damaged())?),
                fee,
            }),
            ZONE => supplier.zones.push(Zone {
                name: self.key.clone(),
                fee,
            }),
            _ => return Err(damaged()),
        }
        Ok(())
    }
}

/// Kind of a charge by the size of a load, as it is stored.
pub(super) const SHORT_LOAD: &str = "short_load";
/// Kind of a charge by zone, as it is stored.
pub(super) const ZONE: &str = "zone";

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
