//! A row in its formats.
//!
//! Invariants: numbers have a point and no quotes in JSON, money is text; what is not known is an
//! empty cell in CSV, no element in XML, null in JSON, and never 0; XML has no attribute, no
//! namespace and no document type, so that a spreadsheet's paths find each value by its name.

use super::ApiError;
use crate::estimate::Estimate;
use crate::figures::{Figure, Found, Shown};
use crate::sheet::{Cell, CsvWriter, Dialect};
use serde_json::{Map, Value, json};

/// One job and its figures.
pub(super) struct Row<'a> {
    /// The line as it was sent.
    pub(super) inputs: &'a [(String, String)],
    /// Whether CSV and XML show it.
    pub(super) with_inputs: bool,
    /// The figures.
    pub(super) found: Vec<(&'static Figure, Found)>,
}

/// The name under which an input stands beside figures.
pub(in crate::http) fn input_name(name: &str, figures: &[&str]) -> String {
    let taken = figures
        .iter()
        .any(|figure| figure.eq_ignore_ascii_case(name));
    if taken {
        format!("sent_{name}")
    } else {
        name.to_owned()
    }
}

/// Rows of text as CSV.
///
/// # Errors
/// [`ApiError::Internal`] when it cannot be written, which writing into memory prevents.
pub(super) fn csv(rows: &[Vec<&str>]) -> Result<String, ApiError> {
    let mut writer = CsvWriter::new(Vec::new(), Dialect::default());
    for row in rows {
        // As text, so that an amount keeps its decimals.
        let cells: Vec<Cell<'_>> = row.iter().map(|text| Cell::Text(text)).collect();
        writer.write(&cells).map_err(ApiError::internal)?;
    }
    let bytes = writer.finish().map_err(ApiError::internal)?;
    String::from_utf8(bytes).map_err(ApiError::internal)
}

/// One element; characters that XML 1.0 cannot hold become spaces.
pub(super) fn element(name: &str, text: &str) -> String {
    format!("<{name}>{}</{name}>", escape(text))
}

/// A text inside an element or an attribute.
pub(super) fn escape(text: &str) -> String {
    let mut escaped = String::with_capacity(text.len());
    for one in text.chars() {
        match one {
            '&' => escaped.push_str("&amp;"),
            '<' => escaped.push_str("&lt;"),
            '>' => escaped.push_str("&gt;"),
            '"' => escaped.push_str("&quot;"),
            one if one.is_control() || matches!(one, '\u{fffe}' | '\u{ffff}') => escaped.push(' '),
            one => escaped.push(one),
        }
    }
    escaped
}

/// The element of a row.
pub(super) fn xml(elements: &str) -> String {
    format!("<?xml version=\"1.0\" encoding=\"UTF-8\"?><row>{elements}</row>")
}

/// Figures by their names, and why some of them are not known.
///
/// # Errors
/// A figure that is no number though it says so, which every room prevents.
pub(in crate::http) fn figures_in_json<'a>(
    found: impl Iterator<Item = (&'static str, &'a Found)>,
) -> serde_json::Result<(Map<String, Value>, Vec<Value>)> {
    let mut figures = Map::new();
    let mut not_known = Vec::new();
    for (name, found) in found {
        let value = match found {
            Ok(Shown::Number(number)) => serde_json::from_str(number)?,
            Ok(Shown::Money(text) | Shown::Text(text)) => json!(text),
            Err(why) => {
                not_known.push(json!({"figure": name, "kind": why.kind(), "why": why.why()}));
                Value::Null
            }
        };
        figures.insert(name.to_owned(), value);
    }
    Ok((figures, not_known))
}

impl Row<'_> {
    fn inputs(&self) -> Vec<(String, &str)> {
        let figures: Vec<&str> = self.found.iter().map(|(figure, _)| figure.name).collect();
        let shown = self.inputs.iter().filter(|_| self.with_inputs);
        shown
            .map(|(name, cell)| (input_name(name, &figures), cell.as_str()))
            .collect()
    }

    /// As CSV, with or without its heading.
    ///
    /// # Errors
    /// Those of [`csv`].
    pub(super) fn to_csv(&self, heading: bool) -> Result<String, ApiError> {
        let inputs = self.inputs();
        let names = inputs.iter().map(|(name, _)| name.as_str());
        let names = names.chain(self.found.iter().map(|(figure, _)| figure.name));
        let cells = inputs.iter().map(|(_, cell)| *cell);
        let figures = self.found.iter().map(|(_, found)| match found {
            Ok(shown) => shown.as_str(),
            Err(_) => "",
        });
        let cells: Vec<&str> = cells.chain(figures).collect();
        match heading {
            true => csv(&[names.collect(), cells]),
            false => csv(&[cells]),
        }
    }

    /// As XML.
    pub(super) fn to_xml(&self) -> String {
        let inputs = self.inputs();
        let inputs = inputs.iter().map(|(name, cell)| element(name, cell));
        let figures = self.found.iter().filter_map(|(figure, found)| {
            let shown = found.as_ref().ok()?;
            Some(element(figure.name, shown.as_str()))
        });
        xml(&inputs.chain(figures).collect::<String>())
    }

    /// As JSON.
    ///
    /// # Errors
    /// [`ApiError::Internal`] when a value cannot be written, which every room prevents.
    pub(super) fn to_json(&self, estimate: &Estimate) -> Result<String, ApiError> {
        let input = self.inputs.iter();
        let input: Map<String, Value> = input
            .map(|(name, cell)| (name.clone(), json!(cell)))
            .collect();
        let found = self
            .found
            .iter()
            .map(|(figure, found)| (figure.name, found));
        let (figures, not_known) = figures_in_json(found).map_err(ApiError::internal)?;
        let row = json!({
            "input": input,
            "figures": figures,
            "not_known": not_known,
            "assumptions": estimate.assumptions,
            "job": estimate.job,
        });
        Ok(row.to_string())
    }
}
