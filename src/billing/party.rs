//! Who sells and who buys.
//!
//! Invariants: a country is two capital letters; every text fits on a line. Absent: whether a tax number exists.

use crate::answered::{LINE_AT_MOST, check_text};
use crate::quantity::{Fault, Faults};

kept! {
    /// A seller or a buyer.
    Party {
        required {
            /// Its name, as a contract has it.
            name: String,
        }
        optional {
            /// Street and number; at most three lines.
            street: Vec<String>,
            /// Town.
            city: String,
            /// State, province or county.
            region: String,
            /// Postal code.
            postcode: String,
            /// Country, two letters (ISO 3166-1).
            country: String,
            /// Its number as a payer of sales or value added tax, with the letters of its country where it has them.
            tax_id: String,
            /// Its number in a register of companies.
            registration: String,
            /// Number of its licence, where the law asks for one.
            licence: String,
            /// Whom to reach.
            contact: Contact,
        }
    }

    /// Whom to reach.
    Contact {
        required {}
        optional {
            /// Name.
            name: String,
            /// Telephone.
            phone: String,
            /// Electronic mail.
            email: String,
        }
    }
}

/// Most lines of a street.
const STREET_LINES: usize = 3;

impl Party {
    /// Adds a fault for each text that cannot stand on a document; `at` is where the party stands.
    pub fn check(&self, at: &str, faults: &mut Faults) {
        check_text(&self.name, LINE_AT_MOST, (&format!("{at}/name"), faults));
        for (field, text) in self.fields() {
            check_text(text, LINE_AT_MOST, (&format!("{at}/{field}"), faults));
        }
        let street = self.street.as_deref().unwrap_or_default();
        for (index, line) in street.iter().enumerate() {
            check_text(
                line,
                LINE_AT_MOST,
                (&format!("{at}/street/{index}"), faults),
            );
        }
        if street.len() > STREET_LINES {
            let found = format!("{} lines", street.len());
            faults.push(Fault::new(
                format!("{at}/street"),
                found,
                "at most three lines",
                None,
            ));
        }
        let country = self.country.as_deref().unwrap_or("US");
        if country.len() != 2 || !country.bytes().all(|byte| byte.is_ascii_uppercase()) {
            let accepted = "two capital letters (ISO 3166-1)";
            faults.push(Fault::new(
                format!("{at}/country"),
                country,
                accepted,
                Some("US"),
            ));
        }
    }

    fn fields(&self) -> impl Iterator<Item = (&'static str, &str)> {
        let contact = self.contact.as_ref();
        let of = |pick: fn(&Contact) -> &Option<String>| contact.and_then(|c| pick(c).as_deref());
        [
            ("city", self.city.as_deref()),
            ("region", self.region.as_deref()),
            ("postcode", self.postcode.as_deref()),
            ("tax_id", self.tax_id.as_deref()),
            ("registration", self.registration.as_deref()),
            ("licence", self.licence.as_deref()),
            ("contact/name", of(|c| &c.name)),
            ("contact/phone", of(|c| &c.phone)),
            ("contact/email", of(|c| &c.email)),
        ]
        .into_iter()
        .filter_map(|(field, text)| Some((field, text?)))
    }

    /// The address as it stands on an envelope, one line an entry.
    pub fn address(&self) -> Vec<String> {
        let mut lines = self.street.clone().unwrap_or_default();
        let town = [&self.city, &self.region, &self.postcode];
        let town: Vec<&str> = town.into_iter().flatten().map(String::as_str).collect();
        if !town.is_empty() {
            lines.push(town.join(", "));
        }
        lines.extend(self.country.clone());
        lines
    }
}
