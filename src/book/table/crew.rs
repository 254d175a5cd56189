//! The tables of wages, of the crew's own rates, and of price indices.
//!
//! Invariants: a wage row is whole, since an hour is the sum of its parts; a task and a class are
//! ones that the program knows. Absent here: what an hour costs.

use super::draft::{Draft, Drafted, Known, Plan, put};
use super::line::Line;
use super::list::write_entries;
use super::supplier::take_list;
use super::{Kind, Written};
use crate::catalog::{
    Burden, BurdenOn, IndexValue, OwnRate, PriceList, TaskMinutes, Wage, check_index, check_rate,
    check_wage, month_text, parse_month,
};
use crate::quantity::Faults;
use crate::quantity::money::{Percentage, UnitPrice};
use chrono::NaiveDate;
use std::collections::BTreeMap;

/// What a wage is known by: schedule, class, day.
pub(super) type WageKey = (String, String, NaiveDate);
/// What an index value is known by: series and month.
pub(super) type IndexKey = (String, NaiveDate);

/// Time and a half: what overtime costs on top where a table does not say (29 CFR 778.107).
const HALF: Percentage = Percentage::from_millionths(500_000);
/// What marks a burden that is owed on the premium too.
const ON_PREMIUM: &str = "+ premium";
/// The word that gives a built-in rate back.
const BUILT_IN: &str = "built-in";

pub(super) fn read_wage(line: &mut Line<'_>, draft: &mut Draft, known: Known<'_>) {
    let schedule = line.required("schedule", "").map(str::to_owned);
    let class = line.required("class", "").map(str::to_owned);
    line.required("effective_from", "");
    line.required("base", "");
    if let Some(class) = class
        .as_deref()
        .filter(|class| !known.classes.contains(class))
    {
        line.fault(
            "class",
            class,
            &known.classes.join(", "),
            known.classes.first().copied(),
        );
    }
    let effective_from = line.day_in("effective_from");
    let (base, fringe) = (line.number_in("base"), line.number_in("fringe"));
    let premium = line.percent_in("overtime_premium");
    let burdens = take_list(line, "burdens", read_burden);
    let (Some(schedule), Some(class), Some(effective_from), Some(base)) =
        (schedule, class, effective_from, base)
    else {
        return;
    };
    let mut burdens = burdens.unwrap_or_default();
    burdens.sort_by(|one, other| one.name.cmp(&other.name));
    let wage = Wage {
        schedule,
        class,
        effective_from,
        base,
        fringe: fringe.unwrap_or_default(),
        premium: premium.unwrap_or(HALF),
        burdens,
    };
    let mut faults = Faults::default();
    check_wage(&wage, "", &mut faults);
    line.take(faults);
    put(&mut draft.wages, (wage_key(&wage), wage), line, "base");
}

/// A burden from its name and what stands behind the equals sign.
pub(in crate::book) fn read_burden((name, value): (&str, &str)) -> Option<Burden> {
    let (value, on_premium) = match value.strip_suffix(ON_PREMIUM) {
        Some(value) => (value.trim(), true),
        None => (value, false),
    };
    let on = if value.ends_with('%') {
        let share = value.parse().ok()?;
        BurdenOn::Base { share, on_premium }
    } else if on_premium {
        return None;
    } else {
        BurdenOn::Hour(value.parse::<UnitPrice>().ok()?)
    };
    Some(Burden {
        name: name.to_owned(),
        on,
    })
}

fn wage_key(wage: &Wage) -> WageKey {
    (
        wage.schedule.clone(),
        wage.class.clone(),
        wage.effective_from,
    )
}

pub(super) fn read_rate(line: &mut Line<'_>, draft: &mut Draft, known: Known<'_>) {
    let Some(task) = line.required("task", "").map(str::to_owned) else {
        return;
    };
    if !known.tasks.contains(&task.as_str()) {
        let accepted = format!("a task: {}", known.tasks.join(", "));
        line.fault("task", &task, &accepted, known.tasks.first().copied());
    }
    let built_in = line
        .text("likely_min")
        .is_some_and(|text| text.eq_ignore_ascii_case(BUILT_IN));
    let minutes = if built_in { None } else { read_minutes(line) };
    let rate = OwnRate { task, minutes };
    let mut faults = Faults::default();
    check_rate(&rate, "", &mut faults);
    line.take(faults);
    put(
        &mut draft.rates,
        (rate.task.clone(), rate),
        line,
        "likely_min",
    );
}

fn read_minutes(line: &mut Line<'_>) -> Option<TaskMinutes> {
    for name in ["setup_min", "low_min", "likely_min", "high_min"] {
        line.required(name, "");
    }
    Some(TaskMinutes {
        setup: line.number_in("setup_min")?,
        low: line.number_in("low_min")?,
        likely: line.number_in("likely_min")?,
        high: line.number_in("high_min")?,
    })
}

