//! Which percentages hold: the job's where it states them, the book's where it does not.
//!
//! Invariant: each is listed with where it came from.

use crate::catalog::{self, PriceList};
use crate::job::{self, Job, ProfitBasis, TaxBase};
use crate::quantity::money::Percentage;

/// Profit on a base.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Profit {
    /// A part of the price.
    Margin(Percentage),
    /// A part of the cost.
    Markup(Percentage),
}

/// Where a setting came from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum SettingFrom {
    /// The job states it.
    Job,
    /// The book has it, at this revision.
    Book {
        /// Code of the book.
        book: String,
        /// Revision.
        revision: i64,
    },
}

/// One setting that was used.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SettingUsed {
    /// JSON Pointer into the job where it may be stated.
    pub pointer: &'static str,
    /// Its value as text.
    pub value: String,
    /// Where it came from.
    pub from: SettingFrom,
}

/// The settings of one price.
#[derive(Clone, Debug, PartialEq)]
pub struct Settings {
    /// Sales tax rate.
    pub tax_rate: Percentage,
    /// What it is reckoned on.
    pub tax_base: TaxBase,
    /// Contingency.
    pub contingency: Percentage,
    /// Reserve for warranty work, on the same base as contingency.
    pub warranty: Percentage,
    /// Overhead.
    pub overhead: Percentage,
    /// Profit.
    pub profit: Profit,
    /// Each with where it came from.
    pub used: Vec<SettingUsed>,
}

impl Settings {
    /// The settings of a job under a price list.
    pub fn of(job: &Job, list: &PriceList) -> Self {
        let book = list.settings();
        let stated = &job.price;
        let mut used = Used {
            used: Vec::with_capacity(6),
            list,
        };
        let tax = stated.sales_tax.as_ref();
        let tax_rate = tax.and_then(|tax| tax.rate).map(Percentage::of);
        let tax_base = tax.and_then(|tax| tax.base);
        let profit = stated.profit.as_ref().map(stated_profit);
        Self {
            tax_rate: used.percentage("/price/sales_tax/rate", tax_rate, book.sales_tax.rate),
            tax_base: used.tax_base(tax_base, book.sales_tax.base),
            contingency: used.percentage(
                "/price/contingency",
                stated.contingency.map(Percentage::of),
                book.contingency,
            ),
            warranty: used.percentage(
                "/price/warranty",
                stated.warranty.map(Percentage::of),
                book.warranty,
            ),
            overhead: used.percentage(
                "/price/overhead",
                stated.overhead.map(Percentage::of),
                book.overhead,
            ),
            profit: used.profit(profit, book_profit(book.profit)),
            used: used.used,
        }
    }
}

struct Used<'a> {
    used: Vec<SettingUsed>,
    list: &'a PriceList,
}

impl Used<'_> {
    fn percentage(
        &mut self,
        pointer: &'static str,
        stated: Option<Percentage>,
        book: Percentage,
    ) -> Percentage {
        let value = stated.unwrap_or(book);
        self.list(pointer, value.to_string(), stated.is_some());
        value
    }

    fn tax_base(&mut self, stated: Option<TaxBase>, book: catalog::TaxBase) -> TaxBase {
        let value = stated.unwrap_or(match book {
            catalog::TaxBase::None => TaxBase::None,
            catalog::TaxBase::Materials => TaxBase::Materials,
            catalog::TaxBase::Price => TaxBase::Price,
        });
        self.list("/price/sales_tax/base", value.to_string(), stated.is_some());
        value
    }

    fn profit(&mut self, stated: Option<Profit>, book: Profit) -> Profit {
        let value = stated.unwrap_or(book);
        let text = match value {
            Profit::Margin(rate) => format!("{rate} margin"),
            Profit::Markup(rate) => format!("{rate} markup"),
        };
        self.list("/price/profit", text, stated.is_some());
        value
    }

    fn list(&mut self, pointer: &'static str, value: String, stated: bool) {
        let from = if stated {
            SettingFrom::Job
        } else {
            SettingFrom::Book {
                book: self.list.book().to_owned(),
                revision: self.list.revision(),
            }
        };
        self.used.push(SettingUsed {
            pointer,
            value,
            from,
        });
    }
}

fn stated_profit(stated: &job::Profit) -> Profit {
    let rate = Percentage::of(stated.rate);
    match stated.basis {
        ProfitBasis::Margin => Profit::Margin(rate),
        ProfitBasis::Markup => Profit::Markup(rate),
    }
}

const fn book_profit(book: catalog::Profit) -> Profit {
    match book {
        catalog::Profit::Margin(rate) => Profit::Margin(rate),
        catalog::Profit::Markup(rate) => Profit::Markup(rate),
    }
}
