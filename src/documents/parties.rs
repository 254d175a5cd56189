//! Who writes and who reads, as every document for the office begins.
//!
//! Invariant: nothing stands there that was not sent. Absent: what the document says.

use super::drawing::Bitmap;
use super::paper::{Letterhead, Panel, Part, Prose, Signature};
use crate::billing::Party;

/// What kind of paper it is, with the facts beside it: number, day and the like.
pub(super) struct Kind<'a> {
    /// In a word or two.
    pub(super) name: &'a str,
    /// Each with its name.
    pub(super) facts: Vec<(&'a str, String)>,
}

/// The head of a document.
pub(super) fn letterhead(seller: &Party, kind: Kind<'_>, logo: Option<Bitmap>) -> Letterhead {
    let facts = kind.facts.into_iter();
    Letterhead {
        logo,
        name: seller.name.clone(),
        lines: under_name(seller),
        kind: kind.name.to_owned(),
        facts: facts.map(|(name, fact)| (name.to_owned(), fact)).collect(),
    }
}

/// The one it is written to.
pub(super) fn addressee(heading: &str, party: &Party) -> Panel {
    let mut lines = vec![Prose::bold(&party.name)];
    lines.extend(under_name(party).into_iter().map(Prose::from));
    panel(heading, lines)
}

/// A few lines under a small heading.
pub(super) fn panel(heading: &str, lines: Vec<Prose>) -> Panel {
    Panel {
        heading: heading.to_owned(),
        lines,
    }
}

/// Lines of a signature.
const SIGNED: [&str; 2] = ["Signature and date", "Name and title"];

/// Both sign, beside each other.
pub(super) fn signatures(parties: [&Party; 2]) -> Part {
    let sign = |party: &Party| Signature {
        party: format!("For {}", party.name),
        lines: SIGNED.map(str::to_owned).to_vec(),
    };
    Part::Signatures(parties.map(sign).to_vec())
}

/// Points under a heading; nothing where there is none.
pub(super) fn list(heading: &str, points: Vec<String>) -> Vec<Part> {
    if points.is_empty() {
        return Vec::new();
    }
    let points = points.into_iter().map(Prose::from).collect();
    vec![Part::Heading(heading.to_owned()), Part::List(points)]
}

/// Address, whom to reach, licence and tax number, as far as they are known.
fn under_name(party: &Party) -> Vec<String> {
    let contact = party.contact.as_ref();
    let reach = contact.map(|contact| [&contact.name, &contact.phone, &contact.email]);
    let reach = reach.into_iter().flatten().flatten().cloned();
    let named = |name: &str, text: &Option<String>| {
        text.as_ref()
            .map(|text| format!("{name} {text}"))
            .unwrap_or_default()
    };
    let mut lines = vec![
        party.address().join(", "),
        reach.collect::<Vec<_>>().join(", "),
        named("Licence", &party.licence),
        named("Tax number", &party.tax_id),
    ];
    lines.retain(|line| !line.is_empty());
    lines
}