pub(super) fn read_index(line: &mut Line<'_>, draft: &mut Draft) {
    let series = line.required("series", "").map(str::to_owned);
    let month = line.required("month", "").map(str::to_owned);
    line.required("value", "");
    let value = line.number_in("value");
    // A spreadsheet turns a month into its first day.
    let read = month
        .as_deref()
        .map(|text| parse_month(text.strip_suffix("-01").unwrap_or(text)));
    let read = read.map(|read| read.or_else(|| parse_month(month.as_deref()?)));
    if let (Some(None), Some(month)) = (read, &month) {
        line.fault(
            "month",
            month,
            "a month that exists, written year-month",
            Some("2026-03"),
        );
    }
    let (Some(series), Some(Some(month)), Some(value)) = (series, read, value) else {
        return;
    };
    let value = IndexValue {
        series,
        month,
        value,
    };
    let mut faults = Faults::default();
    check_index(&value, "", &mut faults);
    line.take(faults);
    put(
        &mut draft.indices,
        ((value.series.clone(), month), value),
        line,
        "value",
    );
}

pub(super) fn finish(
    wages: BTreeMap<WageKey, Drafted<Wage>>,
    rates: BTreeMap<String, Drafted<OwnRate>>,
    indices: BTreeMap<IndexKey, Drafted<IndexValue>>,
    (known, plan): (Known<'_>, &mut Plan),
) {
    let (history, revision) = (known.list.history(), known.list.revision());
    let known_wages = history.wages(revision).map(|wage| (wage_key(wage), wage));
    let known_wages: BTreeMap<WageKey, &Wage> = known_wages.collect();
    for (key, drafted) in wages {
        let own = known_wages.get(&key).copied();
        if own != Some(&drafted.value) {
            let what = format!("{} {} from {}", key.0, key.1, key.2);
            let after = wage_cells(&drafted.value);
            plan.tell(
                (drafted.row, "wage", what),
                (Kind::Wages, 0),
                own.map(wage_cells),
                &after,
            );
            plan.change.wages.push(drafted.value);
        }
    }
    for (task, drafted) in rates {
        let mut rates = history.own_rates(revision);
        let own = rates.find(|rate| rate.task == task);
        let void = own.is_none() && drafted.value.minutes.is_none();
        if own != Some(&drafted.value) && !void {
            let after = rate_cells(&drafted.value);
            plan.tell(
                (drafted.row, "rate", task),
                (Kind::Rates, 0),
                own.map(rate_cells),
                &after,
            );
            plan.change.rates.push(drafted.value);
        }
    }
    let known_values: BTreeMap<IndexKey, &IndexValue> = history
        .index_values(revision)
        .map(|value| ((value.series.clone(), value.month), value))
        .collect();
    for (key, drafted) in indices {
        let own = known_values.get(&key).copied();
        if own != Some(&drafted.value) {
            let what = format!("{} {}", key.0, month_text(key.1));
            let after = index_cells(&drafted.value);
            plan.tell(
                (drafted.row, "index", what),
                (Kind::Indices, 0),
                own.map(index_cells),
                &after,
            );
            plan.change.indices.push(drafted.value);
        }
    }
}

fn wage_cells(wage: &Wage) -> Vec<Written> {
    let burdens = wage.burdens.iter().map(|burden| {
        let value = match burden.on {
            BurdenOn::Base {
                share,
                on_premium: true,
            } => format!("{share} {ON_PREMIUM}"),
            BurdenOn::Base { share, .. } => share.to_string(),
            BurdenOn::Hour(cost) => cost.to_string(),
        };
        (burden.name.clone(), value)
    });
    vec![
        Written::text(&wage.schedule),
        Written::text(&wage.class),
        Written::text(wage.effective_from.to_string()),
        Written::number(wage.base),
        Written::number(wage.fringe),
        Written::text(wage.premium.to_string()),
        Written::text(write_entries(burdens)),
    ]
}

fn rate_cells(rate: &OwnRate) -> Vec<Written> {
    let Some(minutes) = rate.minutes else {
        let blank = || Written::Blank;
        return vec![
            Written::text(&rate.task),
            blank(),
            blank(),
            Written::text(BUILT_IN),
            blank(),
        ];
    };
    vec![
        Written::text(&rate.task),
        Written::number(minutes.setup),
        Written::number(minutes.low),
        Written::number(minutes.likely),
        Written::number(minutes.high),
    ]
}

fn index_cells(value: &IndexValue) -> Vec<Written> {
    vec![
        Written::text(&value.series),
        Written::text(month_text(value.month)),
        Written::number(value.value),
    ]
}

pub(super) fn write_wages(list: &PriceList) -> Vec<Vec<Written>> {
    list.history()
        .wages(list.revision())
        .map(wage_cells)
        .collect()
}

pub(super) fn write_rates(list: &PriceList) -> Vec<Vec<Written>> {
    list.history()
        .own_rates(list.revision())
        .map(rate_cells)
        .collect()
}

pub(super) fn write_indices(list: &PriceList) -> Vec<Vec<Written>> {
    list.history()
        .index_values(list.revision())
        .map(index_cells)
        .collect()
}
