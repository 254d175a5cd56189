//! Reading a book, or what came after a revision of it that is known already, inside one
//! transaction.
//!
//! Invariants: all of it is seen as of one instant; rows may come in any order. Absent here: where
//! the transaction begins and ends.

use super::{BookError, row, sql};
use crate::catalog::{Burden, History};
use sqlx::{PgConnection, SqliteConnection};
use std::collections::BTreeMap;

/// Groups rows that belong to another row by the place of that row.
fn by_place<K: Ord, R>(rows: Vec<R>, place: impl Fn(&R) -> K) -> BTreeMap<K, Vec<R>> {
    let mut groups: BTreeMap<K, Vec<R>> = BTreeMap::new();
    for row in rows {
        groups.entry(place(&row)).or_default().push(row);
    }
    groups
}

fn read_burdens(rows: Option<Vec<row::BurdenRow>>) -> Result<Vec<Burden>, BookError> {
    let rows = rows.unwrap_or_default().into_iter();
    let mut burdens: Vec<Burden> = rows.map(row::BurdenRow::read).collect::<Result<_, _>>()?;
    burdens.sort_by(|one, other| one.name.cmp(&other.name));
    Ok(burdens)
}

/// Writes the steps of a read for one kind of connection.
macro_rules! reading {
    ($engine:ident, $connection:ty, $database:ty) => {
        pub(super) mod $engine {
            use super::*;

            /// All of one table that was written to `book` after `since`.
            async fn rows<R>(
                on: &mut $connection,
                statement: &'static str,
                (book, since): (&str, i64),
            ) -> Result<Vec<R>, BookError>
            where
                R: for<'r> sqlx::FromRow<'r, <$database as sqlx::Database>::Row> + Send + Unpin,
            {
                let asked = sqlx::query_as(statement).bind(book).bind(since);
                Ok(asked.fetch_all(&mut *on).await?)
            }

            pub(in crate::book) async fn load(
                on: &mut $connection,
                book: &str,
                known: Option<&History>,
            ) -> Result<History, BookError> {
                let head: Option<row::BookRow> = sqlx::query_as(sql::BOOK)
                    .bind(book)
                    .fetch_optional(&mut *on)
                    .await?;
                let head = head.ok_or_else(|| BookError::not_found("price book", book))?;
                let latest = head.latest();
                let head = head.read()?;
                let mut history = known.cloned().unwrap_or_else(|| History::empty(head));
                let after = (book, history.latest());
                load_particulars(on, after, &mut history).await?;
                load_goods(on, after, &mut history).await?;
                load_crew(on, after, &mut history).await?;
                if history.latest() != latest {
                    return Err(BookError::damaged(format!("revisions of book {book}")));
                }
                Ok(history)
            }

            async fn load_particulars(
                on: &mut $connection,
                after: (&str, i64),
                history: &mut History,
            ) -> Result<(), BookError> {
                for row in rows::<row::RevisionRow>(on, sql::REVISIONS, after).await? {
                    history.learn_revision(row.read()?);
                }
                for row in rows::<row::SettingRow>(on, sql::SETTINGS, after).await? {
                    history.learn_settings(row.read()?);
                }
                let charges = rows::<row::ChargeRow>(on, sql::CHARGES, after).await?;
                let charges = by_place(charges, row::ChargeRow::place);
                for row in rows::<row::SupplierRow>(on, sql::SUPPLIERS, after).await? {
                    let own = charges.get(&row.place()).map_or(&[][..], Vec::as_slice);
                    history.learn_supplier(row.read(own)?);
                }
                Ok(())
            }

            async fn load_goods(
                on: &mut $connection,
                after: (&str, i64),
                history: &mut History,
            ) -> Result<(), BookError> {
                for row in rows::<row::ItemRow>(on, sql::ITEMS, after).await? {
                    history.learn_item(row.read()?);
                }
                let prices = rows::<row::PriceRow>(on, sql::PRICES, after).await?;
                let prices: Result<Vec<_>, _> = prices.into_iter().map(|row| row.read()).collect();
                history.learn_prices(prices?.into_iter());
                let values = rows::<row::IndexRow>(on, sql::INDICES, after).await?;
                let values: Result<Vec<_>, _> = values.into_iter().map(|row| row.read()).collect();
                history.learn_indices(values?.into_iter());
                Ok(())
            }

            async fn load_crew(
                on: &mut $connection,
                after: (&str, i64),
                history: &mut History,
            ) -> Result<(), BookError> {
                let burdens = rows::<row::BurdenRow>(on, sql::BURDENS, after).await?;
                let mut burdens = by_place(burdens, row::BurdenRow::place);
                for row in rows::<row::WageRow>(on, sql::WAGES, after).await? {
                    let own = burdens.remove(&row.place());
                    history.learn_wage(row.read(read_burdens(own)?)?);
                }
                for row in rows::<row::RateRow>(on, sql::RATES, after).await? {
                    history.learn_rate(row.read()?);
                }
                Ok(())
            }
        }
    };
}

reading!(sqlite, SqliteConnection, sqlx::Sqlite);
reading!(postgres, PgConnection, sqlx::Postgres);
