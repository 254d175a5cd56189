//! Bills made up at random, right ones and such as lack something: none that is written breaks a rule.
//!
//! Invariants: seeds are fixed; sums are made by the bill's own parts, so that only what the standard asks beyond them
//! is ever wrong. Absent: how a bill comes about from a job, which `from_answers` sees.

use super::{faults, judge, says_what_the_bill_says};
use crate::oracles::solids::Numbers;
use crossfall::billing::{
    Bill, BillAllowance, BillKind, BillLine, BillPeriod, BillTax, BillTotals, Contact, Corrected,
    LineKind, PaidBefore, Party, PayTo, References, TaxCategory,
};
use crossfall::catalog::SaleUnit;
use crossfall::documents::ubl::{check_for_xml, write_bill};
use crossfall::job::Day;
use crossfall::quantity::money::{Amount, Currency, Decimal4, Percentage};

/// Names that a writer of XML, a spreadsheet or a screen may stumble over; all invented.
const NAMES: &[&str] = &[
    "Gravel & Sons <Concrete>",
    "O'Example \"Flatwork\"",
    "=2+3 & ]]> --",
    "مقاول الخرسانة",
    "בטון לדוגמה בע\"מ",
    "サンプル工務店",
    "&amp; &lt;b&gt; &#65;",
    "é\u{301}🙂 < > & ' \"",
];

struct MadeUp(Numbers);

/// What is reckoned on a bill.
struct Figures {
    currency: Currency,
    lines: Vec<BillLine>,
    allowances: Vec<BillAllowance>,
    tax: BillTax,
    totals: BillTotals,
}

impl MadeUp {
    fn whole(&mut self, least: u32, most: u32) -> u32 {
        self.0.whole(least, most)
    }

    /// True in so many of a hundred cases.
    fn chance(&mut self, percent: u32) -> bool {
        self.whole(1, 100) <= percent
    }

    fn pick<T: Copy>(&mut self, all: &[T]) -> T {
        let at = self.whole(1, u32::try_from(all.len()).expect("few")) - 1;
        all[at as usize]
    }

    /// A value, but in so few of a hundred cases that most bills are whole.
    fn mostly<T>(&mut self, value: T) -> Option<T> {
        (!self.chance(3)).then_some(value)
    }

    fn name(&mut self) -> String {
        self.pick(NAMES).to_owned()
    }

    fn party(&mut self, vat: bool) -> Party {
        let country = self.pick(&["US", "DE", "GR", "GB", "JP", "ES"]);
        let letters = if country == "GR" { "EL" } else { country };
        let number = if vat {
            format!("{letters}123456789")
        } else {
            "12-3456789".to_owned()
        };
        let tax_id = if vat || self.chance(50) {
            self.mostly(number)
        } else {
            None
        };
        let streets = self.whole(0, 3) as usize;
        Party {
            name: self.name(),
            street: Some((0..streets).map(|_| self.name()).collect()),
            city: self.chance(80).then(|| self.name()),
            region: self.chance(50).then(|| self.name()),
            postcode: self.chance(50).then(|| "01101".to_owned()),
            country: self.mostly(country.to_owned()),
            tax_id,
            registration: self.mostly("R <1>".to_owned()),
            licence: self.chance(30).then(|| "L & 2".to_owned()),
            contact: self.chance(60).then(|| Contact {
                name: self.chance(50).then(|| self.name()),
                phone: self.chance(50).then(|| "+1 555 0100".to_owned()),
                email: self.chance(50).then(|| "office@example.com".to_owned()),
            }),
        }
    }

    fn line(&mut self, id: usize, currency: &Currency) -> BillLine {
        let negative = self.chance(20);
        let size = i64::from(self.whole(0, 2_000_000));
        let counted = self.chance(60);
        let quantity = i64::from(self.whole(0, 999_999));
        let quantity = Decimal4::from_ten_thousandths(if negative { -quantity } else { quantity });
        BillLine {
            id: (id + 1).to_string(),
            kind: self.pick(LineKind::ALL),
            description: self.name(),
            amount: Amount::from_minor(if negative { -size } else { size }, currency),
            item: self.chance(50).then(|| self.name()),
            quantity: counted.then_some(quantity),
            unit: (counted && self.chance(90)).then(|| self.pick(SaleUnit::WORDS).to_owned()),
            cost_code: None,
        }
    }

    fn allowance(&mut self, base: Amount, currency: &Currency) -> BillAllowance {
        let rate = Percentage::from_millionths(i64::from(self.whole(0, 150_000)));
        let whole = base.percent(rate);
        let amount = match self.whole(1, 4) {
            1 => -whole,
            2 => whole + Amount::from_minor(1, currency),
            _ => whole,
        };
        BillAllowance {
            reason: self.name(),
            base,
            rate,
            amount,
        }
    }

    fn tax(&mut self, category: TaxCategory, taxable: Amount, currency: &Currency) -> BillTax {
        use TaxCategory::{Canary, Ceuta, Standard, Zero};
        let charged = matches!(category, Standard | Canary | Ceuta);
        let rate = if charged == self.chance(97) {
            Percentage::from_millionths(i64::from(self.whole(1, 250_000)))
        } else {
            Percentage::ZERO
        };
        // What was rounded before may come back by one of the smallest pieces of money.
        let piece = if self.chance(10) && rate != Percentage::ZERO {
            1
        } else {
            0
        };
        let amount = taxable.percent(rate) + Amount::from_minor(piece, currency);
        let told = !(charged || category == Zero);
        let reason = (told == self.chance(97)).then(|| self.name());
        BillTax {
            category,
            rate,
            taxable,
            amount: amount.in_currency(currency),
            reason,
        }
    }

