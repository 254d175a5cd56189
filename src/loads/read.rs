//! From what was sent to what is planned from: defaults, bounds, and every fault at once.
//!
//! Invariants: a default that is used is an assumption with its source; durations count in whole
//! minutes, up, and the limit down, so that rounding never makes a late truck look punctual; what leaves
//! here can be planned without a fault. Absent: the plan.

use super::asked::{Asked, Haul, Pour};
use super::plant::read_terms;
use super::reach::check_reach;
use super::request::{LoadPlanRequest, LoadPourRequest};
use super::stated::Stated;
use super::travel::{Areas, find_areas, plain, read_travel, refuse_area};
use crate::catalog::{Catalog, ConcreteRows, PriceList};
use crate::job::Assumption;
use crate::quantity::shown::Shown;
use crate::quantity::{
    Bounds, Citation, CountBounds, Fault, Faults, Span, System, Verified, Volume, is_line,
};
use crate::quantity::{ceil, floor};
use std::borrow::Cow;

const POURS: CountBounds = CountBounds::new("pours", 2, 30);
const STOPS: CountBounds = CountBounds::new("most_stops", 1, 4);
const NAME_AT_MOST: usize = 80;
const VOLUME: Bounds<Volume> = Bounds::new(
    "volume",
    Volume::from_cubic_yards(0.05),
    Volume::from_cubic_yards(100.0),
)
.usually(Volume::from_cubic_yards(1.5), Volume::from_cubic_yards(5.0));
const PLACING: Bounds<Span> = minutes("placing", [1.0, 600.0, 20.0]);
const LIMIT: Bounds<Span> = minutes("limit", [20.0, 300.0, 90.0]);
const LOADING: Bounds<Span> = minutes("loading", [0.0, 60.0, 10.0]);
pub(super) const TRAVEL: Bounds<Span> = minutes("travel", [0.0, 180.0, 20.0]);

const fn minutes(name: &'static str, [least, most, usual]: [f64; 3]) -> Bounds<Span> {
    let usual = Span::from_minutes(usual);
    Bounds::new(name, Span::from_minutes(least), Span::from_minutes(most)).usually(usual, usual)
}

/// A request with every question answered.
#[derive(Clone, Debug)]
pub struct Read {
    /// What is planned from.
    pub asked: Asked,
    /// Every default used.
    pub assumptions: Vec<Assumption>,
}

/// Answers every question of a request from the rows and the price list.
///
/// # Errors
/// Every fault; of too many pours that alone; without a price list all that can be found without it, which
/// may be none.
pub fn read_request(sent: &LoadPlanRequest, list: Option<&PriceList>) -> Result<Read, Faults> {
    let mut reader = Reader::of(sent);
    reader.check_heads();
    if sent.pours.len() > POURS.most as usize {
        // The work beyond grows with the square of their number.
        return Err(reader.faults);
    }
    let haul = reader.haul();
    let areas = find_areas(sent);
    let travel = read_travel(&mut reader, &areas);
    let pours = reader.pours(&areas);
    let stated = Stated::of(&mut reader);
    let Some(list) = list else {
        return Err(reader.faults);
    };
    let terms = read_terms(&mut reader, list, &stated);
    let asked = Asked {
        name: sent.name.clone().unwrap_or_default(),
        units: sent.units.unwrap_or(System::Us),
        currency: list.currency(),
        pours,
        travel,
        terms,
        haul,
    };
    check_reach(&mut reader, &asked);
    reader.assume_dates(list);
    let assumptions = reader.assumed;
    reader.faults.or(Read { asked, assumptions })
}

/// What is read, with what was found and assumed on the way.
pub(super) struct Reader<'a> {
    pub(super) sent: &'a LoadPlanRequest,
    pub(super) rows: &'static ConcreteRows,
    faults: Faults,
    assumed: Vec<Assumption>,
}

impl<'a> Reader<'a> {
    fn of(sent: &'a LoadPlanRequest) -> Self {
        Self {
            sent,
            rows: &Catalog::built_in().concrete,
            faults: Faults::default(),
            assumed: Vec::new(),
        }
    }

    pub(super) fn fault(&mut self, fault: Fault) {
        self.faults.push(fault);
    }

    /// True where a fault stands at or below a pointer.
    pub(super) fn is_faulty(&self, matches: impl Fn(&str) -> bool) -> bool {
        self.faults.0.iter().any(|fault| matches(&fault.pointer))
    }

    pub(super) fn assume(&mut self, pointer: &str, value: String, source: &Citation) {
        let hand = match source.verified {
            Verified::SecondHand => " (second hand)",
            Verified::Memory => " (from memory)",
            Verified::Read | Verified::Practice => "",
        };
        let why = match &source.section {
            Some(section) => format!("{}{hand}: {section}", source.document),
            None => format!("{}{hand}", source.document),
        };
        self.assume_why(pointer, value, why);
    }

    /// Notes a default once, however many pours it serves.
    pub(super) fn assume_why(
        &mut self,
        pointer: &str,
        value: String,
        why: impl Into<Cow<'static, str>>,
    ) {
        let assumption = Assumption {
            pointer: pointer.to_owned(),
            value: value.into(),
            why: why.into(),
        };
        if !self.assumed.contains(&assumption) {
            self.assumed.push(assumption);
        }
    }

    /// Whole minutes, up.
    pub(super) fn minutes(&mut self, pointer: &str, span: Span, bounds: &Bounds<Span>) -> u32 {
        ceil(self.held(pointer, span, bounds).minutes()) as u32
    }

