//! A whole database into an empty one, of either kind: for a move to a server, a backup, a restore.
//!
//! Invariants: the source is read as of one instant and stays as it is; the target is filled in one
//! transaction or not at all; every column of every table is carried, which a test holds against the
//! migrations. Absent here: addresses, files, and what the rows mean.

use super::{BookError, PostgresStore, SqliteStore};
use sqlx::{AssertSqlSafe, Column as _, QueryBuilder, Row as _};

/// A table and its columns: `T` for text, `N` for a whole number.
type Table = (&'static str, &'static [(&'static str, char)]);

/// Every table, each after those that it refers to.
#[rustfmt::skip]
const TABLES: &[Table] = &[
    ("book", &[("code", 'T'), ("name", 'T'), ("currency", 'T'), ("demo", 'N'), ("latest", 'N'), ("inherits", 'T')]),
    ("revision", &[("book", 'T'), ("number", 'N'), ("made_at", 'T'), ("note", 'T')]),
    ("setting", &[("book", 'T'), ("revision", 'N'), ("overhead_e6", 'N'), ("contingency_e6", 'N'), ("profit_basis", 'T'),
        ("profit_e6", 'N'), ("warranty_e6", 'N'), ("sales_tax_e6", 'N'), ("sales_tax_base", 'T'), ("travel_minutes", 'N'),
        ("price_age_days", 'N')]),
    ("supplier", &[("book", 'T'), ("code", 'T')]),
    ("supplier_version", &[("book", 'T'), ("code", 'T'), ("revision", 'N'), ("name", 'T'), ("short_load_below_yd3_e4", 'N'),
        ("truck_most_yd3_e4", 'N'), ("free_unloading_min_yd3_e4", 'N'), ("minimum_order_e4", 'N')]),
    ("supplier_charge", &[("book", 'T'), ("code", 'T'), ("revision", 'N'), ("kind", 'T'), ("key", 'T'), ("fee_e4", 'N')]),
    ("item", &[("book", 'T'), ("code", 'T')]),
    ("item_version", &[("book", 'T'), ("code", 'T'), ("revision", 'N'), ("description", 'T'), ("class", 'T'), ("sale_unit", 'T'),
        ("order_step_e4", 'N'), ("minimum_e4", 'N'), ("holds_e4", 'N'), ("holds_unit", 'T'), ("uses", 'N'), ("pay_step_e4", 'N'),
        ("preferred_supplier", 'T'), ("index_series", 'T')]),
    ("price", &[("book", 'T'), ("item", 'T'), ("supplier", 'T'), ("effective_from", 'T'), ("from_quantity_e4", 'N'),
        ("quoted_for", 'T'), ("revision", 'N'), ("unit_price_e4", 'N'), ("valid_until", 'T')]),
    ("wage", &[("book", 'T'), ("schedule", 'T'), ("class", 'T'), ("effective_from", 'T'), ("revision", 'N'), ("base_e4", 'N'),
        ("fringe_e4", 'N'), ("premium_e6", 'N')]),
    ("wage_burden", &[("book", 'T'), ("schedule", 'T'), ("class", 'T'), ("effective_from", 'T'), ("revision", 'N'), ("name", 'T'),
        ("share_e6", 'N'), ("hourly_e4", 'N'), ("on_premium", 'N')]),
    ("own_rate", &[("book", 'T'), ("task", 'T'), ("revision", 'N'), ("setup_e4", 'N'), ("low_e4", 'N'), ("likely_e4", 'N'),
        ("high_e4", 'N')]),
    ("index_value", &[("book", 'T'), ("series", 'T'), ("month", 'T'), ("revision", 'N'), ("value_e4", 'N')]),
    ("access_key", &[("id", 'T'), ("name", 'T'), ("role", 'T'), ("hash", 'T'), ("per_minute", 'N'), ("made_at", 'T'),
        ("revoked_at", 'T')]),
    ("audit", &[("id", 'T'), ("at", 'T'), ("caller", 'T'), ("action", 'T'), ("target", 'T'), ("book", 'T'), ("revision", 'N'),
        ("request", 'T')]),
    ("idempotency", &[("caller", 'T'), ("key", 'T'), ("request", 'T'), ("owner", 'T'), ("made_at", 'T'), ("status", 'N'),
        ("headers", 'T'), ("body", 'T')]),
];

/// Tables that a first start fills by itself and that a move therefore does not fill but raises.
pub const RAISED: &[&str] = &["access_version"];

/// Rows of one statement; with at most 14 columns they stay below the 32,766 places of SQLite.
const ROWS: usize = 1_000;

/// A cell: a text or a whole number, or nothing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Stored {
    /// Of a column of text.
    Text(Option<String>),
    /// Of a column of whole numbers.
    Number(Option<i64>),
}

/// All rows of one table.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Contents {
    /// Name of the table.
    pub table: &'static str,
    columns: &'static [(&'static str, char)],
    rows: Vec<Vec<Stored>>,
}

impl Contents {
    /// How many rows it has.
    pub fn count(&self) -> usize {
        self.rows.len()
    }
}

/// Every table with its columns, in the order in which they can be filled.
pub fn tables() -> impl Iterator<Item = (&'static str, Vec<&'static str>)> {
    TABLES
        .iter()
        .map(|(name, columns)| (*name, columns.iter().map(|(column, _)| *column).collect()))
}

