//! Extra work on slips: read and priced at rates for extras.
//!
//! Invariants: a line is its quantity times its price, rounded once; what has no rate is a fault that
//! names it, never nothing; signed and unsigned slips are summed apart; one is signed exactly where somebody
//! agreed to it. Absent: the build-up, which a rate for extras holds already, and the tax charged on the price,
//! which it does not.

use super::sent::{
    AgreedByRequest, CompareRequest, ExtraRateRequest, SlipItemRequest, SlipPeopleRequest,
    SlipRequest,
};
use super::side::SideExtra;
use crate::billing::{check_number, check_text};
use crate::job::Day;
use crate::quantity::money::{Amount, Currency, Decimal4, UnitPrice, extend};
use crate::quantity::{Bounds, CountBounds, Fault, Faults, Span};
use serde::Serialize;

const SLIPS: CountBounds = CountBounds::new("slips", 0, 200);
const LINES: CountBounds = CountBounds::new("lines of a slip", 1, 200);
const PEOPLE: CountBounds = CountBounds::new("count", 1, 50);
/// A slip is of one day.
const HOURS: Bounds<Span> =
    Bounds::new("hours", Span::from_minutes(1.0), Span::from_minutes(1440.0))
        .usually(Span::from_minutes(60.0), Span::from_minutes(480.0));
const TEXT_AT_MOST: usize = 200;

/// Slips and what they come to.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "service", derive(utoipa::ToSchema))]
pub struct Slips {
    /// Every slip, in the order in which they were sent.
    pub slips: Vec<Slip>,
    /// The sum of those that are signed, before tax.
    pub signed: Amount,
    /// The sum of those that are not, before tax; no part of the contract yet.
    pub unsigned: Amount,
}

/// One slip, priced.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "service", derive(utoipa::ToSchema))]
pub struct Slip {
    /// Its number.
    pub number: String,
    /// The day of the work.
    pub date: Day,
    /// What was asked for, and why.
    pub reason: String,
    /// True where the customer has signed it.
    pub signed: bool,
    /// Who agreed, and when.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub agreed_by: Option<AgreedBy>,
    /// What it is made of.
    pub lines: Vec<SlipLine>,
    /// Their sum, before tax.
    pub total: Amount,
}

/// Who agreed to a slip.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "service", derive(utoipa::ToSchema))]
pub struct AgreedBy {
    /// Name.
    pub name: String,
    /// The day.
    pub date: Day,
}

/// One line of a slip.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "service", derive(utoipa::ToSchema))]
pub struct SlipLine {
    /// JSON Pointer into the request.
    pub of: String,
    /// Item code; null where the slip gives none.
    pub code: Option<String>,
    /// What it is.
    pub description: String,
    /// How much.
    pub quantity: Decimal4,
    /// In this unit.
    pub unit: String,
    /// For one unit.
    pub unit_price: UnitPrice,
    /// Quantity times unit price, rounded half away from zero.
    pub extended: Amount,
    /// `slip` where it stands on the slip, `extra_rates` where it was sent as a rate, `before` where the
    /// earlier estimate has it among its rates for extras.
    pub price_from: &'static str,
}

/// Reads and prices the slips of a request.
///
/// # Errors
/// Every fault of every slip and rate.
pub fn price_slips(
    sent: &CompareRequest,
    extras: &[SideExtra],
    currency: &Currency,
) -> Result<Slips, Faults> {
    let slips = sent.slips.as_deref().unwrap_or_default();
    let rates = sent.extra_rates.as_deref().unwrap_or_default();
    let mut reader = Reader {
        rates,
        extras,
        currency,
        faults: Faults::default(),
    };
    reader.check_rates();
    let many = SLIPS.check(count(slips.len()), "/slips");
    reader.faults.0.extend(many.err());
    let read: Vec<Slip> = slips
        .iter()
        .take(SLIPS.most as usize)
        .enumerate()
        .map(|(index, slip)| reader.slip(slip, &format!("/slips/{index}")))
        .collect();
    reader.check_numbers(&read);
    let zero = Amount::zero(currency);
    let sum = |signed: bool| {
        let of = read.iter().filter(|slip| slip.signed == signed);
        zero + of.map(|slip| slip.total).sum::<Amount>()
    };
    let (signed, unsigned) = (sum(true), sum(false));
    reader.faults.or(Slips {
        slips: read,
        signed,
        unsigned,
    })
}

