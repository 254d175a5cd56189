//! `POST /v1/estimates/compare`: what changed between two estimates, and what that is worth.
//!
//! Invariants: faults of both sides, of the slips and of the heads are told together, each where it
//! stands in the request; a job on the way between two others is priced as a job sent by itself.
//! Absent: what a change is, which `change` says.

use super::answer::ChangeAnswer;
use super::body::Sent;
use super::computing::{Given, Prepared, Tables};
use super::drawings::AskedPaper;
use super::format::{Format, answer_csv, answer_json, tell_book_age, vary};
use super::paper::{PaperQuery, answer_document};
use super::problem::{ApiError, Problem};
use crate::change::{
    ChangeOrder, CompareRequest, Comparison, End, Price, Side, SideRequest, SideSent,
    compare_by_lines, compare_by_sections, sections,
};
use crate::documents::paper::Document;
use crate::documents::{ChangeTold, compose_change_order, write_changes};
use crate::estimate::{Brief, Estimate, estimate};
use crate::job::{Day, JobRequest};
use crate::quantity::money::Currency;
use crate::quantity::{Fault, Faults, System};
use crate::takeoff::Detail;
use actix_web::{HttpResponse, post};

/// Compare two estimates
///
/// Each side is a job, priced now by its own `book` section, or the answer of `POST /v1/estimates` as
/// it came. Between two jobs (`method` is `sections`) whole estimates are computed in a stated order:
/// the earlier job, then the same with the later one's geometry (what is built, of what, by whom),
/// then its quantities (waste, coverage, stock), its crew and site, its prices, its percentages; each
/// step is the difference that it makes, so that they add up to the net to the cent. Percentages and
/// travel that came from a book are pinned first; a book's own crew rates come with its prices. Where
/// a job between the two cannot be built or has no price of its own, its step is told together with the
/// next. With an answer on either side (`method` is `lines`) each line is split: the new quantity at the old
/// price, then what remains; hours are `rate`, and what the build-up adds at rates that stay is
/// `build_up`. Slips are priced at `extra_rates`, else at the earlier estimate's rates for extras; signed ones are part of `contract`, unsigned ones stand
/// beside it. `contract` adds up before tax, in tax and with tax; its tax is that of the whole sum, and slips, `agreed`
/// and `changes_before` are before tax, at the estimate's rate where it charges one on the price. `contract.to_bill` is the
/// `amount` of this change in `changes` of an invoice. In CSV, each `change` also as `before_tax` and `tax`: rows of kind `cause`, `line` and `build_up`; the first alone add up to the net, and
/// the other two together do. In HTML and PDF: the change order for the customer, without our costs, to be
/// signed; it needs `number`, `date`, `seller` and `buyer`, and a net.
#[utoipa::path(
    tag = "estimates",
    operation_id = "compare_estimates",
    params(PaperQuery),
    request_body(content = CompareRequest, examples(
        ("deeper base" = (summary = "The same ramp on 2 in more stone (invented)", value = json!({
            "before": {"job": {"ramp": {"path": [
                {"kind": "landing"},
                {"kind": "run", "rise": "24 in", "length": "27 ft"},
                {"kind": "landing"}
            ]}}},
            "after": {"job": {"base": {"depth": "6 in"}, "ramp": {"path": [
                {"kind": "landing"},
                {"kind": "run", "rise": "24 in", "length": "27 ft"},
                {"kind": "landing"}
            ]}}}
        })))
    )),
    responses(
        (status = 200, description = "Compared; `net` is null while a line of either side has no price.", content((ChangeAnswer = "application/json"), (String = "text/csv"), (String = "text/html"), (Vec<u8> = "application/pdf")),
            headers(("Crossfall-Book-Age" = i64, description = "Seconds since the price book in memory was last seen to be the database's."))),
        (status = 400, description = "The body is not JSON.", body = Problem, content_type = "application/problem+json"),
        (status = 406, description = "None of the accepted formats can be given.", body = Problem, content_type = "application/problem+json"),
        (status = 422, description = "Readable, with faults; all are listed.", body = Problem, content_type = "application/problem+json"),
    ),
)]
#[post("/v1/estimates/compare")]
pub(super) async fn post_estimates_compare(
    Sent(sent): Sent<CompareRequest>,
    given: Given<PaperQuery>,
) -> Result<HttpResponse, ApiError> {
    let offered = [Format::Json, Format::Csv, Format::Html, Format::Pdf];
    let format = given.choose(&offered)?;
    let (answer, units) = compare(sent, &given)?;
    let response = match format {
        Format::Csv => answer_csv(write_changes(&answer.comparison)),
        Format::Html | Format::Pdf => {
            let paper = AskedPaper::or_usual(given.query.paper, units);
            answer_document(&document(&answer)?, (format, paper))?
        }
        _ => answer_json(&answer)?,
    };
    Ok(vary(tell_book_age(response, given.book_age())))
}

/// The change order on paper, or what it lacks.
fn document(answer: &ChangeAnswer) -> Result<Document, Faults> {
    let order = &answer.order;
    let needed = [
        ("/number", order.number.is_none()),
        ("/date", order.date.is_none()),
        ("/seller", order.seller.is_none()),
        ("/buyer", order.buyer.is_none()),
    ];
    let missing = needed.into_iter().filter(|(_, missing)| *missing);
    let accepted = "what a change order on paper cannot do without";
    let mut faults = Faults(
        missing
            .map(|(at, _)| Fault::new(at, "nothing", accepted, None))
            .collect(),
    );
    if let Some(why) = &answer.comparison.net_unknown {
        let side = if answer.comparison.before.total.is_none() {
            "/before"
        } else {
            "/after"
        };
        faults.push(Fault::new(
            side,
            why,
            "two sides of which every line has a price",
            None,
        ));
    }
    let (Some(seller), Some(buyer), true) = (&order.seller, &order.buyer, faults.is_empty()) else {
        return Err(faults);
    };
    let told = ChangeTold {
        order,
        comparison: &answer.comparison,
        contract: &answer.contract,
        slips: &answer.slips,
    };
    Ok(compose_change_order(told, (seller, buyer)))
}

