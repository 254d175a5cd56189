//! Why a text or an object is not a quantity, said so that a person can mend it.
//!
//! Invariants: every message says what was found, what is accepted and gives an example; only the
//! caller's own text is repeated. Absent here: where in a request it stood (`Fault` has that).

use super::Fault;
use super::units::Dimension;

/// What was wrong.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Problem {
    /// Nothing but spaces.
    Empty,
    /// More than [`super::TEXT_AT_MOST`] characters.
    TooLong,
    /// A number that does not say what it counts.
    NoUnit,
    /// No number where one is needed, or one in no known notation.
    NoNumber,
    /// A unit of nothing, or of something else.
    UnknownUnit,
    /// Twelve inches or more after feet, sixty minutes or more after hours.
    SmallPartTooLarge,
    /// The parts of one quantity are not one larger and one smaller unit.
    PartsOutOfOrder,
    /// Not a number, infinite, or beyond what any job holds.
    OutOfRange,
    /// Neither a text nor an object of `value` and `unit`.
    WrongShape,
}

/// A refused quantity.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct QuantityError {
    /// What was wrong.
    pub problem: Problem,
    /// What was wanted.
    pub dimension: Dimension,
    /// What stood there.
    pub found: String,
}

impl QuantityError {
    pub(super) fn new(problem: Problem, dimension: Dimension, found: impl Into<String>) -> Self {
        Self {
            problem,
            dimension,
            found: found.into(),
        }
    }

    /// What would be accepted, in a sentence without a full stop.
    pub fn accepted(&self) -> String {
        let noun = self.dimension.noun();
        match self.problem {
            Problem::TooLong => format!("{noun} in at most {} characters", super::TEXT_AT_MOST),
            Problem::SmallPartTooLarge => {
                "inches below 12 after feet, minutes below 60 after hours".to_owned()
            }
            Problem::PartsOutOfOrder => {
                format!("{noun} in one unit, or in a larger unit followed by the smaller one")
            }
            Problem::OutOfRange => {
                format!("{noun} of at most twelve digits before the point and thirty after it")
            }
            Problem::Empty
            | Problem::NoUnit
            | Problem::NoNumber
            | Problem::UnknownUnit
            | Problem::WrongShape => format!(
                "{noun} written with its unit ({}), as text or as an object of value and unit",
                self.dimension.written()
            ),
        }
    }

    /// A text that would be accepted; made of the caller's own number where only the unit was
    /// missing.
    pub fn example(&self) -> String {
        let first = self
            .dimension
            .examples()
            .first()
            .copied()
            .unwrap_or_default();
        let number = self.found.trim_matches('"').trim();
        let plain = number.len() <= 12 && number.parse::<f64>().is_ok_and(f64::is_finite);
        let unit = self.dimension.rows().first().map(|row| row.symbol());
        match unit {
            // A bare 0.083 may be a ratio or a percentage: guessing would teach a wrong slope.
            Some(unit)
                if plain
                    && self.problem == Problem::NoUnit
                    && self.dimension != Dimension::Slope =>
            {
                format!("{number} {unit}")
            }
            _ => first.to_owned(),
        }
    }

    /// The same as a fault at `pointer`.
    pub fn fault(&self, pointer: impl Into<String>) -> Fault {
        Fault::new(pointer, &self.found, self.accepted(), Some(&self.example()))
    }

    /// The same as `found|accepted|example`, the form in which readers hand faults on.
    pub(super) fn message(&self) -> String {
        let found = self.found.replace('|', "¦");
        format!("{found}|{}|{}", self.accepted(), self.example())
    }
}

impl std::fmt::Display for QuantityError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(
            f,
            "found {}, accepted: {}, for example {}",
            self.found,
            self.accepted(),
            self.example()
        )
    }
}

impl std::error::Error for QuantityError {}

impl Dimension {
    /// The notations, for messages: the first symbol of every unit.
    pub(super) fn written(self) -> String {
        let ratio = (self == Self::Slope).then_some("1:12");
        let units = self
            .rows()
            .iter()
            .filter_map(|row| row.symbols.first().copied());
        ratio
            .into_iter()
            .chain(units)
            .collect::<Vec<_>>()
            .join(", ")
    }
}
