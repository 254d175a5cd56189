//! The texts that cells share, in one piece of memory.
//!
//! Invariants: no declared count is believed; readings of characters (phonetic runs) are no text;
//! `_xHHHH_` stands for the character of that number.
//!
//! # Source
//! ECMA-376 part 1, sections 18.4.8 (si), 18.4.6 (rPh) and 22.9.2.19 (ST_Xstring), from memory.

use super::package::{Part, TEXT_BYTES, TOO_LONG, damaged, text};
use crate::sheet::SheetError;
use quick_xml::events::Event;

/// Texts by their numbers.
#[derive(Debug, Default)]
pub(super) struct Texts {
    all: String,
    ends: Vec<usize>,
}

impl Texts {
    /// Reads them; `limit` is how many bytes may be kept of them.
    pub(super) fn read(part: &mut Part<'_, '_>, limit: u64) -> Result<Self, SheetError> {
        let mut texts = Self::default();
        let mut rich = Rich::default();
        loop {
            match part.next()? {
                Event::Start(element) => rich.opens(element.local_name().as_ref()),
                Event::End(element) => {
                    let name = element.local_name();
                    rich.closes(name.as_ref());
                    if name.as_ref() == "si" {
                        texts.keep(&rich.take(), limit)?;
                    }
                }
                Event::Eof => return Ok(texts),
                other => rich.says(&other)?,
            }
        }
    }

    fn keep(&mut self, text: &str, limit: u64) -> Result<(), SheetError> {
        self.all.push_str(&unescape(text));
        self.ends.push(self.all.len());
        let weight = self.all.len() + self.ends.len() * size_of::<usize>();
        if weight as u64 > limit {
            return Err(SheetError::TooLarge { limit });
        }
        Ok(())
    }

    pub(super) fn get(&self, number: usize) -> Option<&str> {
        let end = *self.ends.get(number)?;
        let begin = match number {
            0 => 0,
            _ => *self.ends.get(number - 1)?,
        };
        self.all.get(begin..end)
    }
}

/// A text in runs, as it is read.
#[derive(Debug, Default)]
pub(super) struct Rich {
    said: String,
    in_text: bool,
    in_reading: bool,
}

impl Rich {
    pub(super) fn opens(&mut self, name: &str) {
        match name {
            "t" => self.in_text = true,
            "rPh" => self.in_reading = true,
            _ => {}
        }
    }

    pub(super) fn closes(&mut self, name: &str) {
        match name {
            "t" => self.in_text = false,
            "rPh" => self.in_reading = false,
            _ => {}
        }
    }

    pub(super) fn says(&mut self, event: &Event<'_>) -> Result<(), SheetError> {
        if let Some(said) = text(event)?.filter(|_| self.in_text && !self.in_reading) {
            self.said.push_str(&said);
            if self.said.len() > TEXT_BYTES {
                return Err(damaged(TOO_LONG));
            }
        }
        Ok(())
    }

    pub(super) fn take(&mut self) -> String {
        std::mem::take(&mut self.said)
    }
}

/// A text with each `_xHHHH_` replaced by its character.
pub(super) fn unescape(text: &str) -> String {
    let mut plain = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(at) = rest.find("_x") {
        plain.push_str(&rest[..at]);
        let (said, length) = match escaped(&rest[at..]) {
            Some(character) => (character, 7),
            None => ('_', 1),
        };
        plain.push(said);
        rest = &rest[at + length..];
    }
    plain.push_str(rest);
    plain
}

/// The character of an escape that begins the text.
fn escaped(text: &str) -> Option<char> {
    let digits = text.get(2..6)?;
    let whole = text.get(6..7)? == "_" && digits.bytes().all(|one| one.is_ascii_hexdigit());
    let number = u32::from_str_radix(digits, 16).ok()?;
    char::from_u32(number).filter(|_| whole)
}
