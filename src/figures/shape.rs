//! What a figure looks like: number, money, text or date, its unit and its places in each system.
//!
//! Absent: the numbers themselves.

use super::Shown;
use crate::quantity::System;
use crate::quantity::shown::Shown as Quantity;
use serde::Serialize;

/// What kind of value a figure is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "service", derive(utoipa::ToSchema))]
#[serde(rename_all = "snake_case")]
pub enum ValueType {
    /// A decimal number.
    Number,
    /// An amount in the currency of the book.
    Money,
    /// A text on one line.
    Text,
    /// A date, `YYYY-MM-DD`.
    Date,
}

impl ValueType {
    /// As a description says it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Number => "number",
            Self::Money => "money",
            Self::Text => "text",
            Self::Date => "date",
        }
    }
}

/// Kind, units and places.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Shape {
    /// What kind of value it is.
    pub value_type: ValueType,
    units: Option<(&'static str, &'static str)>,
    places: Option<(u8, u8)>,
}

impl Shape {
    pub(super) const TEXT: Self = Self::bare(ValueType::Text);
    pub(super) const DATE: Self = Self::bare(ValueType::Date);
    pub(super) const MONEY: Self = Self::bare(ValueType::Money);
    pub(super) const COUNT: Self = Self::number(("each", "each"), (0, 0));
    pub(super) const FLAG: Self = Self {
        units: None,
        ..Self::COUNT
    };
    pub(super) const PERCENT: Self = Self::number(("%", "%"), (2, 2));
    pub(super) const SLOPE: Self = Self::number(("%", "%"), (3, 3));
    pub(super) const TAPE: Self = Self::number(("in", "mm"), (2, 1));
    pub(super) const LENGTH: Self = Self::number(("ft", "m"), (2, 2));
    pub(super) const AREA: Self = Self::number(("ft2", "m2"), (2, 2));
    pub(super) const CONCRETE: Self = Self::number(("yd3", "m3"), (3, 3));
    pub(super) const STONE: Self = Self::number(("ton", "t"), (1, 1));
    pub(super) const LIQUID: Self = Self::number(("gal", "L"), (2, 2));
    pub(super) const WEIGHT: Self = Self::number(("lb", "kg"), (1, 1));
    pub(super) const HOURS: Self = Self::number(("h", "h"), (2, 2));
    pub(super) const DAYS: Self = Self::number(("d", "d"), (1, 1));
    pub(super) const AGE: Self = Self::number(("d", "d"), (0, 0));
    pub(super) const PER_AREA: Self = Self {
        units: Some(("money/ft2", "money/m2")),
        ..Self::MONEY
    };

    const fn bare(value_type: ValueType) -> Self {
        Self {
            value_type,
            units: None,
            places: None,
        }
    }

    const fn number(units: (&'static str, &'static str), places: (u8, u8)) -> Self {
        Self {
            value_type: ValueType::Number,
            units: Some(units),
            places: Some(places),
        }
    }

    /// The unit in a system; none where it has none.
    pub const fn unit(self, system: System) -> Option<&'static str> {
        match (self.units, system) {
            (Some((us, _)), System::Us) => Some(us),
            (Some((_, metric)), System::Metric) => Some(metric),
            (None, _) => None,
        }
    }

    /// Most decimals of a number; those of money are the currency's.
    pub const fn places(self, system: System) -> Option<u8> {
        match (self.places, system) {
            (Some((us, _)), System::Us) => Some(us),
            (Some((_, metric)), System::Metric) => Some(metric),
            (None, _) => None,
        }
    }
}

/// A quantity of the answer as a bare number, in the digits that the answer shows.
pub(super) fn digits(quantity: Quantity) -> Shown {
    Shown::Number(quantity.value.to_string())
}
