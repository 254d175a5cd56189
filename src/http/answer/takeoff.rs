//! Materials as a caller reads them.

use super::cut_list::{CutListAnswer, show_cut_list};
use super::mix::MixAnswer;
use super::{View, show_net, show_order};
use crate::catalog::Class;
use crate::job::{Bar, By};
use crate::quantity::Citation;
use crate::quantity::shown::{FtM, H, InMm, LbKg, Pct, Shown, TonT, Yd3M3};
use crate::takeoff::{Advice, BarMark, ConcreteOrder, Line, Net, OrderChoice, Takeoff};
use serde::Serialize;
use utoipa::ToSchema;

/// Materials of a job: net, with waste, as ordered.
#[derive(Debug, Serialize, ToSchema)]
pub struct TakeoffAnswer {
    /// One a material, fee or hire.
    pub lines: Vec<LineAnswer>,
    /// Concrete: parts, order, neighbours, loads, bags.
    pub concrete: ConcreteAnswer,
    /// Concrete that is placed before it and ordered apart: footings, then walls.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub concrete_before: Vec<ConcreteAnswer>,
    /// The mix, beside what the exposure asks for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub mix: Option<MixAnswer>,
    /// Bars by mark.
    pub bars: Vec<BarMarkAnswer>,
    /// How stock is cut.
    pub cut_lists: Vec<CutListAnswer>,
    /// What others must supply.
    pub needs: Vec<NeedAnswer>,
    /// What to think of before ordering.
    pub advices: Vec<AdviceAnswer>,
}

/// One quantity line.
#[derive(Debug, Serialize, ToSchema)]
pub struct LineAnswer {
    /// Item code, as in the price book.
    pub code: String,
    /// What it is.
    pub description: String,
    /// Where it stands in the build-up.
    pub class: Class,
    /// Who supplies it.
    pub by: By,
    /// JSON Pointer into the expanded job.
    pub of: &'static str,
    /// Net.
    pub quantity: Shown,
    /// Allowance.
    pub waste: Pct,
    /// What must be ordered, in the unit it is sold in.
    pub order: Shown,
    /// Jobs that one piece serves, for what comes out of stock.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub uses: Option<u32>,
    /// The figure in words and numbers; with `?working=true`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub working: Option<String>,
    /// Where coverage, waste or size come from.
    pub source: Citation,
}

/// Concrete.
#[derive(Debug, Serialize, ToSchema)]
pub struct ConcreteAnswer {
    /// In the forms.
    pub net: Yd3M3,
    /// Its parts.
    pub parts: Vec<PartAnswer>,
    /// Allowance.
    pub waste: Yd3M3,
    /// To order.
    pub order: Yd3M3,
    /// The order, one step less and one more, and the depth error each absorbs.
    pub choices: Vec<OrderChoiceAnswer>,
    /// Trucks.
    pub loads: Vec<Yd3M3>,
    /// Missing to the plant's least load.
    pub short_of_minimum: Yd3M3,
    /// Free unloading time.
    pub unloading_free: H,
    /// Unloading time that the crew needs.
    pub unloading_needed: H,
    /// Bags of the largest size that would do instead.
    pub bags: u32,
    /// Below this net volume bags cost less than a short load.
    pub bags_break_even: Yd3M3,
}

/// One part of the concrete.
#[derive(Debug, Serialize, ToSchema)]
pub struct PartAnswer {
    /// What.
    pub what: String,
    /// How much.
    pub volume: Yd3M3,
}

/// One possible order.
#[derive(Debug, Serialize, ToSchema)]
pub struct OrderChoiceAnswer {
    /// Order.
    pub order: Yd3M3,
    /// Over net and the fixed loss; below zero where it falls short.
    pub spare: Yd3M3,
    /// Extra depth over the whole area that it absorbs.
    pub depth_error: InMm,
    /// The same as the tape shows it.
    pub depth_error_tape: String,
}

/// Bars of one mark.
#[derive(Debug, Serialize, ToSchema)]
pub struct BarMarkAnswer {
    /// Mark.
    pub mark: String,
    /// Size.
    pub bar: Bar,
    /// `straight`: no bar of this takeoff is bent.
    pub shape: &'static str,
    /// How many.
    pub count: u32,
    /// Length of each, laps included.
    pub length: FtM,
    /// The same as the tape shows it.
    pub length_tape: String,
    /// Laps in each.
    pub laps: u32,
    /// Weight of all.
    pub weight: LbKg,
    /// JSON Pointer into the expanded job.
    pub of: String,
}

