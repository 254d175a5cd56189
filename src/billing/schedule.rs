//! The schedule of values: what a contract sum is made of, as the caller wants to bill it.
//!
//! Invariants: the items add up to the contract sum to the minor unit, since each is what the rounded sums
//! up to it and before it differ by; every price line stands in one item. Absent: progress.

use crate::answered::{Checked, Line};
use crate::answered::{LINE_AT_MOST, check_number, check_text};
use crate::catalog::{Class, words};
use crate::job::sent;
use crate::quantity::money::{Amount, Decimal4};
use crate::quantity::{Fault, Faults};

words! {
    /// What makes an item of the schedule of values.
    ScheduleBy {
        /// The whole job is one item.
        Whole = "whole",
        /// Each class of cost is one: material, labour, equipment, fees, subs.
        Class = "class",
        /// Each price line is one.
        Line = "line",
    }
}

sent! {
    /// How the price is divided into items that are billed one by one. Overhead and profit lie on all items
    /// in proportion to their cost.
    ScheduleRequest {
        required {}
        optional {
            /// What makes an item; the whole job is one where left out.
            by: ScheduleBy,
            /// Items of your own instead.
            groups: Vec<GroupRequest>,
        }
    }

    /// An item of your own.
    GroupRequest {
        required {
            /// Its name on bills.
            id: String,
            /// What it is.
            description: String,
        }
        optional {
            /// Codes of the price lines in it.
            codes: Vec<String>,
            /// Classes whose lines are in it, as far as no group names their codes.
            classes: Vec<Class>,
            /// True for the one that takes all other lines.
            rest: bool,
            /// A code of cost for the bookkeeper.
            cost_code: String,
        }
    }
}

/// One item.
#[derive(Clone, Debug, PartialEq)]
pub struct ScheduleItem {
    /// Its name on bills.
    pub id: String,
    /// What it is.
    pub description: String,
    /// What it is worth, before tax.
    pub amount: Amount,
    /// How much, where it is one price line.
    pub quantity: Option<(Decimal4, String)>,
    /// A code of cost for the bookkeeper.
    pub cost_code: Option<String>,
}

/// The items of a contract sum.
///
/// # Errors
/// Groups that are named twice, name no line, or leave a line out; `at` is where the request stands.
pub fn divide(
    (checked, sum): (&Checked, Amount),
    asked: Option<&ScheduleRequest>,
    at: &str,
) -> Result<Vec<ScheduleItem>, Faults> {
    let by = asked.and_then(|asked| asked.by);
    let parts = match asked.and_then(|asked| asked.groups.as_deref()) {
        Some(_) if by.is_some() => {
            let accepted = "either `by` or `groups`";
            return Err(Faults(vec![Fault::new(at, "both", accepted, None)]));
        }
        Some(groups) => of_groups(&checked.lines, groups, at)?,
        None => of_lines(checked, by.unwrap_or(ScheduleBy::Whole)),
    };
    Ok(share_out(parts, sum))
}

/// An item to be, with the cost of its lines.
struct Part {
    item: ScheduleItem,
    cost: Amount,
}

impl Part {
    fn new(id: String, description: String, cost: Amount) -> Self {
        let item = ScheduleItem {
            id,
            description,
            amount: cost,
            quantity: None,
            cost_code: None,
        };
        Self { item, cost }
    }
}

/// Each item is worth what the sum up to it has more than the sum before it, both rounded: so
/// no cent is lost or made.
fn share_out(parts: Vec<Part>, sum: Amount) -> Vec<ScheduleItem> {
    let whole: Amount = parts.iter().map(|part| part.cost).sum();
    let (mut cost, mut given) = (Amount::ZERO, sum.nothing());
    let last = parts.len().saturating_sub(1);
    let parts = parts.into_iter().enumerate();
    let items = parts.map(|(index, part)| {
        cost += part.cost;
        let up_to = if index == last {
            sum
        } else {
            sum.portion(cost, whole)
        };
        let amount = up_to - given;
        given = up_to;
        ScheduleItem {
            amount,
            ..part.item
        }
    });
    items.collect()
}

