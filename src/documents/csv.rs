//! Lines as CSV (RFC 4180): one header row, one row a line, CRLF, no total row.
//!
//! Invariants: numbers carry a dot, no unit and no thousands mark, the unit stands in a column of
//! its own; a text that a spreadsheet would take for a formula gets a leading apostrophe.

use crate::crew::{CrewHours, Task};
use crate::price::{Charged, Priced};
use crate::quantity::money::Decimal4;
use crate::quantity::slack::round_to;
use crate::takeoff::{Net, Takeoff};

const PRICE_COLUMNS: &[&str] = &[
    "code",
    "description",
    "class",
    "order",
    "quantity",
    "unit",
    "charged",
    "unit_price",
    "extended",
    "currency",
    "supplier",
    "effective",
    "age_d",
    "of",
];
const TAKEOFF_COLUMNS: &[&str] = &[
    "code",
    "description",
    "class",
    "by",
    "quantity",
    "unit",
    "waste_pct",
    "order",
    "order_unit",
    "uses",
    "working",
    "source",
    "of",
];
const TASK_COLUMNS: &[&str] = &[
    "visit",
    "code",
    "description",
    "setup_h",
    "quantity",
    "unit",
    "rate_h",
    "factor",
    "modifiers",
    "hours",
    "includes",
    "source",
    "of",
];

/// The lines of a price.
pub fn write_price_lines(priced: &Priced) -> String {
    let rows = priced.lines.iter().map(|line| {
        let from = line.from.as_ref();
        vec![
            text(&line.code),
            text(&line.description),
            text(line.class.word()),
            number(line.order),
            number(line.quantity),
            text(line.unit.word()),
            text(charged(line.charged)),
            line.unit_price.to_string(),
            line.extended.to_string(),
            text(priced.currency.code()),
            from.map_or_else(String::new, |from| text(&from.supplier)),
            from.map_or_else(String::new, |from| from.effective.to_string()),
            from.map_or_else(String::new, |from| from.age_days.to_string()),
            text(&line.of),
        ]
    });
    table(PRICE_COLUMNS, rows)
}

/// The lines of a takeoff, with their working.
pub fn write_takeoff_lines(takeoff: &Takeoff) -> String {
    let rows = takeoff.lines.iter().map(|line| {
        let (quantity, unit) = match (line.quantity, line.order_unit) {
            (Net::Mass(mass), "ton") => (round_to(mass.short_tons(), 3).to_string(), "ton"),
            (net, _) => in_us_units(net),
        };
        vec![
            text(&line.code),
            text(&line.description),
            text(line.class.word()),
            text(line.by.as_str()),
            quantity,
            text(unit),
            round_to(line.waste.percent(), 2).to_string(),
            number(line.order),
            text(line.order_unit),
            line.uses.map_or_else(String::new, |uses| uses.to_string()),
            text(&line.working),
            text(&line.source.document),
            text(line.of),
        ]
    });
    table(TAKEOFF_COLUMNS, rows)
}

/// The tasks of a crew plan.
pub fn write_tasks(hours: &CrewHours) -> String {
    let rows = hours.tasks.iter().map(|task| {
        let (quantity, _) = in_us_units(task.quantity);
        vec![
            task.visit.to_string(),
            text(&task.code),
            text(&task.description),
            round_to(task.setup.hours(), 2).to_string(),
            quantity,
            text(task.rate.per),
            task.rate.likely.to_string(),
            round_to(task.factor, 4).to_string(),
            modifiers(task),
            round_to(task.hours.hours(), 2).to_string(),
            text(&task.includes),
            text(&task.source.document),
            text(&task.of),
        ]
    });
    table(TASK_COLUMNS, rows)
}

/// What the factor of a task is made of: `sloped 1.2 on 0.7375; cool 1.1`.
fn modifiers(task: &Task) -> String {
    let words = task.modifiers.iter().map(|one| {
        let factor = round_to(one.factor, 4);
        let share = one.share.map(|share| format!(" on {}", round_to(share, 4)));
        format!("{} {factor}{}", one.code, share.unwrap_or_default())
    });
    words.collect::<Vec<_>>().join("; ")
}

const fn charged(charged: Charged) -> &'static str {
    match charged {
        Charged::ByOrder => "by_order",
        Charged::ByUse { .. } => "by_use",
        Charged::ByHours => "by_hours",
        Charged::AsRequired => "as_required",
        Charged::BySupplier => "by_supplier",
    }
}

fn in_us_units(net: Net) -> (String, &'static str) {
    let (value, unit) = match net {
        Net::Volume(volume) => (round_to(volume.cubic_yards(), 3), "yd3"),
        Net::Liquid(volume) => (round_to(volume.gallons(), 3), "gal"),
        Net::Area(area) => (round_to(area.square_feet(), 2), "ft2"),
        Net::Length(length) => (round_to(length.feet(), 2), "ft"),
        Net::Mass(mass) => (round_to(mass.pounds(), 1), "lb"),
        Net::Count(count) => (round_to(count, 2), "each"),
        Net::Time(span) => (round_to(span.hours(), 2), "h"),
    };
    (value.to_string(), unit)
}

fn number(quantity: Decimal4) -> String {
    quantity.number().to_string()
}

/// A text cell; what a spreadsheet would run as a formula is made plain text.
pub(super) fn text(cell: &str) -> String {
    if cell.starts_with(['=', '+', '-', '@', '\t', '\r']) {
        return format!("'{cell}");
    }
    cell.to_owned()
}

pub(super) fn table(columns: &[&str], rows: impl Iterator<Item = Vec<String>>) -> String {
    let mut writer = ::csv::WriterBuilder::new()
        .terminator(::csv::Terminator::CRLF)
        .from_writer(Vec::new());
    // Writing into memory cannot fail, and every row has the header's length.
    let _ = writer.write_record(columns);
    for row in rows {
        let _ = writer.write_record(&row);
    }
    let bytes = writer.into_inner().unwrap_or_default();
    String::from_utf8(bytes).unwrap_or_default()
}