    fn currency(&mut self) -> Currency {
        let common = self.pick(&["USD", "EUR", "GBP", "JPY", "ISK", "KRW"]);
        let code = self.mostly(common).unwrap_or("KWD");
        Currency::of_code(code).expect("a currency")
    }

    /// Lines, what is held back, tax, and what was paid, with their sums.
    fn figures(&mut self, lines: usize) -> Figures {
        let currency = self.currency();
        let zero = Amount::zero(&currency);
        let category = self.pick(TaxCategory::ALL);
        let lines: Vec<BillLine> = (0..lines).map(|id| self.line(id, &currency)).collect();
        let sum = zero + lines.iter().map(|line| line.amount).sum::<Amount>();
        let count = self.whole(0, 2);
        let allowances = (0..count).map(|_| self.allowance(sum, &currency));
        let allowances: Vec<BillAllowance> = allowances.collect();
        let held = zero + allowances.iter().map(|held| held.amount).sum::<Amount>();
        let tax = self.tax(category, sum - held, &currency);
        let size = i64::from(self.whole(1, 90_000));
        let paid = if self.chance(30) {
            Amount::from_minor(size, &currency)
        } else {
            zero
        };
        let with_tax = sum - held + tax.amount;
        let totals = BillTotals {
            lines: sum,
            allowances: held,
            before_tax: sum - held,
            tax: tax.amount,
            with_tax,
            paid,
            payable: with_tax - paid,
        };
        Figures {
            currency,
            lines,
            allowances,
            tax,
            totals,
        }
    }

    /// One bill of so many lines.
    fn bill(&mut self, number: usize, lines: usize) -> Bill {
        let kind = self.pick(BillKind::ALL);
        let credit = kind == BillKind::CreditNote;
        let figures = self.figures(lines);
        let vat = figures.tax.category != TaxCategory::OutOfScope && self.chance(85);
        let to = day(self.pick(&["2026-06-10", "2026-05-15", "2026-06-11", "2026-06-12"]));
        let from = day("2026-05-15");
        let paid = figures.totals.paid;
        Bill {
            kind,
            id: format!("made-up-{number}"),
            number: format!("MU-{number}"),
            issue_date: day("2026-06-12"),
            currency: figures.currency,
            seller: self.party(vat),
            buyer: self.party(vat),
            job: self.name(),
            fingerprint: "sha256:00".to_owned(),
            lines: figures.lines,
            allowances: figures.allowances,
            tax: figures.tax,
            totals: figures.totals,
            due_date: self.mostly(day("2026-07-12")),
            period: self.mostly(BillPeriod { from, to }),
            references: self.chance(80).then(|| self.references()),
            corrects: credit.then(|| Corrected {
                number: "MU-0".to_owned(),
                issue_date: day("2026-06-01"),
            }),
            reason: credit.then(|| self.name()),
            pay_to: self.chance(80).then(|| self.pay_to()),
            paid: (!paid.is_zero()).then(|| vec![paid_before(paid)]),
            notes: self.chance(60).then(|| vec![self.name(), self.note()]),
            attachments_needed: None,
            application: None,
        }
    }

    fn note(&mut self) -> String {
        self.pick(&[
            "Lot #12, north",
            "Lots #1 #2",
            "Lots #12 #13 #14",
            "#AAI#told",
        ])
        .to_owned()
    }

    fn references(&mut self) -> References {
        let mut one = || self.chance(60).then(|| self.name());
        References {
            order: one(),
            contract: one(),
            project: one(),
            quotation: one(),
            buyer_reference: one(),
        }
    }

    fn pay_to(&mut self) -> PayTo {
        PayTo {
            account: self.chance(85).then(|| "DE00 0000".to_owned()),
            account_name: self.chance(20).then(|| self.name()),
            bank: self.chance(20).then(|| "BANK<1>".to_owned()),
            terms: self.chance(60).then(|| self.name()),
        }
    }
}

fn paid_before(amount: Amount) -> PaidBefore {
    PaidBefore {
        date: day("2026-05-02"),
        amount,
        reference: None,
    }
}

fn day(text: &str) -> Day {
    Day::parse(text).expect("a day")
}

fn cases() -> usize {
    if super::is_long() { 500 } else { 60 }
}

/// A bill that is refused cannot break a rule, so enough of them must be written; every category and kind is among
/// them, and one has a thousand lines.
#[test]
fn no_bill_that_is_written_breaks_a_rule_and_each_says_what_its_bill_says() {
    let mut made_up = MadeUp(Numbers(41));
    let (mut bills, mut refused, mut number) = (Vec::new(), 0, 0);
    while bills.len() < cases() {
        number += 1;
        let lines = if bills.is_empty() {
            1000
        } else {
            made_up.whole(1, 12) as usize
        };
        let bill = made_up.bill(number, lines);
        match write_bill(&bill, "") {
            Ok(xml) => bills.push((bill, xml)),
            Err(_) => refused += 1,
        }
    }
    assert!(refused < 2 * bills.len(), "{refused} of {number} refused");
    for category in TaxCategory::ALL {
        let seen = bills.iter().any(|(bill, _)| bill.tax.category == *category);
        assert!(seen, "no bill with tax category {category}");
    }
    let documents: Vec<String> = bills.iter().map(|(_, xml)| xml.clone()).collect();
    let told = judge(&documents);
    let told = told["documents"].as_array().expect("one each");
    for (told, (bill, xml)) in told.iter().zip(&bills) {
        assert_eq!(faults(told), Vec::<String>::new(), "{xml}");
        says_what_the_bill_says(told, bill);
        assert!(check_for_xml(bill, "").is_ok());
    }
}
