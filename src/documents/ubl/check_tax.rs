//! What each category of tax asks of a bill.
//!
//! Invariant: the rules are those of EN 16931 for a bill with one category (BR-S, BR-Z, BR-E, BR-AE, BR-IC, BR-G,
//! BR-O, BR-AF, BR-AG), as the published validation rules read them. Absent: which category is right.

use super::check::Found;
use super::party::vat_number;
use crate::billing::{Bill, TaxCategory as Category};
use crate::quantity::money::{Amount, Percentage};

/// What must stand under a number.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Number {
    /// Any, or none.
    Free,
    /// A tax number of any kind.
    Tax,
    /// One of value added tax.
    Vat,
    /// One of value added tax, or one in a register.
    VatOrRegister,
    /// None of value added tax.
    NoVat,
}

/// What a category asks.
struct Asks {
    /// The rules it is named by.
    rules: &'static str,
    /// True where a rate above zero belongs to it.
    rate: bool,
    /// True where it must say why no tax is charged; else it may not.
    reason: bool,
    seller: Number,
    buyer: Number,
}

const fn asks(category: Category) -> Asks {
    use Number::{Free, NoVat, Tax, Vat, VatOrRegister};
    let (rules, rate, reason, seller, buyer) = match category {
        Category::Standard => ("BR-S", true, false, Tax, Free),
        Category::Zero => ("BR-Z", false, false, Tax, Free),
        Category::Exempt => ("BR-E", false, true, Tax, Free),
        Category::ReverseCharge => ("BR-AE", false, true, Tax, VatOrRegister),
        Category::WithinArea => ("BR-IC", false, true, Vat, Vat),
        Category::Export => ("BR-G", false, true, Vat, Free),
        Category::OutOfScope => ("BR-O", false, true, NoVat, NoVat),
        Category::Canary => ("BR-AF", true, false, Tax, Free),
        Category::Ceuta => ("BR-AG", true, false, Tax, Free),
    };
    Asks {
        rules,
        rate,
        reason,
        seller,
        buyer,
    }
}

/// Adds a fault for each thing that the category of the bill's tax asks and that is not so.
pub(super) fn check_tax(bill: &Bill, found: &mut Found) {
    let asks = asks(bill.tax.category);
    check_rate(bill, &asks, found);
    check_reason(bill, &asks, found);
    for (side, asked) in [("seller", asks.seller), ("buyer", asks.buyer)] {
        check_number(bill, (side, asked, asks.rules), found);
    }
    if bill.tax.category == Category::WithinArea && bill.period.is_none() {
        let accepted = "the time of the delivery with tax category K (EN 16931, BR-IC-11)";
        found.push("period", "nothing", accepted);
    }
}

fn check_rate(bill: &Bill, asks: &Asks, found: &mut Found) {
    let (category, rate) = (bill.tax.category, bill.tax.rate);
    let said = rate.to_string();
    let rules = asks.rules;
    if !asks.rate && rate != Percentage::ZERO {
        let accepted = format!("0 % with tax category {category} (EN 16931, {rules}-5)");
        found.push("tax/rate", &said, &accepted);
    } else if category == Category::Standard && rate <= Percentage::ZERO {
        let accepted = "more than 0 % with tax category S, or another category (EN 16931, BR-S-5)";
        found.push("tax/rate", &said, accepted);
    } else if rate < Percentage::ZERO {
        let accepted = format!("0 % or more (EN 16931, {rules}-5)");
        found.push("tax/rate", &said, &accepted);
    } else if !comes_out(bill) {
        let accepted = format!(
            "{said} of {} to within less than one (EN 16931, BR-CO-17)",
            bill.tax.taxable
        );
        found.push("tax/amount", &bill.tax.amount.to_string(), &accepted);
    }
}

/// Whether the tax is its rate of what it is reckoned on, as the published rules see it: within less than one, and
/// nothing where the rate rounds to a whole percent of none.
fn comes_out(bill: &Bill) -> bool {
    /// Ten-thousandths of a hundredth: four decimals.
    const ONE: i128 = 10_000;
    let four = |amount: Amount| {
        let shift = 10_i128.pow(u32::from(4_u8.saturating_sub(amount.places())));
        i128::from(amount.minor()) * shift
    };
    let (tax, taxable) = (four(bill.tax.amount), four(bill.tax.taxable));
    let rate = i128::from(bill.tax.rate.millionths());
    // Half a percent already rounds to one.
    if rate < 5_000 {
        return tax.abs() < ONE / 2;
    }
    // To the hundredth, half away from zero, as the rules round.
    let cents = (taxable.abs() * rate * 2 / 100_000_000 + 1) / 2;
    (tax.abs() - cents * 100).abs() < ONE
}

fn check_reason(bill: &Bill, asks: &Asks, found: &mut Found) {
    let (category, rules) = (bill.tax.category, asks.rules);
    match bill.tax.reason.as_deref() {
        None if asks.reason => {
            let accepted = format!(
                "why no tax is charged, with tax category {category} (EN 16931, {rules}-10)"
            );
            found.push("tax/reason", "nothing", &accepted);
        }
        Some(reason) if !asks.reason => {
            let accepted = format!(
                "nothing with tax category {category} (EN 16931, {rules}-10); it can stand in `notes`"
            );
            found.push("tax/reason", reason, &accepted);
        }
        _ => {}
    }
}

fn check_number(bill: &Bill, (side, asked, rules): (&str, Number, &str), found: &mut Found) {
    let party = if side == "seller" {
        &bill.seller
    } else {
        &bill.buyer
    };
    let vat = vat_number(party).is_some();
    let (right, accepted) = match asked {
        Number::Free => (true, ""),
        Number::Tax => (party.tax_id.is_some(), "a tax number"),
        Number::Vat => (
            vat,
            "a tax number that begins with the letters of the country",
        ),
        Number::VatOrRegister => (
            vat || party.registration.is_some(),
            "a tax number that begins with the letters of the country, or a `registration`",
        ),
        Number::NoVat => (!vat, "no number of value added tax"),
    };
    if !right {
        let category = bill.tax.category;
        let accepted = format!("{accepted} with tax category {category} (EN 16931, {rules}-2)");
        let said = party.tax_id.as_deref().unwrap_or("nothing");
        found.push(&format!("{side}/tax_id"), said, &accepted);
    }
}