fn count(length: usize) -> u32 {
    u32::try_from(length).unwrap_or(u32::MAX)
}

struct Reader<'a> {
    rates: &'a [ExtraRateRequest],
    extras: &'a [SideExtra],
    currency: &'a Currency,
    faults: Faults,
}

/// What a line asks for, before its price is known.
struct Asked<'a> {
    at: String,
    code: Option<String>,
    description: String,
    quantity: Decimal4,
    unit: &'a str,
    unit_price: Option<UnitPrice>,
}

impl Reader<'_> {
    fn fault(&mut self, at: String, found: &str, (accepted, example): (&str, Option<&str>)) {
        self.faults.push(Fault::new(at, found, accepted, example));
    }

    fn check_rates(&mut self) {
        for (index, rate) in self.rates.iter().enumerate() {
            let at = format!("/extra_rates/{index}");
            self.check_price(rate.unit_price, &format!("{at}/unit_price"));
            let earlier = self.rates.iter().take(index);
            let twice = earlier
                .clone()
                .any(|other| other.code == rate.code && other.unit == rate.unit);
            if twice {
                let accepted = ("one rate for a code and a unit", None);
                self.fault(format!("{at}/code"), &rate.code, accepted);
            }
        }
    }

    fn check_price(&mut self, price: UnitPrice, at: &str) {
        if price < UnitPrice::ZERO {
            let accepted = ("a price of zero or more", Some("95.00"));
            self.fault(at.to_owned(), &price.to_string(), accepted);
        }
    }

    fn check_numbers(&mut self, slips: &[Slip]) {
        for (index, slip) in slips.iter().enumerate() {
            let earlier = slips.iter().take(index);
            if earlier.clone().any(|other| other.number == slip.number) {
                let accepted = ("a number that no other slip has", None);
                self.fault(format!("/slips/{index}/number"), &slip.number, accepted);
            }
        }
    }

    fn slip(&mut self, slip: &SlipRequest, at: &str) -> Slip {
        check_number(&slip.number, (&format!("{at}/number"), &mut self.faults));
        let reason = (format!("{at}/reason"), &slip.reason);
        check_text(reason.1, TEXT_AT_MOST, (&reason.0, &mut self.faults));
        self.check_agreed(slip, at);
        let mut lines = Vec::new();
        for (index, people) in slip.people.iter().flatten().enumerate() {
            let at = format!("{at}/people/{index}");
            lines.extend(self.people(people, at));
        }
        for (kind, items) in [
            ("materials", &slip.materials),
            ("equipment", &slip.equipment),
        ] {
            for (index, item) in items.iter().flatten().enumerate() {
                let at = format!("{at}/{kind}/{index}");
                lines.extend(self.item(item, at));
            }
        }
        self.check_lines(slip, at);
        let zero = Amount::zero(self.currency);
        let agreed = |by: &AgreedByRequest| AgreedBy {
            name: by.name.clone(),
            date: by.date,
        };
        Slip {
            number: slip.number.clone(),
            date: slip.date,
            reason: slip.reason.clone(),
            signed: slip.signed,
            agreed_by: slip.agreed_by.as_ref().map(agreed),
            total: zero + lines.iter().map(|line| line.extended).sum::<Amount>(),
            lines,
        }
    }

    fn check_lines(&mut self, slip: &SlipRequest, at: &str) {
        let length = |items: &Option<Vec<SlipItemRequest>>| items.as_ref().map_or(0, Vec::len);
        let people = slip.people.as_ref().map_or(0, Vec::len);
        let lines = people + length(&slip.materials) + length(&slip.equipment);
        self.faults.0.extend(LINES.check(count(lines), at).err());
    }

    fn check_agreed(&mut self, slip: &SlipRequest, at: &str) {
        match &slip.agreed_by {
            None if slip.signed => {
                let accepted = ("who agreed and when, since the slip is signed", None);
                self.fault(format!("{at}/agreed_by"), "nothing", accepted);
            }
            None => {}
            Some(_) if !slip.signed => {
                let accepted = (
                    "no `agreed_by` while the slip is not signed; `signed`: true where that person agreed",
                    None,
                );
                let found = "somebody who agreed, on a slip that is not signed";
                self.fault(format!("{at}/agreed_by"), found, accepted);
            }
            Some(by) => {
                let place = format!("{at}/agreed_by/name");
                check_text(&by.name, TEXT_AT_MOST, (&place, &mut self.faults));
                if by.date < slip.date {
                    let accepted = format!("a day that is not before the work, {}", slip.date);
                    let place = format!("{at}/agreed_by/date");
                    self.fault(place, &by.date.to_string(), (&accepted, None));
                }
            }
        }
    }

    fn people(&mut self, people: &SlipPeopleRequest, at: String) -> Option<SlipLine> {
        let hours = HOURS.check(people.hours, format!("{at}/hours")).err();
        let many = PEOPLE.check(people.count, format!("{at}/count")).err();
        let faulty = hours.is_some() || many.is_some();
        self.faults.0.extend(hours.into_iter().chain(many));
        if faulty {
            return None;
        }
        let class = people.class.as_str();
        let each = Decimal4::nearest(people.hours.hours(), 4)?.ten_thousandths();
        let all = each.saturating_mul(i64::from(people.count));
        self.price(Asked {
            at,
            code: Some(format!("hour-{class}")),
            description: format!("{} {class}", people.count),
            quantity: Decimal4::from_ten_thousandths(all),
            unit: "h",
            unit_price: None,
        })
    }

    fn item(&mut self, item: &SlipItemRequest, at: String) -> Option<SlipLine> {
        let Some(name) = item.description.as_ref().or(item.code.as_ref()) else {
            let accepted = ("a `code`, a `description` or both", None);
            self.fault(at, "neither", accepted);
            return None;
        };
        check_text(name, TEXT_AT_MOST, (&at, &mut self.faults));
        if item.quantity <= Decimal4::ZERO {
            let accepted = ("a quantity above zero", Some("2.5"));
            let place = format!("{at}/quantity");
            self.fault(place, &item.quantity.to_string(), accepted);
        }
        if let Some(price) = item.unit_price {
            self.check_price(price, &format!("{at}/unit_price"));
        }
        self.price(Asked {
            at,
            code: item.code.clone(),
            description: name.clone(),
            quantity: item.quantity,
            unit: &item.unit,
            unit_price: item.unit_price,
        })
    }

    /// The rate of the earlier estimate.
    fn extra(&self, asked: &Asked<'_>) -> Option<UnitPrice> {
        let code = asked.code.as_ref()?;
        let mut extras = self.extras.iter();
        let extra = extras.find(|extra| extra.code == *code && extra.unit == asked.unit)?;
        UnitPrice::parse(&extra.charged.to_string()).ok()
    }

    fn price(&mut self, asked: Asked<'_>) -> Option<SlipLine> {
        let rate = self
            .rates
            .iter()
            .find(|rate| Some(&rate.code) == asked.code.as_ref() && rate.unit == asked.unit);
        let found = match (asked.unit_price, rate) {
            (Some(price), _) => Some((price, "slip")),
            (None, Some(rate)) => Some((rate.unit_price, "extra_rates")),
            (None, None) => self.extra(&asked).map(|price| (price, "before")),
        };
        let Some((unit_price, price_from)) = found else {
            let name = asked.code.as_deref().unwrap_or(&asked.description);
            let accepted = format!(
                "a rate for extras of {name} by {}: in `extra_rates`, or as `unit_price` of a material or machine",
                asked.unit
            );
            self.fault(asked.at, "no rate", (&accepted, None));
            return None;
        };
        Some(SlipLine {
            of: asked.at,
            code: asked.code,
            description: asked.description,
            quantity: asked.quantity,
            unit: asked.unit.to_owned(),
            unit_price,
            extended: extend(asked.quantity, unit_price, self.currency),
            price_from,
        })
    }
}
