//! The new sum of a contract: before tax, in tax and with tax, worked by hand, on paper and in rows.

use super::{of_answers, of_jobs, switchback};
use crossfall::answered::Answered;
use crossfall::change::{
    ChangeOrder, CompareRequest, Comparison, ContractSum, Side, Slips, Taxed, compare_by_lines,
};
use crossfall::documents::paper::{Part, write_document};
use crossfall::documents::{ChangeTold, compose_change_order, write_changes};
use crossfall::quantity::Faults;
use crossfall::quantity::money::Currency;
use serde_json::{Value, json};

/// An invented answer of one line, with tax charged on the price where there is any.
fn answer(direct: &str, tax: Option<(f64, &str, &str)>) -> Answered {
    let mut answer = json!({
        "name": "Paper ramp (invented)", "fingerprint": "sha256:0",
        "computed_with": {"as_of": "2026-05-04", "units": "us"},
        "price": {
            "currency": "USD", "unpriced": [], "total": direct,
            "lines": [{"code": "stone", "description": "stone", "class": "material",
                "quantity": {"value": 1, "unit": "each"}, "unit_price": direct, "extended": direct}],
            "build_up": [{"step": "direct", "amount": direct}],
        },
    });
    if let Some((rate, amount, total)) = tax {
        let step = json!({"step": "tax_charged", "rate": {"value": rate, "unit": "%"}, "base": direct, "amount": amount});
        answer["price"]["build_up"] = json!([answer["price"]["build_up"][0], step]);
        answer["price"]["total"] = json!(total);
    }
    serde_json::from_value(answer).expect("an answer")
}

fn side(answer: &Answered) -> Side {
    Side::of_answer(answer, "/x").unwrap_or_else(|faults| panic!("{faults}"))
}

/// 8376.14 becomes 8883.59 (507.45 more); 6.25 % of them are 523.50875 and 555.224375.
fn taxed() -> Comparison {
    let before = answer("8376.14", Some((6.25, "523.51", "8899.65")));
    let after = answer("8883.59", Some((6.25, "555.22", "9438.81")));
    compare_by_lines(&side(&before), &side(&after))
}

fn exempt() -> Comparison {
    let [before, after] = ["8376.14", "8883.59"].map(|price| side(&answer(price, None)));
    compare_by_lines(&before, &after)
}

fn item(number: &str, signed: bool, price: &str) -> Value {
    let mut slip = json!({"number": number, "date": "2026-07-08", "reason": "Roots", "signed": signed,
        "materials": [{"description": "Roots dug out", "quantity": "1", "unit": "each", "unit_price": price}]});
    if signed {
        slip["agreed_by"] = json!({"name": "A. Invented", "date": "2026-07-08"});
    }
    slip
}

fn read(rest: Value) -> Result<(ChangeOrder, Slips), Faults> {
    let mut body = json!({"before": {}, "after": {}, "number": "CO-2", "date": "2026-07-14",
        "seller": {"name": "Alder Fork Flatwork (invented)"}, "buyer": {"name": "Larkfield Meeting Hall (invented)"},
        "slips": [item("S-1", true, "321.15"), item("S-2", false, "100.00")]});
    let fields = body.as_object_mut().expect("an object");
    fields.extend(rest.as_object().expect("an object").clone());
    let sent: CompareRequest = serde_json::from_value(body).expect("a request");
    ChangeOrder::read(&sent, &[], &Currency::USD)
}

fn order(rest: Value) -> (ChangeOrder, Slips) {
    read(rest).unwrap_or_else(|faults| panic!("{faults}"))
}

fn shown(sum: Option<Taxed>) -> [String; 3] {
    let sum = sum.expect("a sum");
    [sum.before_tax, sum.tax, sum.with_tax].map(|amount| amount.to_string())
}

/// In the order original, earlier, change, signed slips, new, unsigned slips.
fn columns(contract: &ContractSum) -> [[String; 3]; 6] {
    [
        contract.original,
        Some(contract.earlier),
        contract.change,
        Some(contract.signed_slips),
        contract.new,
        Some(contract.unsigned_slips),
    ]
    .map(shown)
}

