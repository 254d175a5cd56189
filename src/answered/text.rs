//! Texts of a document: names, numbers, reasons.
//!
//! Invariant: what passes here can stand in XML, in CSV and in a ledger once it is escaped. Absent: the
//! escaping, which is each writer's.

use crate::quantity::{Fault, Faults, may_stand};

/// Most characters of a text of one line.
pub const LINE_AT_MOST: usize = 200;
/// Most characters of a document's number.
const NUMBER_AT_MOST: usize = 60;

/// Adds a fault where a text of one line is empty, too long, or holds what no document can.
pub fn check_text(text: &str, most: usize, (at, faults): (&str, &mut Faults)) {
    let length = text.chars().count();
    if text.trim().is_empty() {
        let accepted = "a text that says something";
        faults.push(Fault::new(at, format!("\"{text}\""), accepted, None));
    } else if length > most {
        let accepted = format!("at most {most} characters");
        faults.push(Fault::new(
            at,
            format!("{length} characters"),
            accepted,
            None,
        ));
    }
    if let Some(strange) = text.chars().find(|c| !may_stand(*c)) {
        let found = format!("the character U+{:04X}", u32::from(strange));
        let accepted = "one line without control characters";
        faults.push(Fault::new(at, found, accepted, None));
    }
}

/// Adds a fault where the number of a document could not be written everywhere.
pub fn check_number(number: &str, (at, faults): (&str, &mut Faults)) {
    let fits = |c: char| c.is_alphanumeric() || " ._/#+:-".contains(c);
    let begins = number.starts_with(char::is_alphanumeric) && !number.ends_with(' ');
    if !begins || !number.chars().all(fits) || number.chars().count() > NUMBER_AT_MOST {
        let accepted = "letters and digits, with . _ / # + : - and spaces between them, at most 60";
        faults.push(Fault::new(
            at,
            format!("\"{number}\""),
            accepted,
            Some("INV-2026-014"),
        ));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn faults(text: &str) -> usize {
        let mut faults = Faults::default();
        check_text(text, 20, ("/x", &mut faults));
        faults.0.len()
    }

    #[test]
    fn a_line_may_hold_any_letters_and_no_control_characters() {
        for good in [
            "Mill & Sons <yard>",
            "=2+3",
            "مقاول الخرسانة",
            "O'Neill \"Q\"",
        ] {
            assert_eq!(faults(good), 0, "{good}");
        }
        for bad in [
            "",
            "  ",
            "a\nb",
            "a\u{0}",
            "a\u{202E}b",
            "a\u{FFFF}",
            "123456789012345678901",
        ] {
            assert_eq!(faults(bad), 1, "{bad:?}");
        }
    }

    #[test]
    fn a_number_can_stand_in_a_ledger() {
        for (number, good) in [
            ("INV-2026/014", true),
            ("7", true),
            ("", false),
            ("(7)", false),
            ("7;", false),
            ("-7", false),
            ("7 ", false),
        ] {
            let mut faults = Faults::default();
            check_number(number, ("/number", &mut faults));
            assert_eq!(faults.is_empty(), good, "{number}");
        }
    }
}
