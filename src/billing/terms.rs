//! The tax of a bill, from what is asked and what the estimate charges.
//!
//! Invariants: a rate that is needed is there, and none stands where it says nothing; tax that the price holds is
//! never left off. Absent: which tax a job owes, which its books decide.

use super::bill::TaxCategory;
use super::request::TaxRequest;
use crate::answered::Checked;
use crate::answered::{LINE_AT_MOST, check_text};
use crate::quantity::money::Percentage;
use crate::quantity::{Fault, Faults};

/// A tax as it is charged.
#[derive(Clone, Debug, PartialEq)]
pub struct TaxTerms {
    /// Its category.
    pub category: TaxCategory,
    /// Its rate.
    pub rate: Percentage,
    /// Why none is charged.
    pub reason: Option<String>,
}

impl TaxTerms {
    /// The tax that is asked for, or else the estimate's.
    pub fn of(
        asked: Option<&TaxRequest>,
        checked: &Checked,
        (at, faults): (&str, &mut Faults),
    ) -> Self {
        match asked {
            Some(asked) => Self::asked(asked, checked, (at, faults)),
            None => match checked.tax_rate {
                Some(rate) => Self {
                    category: TaxCategory::Standard,
                    rate,
                    reason: None,
                },
                None => Self {
                    category: TaxCategory::OutOfScope,
                    rate: Percentage::ZERO,
                    reason: Some("No tax is charged on this work.".to_owned()),
                },
            },
        }
    }

    fn asked(asked: &TaxRequest, checked: &Checked, (at, faults): (&str, &mut Faults)) -> Self {
        let rate = check_rate(asked, (at, faults));
        if let Some(charged) = checked.tax_rate
            && (rate != charged || asked.category != TaxCategory::Standard)
        {
            let found = format!("{} at {rate}", asked.category);
            let accepted = format!("the tax that the estimate charges: S at {charged}");
            faults.push(Fault::new(at, found, accepted, None));
        }
        check_reason(asked, (at, faults));
        Self {
            category: asked.category,
            rate,
            reason: asked.reason.clone(),
        }
    }
}

/// Whether a category is charged at a rate.
const fn has_rate(category: TaxCategory) -> bool {
    matches!(
        category,
        TaxCategory::Standard | TaxCategory::Canary | TaxCategory::Ceuta
    )
}

fn check_rate(asked: &TaxRequest, (at, faults): (&str, &mut Faults)) -> Percentage {
    let at = format!("{at}/rate");
    let rate = asked.rate.unwrap_or_default();
    let inside = Percentage::ZERO < rate && rate < Percentage::WHOLE;
    if has_rate(asked.category) && !inside {
        let found = asked
            .rate
            .map_or("nothing".to_owned(), |rate| rate.to_string());
        let accepted = "a rate above 0 % and below 100 %, as this category has one";
        faults.push(Fault::new(at, found, accepted, Some("6.25 %")));
    } else if !has_rate(asked.category) && rate != Percentage::ZERO {
        let accepted = "no rate: this category charges none";
        faults.push(Fault::new(at, rate.to_string(), accepted, Some("0 %")));
    }
    rate
}

fn check_reason(asked: &TaxRequest, (at, faults): (&str, &mut Faults)) {
    let at = format!("{at}/reason");
    match asked.reason.as_deref() {
        Some(reason) => check_text(reason, LINE_AT_MOST, (&at, faults)),
        None if has_rate(asked.category) || asked.category == TaxCategory::Zero => {}
        None => {
            let accepted = "why no tax is charged, as this category asks";
            let example = Some("Exempt: certificate 4411 on file");
            faults.push(Fault::new(at, "nothing", accepted, example));
        }
    }
}
