//! `PUT /v1/price-books/{book}`: making a book, and changing what an estimate takes from it beside
//! prices.
//!
//! Invariants: code, name, currency and what a book inherits from are settled when it is made; a
//! change of its settings is one revision like any other. Absent: items and prices.

use super::answer::PriceBookResponse;
use super::{ApiError, Problem, Today, condition, etag, signature};
use crate::book::{Books, Expected, Guard, Made, Written};
use crate::catalog::{
    self, Change, Head, SalesTax, Settings, check_code, check_settings, check_text,
};
use crate::http::base_path::own_path;
use crate::http::body::Sent;
use crate::job::{ProfitBasis, TaxBase};
use crate::quantity::money::{Currency, Percentage};
use crate::quantity::{Fault, Faults, Percent};
use actix_web::web::{Data, Path};
use actix_web::{HttpRequest, HttpResponse, http::header, put};
use serde::Deserialize;
use utoipa::ToSchema;

/// A book, to be made or to have its settings changed.
#[derive(Clone, Debug, Deserialize, deserr::Deserr, ToSchema)]
#[serde(deny_unknown_fields)]
#[deserr(error = Faults, deny_unknown_fields)]
pub(super) struct BookWriteRequest {
    /// The name that people know it by; a new book needs it, and keeps it.
    #[serde(default)]
    #[deserr(default)]
    #[schema(min_length = 1, max_length = 200)]
    name: Option<String>,
    /// The currency of all its prices (ISO 4217); a new book needs it, and keeps it.
    #[serde(default)]
    #[deserr(default)]
    #[schema(min_length = 3, max_length = 3, examples("USD"))]
    currency: Option<String>,
    /// Code of the book in which is looked up what this one does not hold; settled when it is made.
    #[serde(default)]
    #[deserr(default)]
    #[schema(min_length = 1, max_length = 64)]
    inherits: Option<String>,
    /// What an estimate takes from the book beside prices; a new book needs it unless it inherits.
    #[serde(default)]
    #[deserr(default)]
    settings: Option<BookSettingsRequest>,
    /// What is done, in a few words, for the list of revisions.
    #[serde(default)]
    #[deserr(default)]
    #[schema(min_length = 1, max_length = 200)]
    note: Option<String>,
}

/// What an estimate takes from a book beside prices, whole.
#[derive(Clone, Debug, Deserialize, deserr::Deserr, ToSchema)]
#[serde(deny_unknown_fields)]
#[deserr(error = Faults, deny_unknown_fields)]
pub(super) struct BookSettingsRequest {
    /// Overhead, as a part of the cost before it.
    overhead: Percent,
    /// Contingency, as a part of the cost before it.
    contingency: Percent,
    /// Whether profit is a part of the price or of the cost.
    profit_basis: ProfitBasis,
    /// Profit.
    profit: Percent,
    /// Set aside for warranty work.
    warranty: Percent,
    /// Rate of sales tax.
    sales_tax: Percent,
    /// What sales tax is reckoned on.
    sales_tax_base: TaxBase,
    /// Travel from the yard to the site, one way, in minutes.
    #[schema(minimum = 0, maximum = 1440)]
    travel_minutes: u32,
    /// A price older than this many days is warned of.
    #[schema(minimum = 1, maximum = 36500)]
    price_age_days: u32,
}

impl BookSettingsRequest {
    fn read(&self) -> Settings {
        let profit = Percentage::of(self.profit);
        Settings {
            overhead: Percentage::of(self.overhead),
            contingency: Percentage::of(self.contingency),
            profit: match self.profit_basis {
                ProfitBasis::Margin => catalog::Profit::Margin(profit),
                ProfitBasis::Markup => catalog::Profit::Markup(profit),
            },
            warranty: Percentage::of(self.warranty),
            sales_tax: SalesTax {
                rate: Percentage::of(self.sales_tax),
                base: match self.sales_tax_base {
                    TaxBase::None => catalog::TaxBase::None,
                    TaxBase::Materials => catalog::TaxBase::Materials,
                    TaxBase::Price => catalog::TaxBase::Price,
                },
            },
            travel_minutes: self.travel_minutes,
            price_age_days: self.price_age_days,
        }
    }
}

