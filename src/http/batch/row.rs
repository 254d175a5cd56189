//! One row: from what was sent to an estimate, or to all of its faults.
//!
//! Invariant: a row is priced by the same steps as a single job. Absent: how a row is written.

use super::super::problem::ApiError;
use super::body::Record;
use super::plan::{Columns, Plan};
use crate::estimate::{Brief, Estimate};
use crate::http::body::{parse_body, read_value};
use crate::http::computing::estimate_brief;
use crate::job::{Assumption, Day, JobRequest, ShortHeading, ShortJob};
use crate::quantity::{Fault, Faults, pointer_part};
use crate::sheet::{CsvRecord, SheetError, Untold};
use crate::takeoff::Detail;
use serde_json::{Map, Value};

/// The field that only the full form of a job has.
const OF_THE_FULL_FORM: &str = "ramp";

/// What was sent, as far as it is to come back.
pub(super) enum Input {
    /// Cells below a heading.
    Cells(Vec<String>),
    /// Keys and values of the short form, as they were written.
    Keys(Map<String, Value>),
    /// A job in the full form, or what could not be read: it does not come back.
    Nothing,
}

/// The cells of a row; or why they cannot be read, and as much of them as can be told.
type Told = Result<Vec<String>, Untold>;

/// A row that is answered.
pub(super) struct Row {
    /// Its number, as its sender sees it.
    pub(super) number: u64,
    /// What was sent.
    pub(super) input: Input,
    /// What it came to.
    pub(super) outcome: Result<Box<Estimate>, Faults>,
    /// Day of the pour, where the row names one.
    pub(super) day: Option<Day>,
    /// Area of the pour, where the row names one.
    pub(super) area: Option<String>,
}

impl Row {
    /// Answers one record.
    pub(super) fn answer(plan: &Plan, record: Record) -> Self {
        match (record, &plan.columns) {
            (Record::Csv(record), Some(columns)) => Self::of_csv(plan, columns, &record),
            (Record::Cells(number, cells), Some(columns)) => {
                Self::of_cells(plan, columns, (number, cells))
            }
            (Record::Json(line), _) => match line.bytes {
                Ok(bytes) => Self::of_json(plan, line.number, &bytes),
                Err(fault) => {
                    Self::refused(line.number, Input::Nothing, in_row(line.number, &fault))
                }
            },
            // A table has columns before it has rows.
            (Record::Csv(CsvRecord { number, .. }) | Record::Cells(number, _), None) => {
                Self::refused(number, Input::Nothing, Faults::default())
            }
        }
    }

    fn refused(number: u64, input: Input, faults: Faults) -> Self {
        let rows = faults.0.into_iter().map(|fault| fault.at_row(number));
        Self {
            number,
            input,
            outcome: Err(Faults(rows.collect())),
            day: None,
            area: None,
        }
    }

    fn of_csv(plan: &Plan, columns: &Columns, record: &CsvRecord) -> Self {
        let number = record.number;
        match record.cells(&columns.heading, columns.style.dialect) {
            Ok(cells) => Self::of_cells(plan, columns, (number, Ok(cells))),
            Err(fault) => Self::of_cells(plan, columns, (number, Err(fault))),
        }
    }

    fn of_cells(plan: &Plan, columns: &Columns, (number, cells): (u64, Told)) -> Self {
        let cells = match cells {
            Ok(cells) => cells,
            Err((fault, cells)) => {
                return Self::refused(number, Input::Cells(cells), in_row(number, &fault));
            }
        };
        let mark = columns.style.dialect.decimal_mark();
        let texts: Vec<&str> = cells.iter().map(String::as_str).collect();
        let short = columns.short.read_cells(&texts, mark);
        let priced = short.and_then(|short| {
            // Only a job with a fault is looked at again, to find the cells that it comes from.
            price_short(plan, short).map_err(|faults| match columns.short.read(&texts, mark) {
                Ok(_) => columns.short.point_back(faults),
                Err(faults) => faults,
            })
        });
        Self::of_short((number, Input::Cells(cells)), priced)
    }

    fn of_short((number, input): (u64, Input), priced: Result<PricedShort, Faults>) -> Self {
        match priced {
            Err(faults) => Self::refused(number, input, faults),
            Ok((estimate, day, area)) => Self {
                number,
                input,
                outcome: Ok(estimate),
                day,
                area,
            },
        }
    }

