//! Rates for extras as a caller reads them.

use super::View;
use crate::price::Extra;
use crate::quantity::money::{Amount, UnitPrice};
use serde::Serialize;
use utoipa::ToSchema;

/// A rate for what comes on top of the price.
#[derive(Debug, Serialize, ToSchema)]
pub struct ExtraAnswer {
    /// Its code.
    pub code: String,
    /// What is charged.
    pub what: String,
    /// For how much of it.
    pub unit: &'static str,
    /// What it is charged, before tax that is charged on the price; null where it has no price.
    pub charged: Option<Amount>,
    /// What it costs us; null where it has no price.
    pub cost: Option<UnitPrice>,
    /// Why it has no price.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub why: Option<String>,
    /// How it came about, and where the rule comes from; with `?working=true`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub working: Option<String>,
}

impl ExtraAnswer {
    pub(super) fn of(extra: Extra, view: View) -> Self {
        let working = format!("{} ({})", extra.working, extra.source.document);
        let (cost, why) = match extra.cost {
            Ok(cost) => (Some(cost), None),
            Err(why) => (None, Some(why)),
        };
        Self {
            working: (view.working && cost.is_some()).then_some(working),
            code: extra.code,
            what: extra.what,
            unit: extra.unit,
            charged: extra.charged,
            cost,
            why,
        }
    }
}
