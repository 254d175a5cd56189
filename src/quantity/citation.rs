//! Where a value comes from, and how far that was read.
//!
//! Invariants: `Verified` is ordered by falling trust, so the weakest of many is the greatest.
//! Absent here: any list of documents.

/// How a cited value was checked, in falling trust.
#[derive(
    Clone,
    Copy,
    Debug,
    PartialEq,
    Eq,
    PartialOrd,
    Ord,
    Hash,
    serde::Serialize,
    serde::Deserialize,
    deserr::Deserr,
)]
#[cfg_attr(feature = "service", derive(utoipa::ToSchema))]
#[serde(rename_all = "snake_case")]
#[deserr(error = super::Faults)]
pub enum Verified {
    /// Read in the document itself.
    #[deserr(rename = "read")]
    Read,
    /// Read in another text that quotes the document.
    #[deserr(rename = "second_hand")]
    SecondHand,
    /// Written down from memory.
    #[deserr(rename = "memory")]
    Memory,
    /// Common practice of the trade, published nowhere.
    #[deserr(rename = "practice")]
    Practice,
}

impl Verified {
    /// The mark of a value derived from both: the weaker one.
    pub fn weakest(self, other: Self) -> Self {
        self.max(other)
    }
}

/// The place a value is taken from.
#[derive(
    Clone, Debug, PartialEq, Eq, Hash, serde::Serialize, serde::Deserialize, deserr::Deserr,
)]
#[cfg_attr(feature = "service", derive(utoipa::ToSchema))]
#[serde(deny_unknown_fields)]
#[deserr(error = super::Faults, deny_unknown_fields)]
pub struct Citation {
    /// The document, with its edition.
    pub document: String,
    /// The section, table or figure in it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[deserr(default)]
    pub section: Option<String>,
    /// How it was checked.
    pub verified: Verified,
}

impl Citation {
    /// A place in a document.
    pub fn new(document: &str, section: Option<&str>, verified: Verified) -> Self {
        Self {
            document: document.to_owned(),
            section: section.map(str::to_owned),
            verified,
        }
    }

    /// None: where nobody reads where a value comes from.
    pub const fn untold() -> Self {
        Self {
            document: String::new(),
            section: None,
            verified: Verified::Practice,
        }
    }

    /// A trade fact that no document publishes.
    pub fn practice() -> Self {
        Self::new("common practice, no source", None, Verified::Practice)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_derived_value_carries_the_weaker_mark() {
        assert_eq!(Verified::Read.weakest(Verified::Memory), Verified::Memory);
        assert_eq!(
            Verified::Practice.weakest(Verified::SecondHand),
            Verified::Practice
        );
    }

    #[test]
    fn a_citation_is_read_as_it_is_written() {
        let text = r#"{"document":"common practice, no source","verified":"practice"}"#;
        let citation = Citation::practice();
        assert_eq!(serde_json::to_string(&citation).ok().as_deref(), Some(text));
        assert_eq!(serde_json::from_str::<Citation>(text).ok(), Some(citation));
        assert!(
            serde_json::from_str::<Citation>(r#"{"document":"a","verified":"read","x":1}"#)
                .is_err()
        );
    }
}
