//! The steps of a write inside one transaction: number it, check its condition, add its rows.
//!
//! Invariants: the number is taken first, and with it the book's lock; the condition is read after
//! it; both databases run the same statements in the same order. Absent here: where the transaction
//! begins and ends, so that a refusal undoes all of it.

use super::{Append, BookError, Expected, Guard, row, sql};
use crate::catalog::{Change, Charge, Head, Item, Price, Profit, Settings, Supplier};
use sqlx::{PgConnection, SqliteConnection};
use std::collections::BTreeSet;

/// The condition of a write against the revision in which its item last changed.
fn check_guard(guard: &Guard, found: Option<i64>) -> Result<(), BookError> {
    let holds = match guard.expected {
        Expected::New => found.is_none(),
        Expected::Revision(revision) => found == Some(revision),
    };
    if holds {
        return Ok(());
    }
    Err(BookError::Conflict {
        item: guard.item.clone(),
        found,
    })
}

/// The codes that `prices` name and the change itself does not bring.
fn strangers<'a>(
    named: impl Iterator<Item = &'a str>,
    brought: impl Iterator<Item = &'a str>,
) -> BTreeSet<&'a str> {
    let brought: BTreeSet<&str> = brought.collect();
    named.filter(|code| !brought.contains(code)).collect()
}