fn compare(
    mut sent: CompareRequest,
    given: &Given<PaperQuery>,
) -> Result<(ChangeAnswer, System), ApiError> {
    let pricing = Pricing::now(given);
    let mut faults = Faults::default();
    let before = pricing.side(std::mem::take(&mut sent.before), "/before", &mut faults)?;
    let after = pricing.side(std::mem::take(&mut sent.after), "/after", &mut faults)?;
    let currency = before.as_ref().or(after.as_ref()).map(Priced::currency);
    let extras = before
        .as_ref()
        .map(|before| before.side().extras.as_slice());
    let order = ChangeOrder::read(
        &sent,
        extras.unwrap_or_default(),
        &currency.unwrap_or_default(),
    );
    let (Some(before), Some(after), Ok((order, slips))) = (&before, &after, &order) else {
        faults.0.extend(order.err().unwrap_or_default().0);
        return Err(ApiError::Faults(faults));
    };
    if before.currency() != after.currency() {
        return Err(ApiError::Faults(Faults(vec![other_currency(
            before, after,
        )])));
    }
    let comparison = pricing.compare(before, after);
    let answer = ChangeAnswer::of(comparison, order.clone(), slips.clone());
    Ok((answer, after.side().units))
}

fn other_currency(before: &Priced, after: &Priced) -> Fault {
    let before = before.currency();
    let accepted = format!("the currency of `before`, {before}; amounts are never exchanged");
    let found = after.currency();
    Fault::new("/after", found.code(), accepted, Some(before.code()))
}

/// The faults of a part of the request, where they stand in the whole.
fn below(error: ApiError, at: &str) -> ApiError {
    let ApiError::Faults(mut faults) = error else {
        return error;
    };
    for fault in &mut faults.0 {
        fault.pointer.insert_str(0, at);
    }
    ApiError::Faults(faults)
}

/// A job that was priced here.
struct PricedJob {
    estimate: Estimate,
    prepared: Prepared,
    side: Side,
}

fn end(job: &PricedJob) -> End<'_> {
    End {
        estimate: &job.estimate,
        list: &job.prepared.list,
    }
}

/// A side with its price.
enum Priced {
    /// Priced here.
    Job(Box<PricedJob>),
    /// As it came.
    Answer(Box<Side>),
}

impl Priced {
    fn side(&self) -> &Side {
        match self {
            Self::Job(job) => &job.side,
            Self::Answer(side) => side,
        }
    }

    fn currency(&self) -> Currency {
        self.side().currency
    }
}

/// What jobs are priced with, at one moment.
struct Pricing {
    tables: Tables,
    today: Day,
}

impl Pricing {
    fn now(given: &Given<PaperQuery>) -> Self {
        Self {
            tables: given.tables(),
            today: given.today(),
        }
    }

    /// One side, or none with its faults told.
    fn side(
        &self,
        sent: SideRequest,
        at: &str,
        faults: &mut Faults,
    ) -> Result<Option<Priced>, ApiError> {
        let read = match sent.read(at) {
            Ok(SideSent::Estimate(answer)) => {
                let side = Side::of_answer(&answer, &format!("{at}/estimate"));
                side.map(|side| Priced::Answer(Box::new(side)))
                    .map_err(ApiError::Faults)
            }
            Ok(SideSent::Job(job)) => self
                .price(*job)
                .map_err(|error| below(error, &format!("{at}/job"))),
            Err(fault) => Err(ApiError::Faults(Faults(vec![fault]))),
        };
        match read {
            Ok(side) => Ok(Some(side)),
            Err(ApiError::Faults(found)) => {
                faults.0.extend(found.0);
                Ok(None)
            }
            Err(other) => Err(other),
        }
    }

    fn price(&self, sent: JobRequest) -> Result<Priced, ApiError> {
        let prepared = Prepared::of(sent, &self.tables, self.today)?;
        // With its rates for extras, at which slips are priced.
        let estimate = self.estimate(&prepared, true)?;
        let side = Side::of(&estimate);
        Ok(Priced::Job(Box::new(PricedJob {
            estimate,
            prepared,
            side,
        })))
    }

    fn estimate(&self, prepared: &Prepared, extras: bool) -> Result<Estimate, Faults> {
        let brief = Brief {
            unknowns: false,
            supply: extras,
            detail: Detail::Described,
            ..Brief::from(prepared.sent.clone())
        };
        estimate(brief, self.today, prepared.with())
    }

    fn compare(&self, before: &Priced, after: &Priced) -> Comparison {
        let sides = (before.side(), after.side());
        let (Priced::Job(was), Priced::Job(is)) = (before, after) else {
            return compare_by_lines(sides.0, sides.1);
        };
        let way = sections(end(was), end(is));
        compare_by_sections(sides, way, |job| self.total(job))
    }

    /// The price of a job on the way; none where it cannot be built or is not priced whole.
    fn total(&self, job: &JobRequest) -> Option<Price> {
        let prepared = Prepared::of(job.clone(), &self.tables, self.today).ok()?;
        Side::of(&self.estimate(&prepared, false).ok()?).price()
    }
}