/// Something that others supply.
#[derive(Debug, Serialize, ToSchema)]
pub struct NeedAnswer {
    /// What.
    pub what: String,
    /// From whom.
    pub from: By,
    /// JSON Pointer into the expanded job.
    pub of: String,
}

/// Something to think of.
#[derive(Debug, Serialize, ToSchema)]
pub struct AdviceAnswer {
    /// JSON Pointer into the expanded job.
    pub of: String,
    /// What it is about.
    pub kind: &'static str,
    /// What to do.
    pub text: String,
    /// Where it comes from.
    pub source: Citation,
}

impl TakeoffAnswer {
    /// A takeoff, shown.
    pub fn of(takeoff: Takeoff, view: View) -> Self {
        Self {
            lines: takeoff
                .lines
                .into_iter()
                .map(|line| show_line(line, view))
                .collect(),
            concrete: show_concrete(takeoff.concrete, view),
            concrete_before: takeoff
                .before
                .into_iter()
                .map(|order| show_concrete(order, view))
                .collect(),
            mix: takeoff.mix_asked.map(|mix| MixAnswer::of(mix, view)),
            bars: takeoff
                .bar_marks
                .into_iter()
                .map(|mark| show_mark(mark, view))
                .collect(),
            cut_lists: takeoff
                .cut_lists
                .into_iter()
                .map(|list| show_cut_list(list, view))
                .collect(),
            needs: takeoff
                .needs
                .into_iter()
                .map(|need| NeedAnswer {
                    what: need.what,
                    from: need.from,
                    of: need.of,
                })
                .collect(),
            advices: takeoff.advices.into_iter().map(show_advice).collect(),
        }
    }
}

fn show_line(line: Line, view: View) -> LineAnswer {
    let quantity = show_quantity(&line, view);
    LineAnswer {
        code: line.code,
        description: line.description,
        class: line.class,
        by: line.by,
        of: line.of,
        quantity,
        waste: Pct::of(line.waste, view.system),
        order: show_order(line.order, line.order_unit),
        uses: line.uses,
        working: view.working.then_some(line.working),
        source: line.source,
    }
}

/// A weight that is sold by the ton is shown by the ton.
fn show_quantity(line: &Line, view: View) -> Shown {
    match (line.quantity, line.order_unit) {
        (Net::Mass(mass), "ton" | "t") => TonT::of(mass, view.system).shown(),
        (net, _) => show_net(net, view.system),
    }
}

fn show_concrete(concrete: ConcreteOrder, view: View) -> ConcreteAnswer {
    let show = |volume| Yd3M3::of(volume, view.system);
    ConcreteAnswer {
        net: show(concrete.net),
        parts: concrete
            .parts
            .into_iter()
            .map(|(what, volume)| PartAnswer {
                what,
                volume: show(volume),
            })
            .collect(),
        waste: show(concrete.waste),
        order: show(concrete.order),
        choices: concrete
            .neighbours
            .iter()
            .map(|choice| show_choice(choice, view))
            .collect(),
        loads: concrete.loads.iter().map(|load| show(*load)).collect(),
        short_of_minimum: show(concrete.short_of_minimum),
        unloading_free: H::of(concrete.unload_minutes_free, view.system),
        unloading_needed: H::of(concrete.unload_minutes_needed, view.system),
        bags: concrete.bags,
        bags_break_even: show(concrete.bags_break_even),
    }
}

fn show_choice(choice: &OrderChoice, view: View) -> OrderChoiceAnswer {
    OrderChoiceAnswer {
        order: Yd3M3::of(choice.order, view.system),
        spare: Yd3M3::of(choice.spare, view.system),
        depth_error: InMm::of(choice.depth_error, view.system),
        depth_error_tape: choice.depth_error.tape(view.system),
    }
}

fn show_mark(mark: BarMark, view: View) -> BarMarkAnswer {
    BarMarkAnswer {
        mark: mark.mark,
        bar: mark.bar,
        shape: "straight",
        count: mark.count,
        length: FtM::of(mark.length, view.system),
        length_tape: mark.length.tape(view.system),
        laps: mark.laps,
        weight: LbKg::of(mark.weight, view.system),
        of: mark.of,
    }
}

pub(super) fn show_advice(advice: Advice) -> AdviceAnswer {
    AdviceAnswer {
        of: advice.of,
        kind: advice.kind,
        text: advice.text,
        source: advice.source,
    }
}