    fn held(&mut self, pointer: &str, span: Span, bounds: &Bounds<Span>) -> Span {
        bounds.check(span, pointer).unwrap_or_else(|fault| {
            self.fault(fault);
            bounds.least
        })
    }

    fn check_heads(&mut self) {
        let count = u32::try_from(self.sent.pours.len()).unwrap_or(u32::MAX);
        if let Err(fault) = POURS.check(count, "/pours") {
            self.fault(fault);
        }
        let name = self.sent.name.as_deref().unwrap_or_default();
        if !is_line(name, NAME_AT_MOST) {
            let accepted = format!("one line of at most {NAME_AT_MOST} characters");
            self.fault(Fault::new(
                "/name",
                name,
                accepted,
                Some("June, north side"),
            ));
        }
        if self.sent.units.is_none() {
            self.assume_why(
                "/units",
                "us".to_owned(),
                "feet, inches and cubic yards where nothing is said",
            );
        }
    }

    fn haul(&mut self) -> Haul {
        let (sent, rows) = (self.sent, self.rows);
        let (limit, sharing) = (&rows.discharge, &rows.sharing);
        let mut known = |pointer: &str, span: Option<Span>, row: (Span, &Citation)| {
            span.unwrap_or_else(|| {
                self.assume(pointer, show_minutes(row.0), row.1);
                row.0
            })
        };
        let most = known("/limit", sent.limit, (limit.limit, &limit.source));
        let loading = known("/loading", sent.loading, (sharing.loading, &sharing.source));
        let stops = sent.most_stops.unwrap_or_else(|| {
            self.assume(
                "/most_stops",
                sharing.most_stops.to_string(),
                &sharing.source,
            );
            sharing.most_stops
        });
        let stops = STOPS.check(stops, "/most_stops").unwrap_or_else(|fault| {
            self.fault(fault);
            1
        });
        Haul {
            limit: floor(self.held("/limit", most, &LIMIT).minutes()) as u32,
            loading: self.minutes("/loading", loading, &LOADING),
            most_stops: stops,
        }
    }

    /// The pours, in the order that everything else follows.
    fn pours(&mut self, areas: &Areas) -> Vec<Pour> {
        let sent = self.sent;
        let mut names: Vec<String> = Vec::new();
        let mut pours: Vec<Pour> = Vec::new();
        for (place, pour) in sent.pours.iter().enumerate() {
            self.check_name(place, pour, &mut names);
            pours.push(self.pour(place, pour, areas));
        }
        pours.sort_by(|a, b| {
            let key = |pour: &Pour| (pour.day, pour.from, pour.to);
            key(a).cmp(&key(b)).then_with(|| a.name.cmp(&b.name))
        });
        pours
    }

    fn check_name(&mut self, place: usize, pour: &LoadPourRequest, names: &mut Vec<String>) {
        let at = format!("/pours/{place}/name");
        let plain = plain(&pour.name);
        let found = format!("\"{}\"", pour.name);
        if plain.is_empty() || !is_line(&pour.name, NAME_AT_MOST) {
            let accepted = format!("one line of 1 to {NAME_AT_MOST} characters");
            self.fault(Fault::new(at, found, accepted, Some("Front walk")));
        } else if let Some(first) = names.iter().position(|name| *name == plain) {
            let accepted =
                format!("a name that no other pour has; /pours/{first}/name has this one");
            let example = format!("{} 2", pour.name.trim());
            self.fault(Fault::new(at, found, accepted, Some(&example)));
        }
        names.push(plain);
    }

    fn pour(&mut self, place: usize, sent: &LoadPourRequest, areas: &Areas) -> Pour {
        let at = |field: &str| format!("/pours/{place}/{field}");
        let volume = VOLUME
            .check(sent.volume, at("volume"))
            .unwrap_or_else(|fault| {
                self.fault(fault);
                VOLUME.least
            });
        self.faults.0.extend(refuse_area(&sent.area, at("area")));
        let hours = &sent.arrive;
        if hours.to < hours.from {
            let accepted = format!("{} or later, the first hour of the pour", hours.from);
            let example = hours.from.to_string();
            let found = hours.to.to_string();
            self.fault(Fault::new(at("arrive/to"), found, accepted, Some(&example)));
        }
        if sent.mix.trim().is_empty() {
            let accepted = "the item code of a mix, or a word for it";
            self.fault(Fault::new(
                at("mix"),
                "\"\"",
                accepted,
                Some("concrete-4500-air"),
            ));
        }
        Pour {
            place,
            name: sent.name.trim().to_owned(),
            volume,
            area: areas.get(&plain(&sent.area)).copied().unwrap_or(0),
            day: hours.day,
            from: hours.from.minutes(),
            to: hours.to.minutes(),
            placing: self.minutes(&at("placing"), sent.placing, &PLACING),
            mix: sent.mix.trim().to_owned(),
        }
    }

    fn assume_dates(&mut self, list: &PriceList) {
        let stated = self.sent.book.as_ref().and_then(|book| book.as_of);
        if stated.is_none() {
            let day = list.as_of().format("%Y-%m-%d").to_string();
            self.assume_why("/book/as_of", day, "the day of the answer");
        }
    }
}

/// A duration as people say it here.
pub(super) fn show_minutes(span: Span) -> String {
    Shown::new(span.minutes(), "min", 2).to_string()
}
