//! A bill: an invoice or a credit note, as it is answered and as it comes back.
//!
//! Invariants: lines less allowances are the sum before tax, that and the tax is the sum with tax, and less
//! what was paid it is what is due; amounts of a credit note are positive and say what is given back. Absent: how a
//! bill comes about, and how it is written as XML or on paper.

use super::application::Application;
use super::party::Party;
use crate::catalog::words;
use crate::job::Day;
use crate::quantity::money::{Amount, Currency, Decimal4, Percentage};
use crate::quantity::{Fault, Faults};

words! {
    /// What a bill is.
    BillKind {
        /// Work, stored material, changes; with retainage held back.
        Invoice = "invoice",
        /// A deposit before the work begins.
        Deposit = "deposit",
        /// Something of an earlier bill given back.
        CreditNote = "credit_note",
    }
}

words! {
    /// What a line of a bill is for.
    LineKind {
        /// Work in place, and material stored for it.
        Work = "work",
        /// Work of an agreed change.
        Change = "change",
        /// A charge of the buyer's against us; its amount is negative.
        BackCharge = "back_charge",
        /// A deposit that is asked for.
        Deposit = "deposit",
        /// A deposit billed before, taken off; its amount is negative.
        DepositApplied = "deposit_applied",
        /// Retainage of earlier bills that is due now.
        RetainageReleased = "retainage_released",
    }
}

words! {
    /// A duty or tax category (UN/CEFACT code list 5305, the subset of EN 16931).
    TaxCategory {
        /// At the rate that is stated.
        Standard = "S",
        /// At zero.
        Zero = "Z",
        /// Exempt.
        Exempt = "E",
        /// The buyer owes the tax.
        ReverseCharge = "AE",
        /// Within the European Economic Area.
        WithinArea = "K",
        /// Exported.
        Export = "G",
        /// No tax of this kind.
        OutOfScope = "O",
        /// The Canary Islands' tax.
        Canary = "L",
        /// The tax of Ceuta and Melilla.
        Ceuta = "M",
    }
}

kept! {
    /// An invoice or a credit note. Send it back as it came, for a journal, a credit note or the next bill.
    Bill {
        required {
            /// What it is.
            kind: BillKind,
            /// The same for the same bill: for whoever must not take it twice.
            id: String,
            /// Its number.
            number: String,
            /// Its date.
            issue_date: Day,
            /// Currency of every amount (ISO 4217).
            currency: Currency,
            /// Who sells.
            seller: Party,
            /// Who buys.
            buyer: Party,
            /// Name of the job.
            job: String,
            /// Fingerprint of the estimate that it rests on.
            fingerprint: String,
            /// What is billed.
            lines: Vec<BillLine>,
            /// What is held back of it.
            allowances: Vec<BillAllowance>,
            /// Tax on the rest.
            tax: BillTax,
            /// The sums.
            totals: BillTotals,
        }
        optional {
            /// When it is due.
            due_date: Day,
            /// The time whose work is billed.
            period: BillPeriod,
            /// Papers that it refers to.
            references: References,
            /// The bill that a credit note is for.
            corrects: Corrected,
            /// Why it is written, on a credit note.
            reason: String,
            /// How to pay.
            pay_to: PayTo,
            /// What was paid on it before.
            paid: Vec<PaidBefore>,
            /// Sentences for the reader.
            notes: Vec<String>,
            /// What goes along.
            attachments_needed: Vec<String>,
            /// Where the job stands after it; send it along with the next bill.
            application: Application,
        }
    }

    /// One line.
    BillLine {
        required {
            /// Its number on the bill.
            id: String,
            /// What it is for.
            kind: LineKind,
            /// In words.
            description: String,
            /// Without tax.
            amount: Amount,
        }
        optional {
            /// The item of the schedule of values.
            item: String,
            /// How much, where the line bills a quantity.
            quantity: Decimal4,
            /// The unit of it, as the price book has it.
            unit: String,
            /// A code of cost for the bookkeeper.
            cost_code: String,
        }
    }

    /// Something held back.
    BillAllowance {
        required {
            /// Why.
            reason: String,
            /// What is held back of it.
            base: Amount,
            /// The share.
            rate: Percentage,
            /// How much; negative where earlier retainage is corrected.
            amount: Amount,
        }
        optional {}
    }

    /// Tax of a bill.
    BillTax {
        required {
            /// Its category (UNCL 5305).
            category: TaxCategory,
            /// Its rate.
            rate: Percentage,
            /// What it is reckoned on.
            taxable: Amount,
            /// The tax: that of all bills so far, less what was billed before.
            amount: Amount,
        }
        optional {
            /// Why none is charged.
            reason: String,
        }
    }

    /// The sums of a bill.
    BillTotals {
        required {
            /// The lines.
            lines: Amount,
            /// What is held back.
            allowances: Amount,
            /// Lines less what is held back.
            before_tax: Amount,
            /// The tax.
            tax: Amount,
            /// With tax.
            with_tax: Amount,
            /// Paid on it before.
            paid: Amount,
            /// What is due.
            payable: Amount,
        }
        optional {}
    }

    /// A time, both days included.
    BillPeriod {
        required {
            /// First day.
            from: Day,
            /// Last day.
            to: Day,
        }
        optional {}
    }

    /// Papers that a bill refers to.
    References {
        required {}
        optional {
            /// The buyer's order.
            order: String,
            /// The contract.
            contract: String,
            /// The project.
            project: String,
            /// Our quotation or proposal.
            quotation: String,
            /// Whatever the buyer asked to see.
            buyer_reference: String,
        }
    }

    /// The bill that a credit note is for.
    Corrected {
        required {
            /// Its number.
            number: String,
            /// Its date.
            issue_date: Day,
        }
        optional {}
    }

    /// How to pay.
    PayTo {
        required {}
        optional {
            /// Account (IBAN or other).
            account: String,
            /// Whose it is.
            account_name: String,
            /// The bank's code.
            bank: String,
            /// Terms in words.
            terms: String,
        }
    }

    /// A payment that came before.
    PaidBefore {
        required {
            /// When.
            date: Day,
            /// How much.
            amount: Amount,
        }
        optional {
            /// Number of a cheque or transfer.
            reference: String,
        }
    }
}

