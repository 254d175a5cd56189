//! A bill on paper: what is asked for, how it comes about, and where the job stands.
//!
//! Invariant: every figure is one of the bill. Absent: sums of its own.

use super::drawing::Bitmap;
use super::paper::{Document, Part, Prose, Row, Side, Sum, Table};
use super::parties::{Kind, addressee, letterhead, list, panel};
use crate::billing::{Application, Bill, BillKind, PayTo, References};
use crate::proposal::{grouped, money_in_figures};
use crate::quantity::money::{Amount, Percentage};

/// A bill as a document.
pub fn compose_bill(bill: &Bill, logo: Option<Bitmap>) -> Document {
    let name = kind_name(bill.kind);
    let kind = Kind {
        name,
        facts: facts(bill),
    };
    let mut parts = vec![
        Part::Letterhead(letterhead(&bill.seller, kind, logo)),
        Part::Beside(vec![
            addressee("TO", &bill.buyer),
            panel("FOR", about(bill)),
        ]),
        Part::Sum(due(bill)),
        Part::Table(lines(bill)),
    ];
    if let Some(application) = bill.application.as_ref().filter(|after| tells_more(after)) {
        parts.extend(standing(application));
    }
    parts.extend(list("To pay", pay_lines(bill.pay_to.as_ref())));
    parts.extend(list(
        "Enclosed",
        bill.attachments_needed.clone().unwrap_or_default(),
    ));
    parts.extend(list("Notes", bill.notes.clone().unwrap_or_default()));
    Document {
        title: format!("{name} {}: {}", bill.number, bill.job),
        foot: format!(
            "{name} {} of {}, {}",
            bill.number, bill.issue_date, bill.seller.name
        ),
        stamp: None,
        parts,
    }
}

const fn kind_name(kind: BillKind) -> &'static str {
    match kind {
        BillKind::Invoice => "Invoice",
        BillKind::Deposit => "Deposit invoice",
        BillKind::CreditNote => "Credit note",
    }
}

fn facts(bill: &Bill) -> Vec<(&'static str, String)> {
    let mut facts = vec![
        ("Number", bill.number.clone()),
        ("Date", bill.issue_date.to_string()),
    ];
    facts.extend(bill.due_date.map(|due| ("Due", due.to_string())));
    facts.extend(
        bill.period
            .as_ref()
            .map(|period| ("Work from", format!("{} to {}", period.from, period.to))),
    );
    facts.extend(
        bill.corrects
            .as_ref()
            .map(|of| ("Corrects", format!("{} of {}", of.number, of.issue_date))),
    );
    facts
}

fn about(bill: &Bill) -> Vec<Prose> {
    let mut lines = vec![Prose::bold(&bill.job)];
    lines.extend(bill.references.iter().flat_map(references));
    lines.extend(bill.reason.as_ref().map(|why| Prose::from(why.as_str())));
    lines
}

/// Papers that a document refers to, one a line.
pub(super) fn references(references: &References) -> Vec<Prose> {
    let named = [
        ("Order", &references.order),
        ("Contract", &references.contract),
        ("Project", &references.project),
        ("Our offer", &references.quotation),
        ("Your reference", &references.buyer_reference),
    ];
    let named = named.into_iter();
    named
        .filter_map(|(name, text)| Some(Prose::from(format!("{name} {}", text.as_ref()?))))
        .collect()
}

fn due(bill: &Bill) -> Sum {
    let credit = bill.is_credit();
    let totals = &bill.totals;
    let mut words = Vec::new();
    if !totals.paid.is_zero() {
        let told = format!(
            "{} less {} paid before",
            grouped(totals.with_tax),
            grouped(totals.paid)
        );
        words.push(Prose::from(told));
    }
    if let Some(why) = &bill.tax.reason {
        words.push(Prose::from(why.as_str()));
    }
    Sum {
        name: if credit { "Credited" } else { "Due" }.to_owned(),
        figures: money_in_figures(totals.payable, &bill.currency),
        words,
    }
}