/// A database that can be read and filled whole.
#[async_trait::async_trait]
pub trait Whole: Send + Sync {
    /// Everything in it, as of one instant, each table's rows in the order of their columns.
    ///
    /// # Errors
    /// [`BookError::Unavailable`].
    async fn read_all(&self) -> Result<Vec<Contents>, BookError>;

    /// Fills it, if it is empty.
    ///
    /// # Errors
    /// [`BookError::NotEmpty`]; [`BookError::Refused`], [`BookError::Unavailable`]. Nothing is
    /// written then.
    async fn fill_all(&self, contents: &[Contents]) -> Result<(), BookError>;

    /// Ends every connection, so that a file holds all that was written to it.
    async fn close(&self);
}

/// Copies everything from one database into an empty one, reads it back, and gives what it holds.
///
/// # Errors
/// Those of [`Whole`]; [`BookError::Damaged`] when what is read back is not what was copied.
pub async fn copy_all(from: &dyn Whole, to: &dyn Whole) -> Result<Vec<Contents>, BookError> {
    let contents = from.read_all().await?;
    to.fill_all(&contents).await?;
    if to.read_all().await? != contents {
        return Err(BookError::damaged(
            "the copy, which differs from its source",
        ));
    }
    Ok(contents)
}

fn names(columns: &[(&str, char)]) -> String {
    let names: Vec<&str> = columns.iter().map(|(name, _)| *name).collect();
    names.join(", ")
}

/// Text is compared by its bytes, so that both databases give one order.
fn order(columns: &[(&str, char)], collated: &str) -> String {
    let by = columns.iter().map(|(name, kind)| match kind {
        'T' => format!("{name}{collated}"),
        _ => (*name).to_owned(),
    });
    by.collect::<Vec<_>>().join(", ")
}

/// Writes the whole copy for one kind of store.
macro_rules! whole {
    ($store:ty, $database:ty, read = $read_begin:literal, write = $write_begin:literal, bytes = $collated:literal) => {
        const _: () = {
            type Places<'a> = sqlx::query_builder::Separated<'a, $database, &'static str>;

            fn push(places: &mut Places<'_>, cell: &Stored) {
                match cell.clone() {
                    Stored::Text(text) => places.push_bind(text),
                    Stored::Number(number) => places.push_bind(number),
                };
            }

            #[async_trait::async_trait]
            impl Whole for $store {
                async fn read_all(&self) -> Result<Vec<Contents>, BookError> {
                    let mut reading = self.0.begin_with($read_begin).await?;
                    let mut all = Vec::new();
                    for (table, columns) in TABLES {
                        let (listed, order) = (names(columns), order(columns, $collated));
                        // Put together from the rows above alone.
                        let statement = format!("SELECT {listed} FROM {table} ORDER BY {order}");
                        let statement = sqlx::query(AssertSqlSafe(statement));
                        let rows = statement.fetch_all(&mut *reading).await?;
                        let read = |row: &<$database as sqlx::Database>::Row| {
                            row.columns()
                                .iter()
                                .zip(columns.iter())
                                .map(|(column, (_, kind))| match kind {
                                    'T' => row.try_get(column.ordinal()).map(Stored::Text),
                                    _ => row.try_get(column.ordinal()).map(Stored::Number),
                                })
                                .collect::<Result<Vec<Stored>, sqlx::Error>>()
                        };
                        let rows: Result<Vec<_>, _> = rows.iter().map(read).collect();
                        all.push(Contents {
                            table,
                            columns,
                            rows: rows?,
                        });
                    }
                    reading.commit().await?;
                    Ok(all)
                }

                async fn fill_all(&self, contents: &[Contents]) -> Result<(), BookError> {
                    let mut writing = self.0.begin_with($write_begin).await?;
                    for table in ["book", "access_key", "audit"] {
                        let statement = format!("SELECT COUNT(*) FROM {table}");
                        let count: i64 = sqlx::query_scalar(AssertSqlSafe(statement))
                            .fetch_one(&mut *writing)
                            .await?;
                        if count > 0 {
                            return Err(BookError::NotEmpty);
                        }
                    }
                    for table in contents {
                        let listed = names(table.columns);
                        for rows in table.rows.chunks(ROWS) {
                            let start = format!("INSERT INTO {} ({listed}) ", table.table);
                            let mut statement = QueryBuilder::<$database>::new(start);
                            statement.push_values(rows, |mut places, row| {
                                row.iter().for_each(|cell| push(&mut places, cell));
                            });
                            statement
                                .build()
                                .persistent(false)
                                .execute(&mut *writing)
                                .await?;
                        }
                    }
                    // Replicas that watch the target read its keys anew.
                    sqlx::query("UPDATE access_version SET version = version + 1")
                        .execute(&mut *writing)
                        .await?;
                    Ok(writing.commit().await?)
                }

                async fn close(&self) {
                    self.0.close().await;
                }
            }
        };
    };
}

whole!(
    SqliteStore,
    sqlx::Sqlite,
    read = "BEGIN",
    write = "BEGIN IMMEDIATE",
    bytes = ""
);
whole!(
    PostgresStore,
    sqlx::Postgres,
    read = "BEGIN ISOLATION LEVEL REPEATABLE READ READ ONLY",
    write = "BEGIN ISOLATION LEVEL READ COMMITTED",
    bytes = " COLLATE \"C\""
);