/// Make a price book, or change its settings
///
/// To make one send `If-None-Match: *`; to change its settings `If-Match` with its newest revision.
/// Name, currency and `inherits` are settled when it is made.
#[utoipa::path(
    tag = "price books",
    params(
        ("book" = String, Path, description = "Code of the book: 1 to 64 of a to z, 0 to 9, `-`, `.` and `_`, a letter or digit first.", min_length = 1, max_length = 64, pattern = "^[a-z0-9][a-z0-9._-]*$", example = "yard"),
        ("If-Match" = Option<String>, Header, description = "The quoted newest revision of the book, to change its settings.", pattern = "^(W/)?\"[!#-~]*\"$"),
        ("If-None-Match" = Option<String>, Header, description = "`*`, to make a book that is not there yet.", pattern = "^\\*$", example = "*"),
    ),
    request_body(content = BookWriteRequest, examples(
        ("of its own" = (summary = "A book with settings of its own", value = json!({
            "name": "Mill yard (invented)", "currency": "USD",
            "settings": {"overhead": "12 %", "contingency": "3 %", "profit_basis": "margin", "profit": "15 %",
                "warranty": "0 %", "sales_tax": "6.25 %", "sales_tax_base": "materials",
                "travel_minutes": 30, "price_age_days": 180},
        }))),
        ("inheriting" = (summary = "A yard's book over the region's", value = json!({
            "name": "Mill yard (invented)", "currency": "USD", "inherits": "demo",
        }))),
    )),
    responses(
        (status = 200, description = "The settings were changed.", body = PriceBookResponse,
            headers(("ETag" = String, description = "The new revision, quoted."))),
        (status = 201, description = "The book was made.", body = PriceBookResponse,
            headers(("ETag" = String, description = "The new revision, quoted."), ("Location" = String, description = "Path of the book.")),
            links(
                ("the book" = (operation_id = "getPriceBook", parameters(("book" = "$request.path.book")))),
                ("its items" = (operation_id = "getItems", parameters(("book" = "$request.path.book")))),
                ("an item of it" = (operation_id = "putItem", parameters(("book" = "$request.path.book")))),
            )),
        (status = 400, description = "The body is not JSON, or a condition cannot be read.", body = Problem, content_type = "application/problem+json"),
        (status = 404, description = "There is no such book.", body = Problem, content_type = "application/problem+json"),
        (status = 412, description = "The book has changed since, or is there already; nothing was written.", body = Problem, content_type = "application/problem+json"),
        (status = 413, description = "The body is too large.", body = Problem, content_type = "application/problem+json"),
        (status = 415, description = "The body is not sent as JSON.", body = Problem, content_type = "application/problem+json"),
        (status = 422, description = "The body has faults; all are listed, and nothing was written.", body = Problem, content_type = "application/problem+json"),
        (status = 428, description = "Neither `If-Match` nor `If-None-Match` was sent.", body = Problem, content_type = "application/problem+json"),
        (status = 503, description = "The database does not answer; nothing was written.", body = Problem, content_type = "application/problem+json"),
    ),
)]
#[put("/v1/price-books/{book}")]
pub(in crate::http) async fn put_price_book(
    request: HttpRequest,
    (books, today): (Data<Books>, Data<Today>),
    book: Path<String>,
    Sent(body): Sent<BookWriteRequest>,
) -> Result<HttpResponse, ApiError> {
    // A path that cannot be is told before a condition (RFC 9110, section 13.2.1).
    let mut code_faults = Faults::default();
    check_code(&book, "", &mut code_faults);
    if let Some(fault) = code_faults.0.first() {
        return Err(ApiError::BadPath(format!(
            "The book's code takes {}.",
            fault.accepted
        )));
    }
    let expected = condition::read_condition(request.headers())?;
    let made = match expected {
        Expected::New => body.make(&request, &book, (&books, &today)).await?,
        Expected::Revision(revision) => body.set(&request, &book, (&books, revision)).await?,
    };
    let mut response = match expected {
        Expected::New => HttpResponse::Created(),
        Expected::Revision(_) => HttpResponse::Ok(),
    };
    response.insert_header((header::ETAG, etag(made.revision)));
    if expected == Expected::New {
        response.insert_header((header::LOCATION, own_path(&request)));
    }
    let shown = books.book(Some(&book)).ok();
    Ok(match shown {
        Some(shown) => response.json(PriceBookResponse::of(&shown)),
        None => response.finish(),
    })
}

impl BookWriteRequest {
    /// Makes the book.
    async fn make(
        &self,
        request: &HttpRequest,
        book: &str,
        (books, today): (&Books, &Today),
    ) -> Result<Made, ApiError> {
        let head = self.head(book, (books, today))?;
        let change = self.change(|| format!("Make {book}"));
        let written = Written {
            change: &change,
            guard: None,
            by: &signature(request, "book.create", book.to_owned()),
            keep: None,
        };
        let made = books.create(&head, written).await?;
        made.ok_or_else(|| {
            ApiError::PreconditionFailed(format!("The book `{book}` is there already."))
        })
    }