fn of_lines(checked: &Checked, by: ScheduleBy) -> Vec<Part> {
    let lines = &checked.lines;
    match by {
        ScheduleBy::Whole => vec![Part::new(
            "1".to_owned(),
            checked.name.clone(),
            cost_of(lines.iter()),
        )],
        ScheduleBy::Class => {
            let of = |class: &Class| {
                let mut of_class = lines.iter().filter(|line| line.class == *class).peekable();
                of_class.peek()?;
                let name = class_name(*class).to_owned();
                Some((name, cost_of(of_class)))
            };
            let classes = Class::ALL.iter().filter_map(of).enumerate();
            classes
                .map(|(index, (name, cost))| Part::new((index + 1).to_string(), name, cost))
                .collect()
        }
        ScheduleBy::Line => lines.iter().enumerate().map(of_line).collect(),
    }
}

fn of_line((index, line): (usize, &Line)) -> Part {
    let id = (index + 1).to_string();
    let mut part = Part::new(id, line.description.clone(), line.extended);
    part.item.quantity = Some((line.quantity, line.unit.clone()));
    part.item.cost_code = Some(line.code.clone());
    part
}

const fn class_name(class: Class) -> &'static str {
    match class {
        Class::Material => "Materials",
        Class::Labour => "Labour",
        Class::Equipment => "Equipment",
        Class::Fee => "Deliveries, fees and charges",
        Class::Sub => "Subcontractors",
    }
}

fn cost_of<'a>(lines: impl Iterator<Item = &'a Line>) -> Amount {
    lines.map(|line| line.extended).sum()
}

fn of_groups(lines: &[Line], groups: &[GroupRequest], at: &str) -> Result<Vec<Part>, Faults> {
    let at = format!("{at}/groups");
    let mut faults = Faults::default();
    check_groups(groups, lines, (&at, &mut faults));
    let homes: Vec<Option<usize>> = lines.iter().map(|line| home_of(line, groups)).collect();
    for (line, home) in lines.iter().zip(&homes) {
        if home.is_none() {
            let accepted = format!("a group for the line {} ({})", line.code, line.description);
            let example = Some("\"rest\": true in one group");
            faults.push(Fault::new(at.clone(), "none", accepted, example));
        }
    }
    let parts = groups.iter().enumerate().map(|(index, group)| {
        let own = lines.iter().zip(&homes);
        let own = own.filter(|(_, home)| **home == Some(index));
        let cost = cost_of(own.map(|(line, _)| line));
        let mut part = Part::new(group.id.clone(), group.description.clone(), cost);
        part.item.cost_code.clone_from(&group.cost_code);
        part
    });
    let parts = parts.collect();
    faults.or(parts)
}

/// The group of a line: the first that names its code, else its class, else that of the rest.
fn home_of(line: &Line, groups: &[GroupRequest]) -> Option<usize> {
    let by_code =
        |group: &GroupRequest| group.codes.iter().flatten().any(|code| *code == line.code);
    let by_class =
        |group: &GroupRequest| group.classes.iter().flatten().any(|of| *of == line.class);
    let at = |is: &dyn Fn(&GroupRequest) -> bool| groups.iter().position(is);
    at(&by_code)
        .or_else(|| at(&by_class))
        .or_else(|| at(&|group| group.rest == Some(true)))
}

fn check_groups(groups: &[GroupRequest], lines: &[Line], (at, faults): (&str, &mut Faults)) {
    for (index, group) in groups.iter().enumerate() {
        let place = format!("{at}/{index}");
        check_number(&group.id, (&format!("{place}/id"), faults));
        check_text(
            &group.description,
            LINE_AT_MOST,
            (&format!("{place}/description"), faults),
        );
        if let Some(code) = &group.cost_code {
            check_text(code, LINE_AT_MOST, (&format!("{place}/cost_code"), faults));
        }
        if groups.iter().take(index).any(|other| other.id == group.id) {
            let accepted = "each group once";
            faults.push(Fault::new(format!("{place}/id"), &group.id, accepted, None));
        }
        for (nth, code) in group.codes.iter().flatten().enumerate() {
            if !lines.iter().any(|line| line.code == *code) {
                let accepted = "the code of a price line of the estimate";
                let example = lines.first().map(|line| line.code.as_str());
                faults.push(Fault::new(
                    format!("{place}/codes/{nth}"),
                    code,
                    accepted,
                    example,
                ));
            }
        }
    }
}