fn lines(bill: &Bill) -> Table {
    let cells = |id: &str, words: &str, amount: Amount| {
        vec![id.to_owned(), words.to_owned(), grouped(amount)]
    };
    let lines = bill.lines.iter();
    let mut rows: Vec<Row> = lines
        .map(|line| Row::plain(cells(&line.id, &line.description, line.amount)))
        .collect();
    let held = bill.allowances.iter();
    rows.extend(held.map(|held| {
        let words = format!("{} of {}, held back", held.reason, grouped(held.base));
        Row::plain(cells("", &words, -held.amount))
    }));
    rows.push(Row::sum(cells("", "Before tax", bill.totals.before_tax)));
    rows.push(Row::plain(cells(
        "",
        &tax_words(bill.tax.rate, bill.tax.category.word()),
        bill.totals.tax,
    )));
    rows.push(Row::sum(cells("", "With tax", bill.totals.with_tax)));
    for paid in bill.paid.iter().flatten() {
        let reference = paid.reference.as_deref().unwrap_or_default();
        let words = format!("Paid {} {reference}", paid.date);
        rows.push(Row::plain(cells("", words.trim_end(), -paid.amount)));
    }
    if !bill.totals.paid.is_zero() {
        rows.push(Row::sum(cells("", "Due", bill.totals.payable)));
    }
    Table {
        columns: vec![
            ("No.".to_owned(), Side::Left),
            ("For".to_owned(), Side::Left),
            (bill.currency.to_string(), Side::Right),
        ],
        rows,
    }
}

/// The tax in words.
pub(super) fn tax_words(rate: Percentage, category: &str) -> String {
    match rate {
        Percentage::ZERO => format!("No tax ({category})"),
        rate => format!("Tax, {rate} ({category})"),
    }
}

/// A bill for the whole of a job at once says all there is in its lines.
fn tells_more(after: &Application) -> bool {
    after.number > 1 || !after.balance.is_zero()
}

fn standing(after: &Application) -> Vec<Part> {
    let head = |name: &str| (name.to_owned(), Side::Right);
    let mut columns = vec![
        ("Item".to_owned(), Side::Left),
        ("What".to_owned(), Side::Left),
    ];
    columns.extend(
        [
            "Value",
            "Completed",
            "Stored",
            "To date",
            "This bill",
            "Remaining",
        ]
        .map(head),
    );
    let rows = after.items.iter().map(|item| {
        Row::plain(vec![
            item.id.clone(),
            item.description.clone(),
            grouped(item.scheduled),
            grouped(item.completed),
            grouped(item.stored),
            item.percent.to_string(),
            grouped(item.now),
            grouped(item.balance),
        ])
    });
    let table = Table {
        columns,
        rows: rows.collect(),
    };
    let sums = sums(after).into_iter();
    let sums = sums.map(|(name, amount)| Row::plain(vec![name.to_owned(), grouped(amount)]));
    let sums = Table {
        columns: vec![
            ("In all, before tax".to_owned(), Side::Left),
            head("To date"),
        ],
        rows: sums.collect(),
    };
    vec![
        Part::Heading(format!("Where the job stands, {}", after.through)),
        Part::Table(table),
        Part::Table(sums),
    ]
}

/// What the office asks when two papers differ; what is nothing is left out.
fn sums(after: &Application) -> Vec<(&'static str, Amount)> {
    let all = [
        ("Contract", after.contract),
        ("Agreed changes", after.changes),
        ("Earned", after.earned),
        ("Held back", after.held()),
        ("Deposit billed and not yet taken off", after.deposit_left()),
        ("Back-charges", after.back_charges),
        ("Billed", after.billed),
        ("Tax billed", after.tax),
    ];
    let mut told: Vec<_> = all
        .into_iter()
        .filter(|(_, amount)| !amount.is_zero())
        .collect();
    told.push(("Remaining to bill, including retainage", after.balance));
    told
}

fn pay_lines(pay_to: Option<&PayTo>) -> Vec<String> {
    let Some(pay_to) = pay_to else {
        return Vec::new();
    };
    let named = [
        ("Account", &pay_to.account),
        ("Name", &pay_to.account_name),
        ("Bank", &pay_to.bank),
        ("Terms", &pay_to.terms),
    ];
    let named = named.into_iter();
    named
        .filter_map(|(name, text)| Some(format!("{name}: {}", text.as_ref()?)))
        .collect()
}
