//! Laws of the takeoff: parts add up, more never orders less, cutting a run in two changes nothing,
//! and both systems of units measure alike.

use super::jobs::{Taken, taken};
use crate::config;
use crossfall::catalog::Catalog;
use crossfall::job::WasteRule;
use crossfall::quantity::{Area, Length, Percent, Volume, ceil};
use crossfall::takeoff::{Net, WasteAsked, allow_waste, count_boards, order_up, share_loads};
use proptest::prelude::*;
use serde_json::{Value, json};

/// A ramp as drawn by lot; all that has a default which differs by units is written out.
#[derive(Clone, Debug)]
struct Drawn {
    width: u32,
    /// Rise in inches and length in feet, and where the next run leaves.
    runs: Vec<(u32, u32, &'static str)>,
    thickness: u32,
    vertical: bool,
    support: &'static str,
    curb: bool,
    board: bool,
    sides: &'static str,
}

fn drawn() -> impl Strategy<Value = Drawn> {
    let turn = prop::sample::select(vec!["straight", "left", "right", "back_left", "back_right"]);
    let runs = prop::collection::vec((1..30_u32, 3..32_u32, turn), 1..4);
    let support = prop::sample::select(vec!["on_grade", "between_walls", "solid"]);
    let sides = prop::sample::select(vec!["formed", "against_wall", "form_on_wall"]);
    let flags = (any::<bool>(), any::<bool>(), any::<bool>());
    (36..72_u32, runs, 6..16_u32, support, sides, flags).prop_map(
        |(width, runs, thickness, support, sides, (vertical, curb, board))| Drawn {
            width,
            runs,
            thickness,
            vertical,
            support,
            curb,
            board,
            sides,
        },
    )
}

impl Drawn {
    fn job(&self) -> Value {
        let edges = json!({"left": self.sides, "right": self.sides});
        let mut path = vec![json!({"kind": "landing", "length": "5 ft", "edges": edges})];
        for (index, (rise, length, turn)) in self.runs.iter().enumerate() {
            path.push(json!({"kind": "run", "rise": format!("{rise} in"),
                "length": format!("{length} ft"), "edges": edges}));
            let last = index + 1 == self.runs.len();
            let turn = if last { "straight" } else { turn };
            path.push(json!({"kind": "landing", "length": "6 ft 6 in", "turn": turn}));
        }
        let none_or = |there: bool, thing: Value| if there { thing } else { json!("none") };
        json!({
            "ramp": {
                "support": self.support, "width": format!("{} in", self.width), "path": path,
                "gap": "6 in", "curb": none_or(self.curb, json!({"width": "6 in", "height": "4 in"}))
            },
            "slab": {
                "thickness": format!("{} in", f64::from(self.thickness) / 2.0),
                "thickness_measured": if self.vertical { "vertical" } else { "square_to_surface" }
            },
            "base": {"depth": "4 in", "beyond_edge": "6 in", "waste": "5 %"},
            "insulation": none_or(self.board, json!({"thickness": "2 in"})),
            "reinforcement": {"bar": "no. 4", "spacing_along": "24 in", "spacing_across": "18 in",
                "edge_cover": "2 in"},
            "joints": {"spacing": "5 ft", "filler": "1/2 in", "depth": "1 1/4 in"},
            "sealer": {"product": "silane", "coverage": "125 ft2/gal"},
            "forms": {"screw_spacing": "24 in"}
        })
    }
}

/// Within the house's slack, a little widened for sums of many.
fn alike(a: f64, b: f64) -> bool {
    (a - b).abs() <= 1e-8 * a.abs().max(b.abs()).max(1e-6)
}

fn net_of(net: Net) -> f64 {
    match net {
        Net::Volume(volume) | Net::Liquid(volume) => volume.cubic_metres(),
        Net::Area(area) => area.square_metres(),
        Net::Length(length) => length.metres(),
        Net::Mass(mass) => mass.kilograms(),
        Net::Count(count) => count,
        Net::Time(span) => span.minutes(),
    }
}

/// Slab, curb and body from the job's own measures, not from the parts.
fn whole_concrete(job: &Drawn, taken: &Taken) -> f64 {
    let thickness = Length::from_inches(f64::from(job.thickness) / 2.0).metres();
    let mut whole = 0.0;
    for surface in &taken.geometry.surfaces {
        let plan = surface.plan_length.metres() * surface.width.metres();
        let slab = if job.vertical {
            plan
        } else {
            surface.area.square_metres()
        };
        whole += slab * thickness;
        if job.support == "solid" {
            let ends = surface.elevation_start + surface.elevation_end;
            whole += plan * ends.metres() / 2.0;
        }
    }
    if job.curb {
        whole += taken.takeoff.measures.curb_length.metres() * 0.1524 * 0.1016;
    }
    whole
}

proptest! {
    #![proptest_config(config())]

    #[test]
    fn parts_add_up_to_the_whole(drawn in drawn()) {
        let taken = taken(&drawn.job());
        let order = &taken.takeoff.concrete;
        let parts: Volume = order.parts.iter().map(|(_, volume)| *volume).sum();
        prop_assert!(alike(parts.cubic_metres(), order.net.cubic_metres()));
        prop_assert!(alike(whole_concrete(&drawn, &taken), order.net.cubic_metres()));
        let loads: Volume = order.loads.iter().copied().sum();
        prop_assert!(alike(loads.cubic_metres(), order.order.cubic_metres()));
        let measures = &taken.takeoff.measures;
        let both = measures.sloped_area + measures.level_area;
        prop_assert!(alike(both.square_metres(), measures.surface_area.square_metres()));
        prop_assert!(alike(measures.surface_area.square_metres(), taken.geometry.new_area().square_metres()));
    }

    #[test]
    fn a_thicker_slab_never_orders_less(drawn in drawn(), more in 1..4_u32) {
        let thicker = Drawn { thickness: drawn.thickness + more, ..drawn.clone() };
        let (thin, thick) = (taken(&drawn.job()), taken(&thicker.job()));
        let (thin, thick) = (&thin.takeoff.concrete, &thick.takeoff.concrete);
        prop_assert!(thick.order.at_least(thin.order), "{:?} {:?}", thin.order, thick.order);
        prop_assert!(thick.bags >= thin.bags);
    }

    #[test]
    fn more_concrete_on_the_same_area_never_orders_less(
        net in 1..40_000_u32, more in 1..500_u32, area in 1..4_000_u32,
        (on_board, handbook) in any::<(bool, bool)>(),
    ) {
        let rows = &Catalog::built_in().concrete;
        // A slab is never thinner than 3 in, so a volume has no more area than this.
        let most = Volume::from_cubic_yards(f64::from(net) / 100.0) / Length::from_inches(3.0);
        let area = Area::from_square_feet(f64::from(area)).min(most);
        let order = |hundredths: u32| {
            let net = Volume::from_cubic_yards(f64::from(hundredths) / 100.0);
            let rule = if handbook { WasteRule::Handbook } else { WasteRule::BySize };
            let asked = WasteAsked { net, area, on_board, bagged: false, rule, stated: None };
            let allowance = allow_waste(&asked, rows);
            order_up(net + allowance.volume, rows.order.step)
        };
        prop_assert!(order(net + more).at_least(order(net)));
    }

    #[test]
    fn loads_hold_the_order_and_no_truck_is_overfull(quarters in 1..2_000_u32) {
        let rows = &Catalog::built_in().concrete;
        let order = Volume::from_cubic_yards(f64::from(quarters) / 4.0);
        let loads = share_loads(order, rows);
        let sum: Volume = loads.iter().copied().sum();
        prop_assert!(alike(sum.cubic_metres(), order.cubic_metres()));
        prop_assert!(loads.iter().all(|load| load.at_most(rows.truck.payload)));
        let (most, least) = (loads[0], loads[loads.len() - 1]);
        prop_assert!((most - least).at_most(rows.order.step));
    }

    #[test]
    fn a_run_taped_in_two_pieces_is_the_same_run(drawn in drawn(), which in 0..4_usize) {
        let whole = drawn.job();
        let mut halves = whole.clone();
        let which = which % drawn.runs.len();
        let (rise, length, _) = drawn.runs[which];
        let path = halves["ramp"]["path"].as_array_mut().expect("a path");
        let index = 1 + 2 * which;
        path[index]["rise"] = json!(format!("{} in", f64::from(rise) / 2.0));
        path[index]["length"] = json!(format!("{} ft", f64::from(length) / 2.0));
        let half = path[index].clone();
        path.insert(index, half);
        let (one, two) = (taken(&whole), taken(&halves));
        prop_assert!(alike(
            one.takeoff.concrete.net.cubic_metres(),
            two.takeoff.concrete.net.cubic_metres()
        ));
        let (a, b) = (&one.takeoff.measures, &two.takeoff.measures);
        prop_assert!(alike(a.base_area.square_metres(), b.base_area.square_metres()));
        prop_assert!(alike(a.curb_length.metres(), b.curb_length.metres()));
        prop_assert!(alike(a.bar_mass.kilograms(), b.bar_mass.kilograms()));
        prop_assert!(alike(a.curing_area.square_metres(), b.curing_area.square_metres()));
        prop_assert_eq!(one.takeoff.concrete.order, two.takeoff.concrete.order);
    }

    #[test]
    fn both_systems_of_units_measure_alike(drawn in drawn()) {
        let mut job = drawn.job();
        job["units"] = json!("us");
        let us = taken(&job);
        job["units"] = json!("metric");
        // Landings and widths that a turn needs are round in each system; here they are the same.
        for (index, surface) in us.geometry.surfaces.iter().enumerate() {
            if job["ramp"]["path"][index]["kind"] == "landing" {
                job["ramp"]["path"][index]["width"] = json!(surface.width.print());
            }
        }
        job["units"] = json!("us");
        let us = taken(&job);
        job["units"] = json!("metric");
        let metric = taken(&job);
        for line in &us.takeoff.lines {
            let twin = metric.takeoff.lines.iter().find(|twin| twin.code == line.code);
            let Some(twin) = twin else {
                return Err(TestCaseError::fail(format!("no {} in metric", line.code)));
            };
            // Rails of a metric job reach 305 mm past a run, not 12 in.
            if line.code != "handrail-ft" {
                prop_assert!(alike(net_of(line.quantity), net_of(twin.quantity)), "{}", line.code);
                prop_assert_eq!(line.order, twin.order, "{}", &line.code);
            }
        }
        prop_assert_eq!(us.takeoff.lines.len(), metric.takeoff.lines.len());
    }

    #[test]
    fn stone_covers_the_slab_and_no_more_than_its_strips(drawn in drawn()) {
        let taken = taken(&drawn.job());
        let measures = &taken.takeoff.measures;
        let solid = drawn.support == "solid";
        let slab: Area = taken
            .geometry
            .surfaces
            .iter()
            .map(|surface| if solid { surface.plan_length * surface.width } else { surface.area })
            .sum();
        let formed: Length = measures.form_staked.iter().map(|stretch| stretch.length).sum();
        let beyond = Length::from_inches(6.0);
        let corners = beyond * beyond * (4.0 * taken.geometry.surfaces.len() as f64);
        prop_assert!(measures.base_area.at_least(slab));
        prop_assert!(measures.base_area.at_most(slab + formed * beyond + corners));
    }

    #[test]
    fn boards_are_no_fewer_than_the_area_needs_and_no_more_than_whole_boards_each_way(
        places in prop::collection::vec((12..500_u32, 24..240_u32), 1..6),
    ) {
        let sheet = &Catalog::built_in().insulation.sheet;
        let places: Vec<(Length, Length)> = places
            .iter()
            .map(|(length, width)| {
                (Length::from_inches(f64::from(*length)), Length::from_inches(f64::from(*width)))
            })
            .collect();
        let boards = f64::from(count_boards(&places, sheet));
        let area: Area = places.iter().map(|(length, width)| *length * *width).sum();
        let naive: f64 = places
            .iter()
            .map(|(length, width)| ceil(*length / sheet.length) * ceil(*width / sheet.width))
            .sum();
        prop_assert!(boards >= ceil(area / (sheet.width * sheet.length)));
        prop_assert!(boards <= naive);
    }

    #[test]
    fn a_stated_percent_replaces_the_rule(net in 1..3_000_u32, percent in 0..30_u32) {
        let net = Volume::from_cubic_yards(f64::from(net) / 10.0);
        let asked = WasteAsked {
            net,
            area: Area::from_square_feet(500.0),
            on_board: false,
            bagged: false,
            rule: WasteRule::BySize,
            stated: Some(Percent::from_percent(f64::from(percent))),
        };
        let volume = allow_waste(&asked, &Catalog::built_in().concrete).volume;
        prop_assert!(alike(volume / net, f64::from(percent) / 100.0));
    }
}
