//! What a key opens, by name.
//!
//! Invariant: the words are those of the database and of the contract. Absent: which call needs
//! which role; the web room decides that.

use std::fmt;

/// What a key opens.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Role {
    /// Figures for a spreadsheet.
    Cell,
    /// Those, every computing call, and reading of price books.
    Estimate,
    /// The same and every write to a price book.
    Prices,
    /// Sending documents, and nothing else.
    Deliver,
    /// Everything.
    Admin,
}

impl Role {
    /// Every role, from the one that opens least.
    pub const ALL: [Self; 5] = [
        Self::Cell,
        Self::Estimate,
        Self::Prices,
        Self::Deliver,
        Self::Admin,
    ];

    /// Its word.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Cell => "cell",
            Self::Estimate => "estimate",
            Self::Prices => "prices",
            Self::Deliver => "deliver",
            Self::Admin => "admin",
        }
    }

    /// The role of a word.
    pub fn from_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|role| role.word() == word)
    }
}

impl fmt::Display for Role {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}
