//! Loads shared between the pours of a batch, as the summary tells them.
//!
//! Invariants: a day that cannot be planned says why; the money of a plan is that of the default book.
//! Absent: how pours are gathered, which is `crate::batch`.

use super::plan::Plan;
use crate::batch::{DayAsked, ToShare};
use crate::catalog::{PriceList, Wanted};
use crate::estimate::{AskedBook, BookUsed};
use crate::http::answer::LoadPlanAnswer;
use crate::http::problem::ApiError;
use crate::job::TimeOfDay;
use crate::job::{BookRequest, Day};
use crate::loads::{TRIALS, plan_loads, read_request};
use serde::Serialize;
use utoipa::ToSchema;

/// Columns that each knot of pours may try: fewer than for one question, since there may be many.
const TRIALS_A_DAY: u64 = TRIALS / 20;

/// Hours in which concrete may arrive, where a batch says none.
pub(super) const HOURS: (TimeOfDay, TimeOfDay) = (
    TimeOfDay::from_minutes(7 * 60),
    TimeOfDay::from_minutes(15 * 60),
);

/// Loads shared between the pours of a batch.
#[derive(Debug, Serialize, ToSchema)]
pub struct SharedLoadsAnswer {
    /// The first concrete of every pour may arrive from then on.
    pub from: TimeOfDay,
    /// And not later than then.
    pub to: TimeOfDay,
    /// One entry a day, or an area of a day with more than thirty pours.
    pub days: Vec<DayLoadsAnswer>,
    /// Jobs whose pour has no day.
    pub undated: u64,
    /// Jobs whose pour stands alone on its day, or in its area of a day that was split.
    pub alone: u64,
    /// Jobs beyond the three hundred that are planned.
    pub left_out: u64,
}

/// The shared loads of a day.
#[derive(Debug, Serialize, ToSchema)]
pub struct DayLoadsAnswer {
    /// The day.
    pub day: Day,
    /// The area, where the day has more than thirty pours and was split by area.
    pub area: Option<String>,
    /// True when no other plan of the day costs less within the same rules; never of a day that was split.
    pub proven: bool,
    /// The plan; a stop points into the pours of the day by the order of their rows.
    pub plan: Option<LoadPlanAnswer>,
    /// Why there is none.
    pub not_planned: Option<String>,
}

/// Plans what a batch gathered.
pub(super) fn share_loads(
    plan: &Plan,
    hours: (TimeOfDay, TimeOfDay),
    gathered: &ToShare,
) -> Result<SharedLoadsAnswer, ApiError> {
    let book = AskedBook::of(BookRequest::default(), plan.today, Wanted::default());
    let list = plan.tables.priced(book)?;
    let (asked, alone) = gathered.ask(hours, plan.asked.units);
    Ok(SharedLoadsAnswer {
        from: hours.0,
        to: hours.1,
        days: asked.iter().map(|asked| plan_day(asked, &list)).collect(),
        undated: gathered.undated,
        alone,
        left_out: gathered.left_out,
    })
}

fn plan_day(asked: &DayAsked, list: &PriceList) -> DayLoadsAnswer {
    let answer = DayLoadsAnswer {
        day: asked.day,
        area: asked.area.clone(),
        proven: false,
        plan: None,
        not_planned: None,
    };
    match read_request(&asked.request, Some(list)) {
        Err(faults) => {
            let told: Vec<String> = faults.0.iter().map(|fault| fault.sentence()).collect();
            DayLoadsAnswer {
                not_planned: Some(told.join("; ")),
                ..answer
            }
        }
        Ok(read) => {
            let plan = plan_loads(&read.asked, TRIALS_A_DAY);
            let books = list.chain().iter().map(BookUsed::of).collect();
            let with = (books, Day(list.as_of()));
            DayLoadsAnswer {
                proven: plan.proven && asked.area.is_none(),
                plan: Some(LoadPlanAnswer::of(
                    (&read.asked, read.assumptions),
                    &plan,
                    with,
                )),
                ..answer
            }
        }
    }
}
