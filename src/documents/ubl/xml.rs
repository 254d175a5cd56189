//! Writing elements: a thin hand on the XML library.
//!
//! Invariants: an element without content is never written; amounts are written in the decimals of the
//! document's currency, with its code. Absent: which elements there are.

use crate::quantity::money::{Amount, Currency, Decimal4};
use quick_xml::Writer;
use quick_xml::events::{BytesDecl, BytesEnd, BytesStart, BytesText, Event};

/// Namespaces of the parts of every document.
const PARTS: [(&str, &str); 2] = [
    (
        "xmlns:cac",
        "urn:oasis:names:specification:ubl:schema:xsd:CommonAggregateComponents-2",
    ),
    (
        "xmlns:cbc",
        "urn:oasis:names:specification:ubl:schema:xsd:CommonBasicComponents-2",
    ),
];

/// A document that is being written.
pub(super) struct Xml {
    writer: Writer<Vec<u8>>,
    currency: Currency,
}

/// One document: its root is named `name`, in the namespace of that document.
pub(super) fn write_document(
    name: &str,
    currency: Currency,
    inside: impl FnOnce(&mut Xml),
) -> String {
    let mut xml = Xml {
        writer: Writer::new_with_indent(Vec::new(), b' ', 2),
        currency,
    };
    xml.put(Event::Decl(BytesDecl::new("1.0", Some("UTF-8"), None)));
    let own = format!("urn:oasis:names:specification:ubl:schema:xsd:{name}-2");
    let mut root = BytesStart::new(name);
    root.push_attribute(("xmlns", own.as_str()));
    root.extend_attributes(PARTS);
    xml.put(Event::Start(root));
    inside(&mut xml);
    xml.put(Event::End(BytesEnd::new(name)));
    let mut text = String::from_utf8(xml.writer.into_inner()).unwrap_or_default();
    text.push('\n');
    text
}

impl Xml {
    fn put(&mut self, event: Event<'_>) {
        // Writing into memory cannot fail.
        let _ = self.writer.write_event(event);
    }

    /// An element that holds others.
    pub(super) fn part(&mut self, name: &str, inside: impl FnOnce(&mut Self)) {
        let name = format!("cac:{name}");
        self.put(Event::Start(BytesStart::new(&name)));
        inside(self);
        self.put(Event::End(BytesEnd::new(&name)));
    }

    fn value(&mut self, name: &str, text: &str, attribute: Option<(&str, &str)>) {
        let name = format!("cbc:{name}");
        let mut start = BytesStart::new(&name);
        start.extend_attributes(attribute);
        self.put(Event::Start(start));
        self.put(Event::Text(BytesText::new(text)));
        self.put(Event::End(BytesEnd::new(&name)));
    }

    /// An element with a text.
    pub(super) fn text(&mut self, name: &str, text: &str) {
        self.value(name, text, None);
    }

    /// The same, where there is one.
    pub(super) fn maybe(&mut self, name: &str, text: Option<&str>) {
        if let Some(text) = text {
            self.text(name, text);
        }
    }

    /// An element that holds one text element, where there is a text.
    pub(super) fn holding(&mut self, outer: &str, (name, text): (&str, Option<&str>)) {
        if let Some(text) = text {
            self.part(outer, |xml| xml.text(name, text));
        }
    }

    /// An amount of money.
    pub(super) fn amount(&mut self, name: &str, amount: Amount) {
        let currency = self.currency;
        let text = amount.in_currency(&currency).to_string();
        self.value(name, &text, Some(("currencyID", currency.code())));
    }

    /// So many of a unit.
    pub(super) fn quantity(&mut self, name: &str, (quantity, code): (Decimal4, &str)) {
        self.value(name, &quantity.to_string(), Some(("unitCode", code)));
    }
}
