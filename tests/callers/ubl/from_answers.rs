//! Quotations, invoices and credit notes made from priced answers: of invented jobs through the whole flow, and made
//! up in currencies of zero, two and three decimals, one with a thousand lines.
//!
//! Invariants: seeds are fixed; each job is offered, then billed from deposit to the last retainage. Absent: bills that lack
//! something, which `made_up` sees.

use super::{faults, judge, says_what_the_bill_says};
use crate::oracles::solids::Numbers;
use crossfall::billing::{
    Application, Bill, Quotation, make_credit_note, make_invoice, make_quotation,
};
use crossfall::book::demo_history;
use crossfall::catalog::{Catalog, Class, PriceList, SaleUnit};
use crossfall::crew::Rates;
use crossfall::documents::ubl::{write_bill, write_quotation};
use crossfall::estimate::{With, estimate};
use crossfall::http::answer::{EstimateAnswer, View};
use crossfall::job::{Day, JobRequest};
use crossfall::quantity::money::{Amount, Currency, Decimal4, Percentage, UnitPrice, extend};
use crossfall::rules::RuleSets;
use serde_json::{Value, json};
use std::sync::Arc;

/// What became of a job: an offer and its bills.
struct Papers {
    answer: Value,
    quotation: Quotation,
    bills: Vec<Bill>,
}

/// The answer to a random ramp, from the invented demo book.
fn answer_to_a_job(numbers: &mut Numbers) -> Value {
    let day = Day::parse("2026-05-04").expect("a day");
    let history = demo_history().expect("the demo book");
    let list = PriceList::new(Arc::new(history), None, day.0).expect("a revision");
    let with = With {
        rules: RuleSets::built_in(),
        catalog: Catalog::built_in(),
        rates: Rates::built_in(),
        list: &list,
    };
    let (rise, width) = (numbers.whole(6, 30), numbers.whole(48, 84));
    // Below half a percent the published BR-CO-17 refuses what is right, and we refuse to write it.
    let rate = f64::from(numbers.whole(50, 900)) / 100.0;
    let base = ["price", "none"][numbers.whole(0, 1) as usize];
    let tax = (base == "price").then(|| json!({"rate": format!("{rate} %"), "base": base}));
    let job = json!({
        "name": "Ramp <invented> & \"quoted\" منحدر",
        "ramp": {"width": format!("{width} in"), "path": [
            {"kind": "landing"},
            {"kind": "run", "rise": format!("{rise} in"), "length": format!("{} in", rise * 13)},
            {"kind": "landing"}
        ]},
        "price": {"sales_tax": tax},
        "book": {"as_of": "2026-05-04"}
    });
    let sent: JobRequest = serde_json::from_value(job).expect("a job");
    let estimate = estimate(sent, day, with).expect("no fault");
    let view = View {
        system: estimate.job.units,
        working: false,
    };
    serde_json::to_value(EstimateAnswer::of(estimate, view, false)).expect("an answer")
}

/// An answer of so many lines in a currency, whose sums hold.
fn answer_made_up(numbers: &mut Numbers, (lines, code): (usize, &str)) -> Value {
    let currency = Currency::of_code(code).expect("a currency");
    let mut direct = Amount::zero(&currency);
    let mut line = |index: usize| {
        let quantity = Decimal4::from_ten_thousandths(i64::from(numbers.whole(1, 99_999)) * 100);
        let price = UnitPrice::from_ten_thousandths(i64::from(numbers.whole(100, 9_999_999)));
        let unit = SaleUnit::WORDS[index % SaleUnit::WORDS.len()];
        let extended = extend(quantity, price, &currency);
        direct += extended;
        json!({
            "code": format!("item-{index}"), "description": format!("=Line {index} <&>"),
            "class": Class::WORDS[index % Class::WORDS.len()],
            "quantity": {"value": quantity.number(), "unit": unit},
            "unit_price": price.to_string(), "extended": extended
        })
    };
    let lines: Vec<Value> = (0..lines).map(&mut line).collect();
    let (overhead, tax) = (numbers.whole(1, 30), numbers.whole(1, 20));
    let share = |percent: u32| Percentage::from_millionths(i64::from(percent) * 10_000);
    let raised = direct.percent(share(overhead));
    let charged = (direct + raised).percent(share(tax));
    let rate = |percent: u32| json!({"value": percent, "unit": "%"});
    json!({
        "name": "Made up", "fingerprint": "sha256:00",
        "computed_with": {"as_of": "2026-05-04", "units": "us", "books": []},
        "price": {
            "currency": code, "lines": lines, "unpriced": [], "total": direct + raised + charged,
            "build_up": [
                {"step": "direct", "amount": direct},
                {"step": "overhead", "amount": raised, "rate": rate(overhead), "base": direct},
                {"step": "tax_charged", "amount": charged, "rate": rate(tax), "base": direct + raised}
            ]
        }
    })
}

/// What every paper of a job begins with.
fn head(answer: &Value, number: &str) -> Value {
    json!({
        "number": number, "issue_date": "2026-06-12", "estimate": answer,
        "seller": {"name": "Gravel & Sons <Concrete>", "country": "US", "tax_id": "12-3456789", "registration": "R-1"},
        "buyer": {"name": "مدرسة النور", "country": "US"},
        "references": {"order": "PO <7>", "project": "P&9"},
        "notes": ["\"Invented\" & <told>"]
    })
}

