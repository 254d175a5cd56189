//! What each pour costs when it shares with nobody, and what of it may be shared.
//!
//! Invariant: of all ways of a pour the one with the least key is its own price, so that no plan need
//! be dearer than ordering one by one. Absent: other pours.

use super::asked::{Asked, Pour};
use super::charge::{Order, Service, choose_order};
use super::key::Key;
use super::way::{Way, find_ways};

/// A way with what is ordered for each of its loads, the rest last.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Quoted {
    pub(super) way: Way,
    pub(super) orders: Vec<Order>,
    /// Of all its loads.
    pub(super) key: Key,
    /// Of its own loads, the rest left out.
    pub(super) own_key: Key,
}

/// One pour by itself.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Alone {
    /// The way to supply it alone.
    pub(super) best: Quoted,
    /// The way that leaves a rest to share; none where there is no such rest.
    pub(super) shared: Option<Quoted>,
}

/// What a pour costs alone; none where no truck reaches it in time.
pub(super) fn quote_alone(pour: &Pour, asked: &Asked) -> Option<Alone> {
    let ways = find_ways(pour, asked).into_iter();
    let quoted: Vec<Quoted> = ways.filter_map(|way| quote(way, pour, asked)).collect();
    let shared = quoted.iter().find(|quoted| quoted.way.rest.is_some());
    let best = quoted.iter().min_by_key(|quoted| quoted.key)?;
    Some(Alone {
        best: best.clone(),
        shared: shared.cloned(),
    })
}

fn quote(way: Way, pour: &Pour, asked: &Asked) -> Option<Quoted> {
    let terms = asked.terms_of(pour);
    let own = way.own.iter().map(|load| (load.volume, load.placing));
    let rest = way.rest.iter().map(|rest| (rest.volume, rest.placing));
    let (mut orders, mut keys) = (Vec::new(), Vec::new());
    for (volume, placing) in own.chain(rest) {
        let stops = 1;
        let order = choose_order(
            terms,
            Service {
                volume,
                stops,
                on_site: placing,
            },
        )?;
        keys.push(Key::of_load(&order.charges, 0, asked.lead(pour) + placing));
        orders.push(order);
    }
    Some(Quoted {
        key: keys.iter().copied().sum(),
        own_key: keys.iter().copied().take(way.own.len()).sum(),
        way,
        orders,
    })
}
