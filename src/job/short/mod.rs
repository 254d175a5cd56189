//! The short form: one ramp job on one line of plain columns.
//!
//! Invariants: one table of columns (`columns.toml`) makes the reader, the expansion and the
//! description; what the short form fills in is listed as an assumption that points into the full
//! form; a fault names the column as the caller wrote it; a line that is read is a job that the full
//! form takes. Absent: rows and files, figures, prices.

mod cell;
mod column;
mod heading;
mod line;
mod origin;
mod path;
mod ramp;
mod refusal;
mod runs;
mod sections;
mod side;

#[cfg(test)]
mod tests;

pub use column::{ShortColumn, ShortKind, short_columns};
pub use heading::ShortHeading;

use self::line::Line;
use self::origin::Origin;
use super::day::Day;
use super::expand::expand_unlisted;
use super::fill::Assumption;
use super::sent::JobRequest;
use crate::quantity::Faults;

/// One line of the short form, expanded into a job as it would be sent.
#[derive(Clone, Debug)]
pub struct ShortJob {
    /// The job in the full form.
    pub sent: JobRequest,
    /// What the short form filled in by itself, pointing into the full form.
    pub assumed: Vec<Assumption>,
    /// Day of the pour, where the line names one.
    pub day: Option<Day>,
    /// Area of the pour, where the line names one.
    pub zone: Option<String>,
}

impl ShortHeading {
    /// Reads one line; a blank cell means the default. `decimal_mark` is that of plain numbers.
    ///
    /// # Errors
    /// Every fault, each with the column as it was written: those of the cells, or where each cell
    /// is good by itself, those of the job that they make together.
    pub fn read(&self, cells: &[&str], decimal_mark: char) -> Result<ShortJob, Faults> {
        let mut line = Line::of(self, cells, decimal_mark);
        let job = read_line(&mut line)?;
        // The date of the prices moves no fault.
        let any_day = Day(chrono::NaiveDate::MIN);
        match expand_unlisted(job.sent.clone(), any_day) {
            Ok(_) => Ok(job),
            Err(faults) => Err(Origin::of_job(&line, &job.sent).point_back(faults)),
        }
    }

    /// The same without a look at the job that the cells make together, for a caller who expands it
    /// anyway: where that finds faults, [`Self::read`] says which cells they come from.
    ///
    /// # Errors
    /// Every fault of the cells.
    pub fn read_cells(&self, cells: &[&str], decimal_mark: char) -> Result<ShortJob, Faults> {
        read_line(&mut Line::of(self, cells, decimal_mark))
    }

    /// Turns faults that point into the full form into faults of the columns they came from.
    pub fn point_back(&self, faults: Faults) -> Faults {
        Origin::of_heading(self).point_back(faults)
    }
}

fn read_line(line: &mut Line<'_>) -> Result<ShortJob, Faults> {
    let mut assumed = Vec::new();
    let sent = expand_line(line, &mut assumed);
    let (day, zone) = (line.day("day"), line.text("zone"));
    std::mem::take(&mut line.faults).or(ShortJob {
        sent,
        assumed,
        day,
        zone,
    })
}

/// What the short form fills in is written down here, by the part that fills it in.
fn assume(assumed: &mut Vec<Assumption>, pointer: String, (value, why): (String, String)) {
    assumed.push(Assumption {
        pointer,
        value: value.into(),
        why: why.into(),
    });
}

/// Lists cells that say nothing because another one is blank or none, so that none goes unheard.
fn assume_unused(
    line: &Line<'_>,
    (names, without): (&[&str], &str),
    (pointer, assumed): (String, &mut Vec<Assumption>),
) {
    let idle = names.iter().filter(|name| line.has(name));
    let idle: Vec<&str> = idle.map(|name| line.written(name)).collect();
    if !idle.is_empty() {
        let why = format!("{} says nothing without {without}", idle.join(" and "));
        assume(assumed, pointer, ("none".to_owned(), why));
    }
}

fn expand_line(line: &mut Line<'_>, assumed: &mut Vec<Assumption>) -> JobRequest {
    let units = line.has("units").then_some(line.system);
    JobRequest {
        ramp: ramp::expand_ramp(line, assumed),
        name: line.text("job"),
        units,
        scope: None,
        basis: None,
        elements: None,
        earthwork: None,
        site: sections::expand_site(line),
        slab: sections::expand_slab(line),
        base: sections::expand_base(line),
        insulation: sections::expand_insulation(line),
        reinforcement: sections::expand_reinforcement(line, assumed),
        joints: sections::expand_joints(line),
        curing: None,
        sealer: sections::expand_sealer(line),
        forms: None,
        crew: sections::expand_crew(line, assumed),
        requirements: None,
        site_work: None,
        book: sections::expand_book(line),
        survey: None,
        pour: None,
        price: sections::expand_price(line),
        grade_sheet: None,
    }
}
