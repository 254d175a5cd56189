//! Price books: what they hold, what an item costs and cost, the writing of items and of whole
//! tables.
//!
//! Invariants: reads come from memory; every write states the condition under which it holds, and
//! makes one revision. Absent: SQL, and any arithmetic with a price.

mod answer;
mod book;
mod condition;
mod export;
pub(crate) mod import;
mod query;
mod repeat;
mod request;
mod table;

use super::{
    body::Sent,
    problem::{ApiError, Problem},
    today::Today,
};
use crate::http::Routes;
use crate::http::base_path::own_path;
use crate::http::request_id::RequestName;
use crate::{
    book::{BookError, Books, Caller, Expected, ItemWrite, Signature},
    quantity::{Fault, Faults},
};
use actix_web::{
    HttpMessage as _, HttpRequest, HttpResponse, get,
    http::header,
    put,
    web::{Data, Path, Query},
};
use answer::{
    ItemPricesResponse, ItemResponse, ItemsResponse, PriceBookResponse, PriceBooksResponse,
    RevisionsResponse, View,
};
use condition::{etag, read_condition};
use query::{ItemsQuery, PinQuery, RevisionsQuery};
use request::ItemRequest;

/// Registers every call of this file.
pub fn configure(config: &mut Routes<'_, '_>) {
    config.service(get_price_books);
    config.service(get_price_book);
    config.service(book::put_price_book);
    config.service(get_items);
    config.service(get_item);
    config.service(put_item);
    config.service(get_item_prices);
    config.service(get_revisions);
    config.service(export::get_export);
    config.service(import::post_import);
}

/// Every price book
///
/// The default book is `demo`: invented, and loaded when the service starts with an empty database.
#[utoipa::path(
    tag = "price books",
    responses((status = 200, description = "Every book at its newest revision.", body = PriceBooksResponse)),
)]
#[get("/v1/price-books")]
pub(super) async fn get_price_books(books: Data<Books>) -> HttpResponse {
    let price_books = books
        .list()
        .iter()
        .map(|book| PriceBookResponse::of(book))
        .collect();
    HttpResponse::Ok().json(PriceBooksResponse { price_books })
}

/// One price book
///
/// Its `ETag` is its newest revision, quoted.
#[utoipa::path(
    tag = "price books",
    params(("book" = String, Path, description = "Code of the book.", example = "demo")),
    responses(
        (status = 200, description = "The book at its newest revision.", body = PriceBookResponse,
            headers(("ETag" = String, description = "The newest revision, quoted."))),
        (status = 404, description = "There is no such book.", body = Problem, content_type = "application/problem+json"),
    ),
)]
#[get("/v1/price-books/{book}")]
pub(super) async fn get_price_book(
    books: Data<Books>,
    book: Path<String>,
) -> Result<HttpResponse, ApiError> {
    let book = books.book(Some(&book))?;
    let answer = PriceBookResponse::of(&book);
    Ok(HttpResponse::Ok()
        .insert_header((header::ETAG, etag(book.latest())))
        .json(answer))
}

/// The items of a book, with the prices that hold on a day
///
/// By code; `next` is what to send as `after` for the following page, and is null on the last.
#[utoipa::path(
    tag = "price books",
    params(("book" = String, Path, description = "Code of the book.", example = "demo"), ItemsQuery),
    responses(
        (status = 200, description = "Items by code.", body = ItemsResponse),
        (status = 400, description = "The query cannot be read.", body = Problem, content_type = "application/problem+json"),
        (status = 404, description = "There is no such book or revision.", body = Problem, content_type = "application/problem+json"),
    ),
)]
#[get("/v1/price-books/{book}/items")]
pub(super) async fn get_items(
    books: Data<Books>,
    today: Data<Today>,
    book: Path<String>,
    query: Query<ItemsQuery>,
) -> Result<HttpResponse, ApiError> {
    let (as_of, limit) = (query.as_of(&today)?, query.limit()?);
    let list = books.price_list(Some(&book), query.revision, as_of)?;
    let answer = ItemsResponse::of(&View(&list), query.after.as_deref(), limit);
    Ok(HttpResponse::Ok().json(answer))
}

