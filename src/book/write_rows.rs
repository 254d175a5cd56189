//! The rows of a change, many with one statement.
//!
//! Invariants: both databases run the same statements in the same order; a statement never has more
//! places than either takes. Absent here: the revision's number and the condition of a write.

use super::{BookError, row, sql};
use crate::catalog::{
    Burden, BurdenOn, Change, Charge, IndexValue, Item, OwnRate, Price, Profit, Settings, Supplier,
    Wage, month_text,
};
use crate::quantity::money::{Decimal4, UnitPrice};
use sqlx::{PgConnection, QueryBuilder, SqliteConnection};

/// Rows of one statement: with at most 14 places each they stay below the 32,766 places that SQLite
/// takes, and Postgres takes twice as many.
const ROWS: usize = 1_000;

/// The three columns of a price that are stored otherwise than they are held.
fn stored_price(price: &Price) -> (Option<i64>, Option<String>, &str) {
    (
        price.unit_price.map(UnitPrice::ten_thousandths),
        price.valid_until.map(row::stored_day),
        price.quoted_for.as_deref().unwrap_or_default(),
    )
}

/// Every charge of a supplier: kind, key and fee.
fn stored_charges(supplier: &Supplier) -> Vec<(&'static str, String, i64)> {
    let steps = supplier.short_load_steps.iter().map(|step| {
        let key = step.below_yd3.ten_thousandths().to_string();
        (row::SHORT_LOAD, key, step.fee.ten_thousandths())
    });
    let zones = supplier.zones.iter();
    let zones = zones.map(|zone| (row::ZONE, zone.name.clone(), zone.fee.ten_thousandths()));
    steps.chain(zones).collect()
}

/// A burden's share, hourly cost, and whether it goes on the premium.
fn stored_burden(burden: &Burden) -> (Option<i64>, Option<i64>, i64) {
    match burden.on {
        BurdenOn::Base { share, on_premium } => {
            (Some(share.millionths()), None, i64::from(on_premium))
        }
        BurdenOn::Hour(cost) => (None, Some(cost.ten_thousandths()), 0),
    }
}

/// Setup, low, likely and high.
fn stored_minutes(rate: &OwnRate) -> [Option<i64>; 4] {
    let of = |minutes: Option<Decimal4>| minutes.map(Decimal4::ten_thousandths);
    [
        of(rate.minutes.map(|minutes| minutes.setup)),
        of(rate.minutes.map(|minutes| minutes.low)),
        of(rate.minutes.map(|minutes| minutes.likely)),
        of(rate.minutes.map(|minutes| minutes.high)),
    ]
}

fn stored_charge(charge: Charge) -> (Option<i64>, Option<i64>) {
    match charge {
        Charge::BoughtForJob => (None, None),
        Charge::FromStock { uses, pay_step } => {
            (Some(i64::from(uses)), Some(pay_step.ten_thousandths()))
        }
    }
}

