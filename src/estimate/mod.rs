//! The hall: the whole flow, from a job as sent to a priced answer, as one function over values.
//!
//! Data flows one way: job → geometry → rules → takeoff → crew-hours → price. Everything that could
//! differ between two runs (date, prices, rules, rates) arrives as an argument, so that an answer
//! can be replayed. Absent: I/O, the clock, status codes, wire names.

mod again;
mod buy;
mod canonical;
mod caution;
mod fingerprint;
mod headline;
mod order;
mod pour;
mod set_out;
mod survey;
mod unknown;

pub use buy::{Chosen, choose};
pub use canonical::write_canonical;
pub use caution::{Caution, Exclusion};
pub use fingerprint::{BookUsed, ComputedWith, ENGINE, RuleSetUsed};
pub use headline::{Headline, Tightest};
pub use order::{DayPlan, NeededFromOthers, ToOrder};
pub use pour::{PlannedDay, PourPlanned, plan_pour};
pub use set_out::{SetOut, set_out};
pub use survey::{
    Defect, DefectKind, OrderChange, Stake, SurveyAnswered, SurveyAsked, answer_survey,
};
pub use unknown::Unknown;

use crate::catalog::{Catalog, PriceList, Wanted, Worths};
use crate::crew::{CrewHours, Rates, plan_hours_with};
use crate::geometry::{self, Geometry};
use crate::job::{
    Assumption, BookRequest, Day, Expanded, Job, JobRequest, expand, expand_unlisted,
};
use crate::price::{
    Extra, ExtrasFrom, Parts, Priced, SettingFrom, Supply, compare_supply, price_extras, price_job,
};
use crate::quantity::{Faults, Span};
use crate::rules::{Check, RuleSets, check, check_names};
use crate::takeoff::{Detail, Takeoff, take_off_with};
use again::Again;
use chrono::NaiveDate;
use std::borrow::Cow;
use std::collections::BTreeMap;
use unknown::reprice_unknowns;

/// What an estimate is computed with, beside the job.
#[derive(Clone, Copy)]
pub struct With<'a> {
    /// Rule sets that are known.
    pub rules: &'a RuleSets,
    /// Sizes and coverages of materials.
    pub catalog: &'a Catalog,
    /// Crew rates.
    pub rates: &'a Rates,
    /// The price book at a revision and a day.
    pub list: &'a PriceList,
}

/// A whole answer.
#[derive(Clone, Debug)]
pub struct Estimate {
    /// The job with every question answered.
    pub job: Job,
    /// Every default used, those that move the price most first.
    pub assumptions: Vec<Assumption>,
    /// The job solved in space.
    pub geometry: Geometry,
    /// Judged by the rules.
    pub check: Check,
    /// Materials.
    pub takeoff: Takeoff,
    /// Hours.
    pub hours: CrewHours,
    /// Money.
    pub priced: Priced,
    /// Concrete by the truck, by a trailer and in bags, where each has a price.
    pub supply: Option<Supply>,
    /// Rates for what comes on top of the price.
    pub extras: Vec<Extra>,
    /// Inputs not measured, and what each could move.
    pub unknowns: Vec<Unknown>,
    /// What to order, from whom, for which day.
    pub to_order: Vec<ToOrder>,
    /// What others must supply or do, and by which day.
    pub needed_from_others: Vec<NeededFromOthers>,
    /// The days.
    pub day_plan: Vec<DayPlan>,
    /// What the price leaves out.
    pub exclusions: Vec<Exclusion>,
    /// What a person should know before acting on it.
    pub cautions: Vec<Caution>,
    /// The ten things that come first.
    pub headline: Headline,
    /// What it was computed with.
    pub computed_with: ComputedWith,
    /// Hash over the job and what it was computed with.
    pub fingerprint: String,
}

/// Which prices a job asks for.
#[derive(Clone, Debug)]
pub struct AskedBook {
    /// Code of the book; none for the default one.
    pub code: Option<String>,
    /// Its revision; none for the newest.
    pub revision: Option<i64>,
    /// Revisions of books that it inherits from, by code.
    pub inherited: BTreeMap<String, i64>,
    /// Date of the prices.
    pub as_of: NaiveDate,
    /// What else the job wants of it.
    pub wanted: Wanted,
}

