//! Price books as a caller reads them.
//!
//! Invariants: money and quantities are decimal texts; what is not there is null, never zero.
//! Absent: any figure that the book does not hold.

use super::request::{ChargeKind, ItemHolds};
use crate::{
    catalog::{
        Charge, Class, History, Item, Learned, NoPrice, Price, PriceList, Profit, Revision,
        SaleUnit, Settings, TaxBase,
    },
    job::Day,
    quantity::money::{Currency, Decimal4, Percentage, UnitPrice},
};
use serde::Serialize;
use utoipa::ToSchema;

/// Every price book.
#[derive(Debug, Serialize, ToSchema)]
pub(super) struct PriceBooksResponse {
    /// By code.
    pub(super) price_books: Vec<PriceBookResponse>,
}

/// One price book at its newest revision.
#[derive(Debug, Serialize, ToSchema)]
pub(super) struct PriceBookResponse {
    /// Stable name.
    #[schema(examples("demo"))]
    code: String,
    /// The name that people know it by.
    name: String,
    /// The currency of all its prices.
    currency: Currency,
    /// True when its prices are invented.
    demo: bool,
    /// The newest revision.
    #[schema(minimum = 1)]
    revision: i64,
    /// How many items it holds.
    items: usize,
    /// What an estimate takes from the book beside prices; a job may override each.
    settings: Option<BookSettings>,
}

/// What an estimate takes from a book beside prices.
#[derive(Debug, Serialize, ToSchema)]
pub(super) struct BookSettings {
    /// Overhead, as a part of the cost before it.
    overhead: Percentage,
    /// Contingency, as a part of the cost before it.
    contingency: Percentage,
    /// Whether profit is a part of the price or of the cost.
    profit_basis: ProfitBasis,
    /// Profit.
    profit: Percentage,
    /// Set aside for warranty work.
    warranty: Percentage,
    /// Rate of sales tax.
    sales_tax: Percentage,
    /// What sales tax is reckoned on.
    sales_tax_base: TaxBase,
    /// Travel from the yard to the site, one way, in minutes.
    travel_minutes: u32,
}

/// How profit is put on cost.
#[derive(Debug, Serialize, ToSchema)]
#[serde(rename_all = "snake_case")]
enum ProfitBasis {
    /// A part of the price.
    Margin,
    /// A part of the cost.
    Markup,
}

/// Items of a book.
#[derive(Debug, Serialize, ToSchema)]
pub(super) struct ItemsResponse {
    /// Code of the book.
    book: String,
    /// The revision that was read.
    revision: i64,
    /// The day of the prices.
    as_of: Day,
    /// By code.
    items: Vec<ItemResponse>,
    /// What to send as `after` for the next page; null on the last.
    next: Option<String>,
}

/// One item with the price that holds.
#[derive(Debug, Serialize, ToSchema)]
pub(super) struct ItemResponse {
    /// Stable name, as lines of a takeoff use it.
    code: String,
    /// What it is.
    description: String,
    /// Where its lines stand in the build-up of a price.
    class: Class,
    /// The unit that its unit price is for.
    sale_unit: SaleUnit,
    /// Orders are multiples of this, in the sale unit.
    order_step: Decimal4,
    /// The least that can be ordered, in the sale unit.
    minimum: Decimal4,
    /// What one sale unit holds; null where it is used in the unit in which it is sold.
    holds: Option<ItemHolds>,
    /// How it is charged to a job.
    charge: ChargeKind,
    /// Jobs that one piece serves; null unless charged from stock.
    uses: Option<u32>,
    /// The charged quantity is rounded up to a multiple of this; null unless charged from stock.
    pay_step: Option<Decimal4>,
    /// The revision in which it or one of its prices last changed; its `ETag`.
    pub(super) changed_in: i64,
    /// The price that holds; null when there is none.
    price: Option<ItemPriceResponse>,
    /// Why there is no price; null when there is one.
    unpriced: Option<String>,
}

/// What an item costs at a supplier from a day on.
#[derive(Debug, Serialize, ToSchema)]
pub(super) struct ItemPriceResponse {
    /// Code of the supplier.
    supplier: String,
    /// Name of the supplier.
    supplier_name: String,
    /// For one sale unit.
    unit_price: UnitPrice,
    /// The first day on which it holds.
    effective_from: Day,
    /// The revision in which the book learned it.
    revision: i64,
}

/// Every price of one item.
#[derive(Debug, Serialize, ToSchema)]
pub(super) struct ItemPricesResponse {
    /// Code of the book.
    book: String,
    /// Code of the item.
    item: String,
    /// The revision that was read.
    revision: i64,
    /// The day of `price`.
    as_of: Day,
    /// The currency of the prices.
    currency: Currency,
    /// The unit that the prices are for.
    sale_unit: SaleUnit,
    /// The revision in which the item or one of its prices last changed; its `ETag`.
    pub(super) changed_in: i64,
    /// The price that holds on the day; null when there is none.
    price: Option<ItemPriceResponse>,
    /// Why there is no price on the day; null when there is one.
    unpriced: Option<String>,
    /// All, by the day from which they hold, then by revision.
    prices: Vec<ItemPriceResponse>,
}

/// Revisions of a book.
#[derive(Debug, Serialize, ToSchema)]
pub(super) struct RevisionsResponse {
    /// Code of the book.
    book: String,
    /// By number.
    revisions: Vec<RevisionResponse>,
    /// What to send as `after` for the next page; null on the last.
    next: Option<i64>,
}