/// Writes the rows of a change for one kind of connection.
macro_rules! writing_rows {
    ($engine:ident, $connection:ty, $database:ty) => {
        pub(super) mod $engine {
            use super::*;

            type Places<'a, 'b> = sqlx::query_builder::Separated<'a, $database, &'static str>;

            /// Adds a row for each of `all`; `end` follows the rows.
            async fn add<T>(
                on: &mut $connection,
                (start, end): (&'static str, &'static str),
                all: &[T],
                mut places: impl FnMut(&mut Places<'_, '_>, &T),
            ) -> Result<(), BookError> {
                for rows in all.chunks(ROWS) {
                    let mut statement = QueryBuilder::<$database>::new(start);
                    statement.push_values(rows, |mut row, one| places(&mut row, one));
                    statement.push(end);
                    // Full groups come again and again; what is left over comes once.
                    let whole = rows.len() == ROWS;
                    statement
                        .build()
                        .persistent(whole)
                        .execute(&mut *on)
                        .await?;
                }
                Ok(())
            }

            pub(in crate::book) async fn add_change(
                on: &mut $connection,
                (book, revision): (&str, i64),
                change: &Change,
            ) -> Result<(), BookError> {
                let of = (book, revision);
                if let Some(settings) = &change.settings {
                    add_settings(on, of, settings).await?;
                }
                add_suppliers(on, of, &change.suppliers).await?;
                add_items(on, of, &change.items).await?;
                add_prices(on, of, &change.prices).await?;
                add_wages(on, of, &change.wages).await?;
                add_rates(on, of, &change.rates).await?;
                add_indices(on, of, &change.indices).await
            }

            async fn add_settings(
                on: &mut $connection,
                (book, revision): (&str, i64),
                settings: &Settings,
            ) -> Result<(), BookError> {
                let (basis, rate) = match settings.profit {
                    Profit::Margin(rate) => ("margin", rate),
                    Profit::Markup(rate) => ("markup", rate),
                };
                add(on, (sql::ADD_SETTINGS, ""), &[settings], |row, settings| {
                    row.push_bind(book.to_owned())
                        .push_bind(revision)
                        .push_bind(settings.overhead.millionths())
                        .push_bind(settings.contingency.millionths())
                        .push_bind(basis)
                        .push_bind(rate.millionths())
                        .push_bind(settings.warranty.millionths())
                        .push_bind(settings.sales_tax.rate.millionths())
                        .push_bind(settings.sales_tax.base.word())
                        .push_bind(i64::from(settings.travel_minutes))
                        .push_bind(i64::from(settings.price_age_days));
                })
                .await
            }

            async fn add_suppliers(
                on: &mut $connection,
                (book, revision): (&str, i64),
                suppliers: &[Supplier],
            ) -> Result<(), BookError> {
                let known = (sql::ADD_SUPPLIERS, sql::UNLESS_THERE);
                add(on, known, suppliers, |row, supplier| {
                    row.push_bind(book.to_owned())
                        .push_bind(supplier.code.clone());
                })
                .await?;
                add(
                    on,
                    (sql::ADD_SUPPLIER_VERSIONS, ""),
                    suppliers,
                    |row, supplier| {
                        let terms = supplier.terms;
                        row.push_bind(book.to_owned())
                            .push_bind(supplier.code.clone())
                            .push_bind(revision)
                            .push_bind(supplier.name.clone())
                            .push_bind(row::stored(terms.short_load_below_yd3))
                            .push_bind(row::stored(terms.truck_most_yd3))
                            .push_bind(row::stored(terms.free_unloading_min_per_yd3))
                            .push_bind(supplier.minimum_order.map(UnitPrice::ten_thousandths));
                    },
                )
                .await?;
                let charges: Vec<_> = suppliers
                    .iter()
                    .flat_map(|supplier| {
                        let charges = stored_charges(supplier).into_iter();
                        charges.map(|charge| (supplier.code.as_str(), charge))
                    })
                    .collect();
                add(
                    on,
                    (sql::ADD_CHARGES, ""),
                    &charges,
                    |row, (code, (kind, key, fee))| {
                        row.push_bind(book.to_owned())
                            .push_bind((*code).to_owned())
                            .push_bind(revision)
                            .push_bind(*kind)
                            .push_bind(key.clone())
                            .push_bind(*fee);
                    },
                )
                .await
            }

            async fn add_items(
                on: &mut $connection,
                (book, revision): (&str, i64),
                items: &[Item],
            ) -> Result<(), BookError> {
                add(
                    on,
                    (sql::ADD_ITEMS, sql::UNLESS_THERE),
                    items,
                    |row, item| {
                        row.push_bind(book.to_owned()).push_bind(item.code.clone());
                    },
                )
                .await?;
                add(on, (sql::ADD_ITEM_VERSIONS, ""), items, |row, item| {
                    let (uses, pay_step) = stored_charge(item.charge);
                    row.push_bind(book.to_owned())
                        .push_bind(item.code.clone())
                        .push_bind(revision)
                        .push_bind(item.description.clone())
                        .push_bind(item.class.word())
                        .push_bind(item.sale_unit.word())
                        .push_bind(item.order_step.ten_thousandths())
                        .push_bind(item.minimum.ten_thousandths())
                        .push_bind(row::stored(item.holds.map(|holds| holds.quantity)))
                        .push_bind(item.holds.map(|holds| holds.unit.word()))
                        .push_bind(uses)
                        .push_bind(pay_step)
                        .push_bind(item.supplier.clone())
                        .push_bind(item.index.clone());
                })
                .await
            }

            async fn add_prices(
                on: &mut $connection,
                (book, revision): (&str, i64),
                prices: &[Price],
            ) -> Result<(), BookError> {
                add(on, (sql::ADD_PRICES, ""), prices, |row, price| {
                    let (unit_price, until, job) = stored_price(price);
                    row.push_bind(book.to_owned())
                        .push_bind(price.item.clone())
                        .push_bind(price.supplier.clone())
                        .push_bind(row::stored_day(price.effective_from))
                        .push_bind(price.from_quantity.ten_thousandths())
                        .push_bind(job.to_owned())
                        .push_bind(revision)
                        .push_bind(unit_price)
                        .push_bind(until);
                })
                .await
            }

            async fn add_wages(
                on: &mut $connection,
                (book, revision): (&str, i64),
                wages: &[Wage],
            ) -> Result<(), BookError> {
                add(on, (sql::ADD_WAGES, ""), wages, |row, wage| {
                    row.push_bind(book.to_owned())
                        .push_bind(wage.schedule.clone())
                        .push_bind(wage.class.clone())
                        .push_bind(row::stored_day(wage.effective_from))
                        .push_bind(revision)
                        .push_bind(wage.base.ten_thousandths())
                        .push_bind(wage.fringe.ten_thousandths())
                        .push_bind(wage.premium.millionths());
                })
                .await?;
                let burdens: Vec<(&Wage, &Burden)> = wages
                    .iter()
                    .flat_map(|wage| wage.burdens.iter().map(move |burden| (wage, burden)))
                    .collect();
                add(
                    on,
                    (sql::ADD_BURDENS, ""),
                    &burdens,
                    |row, (wage, burden)| {
                        let (share, hourly, on_premium) = stored_burden(burden);
                        row.push_bind(book.to_owned())
                            .push_bind(wage.schedule.clone())
                            .push_bind(wage.class.clone())
                            .push_bind(row::stored_day(wage.effective_from))
                            .push_bind(revision)
                            .push_bind(burden.name.clone())
                            .push_bind(share)
                            .push_bind(hourly)
                            .push_bind(on_premium);
                    },
                )
                .await
            }

            async fn add_rates(
                on: &mut $connection,
                (book, revision): (&str, i64),
                rates: &[OwnRate],
            ) -> Result<(), BookError> {
                add(on, (sql::ADD_RATES, ""), rates, |row, rate| {
                    row.push_bind(book.to_owned())
                        .push_bind(rate.task.clone())
                        .push_bind(revision);
                    for minutes in stored_minutes(rate) {
                        row.push_bind(minutes);
                    }
                })
                .await
            }

            async fn add_indices(
                on: &mut $connection,
                (book, revision): (&str, i64),
                values: &[IndexValue],
            ) -> Result<(), BookError> {
                add(on, (sql::ADD_INDICES, ""), values, |row, value| {
                    row.push_bind(book.to_owned())
                        .push_bind(value.series.clone())
                        .push_bind(month_text(value.month))
                        .push_bind(revision)
                        .push_bind(value.value.ten_thousandths());
                })
                .await
            }
        }
    };
}

writing_rows!(sqlite, SqliteConnection, sqlx::Sqlite);
writing_rows!(postgres, PgConnection, sqlx::Postgres);
