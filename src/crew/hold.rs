//! Holds: what must be given before a visit can go on, by whom, and when it is asked for at the
//! latest.
//!
//! Invariants: a hold is a row, and shown only where its fact is in the job and its task in the plan;
//! the day to ask is a day worked. Absent: today, and so whether that day has gone by.

use super::answer::{Task, Visit};
use super::calendar::Calendar;
use super::measured::Measured;
use crate::job::{By, Day, Job, Piece, Placing, Scope, Support, Work};
use crate::quantity::{Citation, Verified};
use serde::Deserialize;
use std::collections::BTreeMap;
use std::sync::LazyLock;

/// Something that others must give before a visit can go on.
#[derive(Clone, Debug, PartialEq)]
pub struct Hold {
    /// Code of its row.
    pub code: String,
    /// What.
    pub what: String,
    /// Who gives it.
    pub from: String,
    /// Working days of notice that are planned with.
    pub notice: u32,
    /// The fewest that are usual.
    pub notice_least: u32,
    /// The visit that it holds up, from 1.
    pub visit: u32,
    /// The task of that visit that it holds up; none where it is the visit itself.
    pub task: Option<String>,
    /// When it is needed.
    pub needed_by: NeededBy,
    /// When it is asked for at the latest.
    pub ask_by: AskBy,
    /// Where the notice comes from.
    pub source: Citation,
}

/// The day of a visit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NeededBy {
    /// Counted from the first visit, which is 1.
    pub day: u32,
    /// Its date, where the job says when it starts.
    pub date: Option<Day>,
}

/// A day that may lie before the first visit.
#[derive(Clone, Debug, PartialEq)]
pub struct AskBy {
    /// Counted from the first visit, which is 1; 0 and less lie before it.
    pub day: i64,
    /// Its date, where the job says when it starts.
    pub date: Option<Day>,
    /// The same in words.
    pub text: String,
}

/// A fact of the job.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
enum When {
    Always,
    Staked,
    FillByOthers,
    BarsByOthers,
    ReadyMix,
    Door,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    what: String,
    from: String,
    from_others: String,
    when: When,
    before: Vec<String>,
    least: u32,
    working_days: u32,
    document: String,
    section: Option<String>,
    verified: Verified,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Rows {
    hold: BTreeMap<String, Row>,
}

static ROWS: LazyLock<Rows> = LazyLock::new(|| {
    toml::from_str(include_str!("holds.toml")).expect("the embedded holds are read by a test")
});

/// The holds of a plan, in the order of the visits.
pub(super) fn holds(
    measured: &Measured,
    visits: &[Visit],
    (tasks, calendar): (&[Task], &Calendar),
) -> Vec<Hold> {
    let mut holds: Vec<Hold> = Vec::new();
    for (code, row) in ROWS
        .hold
        .iter()
        .filter(|(_, row)| calls(row.when, measured))
    {
        let held = |task: &&Task| row.before.iter().any(|name| task.code.starts_with(name));
        let task = tasks.iter().find(held);
        if task.is_none() && !row.before.is_empty() {
            continue;
        }
        let number = task.map_or(1, |task| task.visit);
        let Some(visit) = visits.iter().find(|visit| visit.visit == number) else {
            continue;
        };
        let given = if is_ours(code, measured.job) {
            &row.from
        } else {
            &row.from_others
        };
        holds.push(Hold {
            code: code.clone(),
            what: row.what.clone(),
            from: given.clone(),
            notice: row.working_days,
            notice_least: row.least,
            visit: number,
            task: task.map(|task| task.code.clone()),
            needed_by: NeededBy {
                day: visit.day,
                date: visit.date,
            },
            ask_by: ask_by(calendar, visit.day, row.working_days),
            source: Citation::new(&row.document, row.section.as_deref(), row.verified),
        });
    }
    holds.sort_by_key(|hold| (hold.visit, hold.ask_by.day));
    holds
}

fn ask_by(calendar: &Calendar, day: u32, notice: u32) -> AskBy {
    let (day, early) = calendar.worked_before(day, notice);
    let date = calendar.date_of(day);
    let mut text = match early {
        0 => format!("day {day}"),
        1 => "1 working day before day 1".to_owned(),
        early => format!("{early} working days before day 1"),
    };
    if let Some(date) = date {
        text.push_str(&format!(", {date}"));
    }
    AskBy { day, date, text }
}

/// True where that part of the work is ours to ask for.
fn is_ours(code: &str, job: &Job) -> bool {
    match code {
        "locate" => job.site_work.locate.is_ours(),
        "permit" | "inspection" => job.site_work.permit.is_ours(),
        "fill" | "bars" => false,
        _ => job.scope == Scope::Prime,
    }
}

fn calls(when: When, measured: &Measured) -> bool {
    let job = measured.job;
    match when {
        When::Always => true,
        When::Staked => !measured.takeoff.measures.form_staked.is_empty(),
        When::FillByOthers => {
            job.ramp.support == Support::BetweenWalls && !job.site_work.fill.is_ours()
        }
        When::BarsByOthers => {
            let steel = job.reinforcement.as_option();
            steel.is_some_and(|steel| steel.by != By::Us)
        }
        When::ReadyMix => job.crew.placing != Placing::Bags,
        When::Door => job.ramp.path.iter().any(has_new_door),
    }
}

/// A door at a landing that is poured.
fn has_new_door(piece: &Piece) -> bool {
    match piece {
        Piece::Landing(landing) => landing.door.is_some() && landing.work == Work::New,
        Piece::Run(_) => false,
    }
}

#[cfg(test)]
mod tests {
    use super::ROWS;
    use crate::crew::Rates;

    /// Each task of a hold is a task, and no notice is shorter than the least.
    #[test]
    fn holds_name_tasks_and_a_notice() {
        let rows = Rates::built_in().rows();
        for (code, row) in &ROWS.hold {
            assert!(row.least >= 1 && row.least <= row.working_days, "{code}");
            for name in &row.before {
                let known = rows.iter().any(|row| row.code.starts_with(name.as_str()));
                assert!(known, "{code}: {name}");
            }
        }
    }
}