/// One accepted write.
#[derive(Debug, Serialize, ToSchema)]
pub(super) struct RevisionResponse {
    /// Counts from 1.
    #[schema(minimum = 1)]
    number: i64,
    /// When it was made, in UTC.
    #[schema(format = DateTime, examples("2026-05-04T14:03:12.345Z"))]
    made_at: String,
    /// What was done.
    note: String,
}

/// A price list, to be shown.
pub(super) struct View<'a>(pub(super) &'a PriceList);

impl View<'_> {
    /// One item; `None` when the book does not know it.
    pub(super) fn item(&self, code: &str) -> Option<ItemResponse> {
        let item = self.0.item(code)?;
        let (uses, pay_step) = match item.charge {
            Charge::BoughtForJob => (None, None),
            Charge::FromStock { uses, pay_step } => (Some(uses), Some(pay_step)),
        };
        let (price, unpriced) = self.price(item);
        Some(ItemResponse {
            code: item.code.clone(),
            description: item.description.clone(),
            class: item.class,
            sale_unit: item.sale_unit,
            order_step: item.order_step,
            minimum: item.minimum,
            holds: item.holds.map(|holds| ItemHolds {
                quantity: holds.quantity,
                unit: holds.unit,
            }),
            charge: uses.map_or(ChargeKind::BoughtForJob, |_| ChargeKind::FromStock),
            uses,
            pay_step,
            changed_in: self.changed(code)?,
            price,
            unpriced,
        })
    }

    /// Every price of one item; `None` when the book does not know it.
    pub(super) fn prices(&self, code: &str) -> Option<ItemPricesResponse> {
        let item = self.0.item(code)?;
        let history = self.0.history().item(code)?;
        let (price, unpriced) = self.price(item);
        Some(ItemPricesResponse {
            book: self.0.book().to_owned(),
            item: item.code.clone(),
            revision: self.0.revision(),
            as_of: Day(self.0.as_of()),
            currency: self.0.currency(),
            sale_unit: item.sale_unit,
            changed_in: self.changed(code)?,
            price,
            unpriced,
            prices: history
                .prices(self.0.revision())
                .map(|price| self.shown(price))
                .collect(),
        })
    }

    fn changed(&self, code: &str) -> Option<i64> {
        self.0.history().item(code)?.changed(self.0.revision())
    }

    fn price(&self, item: &Item) -> (Option<ItemPriceResponse>, Option<String>) {
        let history = self.0.history().item(&item.code);
        let holds = history.and_then(|item| item.price(self.0.as_of(), self.0.revision()));
        let reason = self
            .0
            .quote(&item.code)
            .err()
            .map(|reason: NoPrice| reason.to_string());
        (holds.map(|price| self.shown(price)), reason)
    }

    fn shown(&self, price: &Learned<Price>) -> ItemPriceResponse {
        let Price {
            supplier,
            unit_price,
            effective_from,
            ..
        } = &price.value;
        let known = self.0.supplier(supplier);
        ItemPriceResponse {
            supplier: supplier.clone(),
            supplier_name: known.map_or(supplier, |known| &known.name).clone(),
            unit_price: *unit_price,
            effective_from: Day(*effective_from),
            revision: price.revision,
        }
    }
}

impl PriceBookResponse {
    pub(super) fn of(book: &History) -> Self {
        let latest = book.latest();
        let head = book.head();
        Self {
            code: head.code.clone(),
            name: head.name.clone(),
            currency: head.currency,
            demo: head.demo,
            revision: latest,
            items: book.items().count(),
            settings: book.settings(latest).map(BookSettings::of),
        }
    }
}

impl BookSettings {
    fn of(settings: &Settings) -> Self {
        let (profit_basis, profit) = match settings.profit {
            Profit::Margin(rate) => (ProfitBasis::Margin, rate),
            Profit::Markup(rate) => (ProfitBasis::Markup, rate),
        };
        Self {
            overhead: settings.overhead,
            contingency: settings.contingency,
            profit_basis,
            profit,
            warranty: settings.warranty,
            sales_tax: settings.sales_tax.rate,
            sales_tax_base: settings.sales_tax.base,
            travel_minutes: settings.travel_minutes,
        }
    }
}

impl ItemsResponse {
    pub(super) fn of(view: &View<'_>, after: Option<&str>, limit: usize) -> Self {
        let list = view.0;
        let codes = list.items().map(|item| item.code.as_str());
        let mut following = codes.filter(|code| after.is_none_or(|after| *code > after));
        let shown: Vec<&str> = following.by_ref().take(limit).collect();
        let next = following
            .next()
            .and(shown.last())
            .map(|code| (*code).to_owned());
        Self {
            book: list.book().to_owned(),
            revision: list.revision(),
            as_of: Day(list.as_of()),
            items: shown.iter().filter_map(|code| view.item(code)).collect(),
            next,
        }
    }
}

impl RevisionsResponse {
    pub(super) fn of(book: &History, after: i64, limit: usize) -> Self {
        let mut following = book
            .revisions()
            .iter()
            .filter(|revision| revision.number > after);
        let revisions: Vec<RevisionResponse> = following
            .by_ref()
            .take(limit)
            .map(RevisionResponse::of)
            .collect();
        let next = following
            .next()
            .and(revisions.last())
            .map(|revision| revision.number);
        Self {
            book: book.head().code.clone(),
            revisions,
            next,
        }
    }
}

impl RevisionResponse {
    fn of(revision: &Revision) -> Self {
        Self {
            number: revision.number,
            made_at: revision
                .made_at
                .to_rfc3339_opts(chrono::SecondsFormat::Millis, true),
            note: revision.note.clone(),
        }
    }
}
