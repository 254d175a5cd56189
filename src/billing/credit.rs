//! A credit note: something of a bill given back.
//!
//! Invariants: no line is given back beyond what it billed, over all credit notes of its bill; the last of them gives
//! back what is left of the tax, so that all together are the bill. Absent: money that goes back.

use super::application::Application;
use super::bill::{
    Bill, BillAllowance, BillKind, BillLine, BillTax, BillTotals, Corrected, LineKind, sum_up,
};
use super::head::check_notes;
use super::request::{CreditLineRequest, CreditRequest};
use crate::answered::held;
use crate::answered::{LINE_AT_MOST, check_number, check_text};
use crate::quantity::money::{Amount, Percentage};
use crate::quantity::{Fault, Faults};

/// The credit note that is asked for.
///
/// # Errors
/// Everything that is wrong with what was sent.
pub fn make_credit_note(sent: &CreditRequest) -> Result<Bill, Faults> {
    let mut faults = Faults::default();
    check_head(sent, &mut faults);
    for (at, bill) in bills(sent) {
        faults.0.extend(bill.check(&at).err().unwrap_or_default().0);
    }
    if !faults.is_empty() {
        return Err(faults);
    }
    let left = Left::of(sent);
    let lines = left.lines(sent, &mut faults);
    let allowances = left.allowances(&lines);
    let tax = left.tax((&lines, &allowances));
    let totals = BillTotals::of(
        (&lines, &allowances),
        (&tax, left.zero()),
        &sent.bill.currency,
    );
    if totals.with_tax <= left.zero() {
        let accepted = "something of the bill that was not given back before";
        faults.push(Fault::new(
            "/lines",
            totals.with_tax.to_string(),
            accepted,
            None,
        ));
    }
    let application = after(sent, (&lines, &allowances), &totals);
    let credit = credit_note(sent, (lines, allowances), (tax, totals), application);
    faults.or(credit)
}

fn bills(sent: &CreditRequest) -> impl Iterator<Item = (String, &Bill)> {
    let earlier = sent.earlier.iter().flatten().enumerate();
    let earlier = earlier.map(|(index, bill)| (format!("/earlier/{index}"), bill));
    std::iter::once(("/bill".to_owned(), &sent.bill)).chain(earlier)
}

fn check_head(sent: &CreditRequest, faults: &mut Faults) {
    check_number(&sent.number, ("/number", faults));
    check_text(&sent.reason, LINE_AT_MOST, ("/reason", faults));
    check_notes(sent.notes.as_deref(), faults);
    if sent.bill.is_credit() {
        let accepted = "an invoice or a deposit: a credit note is not credited";
        faults.push(Fault::new(
            "/bill/kind",
            sent.bill.kind.word(),
            accepted,
            Some("invoice"),
        ));
    }
    if sent.issue_date < sent.bill.issue_date {
        let accepted = format!("{} or later, the date of the bill", sent.bill.issue_date);
        let found = sent.issue_date.to_string();
        faults.push(Fault::new("/issue_date", found, accepted, None));
    }
    for (index, credit) in sent.earlier.iter().flatten().enumerate() {
        let same = credit
            .corrects
            .as_ref()
            .is_some_and(|of| of.number == sent.bill.number);
        if !same || credit.currency != sent.bill.currency {
            let accepted = format!("a credit note for {}, in its currency", sent.bill.number);
            let at = format!("/earlier/{index}/corrects");
            faults.push(Fault::new(at, &credit.number, accepted, None));
        }
    }
}

/// What is left of a bill after the credit notes that were written for it.
struct Left<'a> {
    bill: &'a Bill,
    earlier: &'a [Bill],
    /// True where all that is left is given back.
    whole: bool,
}

impl<'a> Left<'a> {
    fn of(sent: &'a CreditRequest) -> Self {
        Self {
            bill: &sent.bill,
            earlier: sent.earlier.as_deref().unwrap_or_default(),
            whole: sent.lines.is_none(),
        }
    }

    fn zero(&self) -> Amount {
        Amount::zero(&self.bill.currency)
    }

    fn of_line(&self, line: &BillLine) -> Amount {
        let credits = self.earlier.iter().flat_map(|credit| &credit.lines);
        let given = credits.filter(|credited| credited.id == line.id);
        self.zero() + line.amount - given.map(|credited| credited.amount).sum::<Amount>()
    }

    fn lines(&self, sent: &CreditRequest, faults: &mut Faults) -> Vec<BillLine> {
        let Some(asked) = sent.lines.as_deref() else {
            let lines = self.bill.lines.iter();
            let left = lines.map(|line| given_back(line, self.of_line(line)));
            return left.filter(|line| !line.amount.is_zero()).collect();
        };
        let lines = asked.iter().enumerate();
        let lines = lines.filter_map(|(index, asked_line)| {
            let at = format!("/lines/{index}");
            let again = asked
                .iter()
                .take(index)
                .any(|other| other.line == asked_line.line);
            let line = self
                .bill
                .lines
                .iter()
                .find(|line| line.id == asked_line.line);
            let Some(line) = line.filter(|_| !again) else {
                let names: Vec<&str> = self
                    .bill
                    .lines
                    .iter()
                    .map(|line| line.id.as_str())
                    .collect();
                let accepted = format!("a line of the bill, once: {}", names.join(", "));
                faults.push(Fault::new(
                    format!("{at}/line"),
                    &asked_line.line,
                    accepted,
                    None,
                ));
                return None;
            };
            Some(given_back(
                line,
                self.asked(line, asked_line, (&at, faults)),
            ))
        });
        lines.filter(|line| !line.amount.is_zero()).collect()
    }

