//! Where a job stands after a bill: what the next bill begins from.
//!
//! Invariants: all amounts are to date and without tax, but for the tax; what was billed is what was earned
//! less what is held, with deposits, back-charges and credits: each application is held to that when it comes
//! back. Absent: how an application comes about.

use super::bill::{BillTax, TaxCategory};
use crate::job::Day;
use crate::quantity::money::{Amount, Percentage};
use crate::quantity::{Fault, Faults};

kept! {
    /// Where the job stands after a bill; all amounts to date. Send it along with the next bill.
    Application {
        required {
            /// Its number: 1 for the first bill of a job.
            number: u32,
            /// Number of the bill.
            bill: String,
            /// Last day of the work in it.
            through: Day,
            /// The contract sum before changes.
            contract: Amount,
            /// Agreed changes.
            changes: Amount,
            /// The schedule of values, and how far each item is.
            items: Vec<ApplicationItem>,
            /// Work in place and material stored.
            earned: Amount,
            /// Held back of that so far.
            retained: Amount,
            /// Of that, released.
            released: Amount,
            /// Deposits billed.
            deposit: Amount,
            /// Of that, taken off bills.
            deposit_applied: Amount,
            /// Back-charges taken off.
            back_charges: Amount,
            /// Billed, before tax, less what credit notes gave back.
            billed: Amount,
            /// Tax billed, likewise.
            tax: Amount,
            /// The same by category and rate.
            taxes: Vec<ApplicationTax>,
            /// Not yet billed of the contract sum with its changes: what is not earned, and what is held back.
            balance: Amount,
        }
        optional {}
    }

    /// What was billed in one category of tax, at one rate.
    ApplicationTax {
        required {
            /// Its category (UNCL 5305).
            category: TaxCategory,
            /// Its rate.
            rate: Percentage,
            /// What it is reckoned on.
            taxable: Amount,
            /// The tax of that sum.
            amount: Amount,
        }
        optional {}
    }

    /// One item of the schedule of values, and how far it is.
    ApplicationItem {
        required {
            /// Its name on bills.
            id: String,
            /// What it is.
            description: String,
            /// What it is worth.
            scheduled: Amount,
            /// Work in place before this bill, with what was stored.
            before: Amount,
            /// Billed now: negative where less is there than was billed.
            now: Amount,
            /// Work in place.
            completed: Amount,
            /// Material on site and not yet in place.
            stored: Amount,
            /// Completed and stored over scheduled.
            percent: Percentage,
            /// Not yet earned.
            balance: Amount,
        }
        optional {
            /// True for an agreed change.
            change: bool,
            /// A code of cost for the bookkeeper.
            cost_code: String,
        }
    }
}

impl ApplicationItem {
    /// Work in place and material stored.
    pub fn earned(&self) -> Amount {
        self.completed + self.stored
    }
}

impl Application {
    /// Held back and not released.
    pub fn held(&self) -> Amount {
        self.retained - self.released
    }

    /// Deposit that was billed and not taken off yet.
    pub fn deposit_left(&self) -> Amount {
        self.deposit - self.deposit_applied
    }

    /// The contract sum with its changes.
    pub fn contract_sum(&self) -> Amount {
        self.contract + self.changes
    }

    /// What is not earned of the contract sum, and what is held back.
    pub fn still_to_bill(&self) -> Amount {
        self.contract_sum() - self.earned + self.held()
    }

    /// What was billed, as its parts say.
    pub fn billed_by_parts(&self) -> Amount {
        self.earned - self.held() + self.deposit_left() - self.back_charges
    }

    /// The tax that `taxable` adds to what was billed at its rate: that of the sum, less that of what was there.
    pub fn tax_on(
        taxes: &[ApplicationTax],
        (category, rate): (TaxCategory, Percentage),
        taxable: Amount,
    ) -> Amount {
        let known = taxes.iter().find(|tax| tax.is(category, rate));
        match known {
            Some(known) => (known.taxable + taxable).percent(rate) - known.amount,
            None => taxable.percent(rate),
        }
    }

    /// Adds what a bill was taxed; a credit note takes it off.
    pub fn add_tax(&mut self, tax: &BillTax, sign: Sign) {
        let (taxable, amount) = match sign {
            Sign::Billed => (tax.taxable, tax.amount),
            Sign::GivenBack => (-tax.taxable, -tax.amount),
        };
        self.billed += taxable;
        self.tax += amount;
        match self
            .taxes
            .iter_mut()
            .find(|known| known.is(tax.category, tax.rate))
        {
            Some(known) => {
                known.taxable += taxable;
                known.amount += amount;
            }
            None => self.taxes.push(ApplicationTax {
                category: tax.category,
                rate: tax.rate,
                taxable,
                amount,
            }),
        }
    }

    /// Adds a fault for each sum that does not hold; `at` is where it stands.
    pub fn check(&self, at: &str, faults: &mut Faults) {
        let earned: Amount = self.items.iter().map(ApplicationItem::earned).sum();
        let changed = |item: &&ApplicationItem| item.change == Some(true);
        let changes: Amount = self
            .items
            .iter()
            .filter(changed)
            .map(|item| item.scheduled)
            .sum();
        let whole: Amount = self.items.iter().map(|item| item.scheduled).sum();
        let taxed: Amount = self.taxes.iter().map(|tax| tax.taxable).sum();
        let tax: Amount = self.taxes.iter().map(|tax| tax.amount).sum();
        let sums = [
            ("contract", self.contract, whole - changes),
            ("changes", self.changes, changes),
            ("earned", self.earned, earned),
            ("billed", self.billed, self.billed_by_parts()),
            ("taxes", taxed, self.billed),
            ("tax", self.tax, tax),
            ("balance", self.balance, self.still_to_bill()),
        ];
        let of_taxes = self.taxes.iter().enumerate().map(|(index, tax)| {
            let right = tax.taxable.percent(tax.rate);
            (format!("taxes/{index}/amount"), tax.amount, right)
        });
        let sums = sums.map(|(field, found, right)| (field.to_owned(), found, right));
        for (field, found, right) in sums.into_iter().chain(of_taxes) {
            if found != right {
                let accepted = format!("{right}, as the parts add up; it is sent back as it came");
                let at = format!("{at}/{field}");
                faults.push(Fault::new(at, found.to_string(), accepted, None));
            }
        }
    }
}

/// Which way a bill goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sign {
    /// It charges.
    Billed,
    /// It gives back.
    GivenBack,
}

impl ApplicationTax {
    fn is(&self, category: TaxCategory, rate: Percentage) -> bool {
        self.category == category && self.rate == rate
    }
}
