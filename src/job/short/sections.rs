//! The parts of a job beside the ramp: each column goes to its field, a blank one goes nowhere.
//!
//! Invariant: what the full form takes by itself when nothing is sent is left to it, so that it
//! lists the default once. Absent: the ramp.

use super::column::Columns;
use super::line::Line;
use super::{assume, assume_unused};
use crate::job::choice::{Bar, Class, ProfitBasis, SealerProduct};
use crate::job::fill::Assumption;
use crate::job::or_none::OrNone;
use crate::job::sent::{
    BaseRequest, BookRequest, ConcreteRequest, CrewRequest, InsulationRequest, JointsRequest,
    MemberRequest, PriceRequest, ProfitRequest, ReinforcementRequest, SalesTaxRequest,
    SealerRequest, SiteRequest, SlabRequest,
};
use crate::quantity::{Length, Percent};

/// A section, or nothing where none of its columns is filled in.
fn unless_empty<T: Default + PartialEq>(section: T) -> Option<T> {
    (section != T::default()).then_some(section)
}

pub(super) fn expand_site(line: &mut Line<'_>) -> Option<SiteRequest> {
    unless_empty(SiteRequest {
        rule_sets: line.text("rule_set").map(|id| vec![id]),
        existing_and_space_limited: line.flag("existing"),
        exposure: line.word("exposure"),
        start: line.day("start"),
        ..SiteRequest::default()
    })
}

pub(super) fn expand_slab(line: &mut Line<'_>) -> Option<SlabRequest> {
    unless_empty(SlabRequest {
        thickness: line.quantity("thickness"),
        concrete: unless_empty(ConcreteRequest {
            strength: line.quantity("strength"),
            ..ConcreteRequest::default()
        }),
        finish: line.word("finish"),
        waste: line.quantity("waste_pct"),
        ..SlabRequest::default()
    })
}

pub(super) fn expand_base(line: &mut Line<'_>) -> Option<OrNone<BaseRequest>> {
    let depth = line.quantity::<Length>("base")?;
    if depth.is_zero() {
        return Some(OrNone::None);
    }
    Some(OrNone::Some(BaseRequest {
        depth: Some(depth),
        ..BaseRequest::default()
    }))
}

pub(super) fn expand_insulation(line: &mut Line<'_>) -> Option<OrNone<InsulationRequest>> {
    let thickness = line.quantity::<Length>("insulation")?;
    if thickness.is_zero() {
        return Some(OrNone::None);
    }
    Some(OrNone::Some(InsulationRequest {
        thickness: Some(thickness),
        ..InsulationRequest::default()
    }))
}

pub(super) fn expand_reinforcement(
    line: &mut Line<'_>,
    assumed: &mut Vec<Assumption>,
) -> Option<OrNone<ReinforcementRequest>> {
    let (bar, spacing) = (line.choice("bar"), line.quantity("spacing"));
    if bar == Some("none") {
        let pointer = "/reinforcement".to_owned();
        assume_unused(line, (&["spacing"], "bar"), (pointer, assumed));
        return Some(OrNone::None);
    }
    let steel = ReinforcementRequest {
        bar: bar.and_then(numbered),
        spacing_along: spacing,
        spacing_across: spacing,
        ..ReinforcementRequest::default()
    };
    unless_empty(steel).map(OrNone::Some)
}

/// A bar by what a row calls it: the bare number of a US bar, the name of another.
fn numbered(bar: &str) -> Option<Bar> {
    bar.parse().or_else(|_| format!("no. {bar}").parse()).ok()
}

pub(super) fn expand_joints(line: &mut Line<'_>) -> Option<JointsRequest> {
    unless_empty(JointsRequest {
        method: line.word("joint"),
        spacing: line.quantity("joint_spacing"),
        ..JointsRequest::default()
    })
}

pub(super) fn expand_sealer(line: &mut Line<'_>) -> Option<OrNone<SealerRequest>> {
    let product = line.choice("sealer")?;
    if product == "none" {
        return Some(OrNone::None);
    }
    Some(OrNone::Some(SealerRequest {
        product: product.parse::<SealerProduct>().ok(),
        ..SealerRequest::default()
    }))
}

pub(super) fn expand_crew(
    line: &mut Line<'_>,
    assumed: &mut Vec<Assumption>,
) -> Option<CrewRequest> {
    let people = line.count("crew");
    let members = people.map(|people| {
        let row = &Columns::built_in().crew;
        let finishers = people.div_ceil(row.people.max(1));
        let labourers = people - finishers;
        let value = format!(
            "{}, {}",
            counted(finishers, "finisher"),
            counted(labourers, "labourer")
        );
        assume(assumed, "/crew/members".to_owned(), (value, row.reason()));
        let member = |class, count| MemberRequest { class, count };
        let mut members = vec![member(Class::Finisher, finishers)];
        if labourers > 0 {
            members.push(member(Class::Labourer, labourers));
        }
        members
    });
    unless_empty(CrewRequest {
        members,
        placing: line.word("place"),
        ..CrewRequest::default()
    })
}

fn counted(count: u32, what: &str) -> String {
    let plural = if count == 1 { "" } else { "s" };
    format!("{count} {what}{plural}")
}

pub(super) fn expand_book(line: &mut Line<'_>) -> Option<BookRequest> {
    unless_empty(BookRequest {
        code: line.text("book"),
        revision: line.count("revision"),
        as_of: line.day("as_of"),
        ..BookRequest::default()
    })
}

pub(super) fn expand_price(line: &mut Line<'_>) -> Option<PriceRequest> {
    let profit = |basis| move |rate: Percent| ProfitRequest { basis, rate };
    let margin = line.quantity("margin_pct");
    let markup = line.quantity("markup_pct");
    unless_empty(PriceRequest {
        sales_tax: unless_empty(SalesTaxRequest {
            rate: line.quantity("tax_pct"),
            base: line.word("tax_base"),
        }),
        overhead: line.quantity("overhead_pct"),
        contingency: line.quantity("contingency_pct"),
        warranty: None,
        profit: margin
            .map(profit(ProfitBasis::Margin))
            .or(markup.map(profit(ProfitBasis::Markup))),
    })
}
