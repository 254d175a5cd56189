//! The query and the answer of an import, and the query of an export.
//!
//! Invariants: an unknown name is refused; the difference is told as people read it. Absent: the
//! reading of a table.

use super::ApiError;
use crate::book::table::{Changed, Difference, Field, Kind, Mapping};
use crate::sheet::{Delimiter, Dialect};
use serde::{Deserialize, Serialize};
use std::collections::BTreeSet;
use utoipa::openapi::path::{Parameter, ParameterBuilder, ParameterIn, ParameterStyle};
use utoipa::openapi::schema::{ObjectBuilder, Type};
use utoipa::openapi::{RefOr, Required, Schema};
use utoipa::{IntoParams, PartialSchema as _, ToSchema};

/// One line that is not blank, as a pattern: no control character, and one that is no white space.
const ONE_LINE: &str = r"^[^\u0000-\u001F\u007F-\u009F]*[^\s\u0000-\u001F\u007F-\u009F][^\u0000-\u001F\u007F-\u009F]*$";

/// How much of a name is repeated back, in characters.
const SHOWN: usize = 40;

/// What is imported, and how.
#[derive(Clone, Debug)]
pub(super) struct TableQuery {
    pub(super) table: Kind,
    pub(super) dry_run: bool,
    pub(super) mapping: Mapping,
    note: Option<String>,
}

impl IntoParams for TableQuery {
    fn into_params(_: impl Fn() -> Option<ParameterIn>) -> Vec<Parameter> {
        let text = || ObjectBuilder::new().schema_type(Type::String);
        let schema = |object: ObjectBuilder| RefOr::T(Schema::Object(object.build()));
        let deep = |(name, says): (&str, &str)| {
            let object = ObjectBuilder::new().schema_type(Type::Object);
            let object = object.additional_properties(Some(text()));
            in_query(name, says, schema(object))
                .style(Some(ParameterStyle::DeepObject))
                .explode(Some(true))
                .build()
        };
        vec![
            in_query(
                "table",
                "Which table; `prices` when left out.",
                Kind::schema(),
            )
            .build(),
            in_query(
                "dry_run",
                "`true` to be told what would change, and to write nothing.",
                bool::schema(),
            )
            .build(),
            deep((
                "columns",
                "What the file calls a column: `columns[unit_price]=Net price`.",
            )),
            deep((
                "values",
                "What a column holds that the file does not have: `values[supplier]=quarry-yard`.",
            )),
            in_query(
                "note",
                "What is done, in a few words, for the list of revisions.",
                schema(
                    text()
                        .min_length(Some(1))
                        .max_length(Some(200))
                        .pattern(Some(ONE_LINE)),
                ),
            )
            .build(),
        ]
    }
}

fn in_query(name: &str, says: &str, schema: RefOr<Schema>) -> ParameterBuilder {
    ParameterBuilder::new()
        .name(name)
        .parameter_in(ParameterIn::Query)
        .required(Required::False)
        .description(Some(says))
        .schema(Some(schema))
}

impl TableQuery {
    /// Reads a query.
    ///
    /// # Errors
    /// [`ApiError::BadQuery`] for a name that is not known, or a value that cannot be.
    pub(super) fn read(query: &str) -> Result<Self, ApiError> {
        let pairs = actix_web::web::Query::<Vec<(String, String)>>::from_query(query)
            .map_err(|error| ApiError::BadQuery(error.to_string()))?;
        let mut read = Self {
            table: Kind::Prices,
            dry_run: false,
            mapping: Mapping::default(),
            note: None,
        };
        let mut seen = BTreeSet::new();
        for (name, value) in pairs.into_inner() {
            if !seen.insert(name.clone()) {
                let shown: String = name.chars().take(SHOWN).collect();
                return Err(ApiError::BadQuery(format!("{shown} may stand once.")));
            }
            read.take(&name, value)?;
        }
        Ok(read)
    }

    fn take(&mut self, name: &str, value: String) -> Result<(), ApiError> {
        let mapped = |what: &str| {
            let inner = name.strip_prefix(what)?.strip_prefix('[')?;
            inner.strip_suffix(']').map(str::to_owned)
        };
        match name {
            "table" => self.table = read_kind(&value)?,
            "dry_run" => {
                self.dry_run = value
                    .parse()
                    .map_err(|_| ApiError::BadQuery("dry_run takes true or false.".to_owned()))?;
            }
            "note" => self.note = Some(read_note(value)?),
            _ => match (mapped("columns"), mapped("values")) {
                (Some(column), _) => drop(self.mapping.columns.insert(column, value)),
                (_, Some(column)) => drop(self.mapping.values.insert(column, value)),
                (None, None) => {
                    let shown: String = name.chars().take(SHOWN).collect();
                    return Err(ApiError::BadQuery(format!(
                        "\"{shown}\" is not known; table, dry_run, note, columns[…] and values[…] are."
                    )));
                }
            },
        }
        Ok(())
    }

