//! Whether an answer adds up, and what a document takes from one that does.
//!
//! Invariants: every fault is found, each at its place; amounts leave here in the decimals of their currency. A
//! rate is printed with every decimal that it is held in, so a step is its base at its rate to the minor unit.
//! Absent: what is offered, billed or posted.

use super::text::{LINE_AT_MOST, check_text};
use super::{Answered, AnsweredLine, AnsweredStep, AnsweredStepName as StepName};
use crate::catalog::Class;
use crate::job::Day;
use crate::quantity::money::{Amount, Currency, Decimal4, Percentage, UnitPrice, extend};
use crate::quantity::{Fault, Faults, Percent};

/// A priced answer that adds up.
#[derive(Clone, Debug, PartialEq)]
pub struct Checked {
    /// Name of the job.
    pub name: String,
    /// Name of the answer.
    pub fingerprint: String,
    /// Date of the prices.
    pub as_of: Day,
    /// True where a book in the chain holds invented prices.
    pub demo: bool,
    /// Currency of every amount.
    pub currency: Currency,
    /// The lines, at cost.
    pub lines: Vec<Line>,
    /// Lines without a price: code, description, why.
    pub unpriced: Vec<(String, String, String)>,
    /// What each step adds.
    pub steps: Vec<(StepName, Amount)>,
    /// Rate of the tax charged on the price; none where none is charged.
    pub tax_rate: Option<Percentage>,
}

/// One line of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// Item code.
    pub code: String,
    /// What it is.
    pub description: String,
    /// Its class.
    pub class: Class,
    /// What is charged.
    pub quantity: Decimal4,
    /// The unit it is charged by.
    pub unit: String,
    /// For one unit.
    pub unit_price: UnitPrice,
    /// Quantity times unit price.
    pub extended: Amount,
}

impl Checked {
    /// What one step adds.
    pub fn step(&self, name: StepName) -> Amount {
        let zero = Amount::zero(&self.currency);
        let steps = self.steps.iter().filter(|(step, _)| *step == name);
        zero + steps.map(|(_, amount)| *amount).sum::<Amount>()
    }

    /// The sum of all steps: the price, where every line has one.
    pub fn total(&self) -> Amount {
        let zero = Amount::zero(&self.currency);
        zero + self.steps.iter().map(|(_, amount)| *amount).sum::<Amount>()
    }

    /// The price without the tax that is charged on it.
    pub fn before_tax(&self) -> Amount {
        self.total() - self.step(StepName::TaxCharged)
    }

    /// True when every line has a price.
    pub fn complete(&self) -> bool {
        self.unpriced.is_empty()
    }
}

/// What a job without a name is called on paper.
const NO_NAME: &str = "Access ramp";

/// The name of a job as papers show it.
pub fn shown_name(name: &str) -> &str {
    match name.trim() {
        "" => NO_NAME,
        name => name,
    }
}
/// Most characters of what a line is.
const DESCRIPTION_AT_MOST: usize = 500;

impl Answered {
    /// The answer, once it adds up; `at` is where it stands in the request.
    ///
    /// # Errors
    /// Every line, step and sum that does not.
    pub fn check(&self, at: &str) -> Result<Checked, Faults> {
        let mut faults = Faults::default();
        let currency = self.price.currency;
        self.check_texts(at, &mut faults);
        let at = format!("{at}/price");
        let lines = self.price.lines.iter().enumerate();
        let lines: Vec<Line> = lines
            .filter_map(|(index, line)| {
                let place = format!("{at}/lines/{index}");
                check_line(line, &currency, (&place, &mut faults))
            })
            .collect();
        let steps = check_steps(&self.price.build_up, &currency, (&at, &mut faults));
        if faults.is_empty() {
            self.check_totals(&lines, &steps, (&at, &mut faults));
        }
        faults.or(self.checked(lines, steps))
    }

    /// A text that came back may have been altered; it stands on paper, in XML and in ledgers.
    fn check_texts(&self, at: &str, faults: &mut Faults) {
        // A job need not have a name.
        if !self.name.is_empty() {
            check_text(&self.name, LINE_AT_MOST, (&format!("{at}/name"), faults));
        }
        let place = format!("{at}/fingerprint");
        check_text(&self.fingerprint, LINE_AT_MOST, (&place, faults));
        for (index, line) in self.price.lines.iter().enumerate() {
            let at = format!("{at}/price/lines/{index}");
            for (field, text) in [
                ("code", &line.code),
                ("description", &line.description),
                ("quantity/unit", &line.quantity.unit),
            ] {
                check_text(
                    text,
                    DESCRIPTION_AT_MOST,
                    (&format!("{at}/{field}"), faults),
                );
            }
        }
        for (index, line) in self.price.unpriced.iter().enumerate() {
            let at = format!("{at}/price/unpriced/{index}");
            for (field, text) in [("code", &line.code), ("description", &line.description)] {
                check_text(
                    text,
                    DESCRIPTION_AT_MOST,
                    (&format!("{at}/{field}"), faults),
                );
            }
        }
    }

    fn checked(&self, lines: Vec<Line>, steps: Vec<(StepName, Amount)>) -> Checked {
        let unpriced = self.price.unpriced.iter();
        let books = self.computed_with.books.iter().flatten();
        Checked {
            name: shown_name(&self.name).to_owned(),
            fingerprint: self.fingerprint.clone(),
            as_of: self.computed_with.as_of,
            demo: books.clone().any(|book| book.demo == Some(true)),
            currency: self.price.currency,
            unpriced: unpriced
                .map(|line| {
                    (
                        line.code.clone(),
                        line.description.clone(),
                        line.why.clone(),
                    )
                })
                .collect(),
            tax_rate: tax_rate(&self.price.build_up),
            lines,
            steps,
        }
    }

