//! Days of a proposal that have to follow one another: papers, its own date, the first day on site.
//!
//! Invariant: each fault names both days. Absent: the clock; what a day means for the price.

use super::request::ProposalRequest;
use super::terms::good_until;
use crate::job::Day;
use crate::quantity::{Fault, Faults};
use chrono::Datelike as _;

/// The last year that is written with four digits.
const LAST_YEAR: i32 = 9999;

/// Adds a fault where a proposal is of a day on which it could not have been made.
pub(super) fn check_days(request: &ProposalRequest, faults: &mut Faults) {
    let date = request.date.unwrap_or(request.estimate.computed_with.as_of);
    check_date(request, date, faults);
    for (n, paper) in request.documents.iter().flatten().enumerate() {
        if let Some(later) = paper.date.filter(|of| of.0 > date.0) {
            let accepted = format!("a day up to the date of the proposal, {date}");
            faults.push(Fault::new(
                format!("/documents/{n}/date"),
                later.to_string(),
                accepted,
                Some(&date.to_string()),
            ));
        }
    }
}

fn check_date(request: &ProposalRequest, date: Day, faults: &mut Faults) {
    let found = match request.date {
        Some(sent) => sent.to_string(),
        None => format!("nothing, and so the date of the prices, {date}"),
    };
    if let Some(first) = first_on_site(request).filter(|first| date.0 > first.0) {
        let accepted = format!("a day up to the first day on site, {first}");
        let fault = Fault::new("/date", found, accepted, Some(&first.to_string()));
        faults.push(fault);
    } else if good_until(request, date).0.year() > LAST_YEAR {
        let accepted = format!("a day from which the offer ends before the year {LAST_YEAR} does");
        faults.push(Fault::new("/date", found, accepted, Some("2026-05-04")));
    }
}

/// The day of the first visit, where the answer has days of the calendar.
fn first_on_site(request: &ProposalRequest) -> Option<Day> {
    let hours = request.estimate.crew_hours.iter();
    let visits = hours.flat_map(|hours| hours.visits.iter().flatten());
    visits.filter_map(|visit| visit.date).min()
}
