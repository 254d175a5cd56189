//! What a takeoff says: lines, needs of others, advices, and how lines are gathered.
//!
//! Invariants: every line has an order in its sale unit and the working that leads there; a line
//! that others supply stands among the needs too. Absent here: prices, rounding for an answer.

use super::concrete_order::ConcreteOrder;
use super::cutting::CutList;
use super::measures::Measures;
use super::mix::Mix;
use super::steel::BarMark;
use crate::catalog::Class;
use crate::job::By;
use crate::quantity::money::Decimal4;
use crate::quantity::{Area, Citation, Length, Mass, Percent, Span, Volume};

/// Where a job says what its ready-mix is.
pub(super) const MIX: &str = "/slab/concrete";

/// Where a job says what is poured around the ramp.
pub(super) const AROUND: &str = "/elements";

/// What to buy, what the crew handles, what others must supply.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Takeoff {
    /// Every material, fee and machine, in the order in which a ramp is built. Only lines whose `by`
    /// is `us` are ours to buy.
    pub lines: Vec<Line>,
    /// What the crew handles.
    pub measures: Measures,
    /// The concrete that we place with the ramp.
    pub concrete: ConcreteOrder,
    /// The concrete that we place before it: footings, then walls.
    pub before: Vec<ConcreteOrder>,
    /// The mix, beside what its exposure asks for; none where only amounts were asked for.
    pub mix_asked: Option<Mix>,
    /// Bars by mark.
    pub bar_marks: Vec<BarMark>,
    /// How stock is cut.
    pub cut_lists: Vec<CutList>,
    /// What others must supply.
    pub needs: Vec<Need>,
    /// What a person should know.
    pub advices: Vec<Advice>,
}

/// A net quantity, in whatever it is measured.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Net {
    /// Of a volume of concrete or stone.
    Volume(Volume),
    /// Of a volume of liquid.
    Liquid(Volume),
    /// Of an area.
    Area(Area),
    /// Of a length.
    Length(Length),
    /// Of a weight.
    Mass(Mass),
    /// Of pieces.
    Count(f64),
    /// Of time.
    Time(Span),
}

/// An order before it was rounded up.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Exact {
    /// In the sale unit, waste included.
    pub number: f64,
    /// What it is rounded up to a multiple of.
    pub step: Decimal4,
}

/// One line of the takeoff.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// Item code, shared with the price book.
    pub code: String,
    /// What it is.
    pub description: String,
    /// Where it stands in the build-up of a price.
    pub class: Class,
    /// Who supplies it.
    pub by: By,
    /// JSON Pointer into the expanded job.
    pub of: &'static str,
    /// Net quantity.
    pub quantity: Net,
    /// Waste on the net quantity.
    pub waste: Percent,
    /// What is ordered, in the sale unit.
    pub order: Decimal4,
    /// The sale unit.
    pub order_unit: &'static str,
    /// The order before it was rounded up, where what one job leaves over serves the next; none
    /// where each job needs an order of its own (a truck, cut bars, a day of a machine).
    pub exact: Option<Exact>,
    /// Jobs that one piece serves, where it comes from stock.
    pub uses: Option<u32>,
    /// How the figures come about, in words and numbers.
    pub working: String,
    /// Where the rule comes from.
    pub source: Citation,
}

/// What somebody else must supply or do.
#[derive(Clone, Debug, PartialEq)]
pub struct Need {
    /// What.
    pub what: String,
    /// Who supplies it.
    pub from: By,
    /// JSON Pointer into the expanded job.
    pub of: String,
}

/// What a person should know.
#[derive(Clone, Debug, PartialEq)]
pub struct Advice {
    /// JSON Pointer into the expanded job.
    pub of: String,
    /// What it is about, a stable word.
    pub kind: &'static str,
    /// In words.
    pub text: String,
    /// Where it comes from.
    pub source: Citation,
}

