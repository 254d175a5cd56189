//! Price books as a caller reads them.
//!
//! Invariants: money and quantities are decimal texts; what is not there is null, never zero.
//! Absent: any figure that the book does not hold.

use super::request::{ChargeKind, ItemHolds};
use crate::{
    catalog::{
        Charge, Class, History, Item, Learned, Pinned, Price, PriceList, Profit, Revision,
        SaleUnit, Settings, TaxBase,
    },
    job::{Day, ProfitBasis},
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
    /// Code of the book in which is looked up what this one does not hold; null where there is none.
    inherits: Option<String>,
    /// How many items it holds itself.
    items: usize,
    /// What an estimate takes from the book beside prices; null where it takes those of the book
    /// that this one inherits from.
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
    /// A price older than this many days is warned of.
    price_age_days: u32,
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
    /// Code of the supplier whose price counts before those of others; null where none is preferred.
    preferred_supplier: Option<String>,
    /// Code of the price index that follows what it costs; null where none does.
    index: Option<String>,
    /// Code of the book that holds it: the one asked, or one that it inherits from.
    pub(super) book: String,
    /// The revision of that book in which it or one of its prices last changed; its `ETag`.
    pub(super) changed_in: i64,
    /// The price that holds for the least order; null when there is none.
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
    /// Holds for orders of at least this, in the sale unit.
    from_quantity: Decimal4,
    /// For one sale unit; null where the revision took an earlier price back.
    unit_price: Option<UnitPrice>,
    /// The first day on which it holds.
    effective_from: Day,
    /// The last day on which it holds; null where the supplier named none.
    valid_until: Option<Day>,
    /// The one job that it was quoted for; null where it holds for all.
    quoted_for: Option<String>,
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
    /// All that were ever written, by supplier, job, day, quantity and revision.
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
        let (holder, changed_in) = self.holder(code)?;
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
            preferred_supplier: item.supplier.clone(),
            index: item.index.clone(),
            book: holder.history.head().code.clone(),
            changed_in,
            price,
            unpriced,
        })
    }

    /// Every price of one item; `None` when the book does not know it.
    pub(super) fn prices(&self, code: &str) -> Option<ItemPricesResponse> {
        let item = self.0.item(code)?;
        let (holder, changed_in) = self.holder(code)?;
        let (price, unpriced) = self.price(item);
        let written = holder.history.item(code)?.prices(holder.revision);
        Some(ItemPricesResponse {
            book: holder.history.head().code.clone(),
            item: item.code.clone(),
            revision: holder.revision,
            as_of: Day(self.0.as_of()),
            currency: self.0.currency(),
            sale_unit: item.sale_unit,
            changed_in,
            price,
            unpriced,
            prices: written.map(|price| self.shown(price)).collect(),
        })
    }

    /// The nearest book that holds an item, and the revision in which it last changed there.
    fn holder(&self, code: &str) -> Option<(&Pinned, i64)> {
        self.0.chain().iter().find_map(|pinned| {
            let item = pinned.history.item(code)?;
            item.item(pinned.revision)?;
            Some((pinned, item.changed(pinned.revision)?))
        })
    }

    fn price(&self, item: &Item) -> (Option<ItemPriceResponse>, Option<String>) {
        match self.0.quote_price(&item.code) {
            Ok(price) => (Some(self.shown(price)), None),
            Err(reason) => (None, Some(reason.to_string())),
        }
    }

    fn shown(&self, price: &Learned<Price>) -> ItemPriceResponse {
        let value = &price.value;
        let known = self.0.supplier(&value.supplier);
        ItemPriceResponse {
            supplier: value.supplier.clone(),
            supplier_name: known.map_or(&value.supplier, |known| &known.name).clone(),
            from_quantity: value.from_quantity,
            unit_price: value.unit_price,
            effective_from: Day(value.effective_from),
            valid_until: value.valid_until.map(Day),
            quoted_for: value.quoted_for.clone(),
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
            inherits: head.inherits.clone(),
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
            price_age_days: settings.price_age_days,
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
