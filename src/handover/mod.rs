//! A finished ramp handed over: what was built, what was measured of it, how to care for it.
//!
//! Invariants: a ramp that breaks a rule is told so first; what was not measured or not told is said to be
//! open; every day is counted from days that were sent; acceptance is somebody else's. Absent: the clock,
//! how a document looks.
//!
//! | file | holds |
//! | --- | --- |
//! | `request` | what is sent |
//! | `dates` | days, ages, winters |
//! | `tickets`, `mix` | the concrete as it came, beside order and exposure |
//! | `built_by` | whether a priced answer is that of the job handed over |
//! | `measured` | the survey in short |
//! | `sealing`, `care`, `warranty` | what the owner has to know |

mod built_by;
mod care;
mod dates;
mod measured;
mod mix;
mod request;
mod rows;
mod sealing;
mod tickets;
mod warranty;

pub use care::Care;
pub use dates::Done;
pub use measured::{FindingInShort, SurveyInShort};
pub use mix::{MixAsked, MixHandedOver};
pub use request::{
    HandoverMixRequest, HandoverRequest, SealedRequest, TicketRequest, WarrantyRequest,
};
pub use sealing::{Renewal, Sealing};
pub use tickets::{Delivered, Ticket};
pub use warranty::Warranty;

use crate::billing::{Party, check_number, check_text};
use crate::estimate::SurveyAnswered;
use crate::job::{Assumption, Day, Job};
use crate::quantity::money::{Amount, Currency};
use crate::quantity::{Fault, Faults};
use crate::takeoff::Takeoff;
use dates::{check_day, days_between};
use rows::Rows;
use serde::Serialize;

/// Most characters of who put a sealer on, and of a plant's name of a mix.
const TEXT_AT_MOST: usize = 80;

/// A ramp handed over.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "service", derive(utoipa::ToSchema))]
pub struct Handover {
    /// Always `handover`.
    pub kind: &'static str,
    /// Name of the job.
    pub name: String,
    /// Number of this document.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub number: Option<String>,
    /// Day of the handover.
    pub handed_over_on: Day,
    /// What comes first, in a sentence.
    pub headline: String,
    /// Who built it.
    pub seller: Party,
    /// Who takes it over.
    pub buyer: Party,
    /// What was measured of the ramp as poured; null where nothing was.
    pub survey: Option<SurveyInShort>,
    /// What was done when, in the order of its days.
    pub dates: Vec<Done>,
    /// The concrete as it came.
    pub concrete: Delivered,
    /// The mix beside what freezing and thawing asks of it.
    pub mix: Option<MixHandedOver>,
    /// The sealer.
    pub sealer: Sealing,
    /// What the owner does and leaves.
    pub care: Vec<Care>,
    /// What is warranted; null where nothing was stated.
    pub warranty: Option<Warranty>,
    /// The priced answer that the job was built by.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub estimate: Option<BuiltBy>,
    /// What to know before relying on it.
    pub cautions: Vec<String>,
    /// Every default of the job that was used.
    pub assumptions: Vec<Assumption>,
}

/// A priced answer, by its name.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "service", derive(utoipa::ToSchema))]
pub struct BuiltBy {
    /// Name of its job.
    pub name: String,
    /// Name of the answer.
    pub fingerprint: String,
    /// Currency of the price (ISO 4217).
    pub currency: Currency,
    /// The price; null where a line had none.
    pub total: Option<Amount>,
}

/// What a handover is made from, beside what was sent.
#[derive(Clone, Copy, Debug)]
pub struct Built<'a> {
    /// The job with every question answered.
    pub job: &'a Job,
    /// Its materials.
    pub takeoff: &'a Takeoff,
    /// What was measured, where it was.
    pub survey: Option<&'a SurveyAnswered>,
    /// Today.
    pub today: Day,
}

impl HandoverRequest {
    /// The day of the handover.
    fn day(&self, today: Day) -> Day {
        self.handed_over_on.unwrap_or(today)
    }

    /// Every fault of it but those of the job.
    pub fn check(&self, today: Day) -> Faults {
        let mut faults = Faults::default();
        self.seller.check("/seller", &mut faults);
        self.buyer.check("/buyer", &mut faults);
        if let Some(number) = &self.number {
            check_number(number, ("/number", &mut faults));
        }
        let by = self.sealer.as_ref().and_then(|sealer| sealer.by.as_ref());
        let mix = self.mix.as_ref().and_then(|mix| mix.name.as_ref());
        for (at, text) in [("/sealer/by", by), ("/mix/name", mix)] {
            if let Some(text) = text {
                check_text(text, TEXT_AT_MOST, (at, &mut faults));
            }
        }
        self.check_days(today, &mut faults);
        tickets::check_tickets(self.tickets.as_deref().unwrap_or_default(), &mut faults);
        mix::check_mix(self.mix.as_ref(), &mut faults);
        warranty::check_warranty(self.warranty.as_ref(), self.poured_on, &mut faults);
        self.check_estimate(today, &mut faults);
        faults
    }

