//! The sums of a bill, and the id that names all it says.
//!
//! Invariant: the same bill has the same id, and another bill another. Absent: whether a bill that comes back adds up.

use super::bill::{Bill, BillAllowance, BillLine, BillTax, BillTotals};
use crate::estimate::write_canonical;
use crate::quantity::money::{Amount, Currency};
use crate::quantity::{Fault, Faults};
use sha2::{Digest as _, Sha256};

/// Lines less what is held back.
pub(super) fn sum_up(
    lines: &[BillLine],
    allowances: &[BillAllowance],
    currency: &Currency,
) -> Amount {
    let lines: Amount = lines.iter().map(|line| line.amount).sum();
    let held: Amount = allowances.iter().map(|held| held.amount).sum();
    (lines - held).in_currency(currency)
}

impl BillTotals {
    /// The sums of lines, what is held back, tax and what was paid.
    pub(super) fn of(
        (lines, allowances): (&[BillLine], &[BillAllowance]),
        (tax, paid): (&BillTax, Amount),
        currency: &Currency,
    ) -> Self {
        let held: Amount = allowances.iter().map(|held| held.amount).sum();
        let held = held.in_currency(currency);
        let before_tax = sum_up(lines, allowances, currency);
        let with_tax = (before_tax + tax.amount).in_currency(currency);
        Self {
            lines: (before_tax + held).in_currency(currency),
            allowances: held,
            before_tax,
            tax: tax.amount,
            with_tax,
            paid: paid.in_currency(currency),
            payable: (with_tax - paid).in_currency(currency),
        }
    }
}

impl Bill {
    /// A bill that comes back is the one that went out: it adds up, and its id is that of all it says.
    ///
    /// # Errors
    /// Every sum that does not hold, every text that cannot stand there, another id; `at` is where it stands.
    pub fn check_returned(&self, at: &str) -> Result<(), Faults> {
        let mut faults = self.check(at).err().unwrap_or_default();
        if self.clone().named().id != self.id {
            let accepted = "the id of a bill that is sent back as it came";
            faults.push(Fault::new(format!("{at}/id"), &self.id, accepted, None));
        }
        faults.or(())
    }

    /// The bill with its id: a hash of all that it says.
    pub(super) fn named(mut self) -> Self {
        self.id.clear();
        self.id = name_of(&self.kind.word().replace('_', "-"), &self);
        self
    }
}

/// A name for a document whose own is still empty: a hash of all that it says.
pub(super) fn name_of(kind: &str, document: &impl serde::Serialize) -> String {
    let mut text = Vec::new();
    // A document holds texts and whole numbers only, which are always written.
    let written = write_canonical(document, &mut text).is_ok();
    debug_assert!(written, "a document can be written");
    let hash = Sha256::digest(&text);
    let digits: Vec<String> = hash
        .iter()
        .take(16)
        .map(|byte| format!("{byte:02x}"))
        .collect();
    format!("{kind}-{}", digits.concat())
}
