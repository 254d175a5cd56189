//! A priced estimate as an offer: thirteen sections, each computed from the answer that is sent along.
//!
//! Invariants: nothing is priced again, and no sum is told while a line has no price, unless it is called
//! a budget; no cost, wage or margin of ours leaves here; no section says that anybody accepts the ramp.
//! Absent: paper, which `documents` has.
//!
//! | file | holds |
//! | --- | --- |
//! | `request`, `terms` | what is asked for, and the open terms answered by rows |
//! | `dated` | days that have to follow one another |
//! | `text` | sentences as rows |
//! | `in_words` | money in words and in figures |
//! | `basis`, `work`, `around`, `slopes`, `days`, `money`, `agreement` | the sections |

mod agreement;
mod around;
mod basis;
mod dated;
mod days;
mod in_words;
mod money;
mod request;
mod slopes;
mod terms;
mod text;
mod work;

pub use in_words::{grouped, money_in_figures, money_in_words, number_in_words};
pub use request::{ProposalPaper, ProposalPayment, ProposalRequest, ProposalScope, ProposalSum};

use crate::answered::{Answered, Checked};
use crate::billing::Party;
use crate::geometry::{Geometry, solve};
use crate::job::{Day, Job, expand};
use crate::quantity::money::Amount;
use crate::quantity::{Fault, Faults};
use serde::Serialize;
use terms::Terms;