/// Writes the steps of a write for one kind of connection.
macro_rules! writing {
    ($engine:ident, $connection:ty) => {
        pub(super) mod $engine {
            use super::*;

            pub(in crate::book) async fn add_book(
                on: &mut $connection,
                head: &Head,
            ) -> Result<bool, BookError> {
                let done = sqlx::query(sql::ADD_BOOK)
                    .bind(&head.code)
                    .bind(&head.name)
                    .bind(head.currency.code())
                    .bind(i64::from(head.demo))
                    .execute(&mut *on)
                    .await?;
                Ok(done.rows_affected() == 1)
            }

            pub(in crate::book) async fn append(
                on: &mut $connection,
                append: Append<'_>,
            ) -> Result<i64, BookError> {
                let Append {
                    book,
                    made_at,
                    change,
                    guard,
                } = append;
                let next: Option<i64> = sqlx::query_scalar(sql::NEXT_REVISION)
                    .bind(book)
                    .fetch_optional(&mut *on)
                    .await?;
                let revision = next.ok_or_else(|| BookError::not_found("price book", book))?;
                if let Some(guard) = guard {
                    let found: Option<i64> = sqlx::query_scalar(sql::CHANGED)
                        .bind(book)
                        .bind(&guard.item)
                        .fetch_one(&mut *on)
                        .await?;
                    check_guard(guard, found)?;
                }
                check_named(on, book, change).await?;
                sqlx::query(sql::ADD_REVISION)
                    .bind(book)
                    .bind(revision)
                    .bind(row::stored_instant(made_at))
                    .bind(&change.note)
                    .execute(&mut *on)
                    .await?;
                add_change(on, book, revision, change).await?;
                Ok(revision)
            }

            async fn check_named(
                on: &mut $connection,
                book: &str,
                change: &Change,
            ) -> Result<(), BookError> {
                let named = change.prices.iter().map(|price| price.item.as_str());
                let brought = change.items.iter().map(|item| item.code.as_str());
                for code in strangers(named, brought) {
                    check_known(on, sql::HAS_ITEM, "item", (book, code)).await?;
                }
                let named = change.prices.iter().map(|price| price.supplier.as_str());
                let brought = change
                    .suppliers
                    .iter()
                    .map(|supplier| supplier.code.as_str());
                for code in strangers(named, brought) {
                    check_known(on, sql::HAS_SUPPLIER, "supplier", (book, code)).await?;
                }
                Ok(())
            }

            async fn check_known(
                on: &mut $connection,
                statement: &'static str,
                what: &'static str,
                (book, code): (&str, &str),
            ) -> Result<(), BookError> {
                let count: i64 = sqlx::query_scalar(statement)
                    .bind(book)
                    .bind(code)
                    .fetch_one(&mut *on)
                    .await?;
                if count == 0 {
                    return Err(BookError::not_found(what, code));
                }
                Ok(())
            }

            async fn add_change(
                on: &mut $connection,
                book: &str,
                revision: i64,
                change: &Change,
            ) -> Result<(), BookError> {
                if let Some(settings) = &change.settings {
                    add_settings(on, book, revision, settings).await?;
                }
                for supplier in &change.suppliers {
                    add_supplier(on, book, revision, supplier).await?;
                }
                for item in &change.items {
                    add_item(on, book, revision, item).await?;
                }
                for price in &change.prices {
                    add_price(on, book, revision, price).await?;
                }
                Ok(())
            }

            async fn add_settings(
                on: &mut $connection,
                book: &str,
                revision: i64,
                settings: &Settings,
            ) -> Result<(), BookError> {
                let (basis, rate) = match settings.profit {
                    Profit::Margin(rate) => ("margin", rate),
                    Profit::Markup(rate) => ("markup", rate),
                };
                sqlx::query(sql::ADD_SETTINGS)
                    .bind(book)
                    .bind(revision)
                    .bind(settings.overhead.millionths())
                    .bind(settings.contingency.millionths())
                    .bind(basis)
                    .bind(rate.millionths())
                    .bind(settings.warranty.millionths())
                    .bind(settings.sales_tax.rate.millionths())
                    .bind(settings.sales_tax.base.word())
                    .bind(i64::from(settings.travel_minutes))
                    .execute(&mut *on)
                    .await?;
                Ok(())
            }

            async fn add_supplier(
                on: &mut $connection,
                book: &str,
                revision: i64,
                supplier: &Supplier,
            ) -> Result<(), BookError> {
                let Supplier { code, name, terms } = supplier;
                sqlx::query(sql::ADD_SUPPLIER)
                    .bind(book)
                    .bind(code)
                    .execute(&mut *on)
                    .await?;
                sqlx::query(sql::ADD_SUPPLIER_VERSION)
                    .bind(book)
                    .bind(code)
                    .bind(revision)
                    .bind(name)
                    .bind(row::stored(terms.short_load_below_yd3))
                    .bind(row::stored(terms.truck_most_yd3))
                    .bind(row::stored(terms.free_unloading_min_per_yd3))
                    .execute(&mut *on)
                    .await?;
                Ok(())
            }

            async fn add_item(
                on: &mut $connection,
                book: &str,
                revision: i64,
                item: &Item,
            ) -> Result<(), BookError> {
                let (uses, pay_step) = match item.charge {
                    Charge::BoughtForJob => (None, None),
                    Charge::FromStock { uses, pay_step } => (Some(i64::from(uses)), Some(pay_step)),
                };
                sqlx::query(sql::ADD_ITEM)
                    .bind(book)
                    .bind(&item.code)
                    .execute(&mut *on)
                    .await?;
                sqlx::query(sql::ADD_ITEM_VERSION)
                    .bind(book)
                    .bind(&item.code)
                    .bind(revision)
                    .bind(&item.description)
                    .bind(item.class.word())
                    .bind(item.sale_unit.word())
                    .bind(item.order_step.ten_thousandths())
                    .bind(item.minimum.ten_thousandths())
                    .bind(row::stored(item.holds.map(|holds| holds.quantity)))
                    .bind(item.holds.map(|holds| holds.unit.word()))
                    .bind(uses)
                    .bind(row::stored(pay_step))
                    .execute(&mut *on)
                    .await?;
                Ok(())
            }

            async fn add_price(
                on: &mut $connection,
                book: &str,
                revision: i64,
                price: &Price,
            ) -> Result<(), BookError> {
                sqlx::query(sql::ADD_PRICE)
                    .bind(book)
                    .bind(&price.item)
                    .bind(&price.supplier)
                    .bind(row::stored_day(price.effective_from))
                    .bind(revision)
                    .bind(price.unit_price.ten_thousandths())
                    .execute(&mut *on)
                    .await?;
                Ok(())
            }
        }
    };
}

writing!(sqlite, SqliteConnection);
writing!(postgres, PgConnection);