    /// What the list of revisions will say.
    pub(super) fn note(&self) -> String {
        let usual = || format!("Import of {}", self.table);
        self.note.clone().unwrap_or_else(usual)
    }
}

fn read_note(value: String) -> Result<String, ApiError> {
    let mut faults = crate::quantity::Faults::default();
    crate::catalog::check_text(&value, "", &mut faults);
    match faults.0.first() {
        None => Ok(value),
        Some(fault) => Err(ApiError::BadQuery(format!(
            "note takes {}.",
            fault.accepted
        ))),
    }
}

fn read_kind(value: &str) -> Result<Kind, ApiError> {
    Kind::from_word(value)
        .ok_or_else(|| ApiError::BadQuery(format!("table takes {}.", Kind::WORDS.join(", "))))
}

/// What is exported, and how.
#[derive(Debug, Deserialize, IntoParams)]
#[into_params(parameter_in = Query)]
#[serde(deny_unknown_fields)]
pub(super) struct ExportQuery {
    /// Which table; `prices` when left out.
    #[param(value_type = Option<Kind>)]
    table: Option<String>,
    /// The revision as known at which; the newest when left out.
    #[param(minimum = 1, example = 1)]
    pub(super) revision: Option<i64>,
    /// `csv` or `xlsx`; wins over `Accept`.
    pub(super) format: Option<String>,
    /// `comma`, `semicolon` (then with decimal commas) or `tab`; comma when left out.
    #[param(pattern = "^(comma|semicolon|tab)$")]
    delimiter: Option<String>,
    /// `true` to begin a CSV with a byte-order mark, by which some spreadsheets know UTF-8.
    pub(super) bom: Option<bool>,
}

impl ExportQuery {
    /// The table.
    pub(super) fn table(&self) -> Result<Kind, ApiError> {
        self.table.as_deref().map_or(Ok(Kind::Prices), read_kind)
    }

    /// The dialect of a CSV.
    pub(super) fn dialect(&self) -> Result<Dialect, ApiError> {
        let delimiter = match self.delimiter.as_deref() {
            None | Some("comma") => Delimiter::Comma,
            Some("semicolon") => Delimiter::Semicolon,
            Some("tab") => Delimiter::Tab,
            Some(_) => {
                let detail = "delimiter takes comma, semicolon or tab.";
                return Err(ApiError::BadQuery(detail.to_owned()));
            }
        };
        Ok(Dialect { delimiter })
    }
}

/// What an import changed, or would change.
#[derive(Debug, Serialize, ToSchema)]
pub(super) struct TableAnswer {
    /// Code of the book.
    book: String,
    /// Which table.
    table: Kind,
    /// True when nothing was written.
    dry_run: bool,
    /// The newest revision; the same as before where all was known.
    revision: i64,
    /// Rows read.
    rows: u64,
    /// Things that are new.
    new: u64,
    /// Things that are changed.
    changed: u64,
    /// Headings of the file that were not read.
    ignored: Vec<String>,
    /// The first thousand of what is new or changed.
    changes: Vec<ChangedRowAnswer>,
}

/// One thing that is new or changed.
#[derive(Debug, Serialize, ToSchema)]
struct ChangedRowAnswer {
    /// Row of the file that says so.
    row: u64,
    /// `item`, `price`, `supplier`, `wage`, `rate` or `index`.
    what: &'static str,
    /// Which one.
    key: String,
    /// True when it was not known before.
    new: bool,
    /// The columns that are different.
    fields: Vec<FieldAnswer>,
}

/// A column that is different.
#[derive(Debug, Serialize, ToSchema)]
struct FieldAnswer {
    /// Its name.
    column: &'static str,
    /// What is known; null where nothing is.
    from: Option<String>,
    /// What would be known.
    to: Option<String>,
}

impl TableAnswer {
    pub(super) fn of(
        book: &str,
        query: &TableQuery,
        (difference, ignored): (&Difference, &[String]),
        revision: i64,
    ) -> Self {
        Self {
            book: book.to_owned(),
            table: query.table,
            dry_run: query.dry_run,
            revision,
            rows: difference.rows,
            new: difference.new,
            changed: difference.changed,
            ignored: ignored.to_vec(),
            changes: difference.told.iter().map(ChangedRowAnswer::of).collect(),
        }
    }
}

impl ChangedRowAnswer {
    fn of(changed: &Changed) -> Self {
        let field = |field: &Field| FieldAnswer {
            column: field.column,
            from: field.from.clone(),
            to: field.to.clone(),
        };
        Self {
            row: changed.row,
            what: changed.what,
            key: changed.key.clone(),
            new: changed.new,
            fields: changed.fields.iter().map(field).collect(),
        }
    }
}
