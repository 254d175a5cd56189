//! Which styles make a number a day or a time of day.
//!
//! Invariant: only the first section of a format counts, and of it what stands outside of quotes,
//! brackets and escapes; colours, currencies and locales are no letters of a date. Absent: every
//! other thing that a style says.
//!
//! # Source
//! ECMA-376 part 1, sections 18.8.30 (numFmt, the built-in numbers) and 18.8.31 (numFmts), from
//! memory.

use super::package::{Part, attribute};
use crate::sheet::SheetError;
use quick_xml::events::{BytesStart, Event};
use std::collections::BTreeMap;

/// What a number is shown as.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub(super) enum Shown {
    /// A number, whatever its places.
    #[default]
    Number,
    /// A day, with or without a time of day.
    Day,
    /// A time of day, or hours that have gone by.
    Time,
}

/// What each style shows, by its number.
#[derive(Debug, Default)]
pub(super) struct Styles {
    of_cells: Vec<Shown>,
}

impl Styles {
    pub(super) fn read(part: &mut Part<'_, '_>) -> Result<Self, SheetError> {
        let mut formats = BTreeMap::new();
        let mut of_cells = Vec::new();
        let mut in_cell_styles = false;
        loop {
            match part.next()? {
                Event::Start(element) => match element.local_name().as_ref() {
                    "numFmt" => formats.extend(own_format(&element)?),
                    "cellXfs" => in_cell_styles = true,
                    "xf" if in_cell_styles => {
                        let id = number(&element, "numFmtId")?.unwrap_or(0);
                        let own = formats.get(&id).copied();
                        of_cells.push(own.unwrap_or_else(|| built_in(id)));
                    }
                    _ => {}
                },
                Event::End(element) if element.local_name().as_ref() == "cellXfs" => {
                    in_cell_styles = false;
                }
                Event::Eof => return Ok(Self { of_cells }),
                _ => {}
            }
        }
    }

    /// What a style shows; a number, where there is no such style.
    pub(super) fn shown(&self, style: usize) -> Shown {
        self.of_cells.get(style).copied().unwrap_or_default()
    }
}

fn own_format(element: &BytesStart<'_>) -> Result<Option<(u32, Shown)>, SheetError> {
    let id = number(element, "numFmtId")?;
    let code = attribute(element, "formatCode")?;
    Ok(id.zip(code).map(|(id, code)| (id, shown_by(&code))))
}

fn number(element: &BytesStart<'_>, name: &str) -> Result<Option<u32>, SheetError> {
    Ok(attribute(element, name)?.and_then(|number| number.parse().ok()))
}

const fn built_in(id: u32) -> Shown {
    match id {
        14..=17 | 22 | 27..=31 | 36 | 50..=54 | 57 | 58 => Shown::Day,
        18..=21 | 32..=35 | 45..=47 | 55 | 56 => Shown::Time,
        _ => Shown::Number,
    }
}

/// What a format of one's own shows.
fn shown_by(code: &str) -> Shown {
    let letters = letters(code);
    let has = |wanted: &str| letters.contains(|one| wanted.contains(one));
    // Beside hours or seconds an `m` is minutes.
    if has("yd") || (has("m") && !has("hs")) {
        Shown::Day
    } else if has("hs") {
        Shown::Time
    } else {
        Shown::Number
    }
}

/// The letters of a format's first section that stand for parts of a number, in small ones.
fn letters(code: &str) -> String {
    let mut found = String::new();
    let mut rest = code.chars();
    while let Some(one) = rest.next() {
        match one {
            ';' => break,
            '"' => drop(rest.by_ref().find(|other| *other == '"')),
            // The character after these is shown, left out or repeated as it stands.
            '\\' | '_' | '*' => drop(rest.next()),
            '[' => {
                let inside: String = rest.by_ref().take_while(|other| *other != ']').collect();
                let inside = inside.to_lowercase();
                // `[h]`, `[mm]`, `[ss]` are hours, minutes and seconds gone by.
                if !inside.is_empty() && inside.chars().all(|other| "hms".contains(other)) {
                    found.push('h');
                }
            }
            other => found.extend(other.to_lowercase()),
        }
    }
    // The word has no letter of a date, but may be written in any way.
    found.replace("general", "")
}

#[cfg(test)]
mod tests {
    use super::{Shown, shown_by};

    #[test]
    fn a_format_shows_what_stands_outside_of_quotes_and_brackets() {
        let cases = [
            ("yyyy\\-mm\\-dd", Shown::Day),
            ("[$-407]d. mmmm yyyy", Shown::Day),
            ("mmm", Shown::Day),
            ("m/d/yy h:mm", Shown::Day),
            ("h:mm AM/PM", Shown::Time),
            ("[h]:mm", Shown::Time),
            ("mm:ss", Shown::Time),
            ("[Red]#,##0.00", Shown::Number),
            ("0.00\" yd\"", Shown::Number),
            ("0.00\\d", Shown::Number),
            ("#,##0.00\\ [$USD];[Red]\\-#,##0.00 [$USD]", Shown::Number),
            ("General", Shown::Number),
            ("0.00;yyyy", Shown::Number),
            ("@", Shown::Number),
            ("", Shown::Number),
        ];
        for (code, shown) in cases {
            assert_eq!(shown_by(code), shown, "{code}");
        }
    }
}
