//! What one of an item counts against another, where something is chosen between: stock lengths.
//!
//! Invariant: a whole number without a currency, good for comparing and for nothing else, so that who
//! asks cannot tell what a thing costs. Absent: which list holds.

use super::PriceList;

/// What things count against each other, by a price list or not known.
#[derive(Clone, Copy, Debug, Default)]
pub struct Worths<'a> {
    list: Option<&'a PriceList>,
}

impl<'a> Worths<'a> {
    /// Nothing is known.
    pub const UNKNOWN: Self = Self { list: None };

    /// By what each costs, of the least order, from whoever was chosen.
    pub const fn by(list: &'a PriceList) -> Self {
        Self { list: Some(list) }
    }

    /// What one of an item counts; none where it has no price.
    pub fn of(self, code: &str) -> Option<i64> {
        let asked = self.list?.ask(code, None, None).ok()?;
        Some(asked.unit_price.ten_thousandths())
    }
}
