//! Reading a whole book inside one transaction, so that no write is seen by half.
//!
//! Invariant: both databases run the same statements in the same order. Absent here: where the
//! transaction begins and ends.

use super::{BookError, row, sql};
use crate::catalog::History;
use sqlx::{PgConnection, SqliteConnection};

/// Writes the steps of a read for one kind of connection.
macro_rules! reading {
    ($engine:ident, $connection:ty) => {
        pub(super) mod $engine {
            use super::*;

            pub(in crate::book) async fn load(
                on: &mut $connection,
                book: &str,
            ) -> Result<History, BookError> {
                let head: Option<row::BookRow> = sqlx::query_as(sql::BOOK)
                    .bind(book)
                    .fetch_optional(&mut *on)
                    .await?;
                let head = head.ok_or_else(|| BookError::not_found("price book", book))?;
                let latest = head.latest();
                let mut history = History::empty(head.read()?);
                load_particulars(on, book, &mut history).await?;
                load_goods(on, book, &mut history).await?;
                if history.latest() != latest {
                    return Err(BookError::damaged(format!("revisions of book {book}")));
                }
                Ok(history)
            }

            async fn load_particulars(
                on: &mut $connection,
                book: &str,
                history: &mut History,
            ) -> Result<(), BookError> {
                let rows: Vec<row::RevisionRow> = sqlx::query_as(sql::REVISIONS)
                    .bind(book)
                    .fetch_all(&mut *on)
                    .await?;
                for row in rows {
                    history.learn_revision(row.read()?);
                }
                let rows: Vec<row::SettingRow> = sqlx::query_as(sql::SETTINGS)
                    .bind(book)
                    .fetch_all(&mut *on)
                    .await?;
                for row in rows {
                    history.learn_settings(row.read()?);
                }
                let rows: Vec<row::SupplierRow> = sqlx::query_as(sql::SUPPLIERS)
                    .bind(book)
                    .fetch_all(&mut *on)
                    .await?;
                for row in rows {
                    history.learn_supplier(row.read()?);
                }
                Ok(())
            }

            async fn load_goods(
                on: &mut $connection,
                book: &str,
                history: &mut History,
            ) -> Result<(), BookError> {
                let rows: Vec<row::ItemRow> = sqlx::query_as(sql::ITEMS)
                    .bind(book)
                    .fetch_all(&mut *on)
                    .await?;
                for row in rows {
                    history.learn_item(row.read()?);
                }
                let rows: Vec<row::PriceRow> = sqlx::query_as(sql::PRICES)
                    .bind(book)
                    .fetch_all(&mut *on)
                    .await?;
                for row in rows {
                    history.learn_price(row.read()?);
                }
                Ok(())
            }
        }
    };
}

reading!(sqlite, SqliteConnection);
reading!(postgres, PgConnection);