/// Gives a part of a proposal its writer and its schema.
macro_rules! shown {
    ($($(#[$doc:meta])* $name:ident { $($(#[$fdoc:meta])* $field:ident: $ty:ty,)* })+) => { $(
        $(#[$doc])*
        #[derive(Clone, Debug, PartialEq, Serialize)]
        #[cfg_attr(feature = "service", derive(utoipa::ToSchema))]
        pub struct $name { $($(#[$fdoc])* pub $field: $ty,)* }
    )+ };
}

shown! {
    /// A proposal, or a budget.
    Proposal {
        /// Name of the job.
        job: String,
        /// Number of the proposal.
        number: Option<String>,
        /// True where it is no offer, since lines have no price or it was asked for as one.
        budget: bool,
        /// Its date.
        date: Day,
        /// The last day on which it is good; null for a budget, which is no offer.
        valid_until: Option<Day>,
        /// Who offers.
        seller: Party,
        /// To whom.
        buyer: Party,
        /// What it comes to.
        price: ProposalPrice,
        /// What may be added or taken off.
        alternates: Vec<ProposalAmount>,
        /// What is in the price and settled at what it comes to.
        allowances: Vec<ProposalAmount>,
        /// Rates for extras.
        extras: Vec<ProposalRate>,
        /// What has no price yet.
        unpriced: Vec<String>,
        /// The sections in their order.
        sections: Vec<ProposalSection>,
        /// What was taken because nothing else was said.
        defaulted: Vec<ProposalDefault>,
        /// Fingerprint of the estimate that it rests on.
        fingerprint: String,
        /// True where a price comes from a book that is invented.
        demo: bool,
    }
    /// What a proposal comes to.
    ProposalPrice {
        /// Currency of every amount (ISO 4217).
        currency: String,
        /// The whole, with tax where tax is charged; of a budget, what could be priced.
        amount: Amount,
        /// In figures, as they stand on the paper.
        figures: String,
        /// In words.
        words: String,
        /// Before tax that is charged.
        before_tax: Amount,
        /// Tax that is charged.
        tax: Amount,
    }
    /// A sum beside the price.
    ProposalAmount {
        /// What it is for.
        description: String,
        /// How much.
        amount: Amount,
        /// In figures, as they stand on the paper.
        figures: String,
    }
    /// A rate for extras.
    ProposalRate {
        /// Its code.
        code: String,
        /// What is charged.
        what: String,
        /// For how much of it.
        unit: String,
        /// What it is charged; null where it has no price.
        amount: Option<Amount>,
        /// In figures, as they stand on the paper.
        figures: String,
    }
    /// One section.
    ProposalSection {
        /// From 1 to 13.
        number: u8,
        /// What it is about.
        heading: String,
        /// Sentences.
        paragraphs: Vec<String>,
        /// Points under them.
        points: Vec<String>,
        /// Rows under those.
        table: Option<ProposalTable>,
        /// Sentences after the rows.
        after: Vec<String>,
    }
    /// Rows of a section.
    ProposalTable {
        /// One a column.
        heads: Vec<String>,
        /// As many cells as there are heads.
        rows: Vec<Vec<String>>,
        /// Columns, counted from the right, that hold money or counts.
        figures: usize,
    }
    /// What was taken because nothing else was said.
    ProposalDefault {
        /// JSON Pointer into the request.
        pointer: String,
        /// What was taken.
        value: String,
    }
}

/// The ramp of an offer, solved in space.
#[derive(Clone, Debug)]
pub struct ProposalSite {
    /// The job with every question answered.
    pub job: Job,
    /// Solved in space.
    pub geometry: Geometry,
}

/// What the sections are made of.
pub(crate) struct Offer<'a> {
    request: &'a ProposalRequest,
    answer: &'a Answered,
    checked: &'a Checked,
    site: Option<&'a ProposalSite>,
    terms: &'a Terms,
    budget: bool,
}

impl ProposalSection {
    fn new(number: u8) -> Self {
        Self {
            number,
            heading: text::heading(number),
            paragraphs: Vec::new(),
            points: Vec::new(),
            table: None,
            after: Vec::new(),
        }
    }

    /// Adds a sentence, where all its facts are known.
    fn say(&mut self, sentence: &str, facts: &[(&str, String)]) {
        self.paragraphs.extend(text::filled(sentence, facts));
    }
}

/// A proposal, and its ramp where the answer holds the job.
///
/// # Errors
/// What does not add up, what a proposal cannot hold, lines without a price in what is no budget, and a
/// drawing asked for without the job.
pub fn propose(request: &ProposalRequest) -> Result<(Proposal, Option<ProposalSite>), Faults> {
    let mut faults = Faults::default();
    let answer = &request.estimate;
    request.check(&answer.price.currency, &mut faults);
    dated::check_days(request, &mut faults);
    let checked = answer
        .check("/estimate")
        .map_err(|wrong| faults.0.extend(wrong.0))
        .ok();
    let site = site_of(answer)
        .map_err(|wrong| faults.0.extend(wrong.0))
        .ok()
        .flatten();
    if answer.job.is_none() && request.drawing.unwrap_or(true) {
        let accepted = "the estimate of a call with `?job=true`, whose answer holds the job that is drawn; or `drawing` false, for a proposal that says less";
        faults.push(Fault::new("/estimate/job", "nothing", accepted, None));
    }
    if let Some(checked) = &checked {
        money::check_whole(request, checked, &mut faults);
    }
    match checked {
        Some(checked) if faults.is_empty() => Ok((written(request, &checked, site.as_ref()), site)),
        _ => Err(faults),
    }
}

fn site_of(answer: &Answered) -> Result<Option<ProposalSite>, Faults> {
    let Some(sent) = answer.job.clone() else {
        return Ok(None);
    };
    let expanded = expand(sent, answer.computed_with.as_of);
    let job = expanded.map_err(within_answer)?.job;
    let geometry = solve(&job);
    Ok(Some(ProposalSite { job, geometry }))
}

/// Faults of the job at their places in the request.
fn within_answer(mut faults: Faults) -> Faults {
    for fault in &mut faults.0 {
        fault.pointer.insert_str(0, "/estimate/job");
    }
    faults
}

fn written(request: &ProposalRequest, checked: &Checked, site: Option<&ProposalSite>) -> Proposal {
    let scope = site.map(|site| site.job.scope);
    let terms = Terms::of(request, (checked.as_of, scope));
    let offer = Offer {
        request,
        answer: &request.estimate,
        checked,
        site,
        terms: &terms,
        budget: request.budget.unwrap_or(false),
    };
    Proposal {
        job: checked.name.clone(),
        number: request.number.clone(),
        budget: offer.budget,
        date: terms.date,
        valid_until: terms.valid_until,
        seller: request.seller.clone(),
        buyer: request.buyer.clone(),
        price: money::price(&offer),
        alternates: money::amounts(request.alternates(), &checked.currency),
        allowances: money::amounts(request.allowances(), &checked.currency),
        extras: money::rates(&offer),
        unpriced: checked
            .unpriced
            .iter()
            .map(|(_, what, _)| what.clone())
            .collect(),
        sections: sections(&offer),
        defaulted: terms.defaulted.clone(),
        fingerprint: checked.fingerprint.clone(),
        demo: checked.demo,
    }
}

fn sections(offer: &Offer<'_>) -> Vec<ProposalSection> {
    vec![
        basis::basis(offer),
        work::included(offer),
        around::by_others(offer),
        around::left_out(offer),
        slopes::slopes(offer),
        slopes::appearance(),
        days::time(offer),
        money::price_section(offer),
        money::extras_section(offer),
        agreement::payment(offer),
        agreement::changes(offer),
        agreement::safety(offer),
        agreement::agreement(offer),
    ]
}
