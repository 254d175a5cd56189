//! What the request itself states of the plant, the same for every mix.
//!
//! Invariants: trucks and steps stand by rising size; no price is below zero. Absent: the price book.

use super::read::Reader;
use super::request::ShortLoadRequest;
use super::short_load::{ShortFee, ShortTier};
use crate::quantity::money::UnitPrice;
use crate::quantity::{Bounds, Fault, Span, Volume};

const TRUCK: Bounds<Volume> = Bounds::new(
    "trucks",
    Volume::from_cubic_yards(1.0),
    Volume::from_cubic_yards(20.0),
)
.usually(
    Volume::from_cubic_yards(10.0),
    Volume::from_cubic_yards(10.0),
);
const TRUCKS_AT_MOST: usize = 10;
const TIERS_AT_MOST: usize = 20;
const FREE: Bounds<Span> = Bounds::new("free_a_yd3", Span::ZERO, Span::from_minutes(60.0))
    .usually(Span::from_minutes(7.0), Span::from_minutes(7.0));

/// What the request itself states, for every mix.
pub(super) struct Stated {
    pub(super) trucks: Option<Vec<Volume>>,
    pub(super) short_load: Option<Vec<ShortTier>>,
    pub(super) per_load: UnitPrice,
    pub(super) extra_stop: UnitPrice,
    pub(super) price: Option<UnitPrice>,
    pub(super) free: Option<Span>,
    pub(super) wait: Option<UnitPrice>,
}

impl Stated {
    pub(super) fn of(reader: &mut Reader<'_>) -> Self {
        let sent = reader.sent;
        let waiting = sent.waiting.clone().unwrap_or_default();
        let mut money = |pointer: &str, price: Option<UnitPrice>| {
            let negative = |price: &UnitPrice| *price < UnitPrice::default();
            if let Some(price) = price.filter(negative) {
                let accepted = "zero or more, as decimal text";
                reader.fault(Fault::new(
                    pointer,
                    price.to_string(),
                    accepted,
                    Some("45.00"),
                ));
            }
            price
        };
        let price = money("/price", sent.price);
        let wait = money("/waiting/price_a_minute", waiting.price_a_minute);
        let per_load = money("/per_load", sent.per_load);
        let extra_stop = money("/extra_stop", sent.extra_stop);
        let mut known = |pointer: &str, price: Option<UnitPrice>, what: &'static str| {
            price.unwrap_or_else(|| {
                reader.assume_why(pointer, UnitPrice::default().to_string(), what);
                UnitPrice::default()
            })
        };
        let whole = "no charge for each load is known; ask the plant";
        let stop = "no charge for a further stop is known; ask the plant";
        Self {
            per_load: known("/per_load", per_load, whole),
            extra_stop: known("/extra_stop", extra_stop, stop),
            trucks: read_trucks(reader),
            short_load: read_tiers(reader),
            free: waiting.free_a_yd3.map(|free| {
                FREE.check(free, "/waiting/free_a_yd3")
                    .unwrap_or_else(|fault| {
                        reader.fault(fault);
                        free
                    })
            }),
            price,
            wait,
        }
    }
}

fn read_trucks(reader: &mut Reader<'_>) -> Option<Vec<Volume>> {
    let sent = reader.sent.trucks.as_ref()?;
    if sent.is_empty() || sent.len() > TRUCKS_AT_MOST {
        let accepted = format!("1 to {TRUCKS_AT_MOST} sizes of trucks");
        let found = format!("{} sizes", sent.len());
        reader.fault(Fault::new("/trucks", found, accepted, Some("[\"10 yd3\"]")));
    }
    for (number, truck) in sent.iter().enumerate() {
        if let Err(fault) = TRUCK.check(*truck, format!("/trucks/{number}")) {
            reader.fault(fault);
        }
    }
    let mut trucks = sent.clone();
    trucks.sort_by(Volume::total_cmp);
    Some(trucks)
}

fn read_tiers(reader: &mut Reader<'_>) -> Option<Vec<ShortTier>> {
    let sent = reader.sent.short_load.as_ref()?;
    if sent.len() > TIERS_AT_MOST {
        let found = format!("{} steps", sent.len());
        reader.fault(Fault::new(
            "/short_load",
            found,
            format!("at most {TIERS_AT_MOST} steps"),
            None,
        ));
    }
    let mut tiers: Vec<ShortTier> = Vec::new();
    for (number, step) in sent.iter().enumerate() {
        let at = format!("/short_load/{number}");
        match read_tier(step, &at, &tiers) {
            Ok(tier) => tiers.push(tier),
            Err(fault) => reader.fault(fault),
        }
    }
    tiers.sort_by(|a, b| a.below.total_cmp(&b.below));
    Some(tiers)
}

fn read_tier(sent: &ShortLoadRequest, at: &str, before: &[ShortTier]) -> Result<ShortTier, Fault> {
    let below = TRUCK.check(sent.below, format!("{at}/below"))?;
    if before.iter().any(|tier| tier.below == below) {
        let found = format!("{below} again");
        return Err(Fault::new(
            format!("{at}/below"),
            found,
            "each size once",
            None,
        ));
    }
    let fee = match (sent.fee, sent.each_missing_yd3) {
        (Some(fee), None) => ShortFee::Flat(fee),
        (None, Some(each)) => ShortFee::EachMissing(each),
        (both, _) => {
            let found = if both.is_some() { "both" } else { "neither" };
            let accepted = "one of fee and each_missing_yd3";
            return Err(Fault::new(
                at,
                found,
                accepted,
                Some("\"each_missing_yd3\": \"45.00\""),
            ));
        }
    };
    let (ShortFee::Flat(price) | ShortFee::EachMissing(price)) = fee;
    if price < UnitPrice::default() {
        return Err(Fault::new(
            at,
            price.to_string(),
            "zero or more",
            Some("45.00"),
        ));
    }
    Ok(ShortTier { below, fee })
}
