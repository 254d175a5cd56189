//! The sentences of a proposal, as rows.
//!
//! Invariant: every sentence is used, and every placeholder in one is filled. Absent: facts.

use serde::Deserialize;
use std::collections::BTreeMap;
use std::sync::LazyLock;

macro_rules! sentences {
    ($($field:ident)+) => {
        /// The sentences.
        #[derive(Debug, Deserialize)]
        #[serde(deny_unknown_fields)]
        pub(super) struct Sentences { $(pub(super) $field: String,)+ }
    };
}

sentences! {
    from_documents from_measures told_none told_one told_many assumed
    numbers built_with
    slope_set_out slope_held slope_over slope_local slope_acceptance
    cracking visits closed notice not_before weather trip
    lump_sum budget_sum budget_part not_priced tax_charged tax_materials tax_none validity quoted budget_quoted oldest
    added deducted allowance extras_tax extras_start extras_nobody extras_missing
    sub_progress sub_retained sub_net sub_waivers prime_deposit prime_progress prime_cancel
    changes hidden delay damage warranty warranty_leaves
    safety barricades papers licence professional
    acceptance second_place ordering budget_unsigned budget_open
}

/// A kind of work, and what is said of it.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct WorkRow {
    /// Codes of the tasks that it stands for.
    pub(super) tasks: Vec<String>,
    /// With all facts.
    pub(super) says: String,
    /// Where a fact is missing.
    pub(super) less: Option<String>,
}

/// Names of a currency and its parts.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct CurrencyRow {
    pub(super) one: String,
    pub(super) many: String,
    pub(super) part: Option<String>,
    pub(super) parts: Option<String>,
    #[serde(rename = "document")]
    _document: String,
    #[serde(rename = "verified")]
    _verified: String,
}

#[derive(Debug, Deserialize)]
struct File {
    say: Sentences,
    headings: Texts,
    work: Vec<WorkRow>,
    left_out: Texts,
}

#[derive(Debug, Deserialize)]
struct Texts {
    texts: Vec<String>,
}

static FILE: LazyLock<File> = LazyLock::new(|| {
    toml::from_str(include_str!("text.toml")).expect("the embedded rows are read by a test")
});

/// Names of currencies by their codes.
pub(super) static CURRENCIES: LazyLock<BTreeMap<String, CurrencyRow>> = LazyLock::new(|| {
    toml::from_str(include_str!("currencies.toml")).expect("the embedded rows are read by a test")
});

/// The sentences.
pub(super) fn say() -> &'static Sentences {
    &FILE.say
}

/// The heading of a section, counted from 1.
pub(super) fn heading(number: u8) -> String {
    let heading = FILE
        .headings
        .texts
        .get(usize::from(number).saturating_sub(1));
    heading.cloned().unwrap_or_default()
}

/// Kinds of work in the order in which they are done.
pub(super) fn work_rows() -> &'static [WorkRow] {
    &FILE.work
}

/// What no price of this kind holds, beside what the answer leaves out.
pub(super) fn left_out() -> &'static [String] {
    &FILE.left_out.texts
}

/// A sentence with its placeholders filled; none where a fact is missing.
pub(super) fn filled(sentence: &str, facts: &[(&str, String)]) -> Option<String> {
    let mut text = String::with_capacity(sentence.len() + 32);
    let mut rest = sentence;
    while let Some((before, after)) = rest.split_once('{') {
        let (name, behind) = after.split_once('}')?;
        let (_, fact) = facts.iter().find(|(known, _)| *known == name)?;
        text.push_str(before);
        text.push_str(fact);
        rest = behind;
    }
    text.push_str(rest);
    Some(text)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_rows_are_read() {
        assert_eq!(FILE.headings.texts.len(), 13);
        assert!(!work_rows().is_empty() && !left_out().is_empty());
        assert!(CURRENCIES.contains_key("USD"));
    }

    #[test]
    fn facts_are_put_in_once_and_never_read_as_placeholders() {
        let facts = [("a", "{b}".to_owned()), ("b", "x".to_owned())];
        assert_eq!(filled("{a}, {b}.", &facts).as_deref(), Some("{b}, x."));
        assert_eq!(filled("{c}", &facts), None);
    }
}
