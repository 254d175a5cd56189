//! From a job as sent to a job with every question answered.
//!
//! Invariants: what was sent is never changed silently; each default is listed as an assumption;
//! all faults are found in one pass; an expanded job, sent again, expands to itself.

mod build;
mod earthwork;
mod edge;
mod element;
mod grade_sheet;
mod landing;
mod leg;
mod path;
mod pour;
mod ramp;
mod reinforcement;
mod run;
mod sections;
mod stretch;
mod survey;
mod turn;

use self::earthwork::expand_earthwork;
use self::element::{Beside, expand_elements};
pub use self::grade_sheet::expand_grade_sheet;
pub use self::pour::expand_pour;
use self::ramp::expand_ramp;
use self::reinforcement::expand_reinforcement;
use self::sections::{
    expand_base, expand_crew, expand_curing, expand_forms, expand_insulation, expand_joints,
    expand_joints_filler, expand_requirements, expand_sealer, expand_site_work, expand_slab,
};
pub use self::survey::expand_survey;
use super::choice::{Access, By, Scope};
use super::day::Day;
use super::fill::{Assumption, Fill, Place};
use super::full::{BookChoice, Job, PriceChoice, Profit, SalesTax, Site};
use super::sent::{
    BookRequest, GradeSheetRequest, JobRequest, PriceRequest, SiteRequest, SurveyRequest,
};
use crate::quantity::{Faults, System, is_line};

/// A job with every question answered, and the answers that were ours.
#[derive(Clone, Debug, PartialEq)]
pub struct Expanded {
    /// The job.
    pub job: Job,
    /// Every default used, in the order of the job.
    pub assumptions: Vec<Assumption>,
}

/// Longest name of a job.
const NAME_AT_MOST: usize = 80;
/// Most characters of a remark.
const WORDS_AT_MOST: usize = 200;

/// Answers every question that a job left open.
///
/// `today` is the date of the prices when the job names none.
///
/// # Errors
/// All faults of the job, each at its place in the request as sent.
pub fn expand(sent: JobRequest, today: Day) -> Result<Expanded, Faults> {
    let fill = Fill::new(sent.units.unwrap_or(System::Us));
    expand_by(fill, sent, today)
}

/// The same job without the list of what was assumed, for pricing one job many times.
///
/// # Errors
/// As [`expand`], but a pointer in `basis` is taken as it is.
pub fn expand_unlisted(mut sent: JobRequest, today: Day) -> Result<Job, Faults> {
    (sent.basis, sent.survey, sent.pour) = (None, None, None);
    let mut fill = Fill::new(sent.units.unwrap_or(System::Us));
    fill.quiet = true;
    expand_by(fill, sent, today).map(|expanded| expanded.job)
}

fn expand_by(mut fill: Fill, sent: JobRequest, today: Day) -> Result<Expanded, Faults> {
    let root = Place::default();
    let units = sent.units.unwrap_or_else(|| {
        fill.assume(&root.field("units"), "us".to_owned());
        System::Us
    });
    let at = |name: &'static str| root.field(name);
    let scope = fill.choice(&at("scope"), sent.scope, Scope::Sub);
    let name = expand_name(&mut fill, &at("name"), sent.name);
    let site = expand_site(&mut fill, &at("site"), sent.site);
    let filler = expand_joints_filler(&mut fill, &at("joints"), &sent.joints);
    let ramp = expand_ramp(&mut fill, &at("ramp"), sent.ramp, (scope, filler));
    let slab = expand_slab(&mut fill, &at("slab"), sent.slab, site.exposure);
    let beside = Beside::of(&ramp, &slab);
    let elements = expand_elements(&mut fill, &at("elements"), sent.elements, beside);
    let steel = at("reinforcement");
    let (set, finish) = ((filler, slab.thickness), slab.finish);
    let job = Job {
        name,
        units,
        scope,
        basis: sent.basis.map(|named| named.0).unwrap_or_default(),
        site,
        ramp,
        elements,
        earthwork: expand_earthwork(&mut fill, &at("earthwork"), sent.earthwork),
        slab,
        base: expand_base(&mut fill, &at("base"), sent.base),
        insulation: expand_insulation(&mut fill, &at("insulation"), sent.insulation),
        reinforcement: expand_reinforcement(&mut fill, &steel, sent.reinforcement, set.1),
        joints: expand_joints(&mut fill, &at("joints"), sent.joints, set),
        curing: expand_curing(&mut fill, &at("curing"), sent.curing),
        sealer: expand_sealer(&mut fill, &at("sealer"), sent.sealer, finish),
        forms: expand_forms(&mut fill, &at("forms"), sent.forms),
        crew: expand_crew(&mut fill, &at("crew"), sent.crew),
        requirements: expand_requirements(&mut fill, &at("requirements"), sent.requirements),
        site_work: expand_site_work(&mut fill, &at("site_work"), sent.site_work, scope),
        book: expand_book(&mut fill, &at("book"), sent.book, today),
        price: expand_price(&mut fill, &at("price"), sent.price),
    };
    check_basis(&mut fill, &root.field("basis"), &job);
    check_asides(&mut fill, &job, (sent.survey, sent.grade_sheet));
    if let Some(pour) = sent.pour {
        self::pour::check_pour(&mut fill, &root.field("pour"), pour);
    }
    fill.faults.or(Expanded {
        job,
        assumptions: fill.assumptions,
    })
}

/// What this call does not answer is held to the job all the same.
fn check_asides(
    fill: &mut Fill,
    job: &Job,
    (survey, sheet): (Option<SurveyRequest>, Option<GradeSheetRequest>),
) {
    if survey.is_some() {
        let faults = expand_survey(survey, job).err();
        fill.faults.0.extend(faults.unwrap_or_default().0);
    }
    if sheet.is_some() {
        let faults = expand_grade_sheet(sheet, job).err();
        fill.faults.0.extend(faults.unwrap_or_default().0);
    }
}

