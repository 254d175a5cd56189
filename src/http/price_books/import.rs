//! `POST /v1/price-books/{book}/import`: a table into the book, all of it or nothing.
//!
//! Invariants: a table with a fault anywhere changes nothing, and every bad row is named; what is
//! known already makes no revision; one table is read at a time and few are held, so that memory
//! stays bounded.
//! Absent: what the columns mean, which `book::table` knows.

use super::repeat::{Claimant, Found, read_key, send};
use super::table::{TableAnswer, TableQuery};
use super::{ApiError, Problem, Today, condition, etag, signature};
use crate::book::table::{Known, Layout, Plan, plan};
use crate::book::{Books, Expected, Guard, KeptAnswer, Signature, Written};
use crate::catalog::{OFFICE_CLASS, PriceList};
use crate::crew::Rates;
use crate::http::limits;
use crate::http::media::{MediaType, coding};
use crate::job::Class;
use crate::sheet::{Limits, Table, read_csv, read_xlsx};
use actix_web::http::header::HeaderMap;
use actix_web::web::{Data, Path, Payload};
use actix_web::{HttpRequest, HttpResponse, post};
use tokio::sync::Semaphore;

/// Largest table in bytes.
pub(crate) const BYTES: usize = 32 * 1024 * 1024;

/// What a table may hold.
const LIMITS: Limits = Limits {
    rows: 100_000,
    row_bytes: 64 * 1024,
    columns: 200,
    unfolded_bytes: 256 * 1024 * 1024,
};

/// Tables that are read at the same time.
static READING: Semaphore = Semaphore::const_new(1);

/// Tables that are held at the same time, from their first byte until they are written.
static HELD: Semaphore = Semaphore::const_new(4);

/// Import a table into a price book
///
/// All of it or nothing, as one revision; `dry_run=true` shows what it would change. CSV (comma,
/// semicolon with decimal commas, or tab; UTF-8, UTF-16, or as `charset` says) or XLSX (the first
/// sheet with a heading). The columns are those of the export of the same `table`; a blank cell
/// leaves what is known as it is. `columns[unit_price]=Net price` says what the file calls a column,
/// `values[supplier]=quarry-yard` what a column holds that the file does not have. At most 100,000
/// rows and 32 MiB; a row has at most 64 KiB. What is known already makes no revision.
#[utoipa::path(
    tag = "price books",
    operation_id = "import_table",
    params(
        ("book" = String, Path, description = "Code of the book.", example = "demo"),
        TableQuery,
        ("If-Match" = Option<String>, Header, description = "The quoted newest revision of the book; needed unless `dry_run`.", pattern = "^(W/)?\"[!#-~]*\"$", example = "\"1\""),
        ("Idempotency-Key" = Option<String>, Header, description = "1 to 255 characters; needed unless `dry_run`. The same request with the same key gets the same answer for 24 hours.", min_length = 1, max_length = 255, pattern = "^[!-~]([ -~]*[!-~])?$", example = "stone-2026-12"),
    ),
    request_body(content(
        (String = "text/csv", example = "item,supplier,unit_price,effective_from\nstone-dense-graded,quarry-yard,36.00,2026-12-01\n"),
        (String = "text/tab-separated-values"),
        (Vec<u8> = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"),
    )),
    responses(
        (status = 200, description = "Imported, or what importing would change.", body = TableAnswer,
            headers(("ETag" = String, description = "The newest revision, quoted."), ("Idempotency-Replayed" = String, description = "`true` where the answer is that of an earlier request."))),
        (status = 400, description = "The table, the query or a header cannot be read.", body = Problem, content_type = "application/problem+json"),
        (status = 404, description = "There is no such book.", body = Problem, content_type = "application/problem+json"),
        (status = 409, description = "The same request is being done at this moment.", body = Problem, content_type = "application/problem+json"),
        (status = 412, description = "The book has changed since; nothing was written.", body = Problem, content_type = "application/problem+json"),
        (status = 413, description = "The table is too large.", body = Problem, content_type = "application/problem+json"),
        (status = 415, description = "The body is neither CSV nor XLSX.", body = Problem, content_type = "application/problem+json"),
        (status = 422, description = "Rows have faults, or the key was used for another request; nothing was written.", body = Problem, content_type = "application/problem+json"),
        (status = 428, description = "`If-Match` is needed.", body = Problem, content_type = "application/problem+json"),
        (status = 503, description = "The database does not answer, or other tables are being imported; nothing was written.", body = Problem, content_type = "application/problem+json"),
    ),
)]
#[post("/v1/price-books/{book}/import")]
pub(in crate::http) async fn post_import(
    request: HttpRequest,
    (books, today): (Data<Books>, Data<Today>),
    book: Path<String>,
    payload: Payload,
) -> Result<HttpResponse, ApiError> {
    let room = HELD
        .try_acquire()
        .map_err(|_| ApiError::Overloaded("Four tables are being imported."));
    let (asked, _room) = match Asked::read(&request, &book).and_then(|asked| Ok((asked, room?))) {
        Ok(admitted) => admitted,
        Err(refusal) => {
            limits::drain(payload.into_inner()).await;
            return Err(refusal);
        }
    };
    let body = limits::read_body(&request, payload.into_inner(), BYTES).await?;
    limits::note_arrival(&request);
    let Some((revision, key)) = asked.writes.clone() else {
        let read = read_table(&books, &today, (&asked, body)).await?;
        return Ok(send(&answer(&asked, &read, read.revision)));
    };
    let by = signature(
        &request,
        "book.import",
        format!("{}/{}", asked.book, asked.query.table),
    );
    let claimant = match Claimant::claim(&books, (&request, &body), (key, &by)).await? {
        Found::New(claimant) => claimant,
        Found::Answered(answer) => return Ok(answer),
    };
    let work = Work {
        books: &books,
        asked: &asked,
        by: &by,
        claimant: &claimant,
    };
    let done = work.write((body, &today), revision).await;
    if done.is_err() {
        claimant.release(&books).await;
    }
    done
}