impl Bill {
    /// The bill, once it adds up, with its amounts in the decimals of its currency; `at` is where it stands.
    ///
    /// # Errors
    /// Every sum that does not.
    pub fn check(&self, at: &str) -> Result<(), Faults> {
        let mut faults = Faults::default();
        self.check_texts(at, &mut faults);
        for (place, amount) in self.amounts() {
            if amount.in_currency(&self.currency) != amount {
                let accepted = format!("at most {} decimals", self.currency.exponent());
                faults.push(Fault::new(
                    format!("{at}/{place}"),
                    amount.to_string(),
                    accepted,
                    None,
                ));
            }
        }
        let totals = &self.totals;
        let lines = self.sum(self.lines.iter().map(|line| line.amount));
        let allowances = self.sum(self.allowances.iter().map(|allowance| allowance.amount));
        let paid = self.paid.iter().flatten().map(|paid| paid.amount);
        for (field, found, right) in [
            ("totals/lines", totals.lines, lines),
            ("totals/allowances", totals.allowances, allowances),
            ("totals/before_tax", totals.before_tax, lines - allowances),
            ("tax/taxable", self.tax.taxable, totals.before_tax),
            ("totals/tax", totals.tax, self.tax.amount),
            (
                "totals/with_tax",
                totals.with_tax,
                totals.before_tax + totals.tax,
            ),
            ("totals/paid", totals.paid, self.sum(paid)),
            (
                "totals/payable",
                totals.payable,
                totals.with_tax - totals.paid,
            ),
        ] {
            if found != right {
                let accepted =
                    format!("{right}, as the parts add up; a bill is sent back as it came");
                let example = right.to_string();
                let at = format!("{at}/{field}");
                faults.push(Fault::new(at, found.to_string(), accepted, Some(&example)));
            }
        }
        faults.or(())
    }

    fn sum(&self, amounts: impl Iterator<Item = Amount>) -> Amount {
        Amount::zero(&self.currency) + amounts.sum::<Amount>()
    }

    fn amounts(&self) -> Vec<(String, Amount)> {
        let lines = self.lines.iter().enumerate();
        let lines = lines.map(|(index, line)| (format!("lines/{index}/amount"), line.amount));
        let allowances = self.allowances.iter().enumerate();
        let held =
            allowances.map(|(index, held)| (format!("allowances/{index}/amount"), held.amount));
        let tax = ("tax/amount".to_owned(), self.tax.amount);
        lines.chain(held).chain([tax]).collect()
    }

    /// True when it takes something back.
    pub fn is_credit(&self) -> bool {
        self.kind == BillKind::CreditNote
    }
}
