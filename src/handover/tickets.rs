//! Delivery tickets: what came, beside what was ordered and what the drawing needs.
//!
//! Invariants: a ticket counts once; sums are of what the tickets say, rounded once; a test that was not
//! made is no fault. Absent: what a plant charges.

use super::request::TicketRequest;
use super::rows::Rows;
use crate::billing::check_text;
use crate::job::{Exposure, TimeOfDay};
use crate::quantity::shown::{FC, InMm, Pct, Yd3M3};
use crate::quantity::{
    Bounds, Fault, Faults, Length, Percent, Quantity, Span, System, Temperature, Volume,
};
use crate::takeoff::{ConcreteOrder, Mix};
use serde::Serialize;
use std::collections::BTreeMap;

/// Most tickets, and most characters of a text on one.
const AT_MOST: usize = 60;
const TEXT_AT_MOST: usize = 80;

const VOLUME: Bounds<Volume> = Bounds::new(
    "volume",
    Volume::from_cubic_yards(0.05),
    Volume::from_cubic_yards(20.0),
);
const SLUMP: Bounds<Length> = Bounds::new("slump", Length::ZERO, Length::from_inches(12.0));
const AIR: Bounds<Percent> = Bounds::new("air", Percent::ZERO, Percent::from_percent(20.0));
/// A degree has no constant.
fn temperature() -> Bounds<Temperature> {
    let (least, most) = (
        Temperature::from_celsius(0.0),
        Temperature::from_celsius(50.0),
    );
    Bounds::new("temperature", least, most)
}

/// The concrete as it came.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "service", derive(utoipa::ToSchema))]
pub struct Delivered {
    /// All tickets together; null where none was sent.
    pub delivered: Option<Yd3M3>,
    /// What was to be ordered for the job.
    pub ordered: Yd3M3,
    /// What the drawing needs, without loss.
    pub net: Yd3M3,
    /// Each ticket.
    pub tickets: Vec<Ticket>,
    /// What the tickets show, in sentences; empty where nothing is to be said.
    pub remarks: Vec<String>,
}

/// One ticket.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "service", derive(utoipa::ToSchema))]
pub struct Ticket {
    /// Its number.
    pub number: String,
    /// The plant.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub plant: Option<String>,
    /// The truck.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub truck: Option<String>,
    /// What was delivered.
    pub volume: Yd3M3,
    /// When it was batched.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub batched: Option<TimeOfDay>,
    /// Minutes from batching until the truck was empty.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub minutes: Option<u32>,
    /// Slump.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub slump: Option<InMm>,
    /// Air.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub air: Option<Pct>,
    /// Temperature of the concrete.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub temperature: Option<FC>,
}

/// Adds every fault of the tickets.
pub(super) fn check_tickets(tickets: &[TicketRequest], faults: &mut Faults) {
    if tickets.len() > AT_MOST {
        let found = format!("{} tickets", tickets.len());
        let accepted = format!("at most {AT_MOST}");
        faults.push(Fault::new("/tickets", found, accepted, None));
        return;
    }
    let mut seen = BTreeMap::new();
    for (index, ticket) in tickets.iter().enumerate() {
        let at = format!("/tickets/{index}");
        check_ticket(ticket, (&at, faults));
        let key = (ticket.plant.as_deref(), ticket.number.trim());
        if let Some(first) = seen.insert(key, index) {
            let accepted = format!("each ticket once; this one stands at /tickets/{first} too");
            faults.push(Fault::new(
                format!("{at}/number"),
                &ticket.number,
                accepted,
                None,
            ));
        }
    }
}

fn check_ticket(ticket: &TicketRequest, (at, faults): (&str, &mut Faults)) {
    check_text(
        &ticket.number,
        TEXT_AT_MOST,
        (&format!("{at}/number"), faults),
    );
    for (field, text) in [("plant", &ticket.plant), ("truck", &ticket.truck)] {
        if let Some(text) = text {
            check_text(text, TEXT_AT_MOST, (&format!("{at}/{field}"), faults));
        }
    }
    hold(VOLUME, Some(ticket.volume), (at, faults));
    hold(SLUMP, ticket.slump, (at, faults));
    hold(AIR, ticket.air, (at, faults));
    hold(temperature(), ticket.temperature, (at, faults));
    if let (Some(batched), Some(emptied)) = (ticket.batched, ticket.emptied)
        && emptied.minutes() <= batched.minutes()
    {
        let accepted = format!("a time after it was batched, {batched}");
        let pointer = format!("{at}/emptied");
        faults.push(Fault::new(pointer, emptied.to_string(), accepted, None));
    }
}

