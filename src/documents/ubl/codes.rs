//! Codes of units, countries and currencies, as rows.
//!
//! Invariant: every unit of sale has a code. Absent: what a unit measures.

use serde::Deserialize;
use std::sync::LazyLock;

#[derive(Deserialize)]
struct UnitRow {
    unit: String,
    code: String,
}

#[derive(Deserialize)]
struct UnitFile {
    unit: Vec<UnitRow>,
}

#[derive(Deserialize)]
struct List {
    codes: String,
}

#[derive(Deserialize)]
struct ListFile {
    countries: List,
    currencies: List,
}

static UNITS: LazyLock<Vec<UnitRow>> = LazyLock::new(|| {
    let file: Result<UnitFile, _> = toml::from_str(include_str!("units.toml"));
    file.expect("the embedded unit rows are read by a test")
        .unit
});

static LISTS: LazyLock<ListFile> = LazyLock::new(|| {
    let file: Result<ListFile, _> = toml::from_str(include_str!("codes.toml"));
    file.expect("the embedded lists are read by a test")
});

/// Code of a unit of sale; of nothing (``), that of a thing without a unit; `None` for an unknown one.
pub fn unit_code(unit: &str) -> Option<&'static str> {
    let row = UNITS.iter().find(|row| row.unit == unit);
    row.map(|row| row.code.as_str())
}

/// Whether two letters stand for a country.
pub fn accepts_country(code: &str) -> bool {
    LISTS
        .countries
        .codes
        .split_whitespace()
        .any(|one| one == code)
}

/// Whether three letters stand for a currency in use.
pub fn accepts_currency(code: &str) -> bool {
    LISTS
        .currencies
        .codes
        .split_whitespace()
        .any(|one| one == code)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalog::SaleUnit;

    #[test]
    fn every_unit_of_sale_has_a_code_of_its_own() {
        let codes = SaleUnit::WORDS.iter().map(|word| unit_code(word));
        let mut codes: Vec<&str> = codes.map(|code| code.expect("a code")).collect();
        codes.sort_unstable();
        codes.dedup();
        assert_eq!(codes.len(), SaleUnit::WORDS.len());
        assert_eq!(unit_code("furlong"), None);
        assert_eq!(unit_code(""), Some("C62"));
    }

    #[test]
    fn the_lists_are_read() {
        assert!(accepts_country("US") && !accepts_country("ZZ") && !accepts_country(""));
        assert!(accepts_currency("JPY") && !accepts_currency("XXX"));
    }
}