/// What is asked for, read before the body is.
struct Asked {
    book: String,
    query: TableQuery,
    format: Format,
    /// The book's revision as the writer saw it, and the request's key; none for a dry run.
    writes: Option<(i64, String)>,
}

#[derive(Clone, Debug)]
enum Format {
    Csv { charset: Option<String> },
    Xlsx,
}

/// A table read against the book.
struct Read {
    plan: Plan,
    ignored: Vec<String>,
    revision: i64,
}

/// One import under way.
struct Work<'a> {
    books: &'a Data<Books>,
    asked: &'a Asked,
    by: &'a Signature,
    claimant: &'a Claimant,
}

/// What an import without its condition is told.
const CHANGES: &str = "An import changes a book: send If-Match with its quoted revision.";

impl Asked {
    fn read(request: &HttpRequest, book: &str) -> Result<Self, ApiError> {
        let query = TableQuery::read(request.query_string())?;
        let writes = if query.dry_run {
            None
        } else {
            let key = read_key(request.headers())?;
            let condition = condition::read_condition(request.headers());
            let condition = condition.map_err(|error| match error {
                ApiError::PreconditionRequired(_) => {
                    ApiError::PreconditionRequired(CHANGES.to_owned())
                }
                other => other,
            });
            match condition? {
                Expected::Revision(revision) => Some((revision, key)),
                Expected::New => return Err(ApiError::BadRequest(CHANGES.to_owned())),
            }
        };
        Ok(Self {
            book: book.to_owned(),
            format: Format::of(request.headers())?,
            query,
            writes,
        })
    }
}