/// By hand: 8376.14 + 507.45 + 321.15 = 9204.74, of which 6.25 % are 575.29625; with the 100.00 that nobody signed
/// 581.54625. What a part adds to the tax is its tax: 555.22 - 523.51 = 31.71, 575.30 - 555.22 = 20.08.
#[test]
fn tax_is_charged_once_and_on_slips_too() {
    let (order, slips) = order(json!({}));
    let contract = ContractSum::after(&taxed(), &order, &slips);
    let right = [
        ["8376.14", "523.51", "8899.65"],
        ["0.00", "0.00", "0.00"],
        ["507.45", "31.71", "539.16"],
        ["321.15", "20.08", "341.23"],
        ["9204.74", "575.30", "9780.04"],
        ["100.00", "6.25", "106.25"],
    ];
    assert_eq!(columns(&contract), right.map(|row| row.map(str::to_owned)));
    // 507.45 + 321.15.
    assert_eq!(
        contract.to_bill.map(|sum| sum.to_string()).as_deref(),
        Some("828.60")
    );
    assert_eq!(
        contract.tax_rate.map(|rate| rate.to_string()).as_deref(),
        Some("6.25 %")
    );
}

/// By hand: 8500.00 + 250.00 - 40.00 = 8710.00; with 507.45 9217.45; with 321.15 9538.60. 6.25 % of them: 531.25,
/// 544.375, 576.090625, 596.1625.
#[test]
fn an_agreed_sum_and_earlier_changes_are_part_of_the_contract() {
    let sent = json!({"agreed": "8500.00", "changes_before": [
        {"number": "CO-1", "amount": "250.00"}, {"number": "S-0", "amount": "-40.00"}]});
    let (order, slips) = order(sent);
    let contract = ContractSum::after(&taxed(), &order, &slips);
    let right = [
        ["8500.00", "531.25", "9031.25"],
        ["210.00", "13.13", "223.13"],
        ["507.45", "31.71", "539.16"],
        ["321.15", "20.07", "341.22"],
        ["9538.60", "596.16", "10134.76"],
    ];
    assert_eq!(
        columns(&contract)[..5],
        right.map(|row| row.map(str::to_owned))
    );
    assert_eq!(
        contract.to_bill.map(|sum| sum.to_string()).as_deref(),
        Some("828.60")
    );
}

/// Whatever decimals a rate has, and whether it stays, the contract without slips is what both estimates come to.
#[test]
fn without_slips_a_contract_is_what_the_estimates_come_to() {
    let tax = |rate: &str| ("/price/sales_tax", json!({"rate": rate, "base": "price"}));
    let (order, slips) = order(json!({"slips": []}));
    for [was, is] in [
        ["6.25 %", "6.25 %"],
        ["8.875 %", "8.875 %"],
        ["5 %", "7.5 %"],
    ] {
        let before = switchback(&[tax(was)]);
        let after = switchback(&[tax(is), ("/base/depth", json!("6 in"))]);
        for told in [of_jobs(&before, &after), of_answers(&before, &after)] {
            let contract = ContractSum::after(&told, &order, &slips);
            let with_tax = |sum: Option<Taxed>| sum.map(|sum| sum.with_tax);
            assert_eq!(with_tax(contract.original), told.before.total);
            assert_eq!(with_tax(contract.new), told.after.total);
            assert_eq!(with_tax(contract.change), told.net);
            let taxes = told.causes.iter().filter_map(|step| step.tax);
            assert_eq!(contract.change.map(|change| change.tax), Some(taxes.sum()));
            assert!(contract.change.is_some_and(|change| !change.tax.is_zero()));
            assert_eq!(
                told.before.tax_rate.map(|rate| rate.to_string()).as_deref(),
                Some(was)
            );
            assert!(told.demo);
        }
    }
}

/// A line without a price leaves the new sum open, and what to bill.
#[test]
fn an_open_line_leaves_the_sum_open() {
    let (order, slips) = order(json!({}));
    let told = of_jobs(&switchback(&[]), &switchback(&[("/scope", json!("prime"))]));
    let contract = ContractSum::after(&told, &order, &slips);
    assert_eq!(
        (contract.change, contract.new, contract.to_bill),
        (None, None, None)
    );
    assert_eq!(shown(Some(contract.signed_slips))[0], "321.15");
}

