//! Loads shared between small pours: laws, hand-worked plans, every plan tried, faults.

mod example;
mod laws;
mod many;
mod partitions;
mod refusing;
mod tried;
mod worked;

use crate::worked::demo_list;
use crossfall::catalog::PriceList;
use crossfall::loads::{Asked, LoadPlanRequest, Plan, Read, TRIALS, plan_loads, read_request};
use crossfall::quantity::Faults;
use serde_json::{Value, json};
use std::sync::LazyLock;

/// The prices of the invented demo book.
static LIST: LazyLock<PriceList> = LazyLock::new(demo_list);

pub(crate) fn read(body: &Value) -> Result<Read, Faults> {
    let sent: LoadPlanRequest =
        serde_json::from_value(body.clone()).unwrap_or_else(|error| panic!("{error}: {body}"));
    read_request(&sent, Some(&LIST))
}

pub(crate) fn planned(body: &Value) -> (Asked, Plan) {
    let read = read(body).unwrap_or_else(|faults| panic!("{faults}: {body}"));
    let plan = plan_loads(&read.asked, TRIALS);
    (read.asked, plan)
}

/// A pour in whole numbers, so that a test can reckon with it exactly.
#[derive(Clone, Debug)]
pub(crate) struct Small {
    /// Eighths of a cubic yard.
    pub(crate) eighths: u32,
    pub(crate) area: usize,
    pub(crate) day: u32,
    pub(crate) from: u32,
    pub(crate) to: u32,
    pub(crate) placing: u32,
    pub(crate) mix: u32,
}

/// Numbers of a plant, with everything stated.
#[derive(Clone, Debug)]
pub(crate) struct Plant {
    /// Cents for a cubic yard.
    pub(crate) price: u32,
    /// Cents for a load.
    pub(crate) per_load: u32,
    /// Cents for a further stop.
    pub(crate) extra_stop: u32,
    /// Quarters of a yard below which a load is small, cents, and whether for each missing yard.
    pub(crate) tiers: Vec<(u32, u32, bool)>,
    /// Minutes free for a yard.
    pub(crate) free: u32,
    /// Cents for a minute beyond.
    pub(crate) wait: u32,
    /// Yards of a truck.
    pub(crate) truck: u32,
    pub(crate) limit: u32,
    pub(crate) most_stops: u32,
    /// Minutes from the plant by area.
    pub(crate) out: [u32; 3],
    /// Minutes within an area and between two.
    pub(crate) between: [u32; 2],
}

pub(crate) const LOADING: u32 = 10;

fn money(cents: u32) -> String {
    format!("{}.{:02}", cents / 100, cents % 100)
}

pub(crate) fn clock(minutes: u32) -> String {
    format!("{:02}:{:02}", minutes / 60, minutes % 60)
}

impl Plant {
    pub(crate) fn body(&self, pours: &[Small]) -> Value {
        let minutes = |minutes: u32| format!("{minutes} min");
        let pours: Vec<Value> = pours.iter().enumerate().map(|(n, pour)| json!({
            "name": format!("pour {n}"), "volume": format!("{} yd3", f64::from(pour.eighths) / 8.0),
            "area": format!("area {}", pour.area), "mix": format!("mix {}", pour.mix),
            "arrive": {"day": format!("2026-06-0{}", pour.day + 1), "from": clock(pour.from), "to": clock(pour.to)},
            "placing": minutes(pour.placing)
        })).collect();
        let tiers = self.tiers.iter().map(|(below, cents, each)| {
            let field = if *each { "each_missing_yd3" } else { "fee" };
            json!({"below": format!("{} yd3", f64::from(*below) / 4.0), field: money(*cents)})
        });
        let known = |area: &usize| {
            pours
                .iter()
                .any(|pour| pour["area"] == format!("area {area}"))
        };
        let table = (0..3).filter(known).map(|area| {
            json!({"from": "plant", "to": format!("area {area}"), "time": minutes(self.out[area])})
        });
        json!({
            "trucks": [format!("{} yd3", self.truck)],
            "short_load": tiers.collect::<Vec<Value>>(),
            "per_load": money(self.per_load), "extra_stop": money(self.extra_stop), "price": money(self.price),
            "waiting": {"free_a_yd3": minutes(self.free), "price_a_minute": money(self.wait)},
            "limit": minutes(self.limit), "loading": minutes(LOADING), "most_stops": self.most_stops,
            "travel": {"within_area": minutes(self.between[0]), "between_areas": minutes(self.between[1]),
                "table": table.collect::<Vec<Value>>()},
            "pours": pours,
        })
    }
}

/// Cost in cents, loads, minutes waited, and minutes from batching to the end of discharge.
pub(crate) type Measured = (i64, u32, u32, u32);

pub(crate) fn measure(plan: &Plan) -> Measured {
    let waited = |load: &crossfall::loads::Load| -> u32 {
        load.stops
            .iter()
            .map(|stop| stop.starts - stop.arrives)
            .sum()
    };
    (
        plan.cost.charges.total().minor(),
        plan.cost.loads,
        plan.loads.iter().map(waited).sum(),
        plan.loads.iter().map(|load| load.ride).sum(),
    )
}

/// Invented pours and plants for property tests.
pub(crate) mod any {
    use super::{Plant, Small};
    use proptest::prelude::*;

    pub(crate) fn pour(days: u32, mixes: u32) -> impl Strategy<Value = Small> {
        (
            1_u32..=40,
            0_usize..3,
            0..days,
            26_u32..48,
            0_u32..12,
            2_u32..=9,
            0..mixes,
        )
            .prop_map(|(eighths, area, day, quarter, hours, fives, mix)| Small {
                eighths,
                area,
                day,
                from: quarter * 15,
                to: quarter * 15 + hours * 15,
                placing: fives * 5,
                mix,
            })
    }

    prop_compose! {
        pub(crate) fn plant()(
            price in prop_oneof![Just(0_u32), 3000_u32..20000],
            per_load in 0_u32..8000, extra_stop in 0_u32..4000,
            tiers in prop::collection::btree_map(4_u32..30, (0_u32..20000, any::<bool>()), 0..3),
            free in 0_u32..10, wait in 0_u32..400, truck in 6_u32..=10, limit in 80_u32..=120,
            most_stops in 1_u32..=4, out in [5_u32..=25, 5_u32..=25, 5_u32..=25],
            within in 2_u32..8, farther in 0_u32..8,
        ) -> Plant {
            Plant {
                price, per_load, extra_stop,
                tiers: tiers.into_iter().map(|(below, (cents, each))| (below, cents, each)).collect(),
                free, wait, truck, limit, most_stops, out, between: [within, within + farther],
            }
        }
    }
}