impl Format {
    fn of(headers: &HeaderMap) -> Result<Self, ApiError> {
        if !coding(headers).is_empty() {
            let detail = "The table must be sent uncompressed.";
            return Err(ApiError::UnsupportedMediaType(detail.to_owned()));
        }
        let kind = MediaType::of(headers);
        match kind.essence.as_str() {
            "text/csv" | "text/tab-separated-values" => Ok(Self::Csv {
                charset: kind.charset,
            }),
            "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet" => Ok(Self::Xlsx),
            _ => Err(ApiError::UnsupportedMediaType(format!(
                "Send the table as text/csv, text/tab-separated-values or application/vnd.openxmlformats-officedocument.spreadsheetml.sheet; the Content-Type found: {}.",
                kind.found()
            ))),
        }
    }

    fn table<'a>(&self, body: &'a [u8]) -> Result<Table<'a>, ApiError> {
        let table = match self {
            Self::Csv { charset } => read_csv(body, charset.as_deref(), &LIMITS),
            Self::Xlsx => read_xlsx(body, &LIMITS),
        };
        Ok(table?)
    }
}

/// Reads a table against the book as it stands in memory, off the threads that answer.
async fn read_table(
    books: &Data<Books>,
    today: &Today,
    (asked, body): (&Asked, Vec<u8>),
) -> Result<Read, ApiError> {
    let list = books.price_list(Some(&asked.book), None, today.date())?;
    let (format, query) = (asked.format.clone(), asked.query.clone());
    let turn = READING.acquire().await.map_err(ApiError::internal)?;
    let read = actix_web::web::block(move || plan_table(&list, &query, (&format, &body)));
    let read = read.await.map_err(ApiError::internal)?;
    drop(turn);
    read
}

fn plan_table(
    list: &PriceList,
    query: &TableQuery,
    (format, body): (&Format, &[u8]),
) -> Result<Read, ApiError> {
    let table = format.table(body)?;
    let (heading, dialect) = (table.heading.clone(), table.dialect);
    let layout = Layout::of(query.table, heading.names(), &query.mapping, |name| {
        heading.find(name)
    })?;
    let tasks: Vec<&str> = Rates::built_in()
        .rows()
        .iter()
        .map(|row| row.code)
        .collect();
    let classes: Vec<&str> = Class::ALL
        .iter()
        .map(|class| class.as_str())
        .chain([OFFICE_CLASS])
        .collect();
    let known = Known {
        list,
        tasks: &tasks,
        classes: &classes,
    };
    let mut plan = plan(table.rows(), (&layout, dialect), known).map_err(ApiError::Rows)?;
    plan.change.note = query.note();
    Ok(Read {
        plan,
        ignored: layout.ignored,
        revision: list.revision(),
    })
}

impl Work<'_> {
    async fn write(
        &self,
        (body, today): (Vec<u8>, &Today),
        expected: i64,
    ) -> Result<HttpResponse, ApiError> {
        let books = self.books;
        // Memory may be behind the revision that the writer saw.
        if books.book(Some(&self.asked.book))?.latest() < expected {
            books.refresh().await?;
        }
        let read = read_table(books, today, (self.asked, body)).await?;
        if read.revision != expected {
            return Err(ApiError::PreconditionFailed(format!(
                "The book `{}` is at revision {}; nothing was written.",
                self.asked.book, read.revision
            )));
        }
        if read.plan.change.is_empty() {
            let answer = answer(self.asked, &read, expected);
            books
                .store()
                .keep(&self.claimant.keep(answer.clone()))
                .await?;
            return Ok(send(&answer));
        }
        // The guard makes sure that this will be the number.
        let answer = answer(self.asked, &read, expected + 1);
        let written = Written {
            change: &read.plan.change,
            guard: Some(&Guard::Book(expected)),
            by: self.by,
            keep: Some(&self.claimant.keep(answer.clone())),
        };
        books.append(&self.asked.book, written).await?;
        Ok(send(&answer))
    }
}

fn answer(asked: &Asked, read: &Read, revision: i64) -> KeptAnswer {
    let body = TableAnswer::of(
        &asked.book,
        &asked.query,
        (&read.plan.difference, &read.ignored),
        revision,
    );
    KeptAnswer {
        status: 200,
        headers: vec![("etag".to_owned(), etag(revision))],
        body: serde_json::to_string(&body).unwrap_or_default(),
    }
}