impl Line {
    /// A line for `code`, to be filled; who describes it says where it comes from.
    pub(super) fn blank(code: &str, of: &'static str, by: By) -> Self {
        Self {
            code: code.to_owned(),
            description: String::new(),
            class: Class::Material,
            by,
            of,
            quantity: Net::Count(1.0),
            waste: Percent::ZERO,
            order: Decimal4::ONE,
            order_unit: "each",
            exact: None,
            uses: None,
            working: String::new(),
            source: Citation::untold(),
        }
    }
}

impl Line {
    /// The line with an order of `number`, rounded up to `step`, of which the next job takes what
    /// is left over.
    pub(super) fn shared(self, number: f64, step: f64) -> Self {
        let step = Decimal4::nearest(step, 4).unwrap_or(Decimal4::ONE);
        Self {
            order: Decimal4::up_to_step(number, step).unwrap_or(Decimal4::ZERO),
            exact: Some(Exact { number, step }),
            ..self
        }
    }
}

impl Takeoff {
    /// The line of ready-mix; none where the concrete comes in bags or nothing is poured.
    pub fn mix(&self) -> Option<&Line> {
        let of_plant = |line: &&Line| line.of == MIX && line.class == Class::Material;
        self.lines.iter().find(of_plant)
    }

    /// Every load of concrete that we place.
    pub fn loads(&self) -> impl Iterator<Item = Volume> {
        let orders = std::iter::once(&self.concrete).chain(&self.before);
        orders.flat_map(|order| order.loads.iter().copied())
    }

    /// All concrete that we order.
    pub fn concrete_ordered(&self) -> Volume {
        let before: Volume = self.before.iter().map(|order| order.order).sum();
        self.concrete.order + before
    }

    /// The line of stone; none where nothing lies under the slab.
    pub fn stone(&self) -> Option<&Line> {
        self.lines
            .iter()
            .find(|line| line.code.starts_with("stone-"))
    }

    /// Adds a line; what others supply of it becomes a need.
    pub(super) fn add(&mut self, line: Line) {
        if line.order == Decimal4::ZERO {
            return;
        }
        let told = !line.description.is_empty();
        if line.by != By::Us && told {
            let unit = if line.order_unit == "each" {
                ""
            } else {
                line.order_unit
            };
            let what = format!("{}: {} {unit}", line.description, line.order);
            self.needs.push(Need {
                what: what.trim_end().to_owned(),
                from: line.by,
                of: line.of.to_owned(),
            });
        }
        self.lines.push(line);
    }

    /// Adds the lines and measures of another takeoff, without words.
    pub(super) fn append(&mut self, other: &Self) {
        self.lines.extend_from_slice(&other.lines);
        self.measures.add(&other.measures);
        self.before.extend_from_slice(&other.before);
        if self.concrete.net.is_zero() && !other.concrete.net.is_zero() {
            self.concrete = other.concrete.clone();
        }
    }

    /// Adds a line for something that only we would be charged for: a fee, a machine.
    pub(super) fn add_if(&mut self, ours: bool, line: Line) {
        if ours {
            self.add(Line { by: By::Us, ..line });
        }
    }
}

/// A whole number of pieces that hold `number`, with the house's slack.
pub(super) fn pieces(number: f64) -> Decimal4 {
    // Bounds rows keep every quantity far below the billion at which this would give nothing.
    Decimal4::up_to_step(number, Decimal4::ONE).unwrap_or(Decimal4::ZERO)
}

/// `number` up to the next multiple of `step`.
pub(super) fn steps(number: f64, step: f64) -> Decimal4 {
    let step = Decimal4::nearest(step, 4).unwrap_or(Decimal4::ONE);
    Decimal4::up_to_step(number, step).unwrap_or(Decimal4::ZERO)
}

/// How much more `order` is than `net`, as a share of the net; nothing of nothing.
pub(super) fn waste_of(order: f64, net: f64) -> Percent {
    let share = if net > 0.0 { order / net - 1.0 } else { 0.0 };
    Percent::from_fraction(share.max(0.0))
}