    /// Changes the settings of the book.
    async fn set(
        &self,
        request: &HttpRequest,
        book: &str,
        (books, revision): (&Books, i64),
    ) -> Result<Made, ApiError> {
        self.check_settled(&*books.book(Some(book))?)?;
        let change = self.change(|| "Change the settings".to_owned());
        let written = Written {
            change: &change,
            guard: Some(&Guard::Book(revision)),
            by: &signature(request, "book.settings", book.to_owned()),
            keep: None,
        };
        Ok(books.append(book, written).await?)
    }

    /// What never changes about a new book.
    fn head(&self, code: &str, (books, today): (&Books, &Today)) -> Result<Head, ApiError> {
        let mut faults = Faults::default();
        let name = needed(
            self.name.as_deref(),
            "/name",
            ("a name", "Mill yard"),
            &mut faults,
        );
        check_text(name, "/name", &mut faults);
        let stated = needed(
            self.currency.as_deref(),
            "/currency",
            ("a currency", "USD"),
            &mut faults,
        );
        let currency = Currency::of_code(stated);
        if currency.is_none() && self.currency.is_some() {
            faults.push(Fault::new(
                "/currency",
                stated,
                "a code of ISO 4217",
                Some("USD"),
            ));
        }
        if self.settings.is_none() && self.inherits.is_none() {
            let accepted = "settings, or a book that it inherits from";
            faults.push(Fault::new("/settings", "nothing", accepted, None));
        }
        self.check_settings(&mut faults);
        self.check_parent(currency, (books, today), &mut faults);
        let head = Head {
            code: code.to_owned(),
            name: name.to_owned(),
            currency: currency.unwrap_or(Currency::USD),
            demo: false,
            inherits: self.inherits.clone(),
        };
        Ok(faults.or(head)?)
    }

    /// A book has the currency of the one it inherits from, which must be there.
    fn check_parent(
        &self,
        currency: Option<Currency>,
        (books, today): (&Books, &Today),
        faults: &mut Faults,
    ) {
        let Some(parent) = &self.inherits else {
            return;
        };
        match books.price_list(Some(parent), None, today.date()) {
            Ok(list) if currency.is_some_and(|currency| currency != list.currency()) => {
                let found = self.currency.as_deref().unwrap_or_default();
                let accepted = format!("{}, as the book {parent} has", list.currency().code());
                faults.push(Fault::new("/currency", found, accepted, None));
            }
            Ok(_) => {}
            Err(_) => {
                let accepted = "a book that is there";
                faults.push(Fault::new("/inherits", parent, accepted, Some("demo")));
            }
        }
    }

    /// Refuses to change what is settled when a book is made, and a change of nothing.
    fn check_settled(&self, book: &catalog::History) -> Result<(), ApiError> {
        let mut faults = Faults::default();
        let head = book.head();
        let settled = [
            ("/name", &self.name, Some(head.name.as_str())),
            ("/currency", &self.currency, Some(head.currency.code())),
            ("/inherits", &self.inherits, head.inherits.as_deref()),
        ];
        for (at, stated, known) in settled {
            if let Some(stated) = stated.as_deref().filter(|stated| Some(*stated) != known) {
                let accepted = "nothing, or what it was made with; make another book instead";
                faults.push(Fault::new(at, stated, accepted, known));
            }
        }
        if self.settings.is_none() {
            faults.push(Fault::new(
                "/settings",
                "nothing",
                "the new settings, whole",
                None,
            ));
        }
        self.check_settings(&mut faults);
        Ok(faults.or(())?)
    }

    fn check_settings(&self, faults: &mut Faults) {
        if let Some(settings) = &self.settings {
            check_settings(&settings.read(), "/settings", faults);
        }
        if let Some(note) = &self.note {
            check_text(note, "/note", faults);
        }
    }

    fn change(&self, usual: impl FnOnce() -> String) -> Change {
        Change {
            note: self.note.clone().unwrap_or_else(usual),
            settings: self.settings.as_ref().map(BookSettingsRequest::read),
            ..Change::default()
        }
    }
}

fn needed<'a>(
    stated: Option<&'a str>,
    at: &str,
    (accepted, example): (&str, &'a str),
    faults: &mut Faults,
) -> &'a str {
    stated.unwrap_or_else(|| {
        let accepted = format!("{accepted}; a new book needs it");
        faults.push(Fault::new(at, "nothing", accepted, Some(example)));
        example
    })
}
