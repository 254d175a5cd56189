//! A credit note: something of a bill given back, to be billed again or not.
//!
//! Invariants: no line, and no bill, is given back beyond what it billed, over all credit notes of that bill; what is
//! given back is no longer earned, so that the next bill goes on from there; what is no longer held back is never more
//! than what is held. Absent: a lower price, which is a change of the contract.

use super::application::{Application, Sign};
use super::bill::{
    Bill, BillAllowance, BillKind, BillLine, BillTax, BillTotals, Corrected, LineKind, sum_up,
};
use super::credit_head::{check_credit_head, standing};
use super::request::{CreditLineRequest, CreditRequest};
use super::unbilled::{take_back, unearn};
use crate::answered::held;
use crate::quantity::money::{Amount, Percentage};
use crate::quantity::{Fault, Faults};

/// The credit note that is asked for.
///
/// # Errors
/// Everything that is wrong with what was sent.
pub fn make_credit_note(sent: &CreditRequest) -> Result<Bill, Faults> {
    let mut faults = Faults::default();
    check_credit_head(sent, &mut faults);
    if !faults.is_empty() {
        return Err(faults);
    }
    let Some(standing) = standing(sent) else {
        let accepted = "a bill with its `application`, as it was answered";
        faults.push(Fault::new("/bill/application", "nothing", accepted, None));
        return Err(faults);
    };
    let left = Left::of(sent);
    let lines = left.lines(sent, &mut faults);
    let mut after = standing.clone();
    let below = take_back(&mut after, &lines);
    if faults.is_empty() {
        faults = below;
    }
    let allowances = left.allowances(&lines, after.held());
    let tax = left.tax((&lines, &allowances), standing);
    let totals = BillTotals::of(
        (&lines, &allowances),
        (&tax, left.zero()),
        &sent.bill.currency,
    );
    left.check_whole(&totals, &mut faults);
    unearn(&mut after, &allowances, (&sent.number, sent.issue_date));
    after.add_tax(&tax, Sign::GivenBack);
    after.balance = after.still_to_bill().in_currency(&sent.bill.currency);
    let credit = credit_note(sent, (lines, allowances), (tax, totals), after);
    faults.or(credit)
}

/// What is left of a bill after the credit notes that were written for it.
struct Left<'a> {
    bill: &'a Bill,
    earlier: &'a [Bill],
}

impl<'a> Left<'a> {
    fn of(sent: &'a CreditRequest) -> Self {
        Self {
            bill: &sent.bill,
            earlier: sent.earlier.as_deref().unwrap_or_default(),
        }
    }

    fn zero(&self) -> Amount {
        Amount::zero(&self.bill.currency)
    }

    fn sum(&self, amounts: impl Iterator<Item = Amount>) -> Amount {
        amounts.sum::<Amount>().in_currency(&self.bill.currency)
    }

    fn of_line(&self, line: &BillLine) -> Amount {
        let credits = self.earlier.iter().flat_map(|credit| &credit.lines);
        let given = credits.filter(|credited| credited.id == line.id);
        line.amount - self.sum(given.map(|credited| credited.amount))
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
            let mut before = asked.iter().take(index);
            let again = before.any(|other| other.line == asked_line.line);
            let mut all = self.bill.lines.iter();
            let line = all.find(|line| line.id == asked_line.line && !again);
            if line.is_none() {
                let names: Vec<&str> = self
                    .bill
                    .lines
                    .iter()
                    .map(|line| line.id.as_str())
                    .collect();
                let accepted = format!("a line of the bill, once: {}", names.join(", "));
                let at = format!("{at}/line");
                faults.push(Fault::new(at, &asked_line.line, accepted, None));
            }
            let line = line?;
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

    /// What was held back of the work that is given back, as far as it is still held: of all credit notes of
    /// the bill together, so that parts come to the whole.
    fn allowances(&self, lines: &[BillLine], still: Amount) -> Vec<BillAllowance> {
        let work = |lines: &[BillLine]| -> Amount {
            let work = lines.iter().filter(|line| is_work(line));
            work.map(|line| line.amount).sum()
        };
        let base = self.sum([work(lines)].into_iter());
        let before = self.sum(self.earlier.iter().map(|credit| work(&credit.lines)));
        let mut still = still;
        let allowances = self.bill.allowances.iter();
        let given = allowances.map(|held| {
            let credits = self.earlier.iter().flat_map(|credit| &credit.allowances);
            let known = credits.filter(|given| given.reason == held.reason);
            let to_date = held.amount.portion(before + base, held.base);
            let due = to_date - known.map(|given| given.amount).sum::<Amount>();
            let amount = if due.is_negative() {
                due
            } else {
                due.min(still.max(self.zero()))
            };
            still = still - amount;
            BillAllowance {
                base,
                amount: amount.in_currency(&self.bill.currency),
                ..held.clone()
            }
        });
        given.filter(|held| !held.amount.is_zero()).collect()
    }

    /// The tax that is no longer billed: that of the job so far, less that of what is left of it.
    fn tax(
        &self,
        (lines, allowances): (&[BillLine], &[BillAllowance]),
        standing: &Application,
    ) -> BillTax {
        let taxable = sum_up(lines, allowances, &self.bill.currency);
        let tax = &self.bill.tax;
        let less = Application::tax_on(&standing.taxes, (tax.category, tax.rate), -taxable);
        BillTax {
            taxable,
            amount: (-less).in_currency(&self.bill.currency),
            ..tax.clone()
        }
    }

    /// A bill gives back no more than it asked for.
    fn check_whole(&self, totals: &BillTotals, faults: &mut Faults) {
        let given = self.earlier.iter().map(|credit| credit.totals.before_tax);
        let left = self.bill.totals.before_tax - self.sum(given);
        if !faults.is_empty() {
            return;
        }
        if totals.before_tax <= self.zero() {
            let accepted = "something of the bill that was not given back before";
            let found = totals.before_tax.to_string();
            faults.push(Fault::new("/lines", found, accepted, None));
        } else if totals.before_tax > left {
            let accepted = format!("at most the {left} before tax that are left of the bill");
            let found = totals.before_tax.to_string();
            faults.push(Fault::new("/lines", found, accepted, None));
        }
    }
}

fn is_work(line: &BillLine) -> bool {
    matches!(line.kind, LineKind::Work | LineKind::Change)
}

fn given_back(line: &BillLine, amount: Amount) -> BillLine {
    let description = if amount == line.amount {
        line.description.clone()
    } else {
        format!("Part of line {}: {}", line.id, line.description)
    };
    BillLine {
        amount,
        description,
        quantity: None,
        unit: None,
        ..line.clone()
    }
}

fn credit_note(
    sent: &CreditRequest,
    (lines, allowances): (Vec<BillLine>, Vec<BillAllowance>),
    (tax, totals): (BillTax, BillTotals),
    application: Application,
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
        application: Some(application),
        ..bill.clone()
    };
    credit.named()
}
