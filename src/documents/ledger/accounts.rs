//! Which names of accounts a plain-text form can hold.
//!
//! Invariant: a name is taken as it is or refused; none is changed, since it must meet the caller's own. Absent:
//! which accounts there are.
//!
//! Source: the manuals of hledger and ledger (an account ends at two spaces; brackets make a posting that need not
//! balance) and of beancount (five roots; each part begins with a capital or a digit), from memory; the programs
//! themselves read what the tests write.

use super::Dialect;
use crate::billing::Journal;
use crate::quantity::{Fault, Faults};
use std::collections::BTreeSet;

/// The roots of accounts that beancount knows.
const ROOTS: [&str; 5] = ["Assets", "Liabilities", "Equity", "Income", "Expenses"];

/// Every account of a journal, if a form can hold it.
///
/// # Errors
/// Each account that it cannot, by its name.
pub fn check_accounts(journal: &Journal, dialect: Dialect) -> Result<(), Faults> {
    let postings = journal.entries.iter().flat_map(|entry| &entry.postings);
    let names: BTreeSet<&str> = postings.map(|posting| posting.account.as_str()).collect();
    let mut faults = Faults::default();
    for name in names {
        let (fits, accepted, example) = match dialect {
            Dialect::Ledger => (fits_ledger(name), LEDGER, "Assets:Receivable"),
            Dialect::Beancount => (fits_beancount(name), BEANCOUNT, "Assets:Receivable"),
        };
        if !fits {
            faults.push(Fault::new(
                "/accounts",
                format!("\"{name}\""),
                accepted,
                Some(example),
            ));
        }
    }
    faults.or(())
}

const LEDGER: &str = "a name of letters, digits and single spaces, parts joined by colons, without \
                      brackets, quotes and semicolons";
const BEANCOUNT: &str = "Assets, Liabilities, Equity, Income or Expenses, and after a colon parts of \
                         letters, digits and hyphens that begin with a capital or a digit";

fn fits_ledger(name: &str) -> bool {
    let plain = |c: char| c.is_alphanumeric() || " :-_.,&/'+#%".contains(c);
    let begins = name.starts_with(char::is_alphanumeric);
    let parts = name
        .split(':')
        .all(|part| !part.is_empty() && part.trim() == part);
    begins && parts && name.chars().all(plain) && !name.contains("  ")
}

fn fits_beancount(name: &str) -> bool {
    let mut parts = name.split(':');
    let root = parts.next().unwrap_or_default();
    let mut rest = parts.peekable();
    let fits = |part: &str| {
        let begins = |c: char| c.is_ascii_uppercase() || c.is_ascii_digit();
        let plain = |c: char| c.is_ascii_alphanumeric() || c == '-';
        part.starts_with(begins) && part.chars().all(plain)
    };
    ROOTS.contains(&root) && rest.peek().is_some() && rest.all(fits)
}

#[cfg(test)]
mod tests {
    use super::{fits_beancount, fits_ledger};

    #[test]
    fn a_name_that_would_change_its_meaning_is_refused() {
        for (name, ledger, beancount) in [
            ("Assets:Receivable", true, true),
            ("Assets:Accounts Receivable", true, false),
            ("1200 Forderungen", true, false),
            ("Income:Ramps:2026-A", true, true),
            ("income:ramps", true, false),
            ("Assets", true, false),
            ("(Assets:Virtual)", false, false),
            ("[Assets:Virtual]", false, false),
            ("Assets:Two  spaces", false, false),
            ("Assets: Space", false, false),
            ("Assets::Empty", false, false),
            ("Assets;note", false, false),
            ("* Assets", false, false),
            ("Assets:été", true, false),
        ] {
            assert_eq!(fits_ledger(name), ledger, "{name}");
            assert_eq!(fits_beancount(name), beancount, "{name}");
        }
    }
}
