//! What a query asks: the line of the short form in it, and how the answer is wanted.
//!
//! Invariants: a name that is neither is refused, `_` aside; every fault is told at once, with the
//! name as it was written; a key is dropped before anything else looks at the query. Absent: where
//! the figures go.

use super::{ApiError, Today};
use crate::book::Books;
use crate::estimate::{Brief, Estimate};
use crate::figures::{Figure, near_names};
use crate::http::computing::{Tables, estimate_brief};
use crate::http::keys::KEY_IN_QUERY;
use crate::http::metrics::{note_faults, note_job};
use crate::job::{Day, ShortHeading, ShortJob};
use crate::meter::Meter;
use crate::quantity::{Fault, Faults, pointer_part};
use crate::rules::RuleSets;
use crate::takeoff::Detail;
use actix_web::web::{Data, Query};

/// Anything may stand here; it makes an address new to a program that keeps answers.
const IGNORED: &str = "_";

/// What may be asked beside the job.
const OPTIONS: [&str; 4] = ["errors", "format", "figures", "header"];

/// What a line is priced with, and what counts it.
pub(super) type Around<'a> = (
    &'a Data<Books>,
    &'a Data<RuleSets>,
    &'a Data<Today>,
    &'a Data<Meter>,
);

/// A query, taken apart.
pub(super) struct Asked {
    /// The line of the short form, names and cells as they were written.
    pub(super) inputs: Vec<(String, String)>,
    options: Vec<(&'static str, String)>,
    faults: Faults,
}

impl Asked {
    /// Takes a query apart; `options` are those that this call knows.
    ///
    /// # Errors
    /// [`ApiError::BadQuery`] when it is no query at all.
    pub(super) fn of(query: &str, options: &[&str]) -> Result<Self, ApiError> {
        let pairs = Query::<Vec<(String, String)>>::from_query(query)
            .map_err(|error| ApiError::BadQuery(format!("{error}.")))?;
        let mut asked = Self {
            inputs: Vec::new(),
            options: Vec::new(),
            faults: Faults::default(),
        };
        for (name, value) in pairs.into_inner() {
            if name != KEY_IN_QUERY && name != IGNORED {
                asked.take(name, value, options);
            }
        }
        Ok(asked)
    }

    fn take(&mut self, name: String, value: String, known: &[&str]) {
        let known = OPTIONS.iter().filter(|option| known.contains(*option));
        let Some(option) = known
            .copied()
            .find(|option| name.eq_ignore_ascii_case(option))
        else {
            self.inputs.push((name, value.trim().to_owned()));
            return;
        };
        if self.options.iter().any(|(taken, _)| *taken == option) {
            let fault = Fault::new(pointer(&name), &value, format!("{option} once"), None);
            self.faults.push(fault.in_column(&name));
            return;
        }
        self.options.push((option, value.trim().to_owned()));
    }

    /// An option as it was written; none where it was left out or left blank.
    pub(super) fn option(&self, name: &str) -> Option<&str> {
        let mut options = self.options.iter();
        let (_, value) = options.find(|(option, _)| *option == name)?;
        Some(value.as_str()).filter(|value| !value.is_empty())
    }

    /// One of some words; the first where nothing stands, and where something else does, which is a
    /// fault.
    pub(super) fn choice(&mut self, name: &str, words: &[&'static str]) -> &'static str {
        let first = words.first().copied().unwrap_or_default();
        let Some(written) = self.option(name) else {
            return first;
        };
        if let Some(word) = words.iter().find(|word| **word == written) {
            return word;
        }
        let fault = Fault::new(pointer(name), written, words.join(", "), Some(first));
        self.faults.push(fault.in_column(name));
        first
    }

    /// The figures that are named; none where the usual ones are meant.
    pub(super) fn figures(&mut self) -> Option<Vec<&'static Figure>> {
        let written = self.option("figures")?.to_owned();
        Some(read_figures(&written, &mut self.faults))
    }

    /// Prices the job of the line; `unknowns` as [`Brief`] has it.
    ///
    /// # Errors
    /// Every fault of the query, each with the name as it was written.
    pub(super) fn estimate(
        mut self,
        (books, rules, today, meter): Around<'_>,
        unknowns: bool,
    ) -> Result<Priced, ApiError> {
        let names: Vec<&str> = self.inputs.iter().map(|(name, _)| name.as_str()).collect();
        let heading = ShortHeading::bind(&names);
        let short = note_faults(meter, self.read(&heading))?;
        let brief = Brief {
            sent: short.sent,
            assumed: short.assumed,
            unknowns,
            supply: false,
            detail: Detail::Described,
        };
        let estimate = estimate_brief(brief, &Tables::now(books, rules), Day(today.date()));
        let estimate = note_job(meter, estimate).map_err(|error| match error {
            ApiError::Faults(faults) => ApiError::Faults(heading.point_back(faults)),
            other => other,
        })?;
        Ok(Priced {
            inputs: self.inputs,
            estimate,
            book_age: books.age().as_secs(),
        })
    }

    fn read(&mut self, heading: &ShortHeading) -> Result<ShortJob, ApiError> {
        let mut faults = std::mem::take(&mut self.faults);
        let no_column = "a column of the short form (GET /v1/short-form lists them)";
        let of_batches = "nothing: only a batch has a use for it (POST /v1/estimates/batch)";
        let unknown = heading.unknown().into_iter().map(|at| (at, no_column));
        let useless = heading.batch_only().into_iter().map(|at| (at, of_batches));
        for (place, accepted) in unknown.chain(useless) {
            // Not its value: under a slip of the pen for `key` that would be a key.
            if let Some((name, _)) = self.inputs.get(place) {
                let fault = Fault::new(pointer(name), name, accepted, Some("rise_in=28"));
                faults.push(fault.in_column(name));
            }
        }
        let cells: Vec<&str> = self.inputs.iter().map(|(_, cell)| cell.as_str()).collect();
        let read = heading
            .read(&cells, '.')
            .map_err(|more| faults.0.extend(more.0));
        faults.or(())?;
        read.map_err(|()| ApiError::Faults(Faults::default()))
    }
}

/// Where a name of the query stands.
fn pointer(name: &str) -> String {
    format!("/{}", pointer_part(name))
}

/// A line and what it comes to.
pub(super) struct Priced {
    /// The line as it was sent.
    pub(super) inputs: Vec<(String, String)>,
    /// The estimate of its job.
    pub(super) estimate: Estimate,
    /// Seconds since the book in memory was last seen to be the database's.
    pub(super) book_age: u64,
}

/// Figures that are named, parted by commas, in their order.
pub(in crate::http) fn read_figures(written: &str, faults: &mut Faults) -> Vec<&'static Figure> {
    let mut figures: Vec<&'static Figure> = Vec::new();
    for name in written.split(',').map(str::trim) {
        match Figure::named(name) {
            Some(figure) if figures.iter().all(|one| one.name != name) => figures.push(figure),
            Some(_) => faults.push(refuse_figure(name, "each figure once".to_owned())),
            None => faults.push(refuse_figure(name, accepted_names(name))),
        }
    }
    figures
}

fn refuse_figure(name: &str, accepted: String) -> Fault {
    let example = Some("verdict,concrete_order,total");
    Fault::new("/figures", name, accepted, example).in_column("figures")
}

/// What may be written in place of a name that no figure has.
pub(super) fn accepted_names(name: &str) -> String {
    match near_names(name).as_slice() {
        [] => "a figure (GET /v1/figures lists them)".to_owned(),
        near => format!(
            "a figure (GET /v1/figures lists them); near: {}",
            near.join(", ")
        ),
    }
}
