//! The names of a table's columns.
//!
//! Invariants: no two names are the same, capitals and blanks aside, so that looking one up is
//! never a choice; a column without a name can stand between others and is never found.

use super::{Limits, SheetError};

/// A table's heading.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Heading {
    names: Vec<String>,
}

impl Heading {
    /// Its names as written, trimmed, from left to right.
    pub fn names(&self) -> &[String] {
        &self.names
    }

    /// The place of a column, from 0: by its very name, else by the same without regard to
    /// capitals and blanks.
    pub fn find(&self, name: &str) -> Option<usize> {
        let wanted = plain(name);
        if wanted.is_empty() {
            return None;
        }
        let exact = self.names.iter().position(|own| own == name);
        exact.or_else(|| self.names.iter().position(|own| plain(own) == wanted))
    }

    /// A heading of these cells; blank ones at the end are no columns.
    pub(super) fn new(mut names: Vec<String>, limits: &Limits) -> Result<Self, SheetError> {
        let used = names.iter().rposition(|name| !name.is_empty());
        names.truncate(used.map_or(0, |last| last + 1));
        if names.is_empty() {
            return Err(SheetError::NoHeading);
        }
        if names.len() > limits.columns {
            return Err(SheetError::TooManyColumns {
                found: names.len(),
                limit: limits.columns,
            });
        }
        let mut seen = std::collections::BTreeSet::new();
        for name in names.iter().filter(|name| !name.is_empty()) {
            if !seen.insert(plain(name)) {
                return Err(SheetError::NameTwice { name: name.clone() });
            }
        }
        Ok(Self { names })
    }
}

/// A name without capitals and blanks.
fn plain(name: &str) -> String {
    let letters = name.chars().filter(|one| !one.is_whitespace());
    letters.flat_map(char::to_lowercase).collect()
}
