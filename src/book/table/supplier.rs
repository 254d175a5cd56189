//! The table of suppliers and their terms.
//!
//! Invariants: lists stand in one order, so that a table that goes round changes nothing; a supplier
//! is known by its code, and its name is what people read. Absent here: what it sells.

use super::draft::{Draft, Drafted, Known, Plan, put};
use super::line::Line;
use super::list::{NONE, read_entries, write_entries};
use super::{Kind, Written};
use crate::catalog::{PriceList, ShortLoadStep, Supplier, Zone, check_code, check_supplier};
use crate::quantity::Faults;
use crate::quantity::money::UnitPrice;
use std::collections::BTreeMap;
use std::str::FromStr;

pub(super) fn read(line: &mut Line<'_>, draft: &mut Draft, known: Known<'_>) {
    let Some(code) = line.required("supplier", "") else {
        return;
    };
    let Some(base) = named(line, code, known.list) else {
        return;
    };
    let mut supplier = base;
    take_number(line, "minimum_order", &mut supplier.minimum_order);
    let terms = &mut supplier.terms;
    take_number(
        line,
        "short_load_below_yd3",
        &mut terms.short_load_below_yd3,
    );
    take_number(line, "truck_most_yd3", &mut terms.truck_most_yd3);
    take_number(
        line,
        "free_unloading_min_per_yd3",
        &mut terms.free_unloading_min_per_yd3,
    );
    take_steps(line, &mut supplier.short_load_steps);
    take_zones(line, &mut supplier.zones);
    let mut faults = Faults::default();
    check_supplier(&supplier, "", &mut faults);
    line.take(faults);
    put(
        &mut draft.suppliers,
        (code.to_owned(), supplier),
        line,
        "supplier",
    );
}

/// Takes the supplier of a price into the draft: a new one, a renamed one, or one that the book
/// only inherits.
pub(super) fn name(line: &mut Line<'_>, code: &str, (draft, known): (&mut Draft, Known<'_>)) {
    let drafted = draft.suppliers.contains_key(code);
    if drafted && line.text("supplier_name").is_none() {
        return;
    }
    if let Some(supplier) = named(line, code, known.list) {
        put(
            &mut draft.suppliers,
            (code.to_owned(), supplier),
            line,
            "supplier_name",
        );
    }
}

/// The supplier as it is known, with the name that the row gives it.
fn named(line: &mut Line<'_>, code: &str, list: &PriceList) -> Option<Supplier> {
    let known = list.supplier(code).cloned();
    let name = line.text("supplier_name").map(str::to_owned);
    let Some(name) = name.or_else(|| known.as_ref().map(|known| known.name.clone())) else {
        line.required(
            "supplier_name",
            "; the book does not know this supplier yet",
        );
        return None;
    };
    let mut faults = Faults::default();
    check_code(code, "/supplier", &mut faults);
    crate::catalog::check_text(&name, "/supplier_name", &mut faults);
    line.take(faults);
    Some(Supplier {
        code: code.to_owned(),
        name,
        ..known.unwrap_or_default()
    })
}

/// Takes a number, or `none`, where the cell is not blank.
fn take_number<T: FromStr<Err: std::fmt::Display>>(
    line: &mut Line<'_>,
    column: &str,
    into: &mut Option<T>,
) {
    match line.text(column) {
        None => {}
        Some(text) if text.eq_ignore_ascii_case(NONE) => *into = None,
        Some(_) => *into = line.number_in(column),
    }
}

fn take_steps(line: &mut Line<'_>, into: &mut Vec<ShortLoadStep>) {
    let read = |(size, fee): (&str, &str)| {
        Some(ShortLoadStep {
            below_yd3: size.parse().ok()?,
            fee: fee.parse().ok()?,
        })
    };
    if let Some(mut steps) = take_list(line, "short_load_steps", read) {
        steps.sort_by_key(|step| step.below_yd3);
        *into = steps;
    }
}

fn take_zones(line: &mut Line<'_>, into: &mut Vec<Zone>) {
    let read = |(name, fee): (&str, &str)| {
        Some(Zone {
            name: name.to_owned(),
            fee: fee.parse::<UnitPrice>().ok()?,
        })
    };
    if let Some(mut zones) = take_list(line, "zones", read) {
        zones.sort_by(|one, other| one.name.cmp(&other.name));
        *into = zones;
    }
}

/// The entries of a list; none where the cell is blank or cannot be read.
pub(super) fn take_list<T>(
    line: &mut Line<'_>,
    column: &str,
    read: impl Fn((&str, &str)) -> Option<T>,
) -> Option<Vec<T>> {
    let text = line.text(column)?;
    let mut names: Vec<&str> = Vec::new();
    let mut taken = Vec::new();
    let entries = read_entries(text);
    for entry in entries.iter().flatten() {
        match read(*entry) {
            Some(one) if !names.contains(&entry.0) => taken.push(one),
            Some(_) => line.fault(column, entry.0, "each name once", None),
            None => line.fault(
                column,
                &format!("{} = {}", entry.0, entry.1),
                "name = number with a point",
                Some("A = 40.50"),
            ),
        }
        names.push(entry.0);
    }
    if let Err(entry) = entries {
        line.fault(
            column,
            entry,
            "name = number, separated by semicolons",
            Some("A = 40.50; B = 65"),
        );
    }
    line.is_sound().then_some(taken)
}

pub(super) fn finish(
    drafted: BTreeMap<String, Drafted<Supplier>>,
    known: Known<'_>,
    plan: &mut Plan,
) {
    let list = known.list;
    for (code, drafted) in drafted {
        let own = list.history().supplier(&code, list.revision());
        if own != Some(&drafted.value) {
            let after = cells(&drafted.value);
            plan.tell(
                (drafted.row, "supplier", code),
                (Kind::Suppliers, 0),
                own.map(cells),
                &after,
            );
            plan.change.suppliers.push(drafted.value);
        }
    }
}

fn cells(supplier: &Supplier) -> Vec<Written> {
    let terms = supplier.terms;
    let steps = supplier.short_load_steps.iter();
    let steps = steps.map(|step| (step.below_yd3.to_string(), step.fee.to_string()));
    let zones = supplier.zones.iter();
    let zones = zones.map(|zone| (zone.name.clone(), zone.fee.to_string()));
    let of_list = |text: String| {
        if text == NONE {
            Written::Blank
        } else {
            Written::Text(text)
        }
    };
    vec![
        Written::text(&supplier.code),
        Written::text(&supplier.name),
        Written::maybe_number(supplier.minimum_order),
        Written::maybe_number(terms.short_load_below_yd3),
        Written::maybe_number(terms.truck_most_yd3),
        Written::maybe_number(terms.free_unloading_min_per_yd3),
        of_list(write_entries(steps)),
        of_list(write_entries(zones)),
    ]
}

pub(super) fn write(list: &PriceList) -> Vec<Vec<Written>> {
    let suppliers = list.history().suppliers(list.revision());
    suppliers.map(cells).collect()
}