/// One item, with the price that holds on a day
///
/// Its `ETag` is the revision in which it or one of its prices last changed, quoted: send it as
/// `If-Match` to change the item.
#[utoipa::path(
    tag = "price books",
    params(
        ("book" = String, Path, description = "Code of the book.", example = "demo"),
        ("item" = String, Path, description = "Code of the item.", example = "stone-dense-graded"),
        PinQuery,
    ),
    responses(
        (status = 200, description = "The item.", body = ItemResponse,
            headers(("ETag" = String, description = "The revision in which it last changed, quoted."))),
        (status = 400, description = "The query cannot be read.", body = Problem, content_type = "application/problem+json"),
        (status = 404, description = "There is no such book, revision or item.", body = Problem, content_type = "application/problem+json"),
    ),
)]
#[get("/v1/price-books/{book}/items/{item}")]
pub(super) async fn get_item(
    books: Data<Books>,
    today: Data<Today>,
    path: Path<(String, String)>,
    query: Query<PinQuery>,
) -> Result<HttpResponse, ApiError> {
    let (book, item) = path.into_inner();
    let list = books.price_list(Some(&book), query.revision, query.as_of(&today)?)?;
    let answer = View(&list).item(&item).ok_or_else(|| no_item(&item))?;
    Ok(HttpResponse::Ok()
        .insert_header((header::ETAG, etag(answer.changed_in)))
        .json(answer))
}

/// Every price of an item that was known at a revision, and the one that holds on a day
///
/// History is never overwritten: a correction is a later revision with the same day.
#[utoipa::path(
    tag = "price books",
    params(
        ("book" = String, Path, description = "Code of the book.", example = "demo"),
        ("item" = String, Path, description = "Code of the item.", example = "concrete-4500-air"),
        PinQuery,
    ),
    responses(
        (status = 200, description = "Prices by the day from which they hold, then by revision.", body = ItemPricesResponse,
            headers(("ETag" = String, description = "The revision in which the item last changed, quoted."))),
        (status = 400, description = "The query cannot be read.", body = Problem, content_type = "application/problem+json"),
        (status = 404, description = "There is no such book, revision or item.", body = Problem, content_type = "application/problem+json"),
    ),
)]
#[get("/v1/price-books/{book}/items/{item}/prices")]
pub(super) async fn get_item_prices(
    books: Data<Books>,
    today: Data<Today>,
    path: Path<(String, String)>,
    query: Query<PinQuery>,
) -> Result<HttpResponse, ApiError> {
    let (book, item) = path.into_inner();
    let list = books.price_list(Some(&book), query.revision, query.as_of(&today)?)?;
    let answer = View(&list).prices(&item).ok_or_else(|| no_item(&item))?;
    Ok(HttpResponse::Ok()
        .insert_header((header::ETAG, etag(answer.changed_in)))
        .json(answer))
}

/// Every revision of a book
///
/// Oldest first; each accepted write made one.
#[utoipa::path(
    tag = "price books",
    params(("book" = String, Path, description = "Code of the book.", example = "demo"), RevisionsQuery),
    responses(
        (status = 200, description = "Revisions by number.", body = RevisionsResponse,
            headers(("ETag" = String, description = "The newest revision, quoted."))),
        (status = 400, description = "The query cannot be read.", body = Problem, content_type = "application/problem+json"),
        (status = 404, description = "There is no such book.", body = Problem, content_type = "application/problem+json"),
    ),
)]
#[get("/v1/price-books/{book}/revisions")]
pub(super) async fn get_revisions(
    books: Data<Books>,
    book: Path<String>,
    query: Query<RevisionsQuery>,
) -> Result<HttpResponse, ApiError> {
    let book = books.book(Some(&book))?;
    let answer = RevisionsResponse::of(&book, query.after()?, query.limit()?);
    Ok(HttpResponse::Ok()
        .insert_header((header::ETAG, etag(book.latest())))
        .json(answer))
}

