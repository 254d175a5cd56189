//! What a batch was asked, fixed at its first byte, so that every row is answered alike.
//!
//! Invariants: one state of the books and one day for all rows; the columns of an answer are known
//! before its first row. Absent: rows.

use super::super::problem::ApiError;
use super::BatchQuery;
use super::body::Form;
use super::share::HOURS;
use crate::batch::Gathers;
use crate::figures::Figure;
use crate::http::computing::Tables;
use crate::http::figures::read_figures;
use crate::http::format::{Format, choose_format};
use crate::job::TimeOfDay;
use crate::job::{Day, ShortHeading};
use crate::meter::Meter;
use crate::quantity::money::UnitPrice;
use crate::quantity::{Fault, Faults, System};
use crate::sheet::{Heading, Style};
use actix_web::http::header::HeaderMap;
use actix_web::web::Data;

/// Figures that every row tells, whatever was asked: what it came to, and what to know first.
const ALWAYS: [&str; 2] = ["status", "note"];

/// How a batch is answered.
#[derive(Clone, Debug)]
pub(super) struct Asked {
    /// CSV, one object a line, or one JSON document.
    pub(super) format: Format,
    /// The figures of each row, in order; `status` first and `note` last.
    pub(super) figures: Vec<&'static Figure>,
    /// Least price of one visit, where the caller names one.
    pub(super) least: Option<UnitPrice>,
    /// Whether rows bring the expanded job and what was assumed.
    pub(super) with_job: bool,
    /// Whether a CSV ends with a row of sums.
    pub(super) summary_row: bool,
    /// Units of the summary.
    pub(super) units: System,
    /// Hours in which concrete may arrive, where loads are to be shared.
    pub(super) share: Option<(TimeOfDay, TimeOfDay)>,
    /// True where bars are to be cut together.
    pub(super) cuts: bool,
}

impl Asked {
    /// What is gathered beside the sums.
    pub(super) const fn gathers(&self) -> Gathers {
        Gathers {
            loads: self.share.is_some(),
            cuts: self.cuts,
        }
    }
}

/// The columns of a table as sent.
#[derive(Clone, Debug)]
pub(super) struct Columns {
    /// Their names.
    pub(super) heading: Heading,
    /// What they mean.
    pub(super) short: ShortHeading,
    /// How the table is written.
    pub(super) style: Style,
}

/// Everything that one row needs.
#[derive(Debug)]
pub(super) struct Plan {
    /// What every row is computed with.
    pub(super) tables: Tables,
    /// Today, where the service stands.
    pub(super) today: Day,
    /// How to answer.
    pub(super) asked: Asked,
    /// The columns; none where each row names its own.
    pub(super) columns: Option<Columns>,
    /// What counts the rows.
    pub(super) meter: Data<Meter>,
}

impl Columns {
    pub(super) fn of(heading: &Heading, style: Style) -> Self {
        Self {
            short: ShortHeading::bind(heading.names()),
            heading: heading.clone(),
            style,
        }
    }
}

impl Plan {
    /// Whether any figure needs the inputs that move the price most.
    pub(super) fn needs_unknowns(&self) -> bool {
        self.asked
            .figures
            .iter()
            .any(|figure| figure.needs_unknowns())
    }
}

impl Asked {
    /// How an answer is wanted, of a body of this form.
    ///
    /// # Errors
    /// Every fault of the query; no format that can be given.
    pub(super) fn of(
        query: &BatchQuery,
        headers: &HeaderMap,
        form: &Form,
    ) -> Result<Self, ApiError> {
        let format = choose_format(query.format.as_deref(), headers, offered(form))?;
        let mut faults = Faults::default();
        let asked = Self {
            format,
            figures: figures(query.figures.as_deref(), &mut faults),
            least: least(query.least_per_visit.as_deref(), &mut faults),
            with_job: query.job.unwrap_or(false),
            summary_row: summary_row(query.summary.as_deref(), &mut faults),
            units: units(query.units.as_deref(), &mut faults),
            share: share(query, &mut faults),
            cuts: query.cut_together.unwrap_or(false),
        };
        Ok(faults.or(asked)?)
    }
}

/// The formats of an answer; the first is that of the body.
fn offered(form: &Form) -> &'static [Format] {
    match form {
        Form::Csv(_) | Form::Xlsx => &[Format::Csv, Format::Lines, Format::Json],
        Form::Lines => &[Format::Lines, Format::Json],
        Form::Array => &[Format::Json, Format::Lines],
    }
}

fn refuse(faults: &mut Faults, (name, found): (&str, &str), (accepted, example): (String, &str)) {
    let fault = Fault::new(format!("/{name}"), found, accepted, Some(example));
    faults.push(fault.in_column(name));
}

fn figures(named: Option<&str>, faults: &mut Faults) -> Vec<&'static Figure> {
    let named = named.filter(|named| !named.trim().is_empty());
    let mut found = named.map_or_else(Figure::usual, |named| read_figures(named, faults));
    let always = |place: usize| Figure::named(ALWAYS[place]);
    found.retain(|figure| !ALWAYS.contains(&figure.name));
    always(0)
        .into_iter()
        .chain(found)
        .chain(always(1))
        .collect()
}

fn least(named: Option<&str>, faults: &mut Faults) -> Option<UnitPrice> {
    let named = named?;
    let price = UnitPrice::parse(named).ok();
    if price.is_none() {
        let accepted = "an amount of money a visit, in the currency of the book".to_owned();
        refuse(faults, ("least_per_visit", named), (accepted, "450.00"));
    }
    price
}

fn summary_row(named: Option<&str>, faults: &mut Faults) -> bool {
    match named {
        None | Some("") => false,
        Some("row") => true,
        Some(other) => {
            refuse(faults, ("summary", other), ("row".to_owned(), "row"));
            false
        }
    }
}

/// The hours of every pour; none where loads are not to be shared.
fn share(query: &BatchQuery, faults: &mut Faults) -> Option<(TimeOfDay, TimeOfDay)> {
    let named = query.arrive.as_deref().unwrap_or_default();
    let read = named.split_once('-').and_then(|(from, to)| {
        let hours = (TimeOfDay::parse(from.trim())?, TimeOfDay::parse(to.trim())?);
        (hours.0 <= hours.1).then_some(hours)
    });
    if !named.is_empty() && read.is_none() {
        let accepted = "two times of the day, the first hour and the last".to_owned();
        refuse(faults, ("arrive", named), (accepted, "07:00-12:00"));
    }
    let shares = query.share_loads.unwrap_or(false);
    shares.then_some(read.unwrap_or(HOURS))
}

fn units(named: Option<&str>, faults: &mut Faults) -> System {
    match named {
        None | Some("" | "us") => System::Us,
        Some("metric") => System::Metric,
        Some(other) => {
            refuse(faults, ("units", other), ("us, metric".to_owned(), "us"));
            System::Us
        }
    }
}