    fn asked(
        &self,
        line: &BillLine,
        asked: &CreditLineRequest,
        (at, faults): (&str, &mut Faults),
    ) -> Amount {
        let left = self.of_line(line);
        let amount = match (asked.percent, asked.amount) {
            (None, None) => left,
            (Some(percent), None) => {
                if percent <= Percentage::ZERO || percent > Percentage::WHOLE {
                    let accepted = "above 0 % and at most 100 %";
                    let at = format!("{at}/percent");
                    faults.push(Fault::new(at, percent.to_string(), accepted, Some("50 %")));
                }
                line.amount.percent(percent)
            }
            (None, Some(amount)) => held(
                amount,
                &self.bill.currency,
                (&format!("{at}/amount"), faults),
            ),
            (Some(_), Some(_)) => {
                let accepted = "one of `percent` and `amount`";
                faults.push(Fault::new(at, "both", accepted, None));
                left
            }
        };
        let (low, high) = (left.min(self.zero()), left.max(self.zero()));
        if amount < low || amount > high {
            let accepted = format!("at most the {left} that is left of the line");
            faults.push(Fault::new(at, amount.to_string(), accepted, None));
        }
        amount
    }

    /// What was held back of the work that is given back: it is no longer owed.
    fn allowances(&self, lines: &[BillLine]) -> Vec<BillAllowance> {
        let base: Amount = lines
            .iter()
            .filter(|line| is_work(line))
            .map(|line| line.amount)
            .sum();
        let base = self.zero() + base;
        let allowances = self.bill.allowances.iter().enumerate();
        let given = allowances.map(|(index, held)| {
            let before = self
                .earlier
                .iter()
                .filter_map(|credit| credit.allowances.get(index));
            let left = held.amount - before.map(|given| given.amount).sum::<Amount>();
            let amount = if self.whole {
                left
            } else {
                held.amount.portion(base, held.base).min(left)
            };
            BillAllowance {
                base,
                amount,
                ..held.clone()
            }
        });
        given.filter(|held| !held.amount.is_zero()).collect()
    }

    fn tax(&self, (lines, allowances): (&[BillLine], &[BillAllowance])) -> BillTax {
        let taxable = sum_up(lines, allowances, &self.bill.currency);
        let before = |pick: fn(&BillTax) -> Amount| {
            self.zero()
                + self
                    .earlier
                    .iter()
                    .map(|credit| pick(&credit.tax))
                    .sum::<Amount>()
        };
        let left = self.bill.tax.amount - before(|tax| tax.amount);
        let all = taxable == self.bill.tax.taxable - before(|tax| tax.taxable);
        let reckoned = taxable.percent(self.bill.tax.rate);
        BillTax {
            taxable,
            amount: if all {
                left
            } else {
                reckoned.min(left.max(self.zero()))
            },
            ..self.bill.tax.clone()
        }
    }
}

fn is_work(line: &BillLine) -> bool {
    matches!(line.kind, LineKind::Work | LineKind::Change)
}

fn given_back(line: &BillLine, amount: Amount) -> BillLine {
    BillLine {
        amount,
        quantity: None,
        unit: None,
        ..line.clone()
    }
}

/// Where the job stands after a part of a bill was given back; nothing is said where all of it was,
/// since the bill is then left out of the next one's `earlier`.
fn after(
    sent: &CreditRequest,
    (lines, allowances): (&[BillLine], &[BillAllowance]),
    totals: &BillTotals,
) -> Option<Application> {
    sent.lines.as_ref()?;
    let mut after = sent
        .after
        .clone()
        .or_else(|| sent.bill.application.clone())?;
    for line in lines {
        match line.kind {
            LineKind::Work | LineKind::Change => after.credited += line.amount,
            LineKind::BackCharge => after.back_charges += line.amount,
            LineKind::Deposit => after.deposit = after.deposit - line.amount,
            LineKind::DepositApplied => after.deposit_applied += line.amount,
            LineKind::RetainageReleased => after.released = after.released - line.amount,
        }
    }
    let no_longer_held: Amount = allowances.iter().map(|held| held.amount).sum();
    after.retained = after.retained - no_longer_held;
    for item in &mut after.items {
        item.before = item.earned();
        item.now = item.now.nothing();
    }
    after.number = after.number.saturating_add(1);
    after.bill.clone_from(&sent.number);
    after.through = after.through.max(sent.issue_date);
    after.billed = after.billed - totals.before_tax;
    after.tax = after.tax - totals.tax;
    after.balance = after.contract_sum() - after.earned + after.held();
    Some(after)
}

fn credit_note(
    sent: &CreditRequest,
    (lines, allowances): (Vec<BillLine>, Vec<BillAllowance>),
    (tax, totals): (BillTax, BillTotals),
    application: Option<Application>,
) -> Bill {
    let bill = &sent.bill;
    let credit = Bill {
        kind: BillKind::CreditNote,
        number: sent.number.clone(),
        issue_date: sent.issue_date,
        lines,
        allowances,
        tax,
        totals,
        due_date: None,
        period: None,
        corrects: Some(Corrected {
            number: bill.number.clone(),
            issue_date: bill.issue_date,
        }),
        reason: Some(sent.reason.clone()),
        paid: None,
        notes: sent.notes.clone(),
        attachments_needed: None,
        application,
        ..bill.clone()
    };
    credit.named()
}
