//! Two sides line by line.
//!
//! Invariants: lines are the same that have code, class and unit in common, the first with the
//! first; the quantity's part is the new quantity at the old price, rounded once, less the old line,
//! and the price's part is all that remains, so that both add up to the difference. Absent: the
//! build-up.

use super::side::{Side, SideLine};
use crate::catalog::{Class, words};
use crate::quantity::money::{Amount, Currency, Decimal4, UnitPrice, extend};
use serde::Serialize;

words! {
    /// What became of a line.
    LineChangeKind {
        /// On both sides.
        Changed = "changed",
        /// On the later side alone.
        New = "new",
        /// On the earlier side alone.
        Gone = "gone",
    }
}

/// A line that differs.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "service", derive(utoipa::ToSchema))]
pub struct LineChange {
    /// Item code.
    pub code: String,
    /// What it is.
    pub description: String,
    /// Where it stands in the build-up.
    pub class: Class,
    /// What became of it.
    pub kind: LineChangeKind,
    /// Unit of both quantities.
    pub unit: String,
    /// Charged before; null where there was no such line.
    pub quantity_before: Option<Decimal4>,
    /// Charged now; null where there is no such line.
    pub quantity_after: Option<Decimal4>,
    /// Price of one before.
    pub unit_price_before: Option<UnitPrice>,
    /// Price of one now.
    pub unit_price_after: Option<UnitPrice>,
    /// The line before.
    pub before: Amount,
    /// The line now.
    pub after: Amount,
    /// The new quantity at the old price less the line before.
    pub by_quantity: Amount,
    /// The line now less the new quantity at the old price.
    pub by_price: Amount,
    /// Both together.
    pub change: Amount,
}

/// Every line that differs: those of the earlier side in their order, then new ones.
pub(super) fn compare_lines(before: &Side, after: &Side) -> Vec<LineChange> {
    let mut partners: Vec<Option<&SideLine>> = after.lines.iter().map(Some).collect();
    let mut changes = Vec::new();
    for line in &before.lines {
        let partner = partners
            .iter_mut()
            .find(|other| other.is_some_and(|other| is_same(line, other)))
            .and_then(Option::take);
        changes.extend(compare_line((Some(line), partner), &after.currency));
    }
    let new = partners.into_iter().flatten();
    changes.extend(new.filter_map(|line| compare_line((None, Some(line)), &after.currency)));
    changes
}

fn is_same(line: &SideLine, other: &SideLine) -> bool {
    line.code == other.code && line.class == other.class && line.unit == other.unit
}

fn compare_line(
    (before, after): (Option<&SideLine>, Option<&SideLine>),
    currency: &Currency,
) -> Option<LineChange> {
    let known = after.or(before)?;
    let zero = Amount::zero(currency);
    let of = |line: Option<&SideLine>| line.map_or(zero, |line| line.extended);
    let (was, is) = (of(before), of(after));
    // What the later quantity would have cost at the earlier price.
    let between = match (before, after) {
        (Some(before), Some(after)) => extend(after.quantity, before.unit_price, currency),
        _ => is,
    };
    let kind = match (before, after) {
        (Some(before), Some(after)) => {
            let same = before.quantity == after.quantity && before.unit_price == after.unit_price;
            if same && was == is {
                return None;
            }
            LineChangeKind::Changed
        }
        (None, _) => LineChangeKind::New,
        (_, None) => LineChangeKind::Gone,
    };
    Some(LineChange {
        code: known.code.clone(),
        description: known.description.clone(),
        class: known.class,
        kind,
        unit: known.unit.clone(),
        quantity_before: before.map(|line| line.quantity),
        quantity_after: after.map(|line| line.quantity),
        unit_price_before: before.map(|line| line.unit_price),
        unit_price_after: after.map(|line| line.unit_price),
        before: was,
        after: is,
        by_quantity: between - was,
        by_price: is - between,
        change: is - was,
    })
}