fn hold<Q: Quantity + Copy>(
    bounds: Bounds<Q>,
    value: Option<Q>,
    (at, faults): (&str, &mut Faults),
) {
    let value = value.map(|value| bounds.check(value, format!("{at}/{}", bounds.name)));
    faults.0.extend(value.and_then(Result::err));
}

/// Tickets beside the order, in the units of the job.
pub(super) fn weigh_tickets(
    tickets: &[TicketRequest],
    (order, mix): (&ConcreteOrder, Option<&Mix>),
    system: System,
) -> Delivered {
    let sum: Volume = tickets.iter().map(|ticket| ticket.volume).sum();
    let mut remarks = volumes(tickets, sum, (order, system));
    remarks.extend(
        tickets
            .iter()
            .flat_map(|ticket| remark(ticket, mix, system)),
    );
    Delivered {
        delivered: (!tickets.is_empty()).then(|| Yd3M3::of(sum, system)),
        ordered: Yd3M3::of(order.order, system),
        net: Yd3M3::of(order.net, system),
        tickets: tickets.iter().map(|ticket| show(ticket, system)).collect(),
        remarks,
    }
}

fn show(ticket: &TicketRequest, system: System) -> Ticket {
    Ticket {
        number: ticket.number.clone(),
        plant: ticket.plant.clone(),
        truck: ticket.truck.clone(),
        volume: Yd3M3::of(ticket.volume, system),
        batched: ticket.batched,
        minutes: minutes(ticket),
        slump: ticket.slump.map(|slump| InMm::of(slump, system)),
        air: ticket.air.map(|air| Pct::of(air, system)),
        temperature: ticket.temperature.map(|at| FC::of(at, system)),
    }
}

fn minutes(ticket: &TicketRequest) -> Option<u32> {
    let (batched, emptied) = (ticket.batched?, ticket.emptied?);
    emptied.minutes().checked_sub(batched.minutes())
}

fn volumes(
    tickets: &[TicketRequest],
    sum: Volume,
    (order, system): (&ConcreteOrder, System),
) -> Vec<String> {
    let shown = |volume: Volume| Yd3M3::of(volume, system).to_string();
    if tickets.is_empty() {
        return vec!["No delivery ticket was sent: what came is not known here.".to_owned()];
    }
    if !sum.at_least(order.net) {
        return vec![format!(
            "The tickets sum to {}, less than the {} that the drawing needs: a ticket is missing, or the slab is thinner than drawn.",
            shown(sum),
            shown(order.net)
        )];
    }
    if !sum.at_most(order.order) {
        return vec![format!(
            "The tickets sum to {}, more than the {} of the order.",
            shown(sum),
            shown(order.order)
        )];
    }
    Vec::new()
}

/// What one ticket shows against the mix and its time.
fn remark(ticket: &TicketRequest, mix: Option<&Mix>, system: System) -> Vec<String> {
    let mut remarks = Vec::new();
    let number = &ticket.number;
    if let (Some(air), Some(mix)) = (ticket.air, mix) {
        let (least, most) = (
            mix.target_air - mix.air_tolerance,
            mix.target_air + mix.air_tolerance,
        );
        if mix.exposure != Exposure::F0 && !(air.at_least(least) && air.at_most(most)) {
            remarks.push(format!(
                "Ticket {number}: {} of air, outside {} to {} for the exposure of the site.",
                Pct::of(air, system),
                Pct::of(least, system),
                Pct::of(most, system)
            ));
        }
    }
    let row = &Rows::built_in().discharge;
    let taken = minutes(ticket).map(|minutes| Span::from_minutes(minutes.into()));
    if let Some(taken) = taken.filter(|taken| !taken.at_most(row.most)) {
        remarks.push(format!(
            "Ticket {number}: the truck was empty {} after batching, later than {} ({}).",
            taken.print(),
            row.most.print(),
            row.source.document
        ));
    }
    remarks
}
