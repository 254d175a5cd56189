//! The steps of reading and changing keys and the audit, on one connection.
//!
//! Invariants: both databases run the same statements in the same order; a row that cannot be read
//! is refused by name. Absent here: where a transaction begins and ends.

use super::{AuditPage, AuditRow, KeyHash, KeyRecord, Role, new_audit_id, sql};
use crate::book::{BookError, row, sql::ADD_AUDIT};
use chrono::{DateTime, Utc};
use sqlx::{PgConnection, SqliteConnection};

/// Row of `access_key`.
#[derive(sqlx::FromRow)]
struct KeyRow {
    id: String,
    name: String,
    role: String,
    hash: String,
    per_minute: Option<i64>,
    made_at: String,
    revoked_at: Option<String>,
}

impl KeyRow {
    fn read(self) -> Result<KeyRecord, BookError> {
        let damaged = || BookError::damaged(format!("key {}", self.id));
        let per_minute = self.per_minute.map(u32::try_from).transpose();
        let revoked_at = self.revoked_at.as_deref().map(read_instant);
        Ok(KeyRecord {
            role: Role::from_word(&self.role).ok_or_else(damaged)?,
            hash: KeyHash::from_hex(&self.hash).ok_or_else(damaged)?,
            per_minute: per_minute.map_err(|_| damaged())?,
            made_at: read_instant(&self.made_at).ok_or_else(damaged)?,
            revoked_at: match revoked_at {
                Some(at) => Some(at.ok_or_else(damaged)?),
                None => None,
            },
            id: self.id,
            name: self.name,
        })
    }
}

/// Row of `audit`.
#[derive(sqlx::FromRow)]
struct WrittenRow {
    id: String,
    at: String,
    caller: String,
    action: String,
    target: String,
    book: Option<String>,
    revision: Option<i64>,
    request: Option<String>,
}

impl WrittenRow {
    fn read(self) -> Result<AuditRow, BookError> {
        let at = read_instant(&self.at)
            .ok_or_else(|| BookError::damaged(format!("instant of audit row {}", self.id)))?;
        Ok(AuditRow {
            id: self.id,
            at,
            caller: self.caller,
            action: self.action,
            target: self.target,
            revision: self.book.zip(self.revision),
            request: self.request,
        })
    }
}

fn read_instant(text: &str) -> Option<DateTime<Utc>> {
    let read = DateTime::parse_from_rfc3339(text).ok()?;
    Some(read.to_utc())
}

/// What is written of a change of the keys.
fn of_key(action: &str, id: &str, by: (&str, DateTime<Utc>)) -> Result<AuditRow, BookError> {
    let (caller, at) = by;
    Ok(AuditRow {
        id: new_audit_id(at)?,
        at,
        caller: caller.to_owned(),
        action: action.to_owned(),
        target: id.to_owned(),
        revision: None,
        request: None,
    })
}

/// Writes the steps for one kind of connection.
macro_rules! steps {
    ($engine:ident, $connection:ty) => {
        pub(in crate::book) mod $engine {
            use super::*;

            pub(in crate::book) async fn version(on: &mut $connection) -> Result<i64, BookError> {
                Ok(sqlx::query_scalar(sql::VERSION).fetch_one(on).await?)
            }

            pub(in crate::book) async fn keys(
                on: &mut $connection,
            ) -> Result<Vec<KeyRecord>, BookError> {
                let rows: Vec<KeyRow> = sqlx::query_as(sql::KEYS).fetch_all(on).await?;
                rows.into_iter().map(KeyRow::read).collect()
            }

            pub(in crate::book) async fn add_key(
                on: &mut $connection,
                key: &KeyRecord,
                caller: &str,
            ) -> Result<(), BookError> {
                sqlx::query(sql::NEXT_VERSION).execute(&mut *on).await?;
                sqlx::query(sql::ADD_KEY)
                    .bind(&key.id)
                    .bind(&key.name)
                    .bind(key.role.word())
                    .bind(key.hash.hex())
                    .bind(key.per_minute.map(i64::from))
                    .bind(row::stored_instant(key.made_at))
                    .execute(&mut *on)
                    .await?;
                let row = of_key("key.add", &key.id, (caller, key.made_at))?;
                add_audit(on, &row).await
            }

            pub(in crate::book) async fn revoke_key(
                on: &mut $connection,
                id: &str,
                by: (&str, DateTime<Utc>),
            ) -> Result<bool, BookError> {
                sqlx::query(sql::NEXT_VERSION).execute(&mut *on).await?;
                let done = sqlx::query(sql::REVOKE_KEY)
                    .bind(id)
                    .bind(row::stored_instant(by.1))
                    .execute(&mut *on)
                    .await?;
                if done.rows_affected() == 0 {
                    return Ok(false);
                }
                add_audit(on, &of_key("key.revoke", id, by)?).await?;
                Ok(true)
            }

            async fn add_audit(on: &mut $connection, written: &AuditRow) -> Result<(), BookError> {
                let revision = written.revision.as_ref();
                sqlx::query(ADD_AUDIT)
                    .bind(&written.id)
                    .bind(row::stored_instant(written.at))
                    .bind(&written.caller)
                    .bind(&written.action)
                    .bind(&written.target)
                    .bind(revision.map(|(book, _)| book))
                    .bind(revision.map(|(_, number)| number))
                    .bind(&written.request)
                    .execute(on)
                    .await?;
                Ok(())
            }

            pub(in crate::book) async fn audit(
                on: &mut $connection,
                page: AuditPage<'_>,
            ) -> Result<Vec<AuditRow>, BookError> {
                let rows: Vec<WrittenRow> = sqlx::query_as(sql::AUDIT)
                    .bind(page.after.unwrap_or_default())
                    .bind(i64::from(page.limit))
                    .fetch_all(on)
                    .await?;
                rows.into_iter().map(WrittenRow::read).collect()
            }
        }
    };
}

steps!(sqlite, SqliteConnection);
steps!(postgres, PgConnection);