/// Which prices a job asks for, before its faults are known.
pub fn asked_book(sent: &JobRequest, today: Day) -> AskedBook {
    let book = sent.book.clone().unwrap_or_default();
    let crew = sent.crew.as_ref();
    let site = sent.site.as_ref();
    let wanted = Wanted {
        job: sent.name.clone().filter(|name| !name.is_empty()),
        zone: site.and_then(|site| site.zone.clone()),
        wages: crew.and_then(|crew| crew.wages.clone()),
        escalate: book.escalate.unwrap_or(false),
    };
    AskedBook::of(book, today, wanted)
}

impl AskedBook {
    /// Which prices a `book` section asks for.
    pub fn of(book: BookRequest, today: Day, wanted: Wanted) -> Self {
        let inherited = book.inherited.into_iter().flat_map(|named| named.0);
        Self {
            code: book.code,
            revision: book.revision.map(i64::from),
            inherited: inherited
                .map(|(code, revision)| (code, i64::from(revision)))
                .collect(),
            as_of: book.as_of.unwrap_or(today).0,
            wanted,
        }
    }
}

/// Answers the open questions of a job; the office's own travel time goes before the built-in one.
///
/// # Errors
/// All faults of the job, and one for every rule set that it names and that there is not.
pub fn fill(mut sent: JobRequest, today: Day, with: With<'_>) -> Result<Expanded, Faults> {
    let list = with.list;
    let travel_is_ours = take_travel(&mut sent, list);
    let named = sent
        .site
        .as_ref()
        .and_then(|site| site.rule_sets.as_deref());
    let strangers = check_names(named.unwrap_or_default(), with.rules);
    let expanded = expand(sent, today);
    let mut expanded = match strangers.0.is_empty() {
        true => expanded?,
        false => {
            let mut faults = expanded.err().unwrap_or_default();
            faults.0.extend(strangers.0);
            return Err(faults);
        }
    };
    if travel_is_ours {
        expanded.assumptions.push(Assumption {
            pointer: "/crew/travel".to_owned(),
            value: format!("{} min", list.settings().travel_minutes).into(),
            why: of_book(list.book(), list.revision()),
        });
    }
    Ok(expanded)
}

/// The same without the list of what was assumed, for pricing one job many times.
fn fill_unlisted(mut sent: JobRequest, today: Day, list: &PriceList) -> Result<Job, Faults> {
    take_travel(&mut sent, list);
    expand_unlisted(sent, today)
}

/// Takes the office's own travel time where the job states none; true when it did.
fn take_travel(sent: &mut JobRequest, list: &PriceList) -> bool {
    let travel = &mut sent.crew.get_or_insert_default().travel;
    let missing = travel.is_none();
    if missing {
        *travel = Some(Span::from_minutes(f64::from(
            list.settings().travel_minutes,
        )));
    }
    missing
}

/// The middle of the flow: geometry, takeoff and hours.
pub struct Worked {
    /// The job solved in space.
    pub geometry: Geometry,
    /// Materials.
    pub takeoff: Takeoff,
    /// Hours.
    pub hours: CrewHours,
}

/// Solves, takes off and plans a job, under the terms of the plant whose price holds.
pub fn work_out(job: &Job, with: With<'_>, detail: Detail) -> Worked {
    let geometry = geometry::solve(job);
    let worths = Worths::by(with.list);
    let mut takeoff = take_off_with(job, &geometry, (with.catalog, worths), detail);
    if let Cow::Owned(catalog) = under_terms(&takeoff, with) {
        takeoff = take_off_with(job, &geometry, (&catalog, worths), detail);
    }
    let hours = plan_hours_with(job, &geometry, &takeoff, (with.rates, detail));
    Worked {
        geometry,
        takeoff,
        hours,
    }
}

/// The catalog under the terms of the plant whose price holds for the mix of a takeoff.
fn under_terms<'a>(takeoff: &Takeoff, with: With<'a>) -> Cow<'a, Catalog> {
    let terms = takeoff.mix().map(|line| with.list.terms(&line.code));
    with.catalog.under_terms(&terms.unwrap_or_default())
}

/// Prices a job that was worked out.
pub fn price(job: &Job, worked: &Worked, list: &PriceList) -> Priced {
    price_job(worked.parts(job), list)
}

impl Worked {
    /// What its price is made of.
    pub fn parts<'a>(&'a self, job: &'a Job) -> Parts<'a> {
        Parts {
            job,
            geometry: &self.geometry,
            takeoff: &self.takeoff,
            hours: &self.hours,
        }
    }
}

