//! One cell as the file has it, into text.
//!
//! Invariants: a formula gives the value that was saved with it, and is itself never looked at; a
//! number is the shortest decimal that is meant by it; a text stays as written. Absent: anything
//! that is only how a number looks, such as a percent sign or its places.
//!
//! # Source
//! ECMA-376 part 1, sections 18.3.1.4 (c) and 18.18.11 (ST_CellType), from memory.

use super::{
    day,
    package::{attribute, damaged},
    place::Place,
    styles::{Shown, Styles},
    texts::{Texts, unescape},
};
use crate::sheet::{CellFault, SheetError, decimal::shortest};
use quick_xml::events::BytesStart;

/// Longest mark of an error that is repeated back, in characters.
const MARK_AT_MOST: usize = 20;

/// What cells refer to.
pub(super) struct Reference {
    pub(super) texts: Texts,
    pub(super) styles: Styles,
    pub(super) from_1904: bool,
}

/// A cell being read.
#[derive(Debug)]
pub(super) struct OpenCell {
    pub(super) place: Place,
    kind: Kind,
    style: usize,
    /// Whether a formula stands in it.
    pub(super) formula: bool,
    /// What stands between the marks of its value.
    pub(super) value: String,
    /// Whether the value is a text of its own, with marks of its own.
    pub(super) own_text: bool,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Kind {
    Number,
    SharedText,
    Text,
    Boolean,
    Error,
    Day,
}

impl OpenCell {
    /// A cell that opens; `next` is where it stands if it does not say so.
    pub(super) fn new(element: &BytesStart<'_>, next: Place) -> Result<Self, SheetError> {
        let place = match attribute(element, "r")? {
            Some(place) => Place::read(&place)?,
            None => next,
        };
        let kind = match attribute(element, "t")?.as_deref() {
            None | Some("n") => Kind::Number,
            Some("s") => Kind::SharedText,
            Some("str" | "inlineStr") => Kind::Text,
            Some("b") => Kind::Boolean,
            Some("e") => Kind::Error,
            Some("d") => Kind::Day,
            Some(_) => return Err(damaged("a cell in it is of an unknown kind")),
        };
        let style = attribute(element, "s")?.and_then(|style| style.parse().ok());
        Ok(Self {
            place,
            kind,
            style: style.unwrap_or(0),
            formula: false,
            value: String::new(),
            own_text: false,
        })
    }

    /// Its text, trimmed.
    pub(super) fn text(&self, reference: &Reference) -> Result<String, CellFault> {
        let value = self.value.as_str();
        if self.kind == Kind::Text {
            return Ok(unescape(value).trim().to_owned());
        }
        let value = value.trim();
        if value.is_empty() {
            // Some writers leave an empty mark where they have computed nothing.
            return if self.formula {
                Err(CellFault::NoSavedValue)
            } else {
                Ok(String::new())
            };
        }
        match self.kind {
            Kind::SharedText => shared(value, &reference.texts),
            Kind::Boolean if matches!(value, "1" | "true") => Ok("TRUE".to_owned()),
            Kind::Boolean => Ok("FALSE".to_owned()),
            Kind::Error => Err(CellFault::Error(value.chars().take(MARK_AT_MOST).collect())),
            Kind::Day => day::rewritten(value),
            Kind::Number | Kind::Text => self.number(value, reference),
        }
    }

    fn number(&self, value: &str, reference: &Reference) -> Result<String, CellFault> {
        let value: f64 = value.parse().map_err(|_| CellFault::NotANumber)?;
        match reference.styles.shown(self.style) {
            Shown::Number => shortest(value).ok_or(CellFault::NotANumber),
            shown => day::written(value, shown, reference.from_1904),
        }
    }
}

fn shared(value: &str, texts: &Texts) -> Result<String, CellFault> {
    let number = value.parse().map_err(|_| CellFault::NoSuchText)?;
    let text = texts.get(number).ok_or(CellFault::NoSuchText)?;
    Ok(text.trim().to_owned())
}
