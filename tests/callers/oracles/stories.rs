//! Invented jobs, priced and billed in parts, by a fixed seed each: for programs that read what we write.
//!
//! Invariant: a seed always gives the same story. Absent: real names.

use crossfall::billing::{Bill, CreditRequest, InvoiceRequest, make_credit_note, make_invoice};
use crossfall::quantity::money::{Amount, Currency, Decimal4, UnitPrice, extend};
use serde_json::{Value, json};

/// Numbers that follow from a seed (a linear congruential generator; constants of Knuth's MMIX, from memory).
pub(super) struct Numbers(u64);

impl Numbers {
    pub(super) fn of(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) ^ 0x5DEE_CE66)
    }

    /// From 0 to below `end`.
    pub(super) fn below(&mut self, end: u64) -> u64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) % end
    }

    pub(super) fn one_of<'a>(&mut self, these: &[&'a str]) -> &'a str {
        these[usize::try_from(self.below(these.len() as u64)).expect("an index")]
    }

    fn percent(&mut self, most: u64) -> String {
        format!("{}.{:02} %", self.below(most), self.below(100))
    }
}

/// Names that trip careless writers.
const NAMES: [&str; 6] = [
    "Weir & Sons <builders> (invented)",
    "O'Neill \"Quarry\" Ltd; ramps (invented)",
    "=SUM(A1:A9) (invented)",
    "مقاول المنحدرات (invented)",
    "東の橋 [工事] {x} | y (invented)",
    "Élan % # \\ back (invented)",
];

/// How many stories there are.
pub(super) fn stories() -> u64 {
    match std::env::var("TEST_SIZE").as_deref() {
        Ok("long") => 500,
        _ => 60,
    }
}

/// The answer of an estimate, invented whole: its lines multiply and its steps add up.
pub(super) fn answer(numbers: &mut Numbers, currency: &Currency) -> Value {
    let count = if numbers.below(20) == 0 {
        1000
    } else {
        1 + numbers.below(9)
    };
    let mut direct = Amount::zero(currency);
    let classes = ["material", "labour", "equipment", "fee", "sub"];
    let lines: Vec<Value> = (0..count)
        .map(|index| {
            let quantity = Decimal4::from_ten_thousandths(i64::try_from(numbers.below(900_000)).expect("small"));
            let price = UnitPrice::from_ten_thousandths(i64::try_from(numbers.below(9_000_000)).expect("small"));
            let extended = extend(quantity, price, currency);
            direct += extended;
            json!({
                "code": format!("item-{index}"), "description": format!("Item {index}, {}", numbers.one_of(&NAMES)),
                "class": numbers.one_of(&classes), "quantity": {"value": quantity.number(), "unit": "yd3"},
                "unit_price": price, "extended": extended
            })
        })
        .collect();
    // So that there is something to bill.
    let profit = direct.percent(crossfall::quantity::money::Percentage::from_millionths(
        150_000,
    )) + Amount::from_minor(10_000, currency);
    json!({
        "name": numbers.one_of(&NAMES), "fingerprint": "sha256:invented",
        "computed_with": {"as_of": "2026-05-04", "units": "us"},
        "price": {"currency": currency, "lines": lines, "unpriced": [], "total": direct + profit, "build_up": [
            {"step": "direct", "amount": direct}, {"step": "profit", "amount": profit}
        ]}
    })
}

/// A job billed in parts, with a credit note now and then; all bills of one currency.
pub(super) fn bills(seed: u64, currency: &Currency) -> (Value, Vec<Bill>) {
    let mut numbers = Numbers::of(seed);
    let answer = answer(&mut numbers, currency);
    let common = common(&mut numbers, &answer);
    let mut bills: Vec<Bill> = Vec::new();
    let mut shares: Vec<u64> = (0..numbers.below(3))
        .map(|_| 1 + numbers.below(98))
        .collect();
    shares.sort_unstable();
    shares.dedup();
    if numbers.below(3) == 0 {
        add(
            &mut bills,
            &common,
            json!({"deposit": {"percent": numbers.percent(30)}}),
            seed,
        );
    }
    for share in shares.into_iter().chain([100]) {
        let mut more = json!({"progress": [{"item": "all", "percent": format!("{share} %")}], "retainage": numbers.percent(20)});
        if share == 100 {
            more["release"] = json!({"all": true});
            let back = Amount::from_minor(
                1 + i64::try_from(numbers.below(900)).expect("small"),
                currency,
            );
            more["back_charges"] = json!([{"reason": "Washed out on the lawn", "amount": back}]);
        }
        add(&mut bills, &common, more, seed);
    }
    if numbers.below(3) == 0 {
        credit(&mut bills, seed);
    }
    (answer, bills)
}

fn common(numbers: &mut Numbers, answer: &Value) -> Value {
    let tax = match numbers.below(6) {
        0 => json!({"category": "S", "rate": format!("{}.25 %", 1 + numbers.below(24))}),
        1 => json!({"category": "Z"}),
        2 => json!({"category": "E", "reason": "Exempt by certificate (invented)"}),
        3 => json!({"category": "AE", "reason": "Reverse charge"}),
        4 => json!({"category": "S", "rate": "20 %"}),
        _ => json!({"category": "O", "reason": "Not subject to tax"}),
    };
    let mut seller = json!({
        "name": numbers.one_of(&NAMES), "street": ["1 Mill Lane (invented)"], "city": "Millbrook", "postcode": "00000",
        "country": "US", "registration": "R-4411", "contact": {"name": "The office", "email": "office@ramp.example"}
    });
    if tax["category"] != "O" {
        seller["tax_id"] = json!("US123456789");
    }
    json!({
        "issue_date": "2026-06-30", "due_date": "2026-07-30", "tax": tax, "seller": seller,
        "buyer": {"name": numbers.one_of(&NAMES), "country": "US", "tax_id": (tax["category"] == "AE").then_some("US987654321")},
        "references": {"order": "PO-77", "buyer_reference": "Gate 4"},
        "schedule": {"by": numbers.one_of(&["whole", "class", "line"])}, "estimate": answer
    })
}

fn add(bills: &mut Vec<Bill>, common: &Value, more: Value, seed: u64) {
    let mut sent = common.clone();
    for (field, value) in more.as_object().expect("an object") {
        sent[field] = value.clone();
    }
    let earlier: Vec<&_> = bills
        .iter()
        .filter_map(|bill| bill.application.as_ref())
        .collect();
    sent["earlier"] = json!(earlier);
    sent["number"] = json!(format!("INV-{seed}-{}", bills.len() + 1));
    let sent: InvoiceRequest = serde_json::from_value(sent).expect("it can be read");
    // A part too small for what comes off it is refused, and the story goes on without it.
    if let Ok(bill) = make_invoice(&sent) {
        bills.push(bill);
    }
}

fn credit(bills: &mut Vec<Bill>, seed: u64) {
    let Some(bill) = bills.last() else {
        return;
    };
    let sent = json!({"number": format!("C-{seed}"), "issue_date": "2026-07-09", "bill": bill, "reason": "Billed twice"});
    let sent: CreditRequest = serde_json::from_value(sent).expect("it can be read");
    if let Ok(credit) = make_credit_note(&sent) {
        bills.push(credit);
    }
}

/// Currencies with two, none and three decimals.
pub(super) fn currency(seed: u64) -> Currency {
    let code =
        ["USD", "EUR", "USD", "JPY", "USD", "KWD"][usize::try_from(seed % 6).expect("small")];
    Currency::of_code(code).expect("a currency")
}