/// A job to be estimated, and how much of the answer is wanted.
#[derive(Clone, Debug)]
pub struct Brief {
    /// The job as sent, or as a short form came out.
    pub sent: JobRequest,
    /// What was assumed already on the way to `sent`.
    pub assumed: Vec<Assumption>,
    /// Whether to look for the inputs that move the price most, which takes most of the time.
    pub unknowns: bool,
    /// Whether to compare how else the concrete could come, and to give rates for extras.
    pub supply: bool,
    /// How much of the figures is explained.
    pub detail: Detail,
}

impl From<JobRequest> for Brief {
    fn from(sent: JobRequest) -> Self {
        Self {
            sent,
            assumed: Vec::new(),
            unknowns: true,
            supply: true,
            detail: Detail::Worked,
        }
    }
}

/// The whole flow.
///
/// # Errors
/// All faults of the job, among them a rule set that is not known.
pub fn estimate(brief: impl Into<Brief>, today: Day, with: With<'_>) -> Result<Estimate, Faults> {
    let brief: Brief = brief.into();
    let filled = fill(brief.sent.clone(), today, with)?;
    let (job, mut assumptions) = (filled.job, filled.assumptions);
    assumptions.splice(0..0, brief.assumed);
    let chosen = choose(&job, with);
    let with = chosen.with(with);
    let worked = work_out(&job, with, brief.detail);
    let check = check(&job, &worked.geometry, with.rules)?;
    let mut priced = price(&job, &worked, with.list);
    priced.choices = chosen.choices.clone();
    let mut unknowns = Vec::new();
    if brief.unknowns {
        let catalog = under_terms(&worked.takeoff, with);
        let again = Again::of(&job, (&worked, &priced), &catalog, with);
        unknowns = reprice_unknowns(&brief.sent, &assumptions, (today, &again));
    }
    unknown::sort_by_money(&mut assumptions, &unknowns);
    let computed_with = ComputedWith::of(&job, &check, with);
    let fingerprint = fingerprint::fingerprint(&job, &assumptions, &computed_with);
    assumptions.extend(book_settings(&priced));
    let whole = Whole {
        job: &job,
        worked: &worked,
        check: &check,
        priced: &priced,
    };
    let headline = headline::head(whole, &unknowns);
    Ok(Estimate {
        to_order: order::to_order(whole),
        needed_from_others: order::needed_from_others(whole),
        day_plan: order::plan_days(whole),
        exclusions: caution::exclusions(whole),
        cautions: caution::cautions(whole, with.list),
        supply: supply(&job, &worked, (with, brief.supply)),
        extras: extras(&job, &worked, (with, brief.supply)),
        headline,
        computed_with,
        fingerprint,
        geometry: worked.geometry,
        takeoff: worked.takeoff,
        hours: worked.hours,
        job,
        assumptions,
        check,
        priced,
        unknowns,
    })
}

/// How else the concrete could come, where that was asked for.
fn supply(job: &Job, worked: &Worked, (with, asked): (With<'_>, bool)) -> Option<Supply> {
    let catalog = asked.then(|| under_terms(&worked.takeoff, with))?;
    compare_supply(worked.parts(job), &catalog, with.list)
}

/// Rates for extras, where they were asked for.
fn extras(job: &Job, worked: &Worked, (with, asked): (With<'_>, bool)) -> Vec<Extra> {
    if !asked {
        return Vec::new();
    }
    price_extras(ExtrasFrom {
        parts: worked.parts(job),
        catalog: with.catalog,
        rates: with.rates,
        list: with.list,
    })
}

/// The parts of an estimate that its summaries are made of.
#[derive(Clone, Copy)]
pub(crate) struct Whole<'a> {
    pub(crate) job: &'a Job,
    pub(crate) worked: &'a Worked,
    pub(crate) check: &'a Check,
    pub(crate) priced: &'a Priced,
}

/// Why a setting holds that the job does not state.
fn of_book(book: &str, revision: i64) -> Cow<'static, str> {
    format!("setting of the book {book}, revision {revision}").into()
}

/// Settings that came from the book are assumptions too.
fn book_settings(priced: &Priced) -> Vec<Assumption> {
    let from_book = |used: &crate::price::SettingUsed| match &used.from {
        SettingFrom::Job => None,
        SettingFrom::Book { book, revision } => Some(Assumption {
            pointer: used.pointer.to_owned(),
            value: used.value.clone().into(),
            why: of_book(book, *revision),
        }),
    };
    priced.settings.iter().filter_map(from_book).collect()
}
