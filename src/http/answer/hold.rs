//! Holds as a caller reads them: what must be given before a visit can go on.
//!
//! Invariant: what the plan says and nothing more. Absent: today, and so whether it is too late.

use crate::crew::Hold;
use crate::job::Day;
use crate::quantity::Citation;
use serde::Serialize;
use utoipa::ToSchema;

/// Something that others must give before a visit can go on.
#[derive(Debug, Serialize, ToSchema)]
pub struct HoldAnswer {
    /// Code.
    pub code: String,
    /// What.
    pub what: String,
    /// Who gives it.
    pub from: String,
    /// How long before it is asked for.
    pub notice: NoticeAnswer,
    /// What it holds up.
    pub before: BeforeAnswer,
    /// When it is needed.
    pub needed_by: NeededByAnswer,
    /// When it is asked for at the latest.
    pub ask_by: AskByAnswer,
    /// Where the notice comes from.
    pub source: Citation,
}

/// How long before something is asked for.
#[derive(Debug, Serialize, ToSchema)]
pub struct NoticeAnswer {
    /// Working days that are planned with.
    pub working_days: u32,
    /// The fewest that are usual.
    pub least: u32,
}

/// What a hold holds up.
#[derive(Debug, Serialize, ToSchema)]
pub struct BeforeAnswer {
    /// The visit, from 1.
    pub visit: u32,
    /// The task of it; none where it is the visit as a whole.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub task: Option<String>,
}

/// The day of a visit.
#[derive(Debug, Serialize, ToSchema)]
pub struct NeededByAnswer {
    /// Day number, from 1.
    pub day: u32,
    /// Date, where the job has a start.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub date: Option<Day>,
}

/// The latest working day on which to ask.
#[derive(Debug, Serialize, ToSchema)]
pub struct AskByAnswer {
    /// Day number; 0 and less lie before the first visit, which is day 1.
    pub day: i64,
    /// Date, where the job has a start.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub date: Option<Day>,
    /// The same in words.
    pub text: String,
}

pub(super) fn show_holds(holds: Vec<Hold>) -> Vec<HoldAnswer> {
    holds.into_iter().map(show_hold).collect()
}

fn show_hold(hold: Hold) -> HoldAnswer {
    HoldAnswer {
        code: hold.code,
        what: hold.what,
        from: hold.from,
        notice: NoticeAnswer {
            working_days: hold.notice,
            least: hold.notice_least,
        },
        before: BeforeAnswer {
            visit: hold.visit,
            task: hold.task,
        },
        needed_by: NeededByAnswer {
            day: hold.needed_by.day,
            date: hold.needed_by.date,
        },
        ask_by: AskByAnswer {
            day: hold.ask_by.day,
            date: hold.ask_by.date,
            text: hold.ask_by.text,
        },
        source: hold.source,
    }
}
