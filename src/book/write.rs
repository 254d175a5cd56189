//! The steps of a write inside one transaction: number it, check its condition, add its rows, tell
//! the audit, keep the answer.
//!
//! Invariants: the number is taken first, and with it the book's lock; the condition is read after
//! it; both databases run the same statements in the same order. Absent here: where the transaction
//! begins and ends, so that a refusal undoes all of it.

use super::kept::{ABANDONED, Claim, ClaimRow, Claimed, KEPT, Keep};
use super::{Append, BookError, Expected, Guard, Made, row, sql, write_rows};
use crate::catalog::{Change, Head};
use chrono::{DateTime, Utc};
use sqlx::{PgConnection, SqliteConnection};
use std::collections::BTreeSet;

/// The condition of a write on one item against the revision in which it last changed.
fn check_item(item: &str, expected: Expected, found: Option<i64>) -> Result<(), BookError> {
    let holds = match expected {
        Expected::New => found.is_none(),
        Expected::Revision(revision) => found == Some(revision),
    };
    if holds {
        return Ok(());
    }
    Err(BookError::conflict("item", item, found))
}

/// The condition of a write on the whole book, whose next revision is `next`.
fn check_book(book: &str, expected: i64, next: i64) -> Result<(), BookError> {
    let found = next - 1;
    if found == expected {
        return Ok(());
    }
    Err(BookError::conflict("price book", book, Some(found)))
}

/// The codes that a change names and does not bring itself.
fn strangers<'a>(
    named: impl Iterator<Item = &'a str>,
    brought: impl Iterator<Item = &'a str>,
) -> BTreeSet<&'a str> {
    let brought: BTreeSet<&str> = brought.collect();
    named.filter(|code| !brought.contains(code)).collect()
}

