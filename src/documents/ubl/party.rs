//! Seller and buyer.
//!
//! Invariant: a tax number stands as one of value added tax only where it begins with the letters of its
//! country, as EN 16931 (BR-CO-9) has it; any other number stands as a registration for tax. Absent: identifiers
//! that we do not know.

use super::xml::Xml;
use crate::billing::{Contact, Party};

/// Which side of a bill.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Side {
    Seller,
    Buyer,
}

/// The number under which a party pays value added tax, where its tax number is one.
pub(super) fn vat_number(party: &Party) -> Option<&str> {
    let (number, country) = (party.tax_id.as_deref()?, party.country.as_deref()?);
    // Greece writes EL, and Northern Ireland XI within the area.
    let letters = match country {
        "GR" => ["GR", "EL"],
        "GB" => ["GB", "XI"],
        own => [own, own],
    };
    let begins = |letters: &&str| {
        number
            .strip_prefix(*letters)
            .is_some_and(|rest| !rest.is_empty())
    };
    letters.iter().any(begins).then_some(number)
}

/// The element `cac:Party`.
pub(super) fn write_party(xml: &mut Xml, party: &Party, side: Side) {
    xml.part("Party", |xml| {
        write_address(xml, party);
        write_tax_number(xml, party);
        xml.part("PartyLegalEntity", |xml| {
            xml.text("RegistrationName", &party.name);
            xml.maybe("CompanyID", party.registration.as_deref());
            // Of the buyer the standard knows no such line.
            if side == Side::Seller {
                let licence = party.licence.as_ref();
                let licence = licence.map(|number| format!("Licence {number}"));
                xml.maybe("CompanyLegalForm", licence.as_deref());
            }
        });
        if let Some(contact) = party
            .contact
            .as_ref()
            .filter(|contact| says_something(contact))
        {
            write_contact(xml, contact);
        }
    });
}

fn write_address(xml: &mut Xml, party: &Party) {
    let street = party.street.as_deref().unwrap_or_default();
    let line = |index: usize| street.get(index).map(String::as_str);
    let told = [&party.city, &party.region, &party.postcode, &party.country];
    if street.is_empty() && told.iter().all(|text| text.is_none()) {
        return;
    }
    xml.part("PostalAddress", |xml| {
        xml.maybe("StreetName", line(0));
        xml.maybe("AdditionalStreetName", line(1));
        xml.maybe("CityName", party.city.as_deref());
        xml.maybe("PostalZone", party.postcode.as_deref());
        xml.maybe("CountrySubentity", party.region.as_deref());
        xml.holding("AddressLine", ("Line", line(2)));
        xml.holding("Country", ("IdentificationCode", party.country.as_deref()));
    });
}

fn write_tax_number(xml: &mut Xml, party: &Party) {
    let Some(number) = party.tax_id.as_deref() else {
        return;
    };
    let scheme = if vat_number(party).is_some() {
        "VAT"
    } else {
        "TAX"
    };
    xml.part("PartyTaxScheme", |xml| {
        xml.text("CompanyID", number);
        xml.holding("TaxScheme", ("ID", Some(scheme)));
    });
}

const fn says_something(contact: &Contact) -> bool {
    contact.name.is_some() || contact.phone.is_some() || contact.email.is_some()
}

fn write_contact(xml: &mut Xml, contact: &Contact) {
    xml.part("Contact", |xml| {
        xml.maybe("Name", contact.name.as_deref());
        xml.maybe("Telephone", contact.phone.as_deref());
        xml.maybe("ElectronicMail", contact.email.as_deref());
    });
}
