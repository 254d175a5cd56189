//! How the rise and the length of a line are shared among equal runs.
//!
//! Invariants: the runs are equal; a length that is not given comes from the slope, and is then
//! listed for each run. Absent: landings.

use super::assume;
use super::column::Columns;
use super::line::Line;
use crate::job::choice::Measured;
use crate::job::fill::Assumption;
use crate::job::sent::PathRequest;
use crate::quantity::{Compared, Length, Slope, System, ceil, slack::compare};

/// Equal runs.
pub(super) struct Runs {
    pub(super) count: u32,
    /// False where the count follows from a cell that was refused.
    counted: bool,
    /// Of all together.
    pub(super) rise: Length,
    /// Of all together, as `measured` says.
    length: Length,
    measured: Option<Measured>,
    /// Why the length is what it is, where nobody gave it.
    from_slope: Option<String>,
}

impl Runs {
    pub(super) fn of(line: &mut Line<'_>, assumed: &mut Vec<Assumption>) -> Self {
        let read = read_rise(line);
        let rise = read.unwrap_or(STAND_IN);
        let length = line.quantity::<Length>("length");
        let measured = line.word("measured");
        let (count, counted) = count_runs(line, read, assumed);
        let (slope, defaulted) = line.quantity_or_default::<Slope>("slope");
        let Some(length) = length else {
            let slope = if slope.ratio() > 0.0 {
                slope.ratio()
            } else {
                1.0
            };
            return Self {
                count,
                counted,
                rise,
                length: rise / slope,
                measured: Some(Measured::Plan),
                from_slope: Some(say_slope(line, defaulted)),
            };
        };
        if !defaulted && read.is_some() {
            check_agreement(line, (rise, length), (slope, measured));
        }
        Self {
            count,
            counted,
            rise,
            length,
            measured,
            from_slope: None,
        }
    }

    /// True where there is surely but one.
    pub(super) const fn is_single(&self) -> bool {
        self.counted && self.count == 1
    }

    /// One of the equal runs, without its edges.
    pub(super) fn one(&self) -> PathRequest {
        let parts = f64::from(self.count);
        PathRequest::Run {
            work: None,
            by: None,
            rise: Some(self.rise / parts),
            length: Some(self.length / parts),
            slope: None,
            measured: self.measured,
            width: None,
            cross_slope: None,
            edges: None,
            curbs: None,
            flare: None,
        }
    }

    /// Lists the length of a run that nobody gave.
    pub(super) fn assume_length(
        &self,
        (place, system): (usize, System),
        assumed: &mut Vec<Assumption>,
    ) {
        let Some(why) = &self.from_slope else {
            return;
        };
        let length = self.length / f64::from(self.count);
        let pointer = format!("/ramp/path/{place}/length");
        assume(assumed, pointer, (length.tape(system), why.clone()));
    }
}

/// Stands in for a rise that was refused, so that the rest of the line can still be read.
const STAND_IN: Length = Length::from_inches(12.0);

fn read_rise(line: &mut Line<'_>) -> Option<Length> {
    if !line.has("rise") {
        let accepted = format!(
            "{}, in a column rise_in, rise_ft, rise_mm, rise_cm or rise_m, or in rise with its unit",
            line.column("rise").bounds(line.system)
        );
        let example = line.column("rise").example(line.system);
        line.refuse("rise", ("nothing", &accepted), Some(example));
    }
    line.quantity("rise")
}

/// How many runs, and whether that is known: where it follows from a cell that was refused, one run
/// stands in and nothing else is blamed for it.
fn count_runs(
    line: &mut Line<'_>,
    rise: Option<Length>,
    assumed: &mut Vec<Assumption>,
) -> (u32, bool) {
    if line.has("runs") {
        let count = line.count("runs");
        return (count.unwrap_or(1), count.is_some());
    }
    let most = Columns::built_in().most_rise(line.cell("rule_set"));
    let (Some((most, source)), Some(rise)) = (most, rise) else {
        return (1, false);
    };
    // The range of a rise keeps this far below any bound of a count.
    let count = ceil(rise / most).max(1.0) as u32;
    let why = line.column("runs").why.as_deref().unwrap_or_default();
    let why = format!("{why}, {} ({source})", most.tape(line.system));
    let value = if count == 1 {
        "1 run".to_owned()
    } else {
        format!("{count} runs")
    };
    assume(assumed, "/ramp/path".to_owned(), (value, why));
    (count, true)
}

fn say_slope(line: &Line<'_>, defaulted: bool) -> String {
    let why = line.column("length").why.as_deref().unwrap_or_default();
    if !defaulted {
        return format!("{why}, as {} says", line.written("slope"));
    }
    let slope = line.column("slope");
    let text = slope.default_in(line.system).unwrap_or_default();
    format!("{why}, {text}: {}", slope.reason())
}

/// A slope and a length that are both given have to say the same.
fn check_agreement(
    line: &mut Line<'_>,
    (rise, length): (Length, Length),
    (slope, measured): (Slope, Option<Measured>),
) {
    let plan = match measured {
        Some(Measured::Surface) if rise < length => {
            libm::sqrt((length.metres() - rise.metres()) * (length.metres() + rise.metres()))
        }
        _ => length.metres(),
    };
    let comes_to = Slope::from_ratio(rise.metres() / plan);
    let apart = (comes_to - slope).abs();
    let within = Columns::built_in().agreement;
    if compare(apart.ratio(), within.ratio()) == Compared::Above {
        let percent = crate::quantity::slack::round_to(comes_to.percent(), 3);
        let (slope_name, length_name) = (line.written("slope"), line.written("length"));
        let accepted = format!(
            "{slope_name} or {length_name}, or both where they agree: rise and {length_name} come to {percent} %"
        );
        let example = format!("{percent} %");
        line.refuse("slope", (&slope.print(), &accepted), Some(&example));
    }
}
