//! A row in its formats.
//!
//! Invariants: numbers have a point and no quotes in JSON, money is text; what is not known is an
//! empty cell in CSV, no element in XML, null in JSON, and never 0; XML has no attribute, no
//! namespace and no document type, so that a spreadsheet's paths find each value by its name.

use super::ApiError;
use crate::estimate::Estimate;
use crate::figures::{Figure, Found, Shown};
use crate::http::format::write_texts;
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

/// The names under which inputs stand beside figures: a figure keeps its own, so that whoever reads
/// it finds it, and no two columns are called the same.
pub(in crate::http) fn input_names<'a>(
    names: impl Iterator<Item = &'a str> + Clone,
    figures: &[&str],
) -> Vec<String> {
    let mut given: Vec<String> = Vec::new();
    for name in names.clone() {
        let mut own = name.to_owned();
        let taken = |own: &str, given: &[String]| {
            let is = |other: &str| other.eq_ignore_ascii_case(own);
            figures.iter().copied().any(is)
                || given.iter().any(|other| is(other))
                || (own != name && names.clone().any(is))
        };
        while !own.is_empty() && taken(&own, &given) {
            own = format!("sent_{own}");
        }
        given.push(own);
    }
    given
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
        if !self.with_inputs {
            return Vec::new();
        }
        let figures: Vec<&str> = self.found.iter().map(|(figure, _)| figure.name).collect();
        let names = self.inputs.iter().map(|(name, _)| name.as_str());
        let names = input_names(names, &figures).into_iter();
        let cells = self.inputs.iter().map(|(_, cell)| cell.as_str());
        names.zip(cells).collect()
    }

    /// As CSV, with or without its heading.
    ///
    /// # Errors
    /// Those of [`write_texts`].
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
            true => write_texts(&[names.collect(), cells]),
            false => write_texts(&[cells]),
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