fn expand_name(fill: &mut Fill, place: &Place<'_>, sent: Option<String>) -> String {
    let name = sent.unwrap_or_default();
    fill.check_words(place, &name, (NAME_AT_MOST, "East entrance"));
    name
}

/// Who does what a scope leaves to others.
pub(super) const fn by_scope(scope: Scope) -> By {
    match scope {
        Scope::Sub => By::Others,
        Scope::Prime => By::Us,
    }
}

fn expand_site(fill: &mut Fill, place: &Place<'_>, sent: Option<SiteRequest>) -> Site {
    let sent = sent.unwrap_or_default();
    let rule_sets = place.field("rule_sets");
    let row = fill
        .fields
        .row("/site/rule_sets")
        .map(|row| row.text(System::Us).to_owned());
    let default = vec![row.unwrap_or_default()];
    Site {
        rule_sets: sent.rule_sets.unwrap_or_else(|| {
            fill.assume(&rule_sets, default.join(", "));
            default
        }),
        existing_and_space_limited: fill.flag(
            &place.field("existing_and_space_limited"),
            sent.existing_and_space_limited,
            false,
        ),
        exposure: fill.choice(
            &place.field("exposure"),
            sent.exposure,
            super::choice::Exposure::F2,
        ),
        truck_to_pour: fill.quantity(&place.field("truck_to_pour"), sent.truck_to_pour),
        access: fill.choice(&place.field("access"), sent.access, Access::Open),
        occupied: fill.flag(&place.field("occupied"), sent.occupied, false),
        air: fill.optional(&place.field("air"), sent.air),
        start: sent.start,
        only_accessible_entrance: fill.flag(
            &place.field("only_accessible_entrance"),
            sent.only_accessible_entrance,
            false,
        ),
        zone: name_of(fill, &place.field("zone"), sent.zone, "B"),
    }
}

/// A remark in words; none where nothing was said.
fn words_of(fill: &mut Fill, place: &Place<'_>, sent: Option<String>) -> Option<String> {
    if let Some(words) = &sent {
        fill.check_words(place, words, (WORDS_AT_MOST, "at the foot"));
    }
    sent
}

/// A name that is looked up in the book.
fn name_of(
    fill: &mut Fill,
    place: &Place<'_>,
    sent: Option<String>,
    example: &str,
) -> Option<String> {
    let fits = |name: &String| !name.trim().is_empty() && is_line(name, NAME_AT_MOST);
    if let Some(name) = sent.as_ref().filter(|name| !fits(name)) {
        let accepted = format!("a name of 1 to {NAME_AT_MOST} characters");
        fill.fault(place, name, &accepted, example);
    }
    sent
}

fn expand_book(
    fill: &mut Fill,
    place: &Place<'_>,
    sent: Option<BookRequest>,
    today: Day,
) -> BookChoice {
    let sent = sent.unwrap_or_default();
    let inherited = sent.inherited.map(|named| named.0).unwrap_or_default();
    if sent.revision == Some(0) {
        refuse_revision(fill, &place.field("revision"));
    }
    let named = place.field("inherited");
    for (code, _) in inherited.iter().filter(|(_, revision)| **revision == 0) {
        refuse_revision(fill, &named.field(code));
    }
    BookChoice {
        code: sent.code,
        revision: sent.revision,
        inherited,
        as_of: fill.choice(&place.field("as_of"), sent.as_of, today),
        buying: sent.buying,
        escalate: sent.escalate,
    }
}

fn refuse_revision(fill: &mut Fill, place: &Place<'_>) {
    fill.fault(place, "0", "a revision, counted from 1", "1");
}

fn expand_price(fill: &mut Fill, place: &Place<'_>, sent: Option<PriceRequest>) -> PriceChoice {
    let Some(sent) = sent else {
        return PriceChoice {
            sales_tax: None,
            overhead: None,
            contingency: None,
            warranty: None,
            profit: None,
        };
    };
    let (tax, profit) = (place.field("sales_tax"), place.field("profit"));
    let (tax, profit) = (tax.field("rate"), profit.field("rate"));
    PriceChoice {
        sales_tax: sent.sales_tax.map(|sent| SalesTax {
            rate: fill.optional(&tax, sent.rate),
            base: sent.base,
        }),
        overhead: fill.optional(&place.field("overhead"), sent.overhead),
        contingency: fill.optional(&place.field("contingency"), sent.contingency),
        warranty: fill.optional(&place.field("warranty"), sent.warranty),
        profit: sent.profit.map(|sent| {
            if sent.basis == super::choice::ProfitBasis::Margin && sent.rate.fraction() > 0.9 {
                fill.fault(
                    &profit,
                    &sent.rate.print(),
                    "a margin of at most 90 %",
                    "15 %",
                );
            }
            fill.quantity_else(&profit, Some(sent.rate), sent.rate);
            Profit {
                basis: sent.basis,
                rate: sent.rate,
            }
        }),
    }
}

/// A pointer in `basis` must lead to something that this job has.
fn check_basis(fill: &mut Fill, place: &Place<'_>, job: &Job) {
    if job.basis.is_empty() {
        return;
    }
    let Ok(written) = serde_json::to_value(job) else {
        return;
    };
    for pointer in job.basis.keys() {
        if written.pointer(pointer).is_none() {
            let at = place.field(pointer);
            fill.fault(
                &at,
                pointer,
                "a JSON Pointer to a field of this job",
                "/ramp/path/1/rise",
            );
        }
    }
}