fn bill(answer: &Value, (number, asked): (&str, Value), earlier: &[Application]) -> Bill {
    let mut request = head(answer, number);
    let all = request.as_object_mut().expect("an object");
    all.extend(asked.as_object().expect("an object").clone());
    all.insert("due_date".to_owned(), json!("2026-07-12"));
    all.insert("earlier".to_owned(), json!(earlier));
    let request = serde_json::from_value(request).expect("a request");
    make_invoice(&request).unwrap_or_else(|faults| panic!("{number}: {faults}"))
}

/// From deposit to the last retainage, and one bill given back in half.
fn bills(answer: &Value, schedule: &Value, half: u32) -> Vec<Bill> {
    let changes = json!([{"number": "CO-1", "description": "Extra <landing>", "amount": "1000"}]);
    let steps = [
        ("B-1", json!({"deposit": {"percent": "10 %"}})),
        (
            "B-2",
            json!({"progress": [{"item": "all", "percent": format!("{half} %")}], "retainage": "10 %"}),
        ),
        (
            "B-3",
            json!({
                "progress": [{"item": "all", "percent": "90 %"}], "retainage": "10 %", "changes": changes,
                "back_charges": [{"reason": "a broken \"window\"", "amount": "75"}],
                "paid": [{"date": "2026-06-01", "amount": "10"}]
            }),
        ),
        (
            "B-4",
            json!({"progress": [{"item": "all", "percent": "100 %"}], "changes": changes, "release": {"all": true}}),
        ),
    ];
    let (mut bills, mut earlier) = (Vec::<Bill>::new(), Vec::new());
    for (number, mut asked) in steps {
        asked["schedule"] = schedule.clone();
        let made = bill(answer, (number, asked), &earlier);
        earlier.extend(made.application.clone());
        bills.push(made);
    }
    let credit = json!({
        "number": "CN-1", "issue_date": "2026-07-20", "bill": bills[1], "reason": "Half <of it> & no more",
        "lines": [{"line": "1", "percent": "50 %"}]
    });
    let credit = serde_json::from_value(credit).expect("a request");
    bills.push(make_credit_note(&credit).unwrap_or_else(|faults| panic!("{faults}")));
    bills
}

fn papers(numbers: &mut Numbers, answer: Value) -> Papers {
    let by = ["whole", "class", "line"][numbers.whole(0, 2) as usize];
    let schedule = json!({ "by": by });
    let mut request = head(&answer, "Q-1");
    request["schedule"] = schedule.clone();
    request["valid_until"] = json!("2026-07-31");
    let request = serde_json::from_value(request).expect("a request");
    let quotation = make_quotation(&request).unwrap_or_else(|faults| panic!("{faults}"));
    let three = answer["price"]["currency"] == "KWD";
    let half = numbers.whole(10, 89);
    Papers {
        // Its bills cannot be XML by the standard, its quotation can.
        bills: if three {
            Vec::new()
        } else {
            bills(&answer, &schedule, half)
        },
        answer,
        quotation,
    }
}

fn all_papers() -> Vec<Papers> {
    let mut numbers = Numbers(43);
    let (jobs, made_up) = if crate::ubl::is_long() {
        (150, 350)
    } else {
        (20, 40)
    };
    let mut all = Vec::new();
    for _ in 0..jobs {
        let answer = answer_to_a_job(&mut numbers);
        all.push(papers(&mut numbers, answer));
    }
    for number in 0..made_up {
        let lines = if number == 0 { 1000 } else { 1 + number };
        let code = ["EUR", "JPY", "KWD", "USD"][number % 4];
        let answer = answer_made_up(&mut numbers, (lines, code));
        all.push(papers(&mut numbers, answer));
    }
    all
}

#[test]
fn every_paper_of_a_job_fits_the_schemas_and_the_rules_and_agrees_to_the_cent() {
    let all = all_papers();
    let mut documents = Vec::new();
    for papers in &all {
        documents.push(write_quotation(&papers.quotation));
        let bills = papers.bills.iter();
        documents.extend(bills.map(|bill| {
            let written = write_bill(bill, "");
            written.unwrap_or_else(|faults| panic!("{}: {faults}", bill.number))
        }));
    }
    let told = judge(&documents);
    let told = told["documents"].as_array().expect("one each");
    let mut told = told.iter().zip(&documents);
    for papers in &all {
        let (quoted, xml) = told.next().expect("one for the quotation");
        assert_eq!(faults(quoted), Vec::<String>::new(), "{xml}");
        let price = &papers.answer["price"]["total"];
        assert_eq!(&quoted["totals"]["PayableAmount"], price);
        assert_eq!(&quoted["totals"]["TaxInclusiveAmount"], price);
        assert_eq!(quoted["products"], true);
        let lines = quoted["lines"].as_array().expect("lines");
        let lines = lines.iter().map(|line| {
            let text = line.as_str().expect("an amount");
            Amount::parse(text).expect("an amount")
        });
        let sum = json!(lines.sum::<Amount>());
        assert_eq!(quoted["totals"]["TaxExclusiveAmount"], sum);
        for bill in &papers.bills {
            let (told, xml) = told.next().expect("one for each bill");
            assert_eq!(faults(told), Vec::<String>::new(), "{xml}");
            says_what_the_bill_says(told, bill);
        }
    }
}