    fn of_json(plan: &Plan, number: u64, bytes: &[u8]) -> Self {
        let refuse = |error| Self::refused(number, Input::Nothing, faults_of(error));
        let (keys, twice) = match read_value(bytes) {
            Ok((Value::Object(keys), twice)) => (keys, twice),
            Ok(_) => return refuse(not_an_object()),
            Err(error) => {
                return refuse(ApiError::Unreadable(format!("not a JSON object: {error}")));
            }
        };
        if !keys.contains_key(OF_THE_FULL_FORM) {
            return Self::of_keys(plan, number, (keys, twice));
        }
        let priced = parse_body::<JobRequest>(bytes)
            .map_err(faults_of)
            .and_then(|sent| price(plan, sent, Vec::new()));
        match priced {
            Err(faults) => Self::refused(number, Input::Nothing, faults),
            Ok(estimate) => Self {
                number,
                input: Input::Nothing,
                outcome: Ok(estimate),
                day: None,
                area: None,
            },
        }
    }

    /// `twice` are the faults of keys that were written more than once.
    fn of_keys(plan: &Plan, number: u64, (keys, twice): (Map<String, Value>, Faults)) -> Self {
        let names: Vec<&str> = keys.keys().map(String::as_str).collect();
        let heading = ShortHeading::bind(&names);
        let mut faults = twice;
        let cells: Vec<String> = keys
            .iter()
            .map(|(name, value)| cell_of(name, value, &mut faults))
            .collect();
        let texts: Vec<&str> = cells.iter().map(String::as_str).collect();
        let read = heading.read(&texts, '.');
        let short = match read {
            Ok(short) => faults.or(short),
            Err(more) => {
                faults.0.extend(more.0);
                Err(faults)
            }
        };
        let priced = short.and_then(|short| {
            price_short(plan, short).map_err(|faults| heading.point_back(faults))
        });
        Self::of_short((number, Input::Keys(keys)), priced)
    }
}

/// A value of the short form as the text of a cell.
fn cell_of(name: &str, value: &Value, faults: &mut Faults) -> String {
    match value {
        Value::Null => String::new(),
        Value::Bool(yes) => if *yes { "yes" } else { "no" }.to_owned(),
        Value::Number(number) => number.to_string(),
        Value::String(text) => text.trim().to_owned(),
        Value::Array(_) | Value::Object(_) => {
            let at = format!("/{}", pointer_part(name));
            let accepted = "a text or a number, as in a cell; a job in the full form has `ramp`";
            faults.push(Fault::new(
                at,
                "an array or an object",
                accepted,
                Some("28 in"),
            ));
            String::new()
        }
    }
}

/// A priced line of the short form, and what it says of day and area.
type PricedShort = (Box<Estimate>, Option<Day>, Option<String>);

fn price_short(plan: &Plan, short: ShortJob) -> Result<PricedShort, Faults> {
    let (day, area) = (short.day, short.zone);
    let estimate = price(plan, short.sent, short.assumed)?;
    Ok((estimate, day, area))
}

fn price(plan: &Plan, sent: JobRequest, assumed: Vec<Assumption>) -> Result<Box<Estimate>, Faults> {
    let brief = Brief {
        sent,
        assumed,
        detail: Detail::Described,
        unknowns: plan.needs_unknowns() || plan.asked.with_job,
        supply: false,
    };
    let estimate = estimate_brief(brief, &plan.tables, plan.today);
    estimate.map(Box::new).map_err(faults_of)
}

fn not_an_object() -> ApiError {
    ApiError::Unreadable("a JSON value that is no object; one job is one object".to_owned())
}

/// What a refusal says of a row.
fn faults_of(error: ApiError) -> Faults {
    match error {
        ApiError::Faults(faults) => faults,
        other => {
            let accepted = "a job, as a line of the short form or in the full form";
            Faults(vec![Fault::new("", other.to_string(), accepted, None)])
        }
    }
}

fn in_row(number: u64, fault: &SheetError) -> Faults {
    let fault = Fault::new("", fault.to_string(), "a row that can be read", None);
    Faults(vec![fault.in_row(number, "")])
}