/// A book's revisions never run back, though the clock may have been set back.
fn not_before(made_at: DateTime<Utc>, last: Option<String>) -> DateTime<Utc> {
    let last = last.and_then(|last| DateTime::parse_from_rfc3339(&last).ok());
    last.map_or(made_at, |last| made_at.max(last.to_utc()))
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
                    .bind(head.inherits.as_deref())
                    .execute(&mut *on)
                    .await?;
                Ok(done.rows_affected() == 1)
            }

            pub(in crate::book) async fn append(
                on: &mut $connection,
                append: Append<'_>,
            ) -> Result<Made, BookError> {
                let book = append.book;
                let next: Option<i64> = sqlx::query_scalar(sql::NEXT_REVISION)
                    .bind(book)
                    .fetch_optional(&mut *on)
                    .await?;
                let revision = next.ok_or_else(|| BookError::not_found("price book", book))?;
                check_guard(on, append, revision).await?;
                check_named(on, book, append.change).await?;
                let last: Option<String> = sqlx::query_scalar(sql::LAST_MADE)
                    .bind(book)
                    .fetch_one(&mut *on)
                    .await?;
                let made_at = not_before(append.made_at, last);
                sqlx::query(sql::ADD_REVISION)
                    .bind(book)
                    .bind(revision)
                    .bind(row::stored_instant(made_at))
                    .bind(&append.change.note)
                    .execute(&mut *on)
                    .await?;
                write_rows::$engine::add_change(on, (book, revision), append.change).await?;
                let made = Made { revision, made_at };
                add_audit(on, append, made).await?;
                if let Some(kept) = append.keep {
                    keep(on, kept).await?;
                }
                Ok(made)
            }

            async fn check_guard(
                on: &mut $connection,
                append: Append<'_>,
                next: i64,
            ) -> Result<(), BookError> {
                match append.guard {
                    None => Ok(()),
                    Some(Guard::Book(expected)) => check_book(append.book, *expected, next),
                    Some(Guard::Item { item, expected }) => {
                        let found: Option<i64> = sqlx::query_scalar(sql::CHANGED)
                            .bind(append.book)
                            .bind(item)
                            .fetch_one(&mut *on)
                            .await?;
                        check_item(item, *expected, found)
                    }
                }
            }

            async fn check_named(
                on: &mut $connection,
                book: &str,
                change: &Change,
            ) -> Result<(), BookError> {
                let named = change.prices.iter().map(|price| price.item.as_str());
                let brought = change.items.iter().map(|item| item.code.as_str());
                let items = strangers(named, brought);
                check_known(on, (sql::ITEM_CODES, "item"), book, items).await?;
                let named = change.prices.iter().map(|price| price.supplier.as_str());
                let brought = change
                    .suppliers
                    .iter()
                    .map(|supplier| supplier.code.as_str());
                let suppliers = strangers(named, brought);
                check_known(on, (sql::SUPPLIER_CODES, "supplier"), book, suppliers).await
            }

            async fn check_known(
                on: &mut $connection,
                (statement, what): (&'static str, &'static str),
                book: &str,
                named: BTreeSet<&str>,
            ) -> Result<(), BookError> {
                if named.is_empty() {
                    return Ok(());
                }
                let known: Vec<String> = sqlx::query_scalar(statement)
                    .bind(book)
                    .fetch_all(&mut *on)
                    .await?;
                let known: BTreeSet<&str> = known.iter().map(String::as_str).collect();
                match named.into_iter().find(|code| !known.contains(code)) {
                    Some(stranger) => Err(BookError::not_found(what, stranger)),
                    None => Ok(()),
                }
            }

            async fn add_audit(
                on: &mut $connection,
                append: Append<'_>,
                made: Made,
            ) -> Result<(), BookError> {
                let (book, by) = (append.book, append.by);
                // Unique, since a book has each revision once; sorts by time, since that leads.
                let id = format!(
                    "{:012x}-{book}-{}",
                    made.made_at.timestamp_millis(),
                    made.revision
                );
                sqlx::query(sql::ADD_AUDIT)
                    .bind(id)
                    .bind(row::stored_instant(made.made_at))
                    .bind(&by.caller)
                    .bind(by.action)
                    .bind(&by.target)
                    .bind(book)
                    .bind(made.revision)
                    .bind(&by.request)
                    .execute(&mut *on)
                    .await?;
                Ok(())
            }

            pub(in crate::book) async fn claim(
                on: &mut $connection,
                claim: Claim<'_>,
            ) -> Result<Claimed, BookError> {
                sqlx::query(sql::FORGET_ANSWERS)
                    .bind(row::stored_instant(claim.at - KEPT))
                    .execute(&mut *on)
                    .await?;
                sqlx::query(sql::ADD_CLAIM)
                    .bind(claim.caller)
                    .bind(claim.key)
                    .bind(claim.request)
                    .bind(claim.owner)
                    .bind(row::stored_instant(claim.at))
                    .execute(&mut *on)
                    .await?;
                let row: ClaimRow = sqlx::query_as(sql::CLAIM)
                    .bind(claim.caller)
                    .bind(claim.key)
                    .fetch_one(&mut *on)
                    .await?;
                if let Some(meaning) = row.meaning(&claim) {
                    return Ok(meaning);
                }
                let taken = sqlx::query(sql::TAKE_OVER)
                    .bind(claim.caller)
                    .bind(claim.key)
                    .bind(claim.owner)
                    .bind(row::stored_instant(claim.at))
                    .bind(row::stored_instant(claim.at - ABANDONED))
                    .execute(&mut *on)
                    .await?;
                Ok(match taken.rows_affected() {
                    1 => Claimed::Mine,
                    _ => Claimed::Running,
                })
            }

            pub(in crate::book) async fn keep(
                on: &mut $connection,
                keep: &Keep,
            ) -> Result<(), BookError> {
                let answer = &keep.answer;
                let headers = serde_json::to_string(&answer.headers)
                    .map_err(|_| BookError::damaged("headers of an answer"))?;
                let done = sqlx::query(sql::KEEP)
                    .bind(&keep.caller)
                    .bind(&keep.key)
                    .bind(&keep.owner)
                    .bind(i64::from(answer.status))
                    .bind(headers)
                    .bind(&answer.body)
                    .execute(&mut *on)
                    .await?;
                match done.rows_affected() {
                    1 => Ok(()),
                    _ => Err(BookError::TakenOver),
                }
            }

            pub(in crate::book) async fn release(
                on: &mut $connection,
                claim: Claim<'_>,
            ) -> Result<(), BookError> {
                sqlx::query(sql::RELEASE)
                    .bind(claim.caller)
                    .bind(claim.key)
                    .bind(claim.owner)
                    .execute(&mut *on)
                    .await?;
                Ok(())
            }
        }
    };
}

writing!(sqlite, SqliteConnection);
writing!(postgres, PgConnection);