#[test]
fn what_was_agreed_before_is_refused_where_it_cannot_be() {
    let change = |number: &str, amount: &str| json!({"number": number, "amount": amount});
    for (sent, pointer) in [
        (json!({"agreed": "0.00"}), "/agreed"),
        (json!({"agreed": "-1.00"}), "/agreed"),
        (json!({"agreed": "8000.001"}), "/agreed"),
        (
            json!({"changes_before": [change("CO-1", "1.001")]}),
            "/changes_before/0/amount",
        ),
        (
            json!({"changes_before": [change("", "1.00")]}),
            "/changes_before/0/number",
        ),
        (
            json!({"changes_before": [change("CO-2", "1.00")]}),
            "/changes_before/0/number",
        ),
        (
            json!({"changes_before": [change("S-1", "1.00")]}),
            "/changes_before/0/number",
        ),
        (
            json!({"changes_before": [change("CO-1", "1.00"), change("CO-1", "1.00")]}),
            "/changes_before/1/number",
        ),
    ] {
        let faults = read(sent.clone()).expect_err("refused");
        let at: Vec<&str> = faults
            .0
            .iter()
            .map(|fault| fault.pointer.as_str())
            .collect();
        assert_eq!(at, [pointer], "{sent}");
    }
}

/// The rows of the first table: what a sum is, and its figures.
fn sums_on_paper(told: &Comparison, rest: Value) -> (Vec<(String, String)>, String) {
    let (order, slips) = order(rest);
    let contract = ContractSum::after(told, &order, &slips);
    let told = ChangeTold {
        order: &order,
        comparison: told,
        contract: &contract,
        slips: &slips,
    };
    let parties = (order.seller.as_ref(), order.buyer.as_ref());
    let (Some(seller), Some(buyer)) = parties else {
        panic!("no parties")
    };
    let paper = compose_change_order(told, (seller, buyer));
    let table = paper.parts.iter().find_map(|part| match part {
        Part::Table(table) => Some(table),
        _ => None,
    });
    let rows = table.expect("a table").rows.iter();
    let rows = rows.map(|row| (row.cells[0].clone(), row.cells[1].clone()));
    (rows.collect(), write_document(&paper))
}

#[test]
fn on_paper_the_sums_say_whether_tax_is_in_them() {
    let before = json!({"changes_before": [{"number": "CO-1", "amount": "250.00"}]});
    let (rows, page) = sums_on_paper(&taxed(), before);
    let right = [
        ("Original contract sum, before tax", "USD 8,376.14"),
        ("Change order agreed before: CO-1", "USD 250.00"),
        ("Sum before this change, before tax", "USD 8,626.14"),
        ("Change of the work", "USD 507.45"),
        ("Extra work on signed slips", "USD 321.15"),
        ("New contract sum, before tax", "USD 9,454.74"),
        // 6.25 % of 9454.74: 590.92125.
        ("Tax, 6.25 %", "USD 590.92"),
        ("New contract sum, with tax", "USD 10,045.66"),
        ("To be billed for this change, before tax", "USD 828.60"),
    ];
    assert_eq!(
        rows,
        right.map(|(what, sum)| (what.to_owned(), sum.to_owned()))
    );
    assert!(page.contains("USD 100.00 before tax."), "{page}");
    let (rows, page) = sums_on_paper(&exempt(), json!({}));
    let right = [
        ("Sum before this change", "USD 8,376.14"),
        ("Change of the work", "USD 507.45"),
        ("Extra work on signed slips", "USD 321.15"),
        ("New contract sum", "USD 9,204.74"),
    ];
    assert_eq!(
        rows,
        right.map(|(what, sum)| (what.to_owned(), sum.to_owned()))
    );
    assert!(!page.to_lowercase().contains("tax"), "{page}");
    assert!(!page.contains("invented demo book"), "{page}");
}

#[test]
fn a_price_of_the_demo_book_is_said_to_be_invented() {
    let told = of_jobs(
        &switchback(&[]),
        &switchback(&[("/base/depth", json!("6 in"))]),
    );
    let (_, page) = sums_on_paper(&told, json!({}));
    assert!(
        page.contains("Prices from the invented demo book"),
        "{page}"
    );
}

/// Columns 14, 16 and 17: the change, and its parts before tax and tax.
#[test]
fn in_rows_a_change_is_split_into_before_tax_and_tax() {
    let text = write_changes(&taxed());
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let mut sums = [[0.0; 3]; 2];
    for row in reader.records() {
        let row = row.expect("a row");
        let of = usize::from(row.get(0) != Some("cause"));
        for (sum, column) in sums[of].iter_mut().zip([14, 16, 17]) {
            *sum += row[column].parse::<f64>().expect("a number") * 100.0;
        }
    }
    let cents = sums.map(|sums| sums.map(|sum: f64| sum.round() as i64));
    assert_eq!(cents, [[53_916, 50_745, 3_171]; 2]);
}