    fn check_totals(
        &self,
        lines: &[Line],
        steps: &[(StepName, Amount)],
        (at, faults): (&str, &mut Faults),
    ) {
        let zero = Amount::zero(&self.price.currency);
        let sum = zero + lines.iter().map(|line| line.extended).sum::<Amount>();
        let direct = steps.iter().find(|(name, _)| *name == StepName::Direct);
        let direct = direct.map_or(zero, |(_, amount)| *amount);
        if direct != sum {
            faults.push(differs(
                format!("{at}/build_up"),
                direct,
                sum,
                "the sum of the lines",
            ));
        }
        let total = zero + steps.iter().map(|(_, amount)| *amount).sum::<Amount>();
        match self.price.total {
            Some(said) if !self.price.unpriced.is_empty() => faults.push(Fault::new(
                format!("{at}/total"),
                said.to_string(),
                "null while a line has no price",
                None,
            )),
            Some(said) if said != total => {
                faults.push(differs(
                    format!("{at}/total"),
                    said,
                    total,
                    "the sum of the steps",
                ));
            }
            None if self.price.unpriced.is_empty() => faults.push(Fault::new(
                format!("{at}/total"),
                "nothing",
                "the sum of the steps, since every line has a price",
                Some(&total.to_string()),
            )),
            _ => {}
        }
    }
}

fn differs(at: String, found: Amount, right: Amount, what: &str) -> Fault {
    let accepted = format!("{what}, {right}; an answer is sent back as it came");
    Fault::new(at, found.to_string(), accepted, Some(&right.to_string()))
}

/// An amount in the decimals of its currency; a fault where it has more.
pub fn held(amount: Amount, currency: &Currency, (at, faults): (&str, &mut Faults)) -> Amount {
    let held = amount.in_currency(currency);
    if held != amount {
        let accepted = format!(
            "at most {} decimals, as {currency} has",
            currency.exponent()
        );
        faults.push(Fault::new(
            at,
            amount.to_string(),
            accepted,
            Some(&held.to_string()),
        ));
    }
    held
}

fn check_line(
    line: &AnsweredLine,
    currency: &Currency,
    (at, faults): (&str, &mut Faults),
) -> Option<Line> {
    let Some(quantity) = line.quantity.exact() else {
        let found = line.quantity.value.to_string();
        let accepted = "a number of at most nine digits and four decimals";
        faults.push(Fault::new(
            format!("{at}/quantity/value"),
            found,
            accepted,
            Some("4.25"),
        ));
        return None;
    };
    let right = extend(quantity, line.unit_price, currency);
    let place = || format!("{at}/extended");
    if line.extended != right {
        let what = format!("{quantity} times {}", line.unit_price);
        faults.push(differs(place(), line.extended, right, &what));
    }
    Some(Line {
        code: line.code.clone(),
        description: line.description.clone(),
        class: line.class,
        quantity,
        unit: line.quantity.unit.clone(),
        unit_price: line.unit_price,
        extended: right,
    })
}

fn check_steps(
    steps: &[AnsweredStep],
    currency: &Currency,
    (at, faults): (&str, &mut Faults),
) -> Vec<(StepName, Amount)> {
    let mut so_far = Amount::zero(currency);
    let mut checked: Vec<(StepName, Amount)> = Vec::new();
    for (index, step) in steps.iter().enumerate() {
        let place = format!("{at}/build_up/{index}");
        if checked.last().is_some_and(|(last, _)| *last >= step.step) {
            let accepted = "each step once, in their order";
            faults.push(Fault::new(
                format!("{place}/step"),
                step.step.word(),
                accepted,
                None,
            ));
        }
        let amount = held(step.amount, currency, (&format!("{place}/amount"), faults));
        if let Some(fault) = rate_fault(step, (so_far, currency), &place) {
            faults.push(fault);
        }
        so_far += amount;
        checked.push((step.step, amount));
    }
    if checked
        .first()
        .is_none_or(|(name, _)| *name != StepName::Direct)
    {
        let accepted = "steps that begin with `direct`";
        faults.push(Fault::new(
            format!("{at}/build_up"),
            "other steps",
            accepted,
            None,
        ));
    }
    checked
}

/// What is wrong with a step that has a rate: its base, or what comes of it.
fn rate_fault(
    step: &AnsweredStep,
    (so_far, currency): (Amount, &Currency),
    at: &str,
) -> Option<Fault> {
    let (rate, base) = (step.rate.as_ref()?, step.base?.in_currency(currency));
    // What tax is paid on is a part of the lines; every other base is all that stands above it.
    if step.step != StepName::TaxPaid && base != so_far {
        return Some(differs(
            format!("{at}/base"),
            base,
            so_far,
            "the sum of the steps above",
        ));
    }
    let share = Percentage::of(Percent::from_percent(rate.value));
    let right = match step.basis.as_deref() {
        Some("margin") => base
            .margin(share)
            .map(|earned| earned.in_currency(currency)),
        _ => Some(base.percent(share).in_currency(currency)),
    };
    let what = format!("{} % of {base}", rate.value);
    let at = format!("{at}/amount");
    match right {
        Some(right) if right == step.amount => None,
        Some(right) => Some(differs(at, step.amount, right, &what)),
        None => Some(Fault::new(at, what, "a margin below 100 %", None)),
    }
}

/// The rate of the tax charged, where there is one.
fn tax_rate(steps: &[AnsweredStep]) -> Option<Percentage> {
    let charged = steps
        .iter()
        .find(|step| step.step == StepName::TaxCharged)?;
    let rate = Percentage::of(Percent::from_percent(charged.rate.as_ref()?.value));
    (rate != Percentage::ZERO).then_some(rate)
}
