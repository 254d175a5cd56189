//! What a table would change, for people to look at before it does.
//!
//! Invariant: what is shown is read off the same cells that an export would write.

use super::{Kind, Written};

/// Most changes that are told in full.
const TOLD_AT_MOST: usize = 1_000;

/// What a table changes.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Difference {
    /// Rows read.
    pub rows: u64,
    /// Things that are new, by what they are: `item`, `price`, `supplier`, `wage`, `rate`, `index`.
    pub new: u64,
    /// Things that are changed.
    pub changed: u64,
    /// The first of them, in full.
    pub told: Vec<Changed>,
}

/// One thing that is new or changed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Changed {
    /// Row of the file.
    pub row: u64,
    /// What it is.
    pub what: &'static str,
    /// Which one.
    pub key: String,
    /// True when it was not known before.
    pub new: bool,
    /// The columns that are different.
    pub fields: Vec<Field>,
}

/// A column that is different.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Field {
    /// Its name.
    pub column: &'static str,
    /// What is known; none where nothing is.
    pub from: Option<String>,
    /// What would be known.
    pub to: Option<String>,
}

/// A thing before and after, in cells of its table.
pub(super) struct Pair<'a> {
    pub(super) row: u64,
    pub(super) what: &'static str,
    pub(super) key: String,
    pub(super) kind: Kind,
    /// The column in which its cells begin.
    pub(super) first: usize,
    pub(super) before: Option<&'a [Written]>,
    pub(super) after: &'a [Written],
}

impl Difference {
    pub(super) fn add(&mut self, pair: &Pair<'_>) {
        match pair.before {
            Some(_) => self.changed += 1,
            None => self.new += 1,
        }
        if self.told.len() < TOLD_AT_MOST {
            self.told.push(Changed {
                row: pair.row,
                what: pair.what,
                key: pair.key.clone(),
                new: pair.before.is_none(),
                fields: fields(pair),
            });
        }
    }
}

fn fields(pair: &Pair<'_>) -> Vec<Field> {
    let columns = pair.kind.columns().iter().skip(pair.first);
    let before = |index: usize| pair.before.and_then(|cells| cells.get(index)?.shown());
    let cells = columns.zip(pair.after).enumerate();
    let fields = cells.map(|(index, (column, after))| Field {
        column: column.name,
        from: before(index).map(str::to_owned),
        to: after.shown().map(str::to_owned),
    });
    fields.filter(|field| field.from != field.to).collect()
}