    fn check_days(&self, today: Day, faults: &mut Faults) {
        let handed = self.day(today);
        if handed.0 < self.poured_on.0 {
            let found = self.poured_on.to_string();
            let accepted = format!("a day up to the handover, {handed}");
            let example = handed.to_string();
            faults.push(Fault::new("/poured_on", found, accepted, Some(&example)));
            return;
        }
        let sealed = self.sealer.as_ref().map(|sealer| sealer.applied_on);
        for (at, day) in [
            ("/forms_off_on", self.forms_off_on),
            ("/sawn_on", self.sawn_on),
            ("/sealer/applied_on", sealed),
        ] {
            check_day((at, day), (self.poured_on, handed), faults);
        }
    }

    /// An answer that does not add up, or is that of another job, belongs to no document.
    fn check_estimate(&self, today: Day, faults: &mut Faults) {
        let Some(estimate) = &self.estimate else {
            return;
        };
        let found = estimate.check("/estimate").err();
        faults.0.extend(found.unwrap_or_default().0);
        built_by::check_job(&self.job, estimate, (today, faults));
    }
}

/// Hands a ramp over; what was sent has been checked.
pub fn hand_over(
    sent: HandoverRequest,
    built: Built<'_>,
    assumptions: Vec<Assumption>,
) -> Handover {
    let job = built.job;
    let tickets = sent.tickets.as_deref().unwrap_or_default();
    let asked = built.takeoff.mix_asked.as_ref();
    let ordered = (&built.takeoff.concrete, asked);
    let survey = built
        .survey
        .map(|survey| SurveyInShort::of(survey, job.units));
    let sealer = sealing::tell_sealer(job, sent.poured_on, sent.sealer.as_ref());
    let mut handover = Handover {
        kind: "handover",
        name: job.name.clone(),
        handed_over_on: sent.day(built.today),
        headline: head(survey.as_ref()),
        survey,
        dates: dates_of(&sent, built.today),
        concrete: tickets::weigh_tickets(tickets, ordered, job.units),
        mix: asked.map(|asked| mix::weigh_mix(asked, sent.mix.as_ref(), job.units)),
        sealer,
        care: care::tell_care(sent.poured_on),
        warranty: warranty::tell_warranty(sent.warranty.as_ref(), sent.day(built.today)),
        estimate: sent.estimate.as_ref().map(|estimate| BuiltBy {
            name: estimate.name.clone(),
            fingerprint: estimate.fingerprint.clone(),
            currency: estimate.price.currency,
            total: estimate.price.total,
        }),
        cautions: Vec::new(),
        number: sent.number,
        seller: sent.seller,
        buyer: sent.buyer,
        assumptions,
    };
    handover.cautions = cautions(&handover);
    handover
}

/// What comes first: the ramp as it was measured, or that it was not.
fn head(survey: Option<&SurveyInShort>) -> String {
    match survey {
        Some(survey) => survey.headline.clone(),
        None => "The ramp as poured was not measured: what stands here of its slopes is the drawing's, not the ramp's.".to_owned(),
    }
}

fn dates_of(sent: &HandoverRequest, today: Day) -> Vec<Done> {
    let sealed = sent.sealer.as_ref().map(|sealer| sealer.applied_on);
    let all = [
        ("poured", Some(sent.poured_on)),
        ("sawn", sent.sawn_on),
        ("forms_off", sent.forms_off_on),
        ("sealed", sealed),
        ("handed_over", Some(sent.day(today))),
    ];
    let done = all.into_iter().filter_map(|(what, on)| {
        let on = on?;
        let age_days = days_between(sent.poured_on, on);
        Some(Done { what, on, age_days })
    });
    let mut done: Vec<Done> = done.collect();
    // Of one day what is named first was done first.
    done.sort_by_key(|one| one.on.0);
    done
}

fn cautions(handover: &Handover) -> Vec<String> {
    let mut all = Vec::new();
    let breaks = handover
        .survey
        .as_ref()
        .is_some_and(SurveyInShort::breaks_a_rule);
    if breaks {
        all.push("The ramp as measured breaks a rule that counts; what to mend stands under the survey. It is not finished before that is done and measured again.".to_owned());
    }
    let within = Rows::built_in().sawn.within_days;
    let sawn = handover.dates.iter().find(|done| done.what == "sawn");
    if let Some(sawn) = sawn.filter(|sawn| sawn.age_days > within) {
        all.push(format!("The joints were sawn {} days after the pour; cracks beside them may be older than the joints.", sawn.age_days));
    }
    if handover.sealer.doubtful {
        all.push("The sealer may not have taken; see there.".to_owned());
    }
    if handover.warranty.is_none() {
        all.push(
            "No warranty was stated for this document; what the contract and the law give stays."
                .to_owned(),
        );
    }
    let other = handover
        .estimate
        .as_ref()
        .filter(|one| one.name != handover.name);
    if let Some(other) = other {
        all.push(format!(
            "The priced answer sent along is that of the same ramp under another name, \"{}\".",
            other.name
        ));
    }
    all.push("Acceptance is the authority's, and where a contract asks for it the designer's; the verdict here is a reading of the named rules at the places that were measured.".to_owned());
    all
}