/// Write one item, and prices learned with it
///
/// The item is written whole; prices are added, and earlier ones stay. Makes one revision. To make
/// an item send `If-None-Match: *`, to change it `If-Match` with the `ETag` that was read.
#[utoipa::path(
    tag = "price books",
    params(
        ("book" = String, Path, description = "Code of the book.", example = "demo"),
        ("item" = String, Path, description = "Code of the item: 1 to 64 of a to z, 0 to 9, `-`, `.` and `_`, a letter or digit first.", min_length = 1, max_length = 64, pattern = "^[a-z0-9][a-z0-9._-]*$", example = "pea-gravel"),
        ("If-Match" = Option<String>, Header, description = "The quoted revision in which the item last changed, to change it.", pattern = "^(W/)?\"[!#-~]*\"$"),
        ("If-None-Match" = Option<String>, Header, description = "`*`, to make an item that is not there yet.", pattern = "^\\*$", example = "*"),
    ),
    request_body(content = ItemRequest, examples(
        ("bought for the job" = (summary = "Stone by the ton", value = json!({
            "description": "Pea gravel, washed", "class": "material", "sale_unit": "ton",
            "order_step": "0.5", "minimum": "1", "charge": "bought_for_job",
            "prices": [{"supplier": "quarry-yard", "unit_price": "41.50", "effective_from": "2026-03-02"}],
        }))),
        ("from stock" = (summary = "Boards that serve four jobs, of a new supplier", value = json!({
            "description": "Form board 2 x 10, 12 ft", "class": "material", "sale_unit": "each",
            "order_step": "1", "minimum": "1", "holds": {"quantity": "12", "unit": "ft"},
            "charge": "from_stock", "uses": 4, "pay_step": "0.25",
            "prices": [{"supplier": "hill-yard", "supplier_name": "Hill yard (invented)", "unit_price": "22.90", "effective_from": "2026-05-04"}],
            "note": "spring list of the hill yard",
        }))),
    )),
    responses(
        (status = 200, description = "The item was changed.", body = ItemResponse,
            headers(("ETag" = String, description = "The new revision, quoted."))),
        (status = 201, description = "The item was made.", body = ItemResponse,
            headers(("ETag" = String, description = "The new revision, quoted."), ("Location" = String, description = "Path of the item.")),
            links(
                ("the item" = (operation_id = "getItem", parameters(("book" = "$request.path.book"), ("item" = "$request.path.item")))),
                ("its prices" = (operation_id = "getItemPrices", parameters(("book" = "$request.path.book"), ("item" = "$request.path.item")))),
            )),
        (status = 400, description = "The body is not JSON, or a condition cannot be read.", body = Problem, content_type = "application/problem+json"),
        (status = 404, description = "There is no such book.", body = Problem, content_type = "application/problem+json"),
        (status = 412, description = "The item has changed since, or is there already, or is not there; nothing was written.", body = Problem, content_type = "application/problem+json"),
        (status = 413, description = "The body is too large.", body = Problem, content_type = "application/problem+json"),
        (status = 415, description = "The body is not sent as JSON.", body = Problem, content_type = "application/problem+json"),
        (status = 422, description = "The body has faults; all are listed, and nothing was written.", body = Problem, content_type = "application/problem+json"),
        (status = 428, description = "Neither `If-Match` nor `If-None-Match` was sent.", body = Problem, content_type = "application/problem+json"),
        (status = 503, description = "The database does not answer; nothing was written.", body = Problem, content_type = "application/problem+json"),
    ),
)]
#[put("/v1/price-books/{book}/items/{item}")]
pub(super) async fn put_item(
    request: HttpRequest,
    (books, today): (Data<Books>, Data<Today>),
    path: Path<(String, String)>,
    Sent(body): Sent<ItemRequest>,
) -> Result<HttpResponse, ApiError> {
    let (book, item) = path.into_inner();
    // A book that is not there is told before a condition (RFC 9110, section 13.2.1).
    let known = books.price_list(Some(&book), None, today.date())?;
    let expected = read_condition(request.headers())?;
    let write = body.read(&item, &known)?;
    let by = signature(&request, "item.put", format!("{book}/{item}"));
    let revision = books
        .put_item(&book, write.clone(), (expected, &by))
        .await
        .map_err(|error| refuse_write(error, &write))?;
    let list = books.price_list(Some(&book), Some(revision), today.date());
    // Memory may be behind when another writer came in between; the write itself is done.
    let answer = list.ok().and_then(|list| View(&list).item(&item));
    let mut response = match expected {
        Expected::Revision(_) => HttpResponse::Ok(),
        Expected::New => HttpResponse::Created(),
    };
    response.insert_header((header::ETAG, etag(revision)));
    if expected == Expected::New {
        response.insert_header((header::LOCATION, own_path(&request)));
    }
    Ok(match answer {
        Some(answer) => response.json(answer),
        None => response.finish(),
    })
}

/// Who writes, as the audit will name it.
fn signature(request: &HttpRequest, action: &'static str, target: String) -> Signature {
    let noted = request.extensions();
    let caller = noted.get::<Caller>().map(|caller| caller.id.to_string());
    Signature {
        // The gate lets nobody through to a write without a name.
        caller: caller.unwrap_or_else(|| "nobody".to_owned()),
        action,
        target,
        request: noted
            .get::<RequestName>()
            .map(|name| name.as_str().to_owned()),
    }
}

fn no_item(item: &str) -> ApiError {
    BookError::NotFound {
        what: "item",
        key: item.to_owned(),
    }
    .into()
}

/// A supplier that the book does not know is a fault of the body, at the prices that name it.
fn refuse_write(error: BookError, write: &ItemWrite) -> ApiError {
    let BookError::NotFound {
        what: "supplier",
        key,
    } = &error
    else {
        return error.into();
    };
    let mut faults = Faults::default();
    for (index, price) in write.prices.iter().enumerate() {
        if price.supplier == *key {
            faults.push(Fault::new(
                format!("/prices/{index}/supplier"),
                format!("\"{key}\""),
                "a supplier of this book, or a new one with its \"supplier_name\" beside it",
                Some("quarry-yard"),
            ));
        }
    }
    faults.into()
}

impl From<BookError> for ApiError {
    fn from(error: BookError) -> Self {
        let detail = || {
            let text = error.to_string();
            let mut letters = text.chars();
            let first = letters.next().map(|letter| letter.to_ascii_uppercase());
            format!("{}{}.", first.unwrap_or_default(), letters.as_str())
        };
        match &error {
            BookError::NotFound { .. }
            | BookError::NoSuchRevision { .. }
            | BookError::NotInherited { .. } => Self::NotFound(detail()),
            BookError::Conflict { .. } => Self::PreconditionFailed(detail()),
            BookError::TakenOver => Self::Conflict(detail()),
            BookError::TooDeep { .. } => Self::Faults(Faults(vec![Fault::new(
                "/inherits",
                "a longer chain",
                error.to_string(),
                None,
            )])),
            BookError::Unavailable(cause) => {
                tracing::warn!(%cause, "the price book's database did not answer");
                Self::Unavailable(detail())
            }
            BookError::Refused(_)
            | BookError::UnknownAddress
            | BookError::NotEmpty
            | BookError::NoRandomness(_)
            | BookError::Damaged { .. } => Self::internal(error),
        }
    }
}
