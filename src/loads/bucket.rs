//! Pours of one day and one mix: which of them one truck can serve together, and at what cost.
//!
//! Invariants: a member alone is always a group; what a group costs includes the loads that its members
//! need for themselves, so that groups of any kind compare. Absent: which groups are taken.

use super::alone::{Alone, Quoted};
use super::asked::{Asked, Pour, Terms};
use super::charge::{Order, Service, choose_order};
use super::key::Key;
use super::partition::Column;
use super::route::{Call, Road, Route};
use crate::quantity::Volume;

/// Pours of one day and mix, with what may be shared of them.
pub(super) struct Bucket<'a> {
    pub(super) asked: &'a Asked,
    pub(super) terms: &'a Terms,
    /// Indices of the pours with a rest to share.
    pub(super) members: Vec<usize>,
    pub(super) alone: &'a [Alone],
}

/// A set of members that one truck serves.
pub(super) struct Group {
    pub(super) set: u32,
    pub(super) key: Key,
    /// None where the one member is best supplied alone.
    pub(super) shared: Option<(Route, Order)>,
}

/// Pours with a rest to share, by day and mix.
pub(super) fn buckets(pours: &[Pour], alone: &[Alone]) -> Vec<Vec<usize>> {
    let mut found: Vec<Vec<usize>> = Vec::new();
    for (at, pour) in pours.iter().enumerate() {
        if alone[at].shared.is_none() {
            continue;
        }
        let like = |members: &&mut Vec<usize>| {
            let first = &pours[members[0]];
            (first.day, &first.mix) == (pour.day, &pour.mix)
        };
        match found.iter_mut().find(like) {
            Some(members) => members.push(at),
            None => found.push(vec![at]),
        }
    }
    found
}

impl Bucket<'_> {
    pub(super) fn shared_way(&self, member: usize) -> Option<&Quoted> {
        self.alone[self.members[member]].shared.as_ref()
    }

    pub(super) fn calls(&self) -> Vec<Call> {
        let most = super::charge::most_steps(self.terms);
        let members = self.members.iter().enumerate();
        let calls = members.filter_map(|(member, pour)| {
            let rest = self.shared_way(member)?.way.rest?;
            Some(Call {
                from: rest.from,
                to: rest.to,
                placing: rest.placing,
                area: self.asked.pours[*pour].area,
                share: rest.volume / (self.terms.step * f64::from(most)),
            })
        });
        calls.collect()
    }

    pub(super) fn groups(&self, calls: &[Call]) -> Vec<Group> {
        let Asked { travel, haul, .. } = self.asked;
        let road = Road {
            calls,
            out: &travel.out,
            between: &travel.between,
            loading: haul.loading,
            limit: haul.limit,
            most_stops: haul.most_stops as usize,
        };
        let routes = road.find_routes().into_iter();
        let shared = routes.filter(|(set, _)| set.count_ones() > 1);
        let single = (0..calls.len()).map(|member| self.single(member, &road));
        let several = shared.filter_map(|(set, routes)| {
            let groups = routes
                .into_iter()
                .filter_map(|route| self.group(set, route));
            // Of equal ones the first, whose pours come in their order.
            groups.min_by_key(|group| group.key)
        });
        single.chain(several).collect()
    }

    /// A member by itself: the best way of all, which may be the one whose rest could be shared.
    fn single(&self, member: usize, road: &Road<'_>) -> Group {
        let alone = &self.alone[self.members[member]];
        let same = alone.shared.as_ref() == Some(&alone.best);
        let route = road.time(&[member]).filter(|_| same);
        let order = alone.best.orders.last().copied();
        Group {
            set: 1 << member,
            key: alone.best.key,
            shared: route.zip(order),
        }
    }

    fn group(&self, set: u32, route: Route) -> Option<Group> {
        let members = (0..self.members.len()).filter(|member| set & 1 << member != 0);
        let (mut volume, mut own) = (Volume::ZERO, Key::default());
        for member in members {
            let quoted = self.shared_way(member)?;
            volume += quoted.way.rest?.volume;
            own = own + quoted.own_key;
        }
        let service = Service {
            volume,
            stops: set.count_ones(),
            on_site: route.on_site,
        };
        let order = choose_order(self.terms, service)?;
        Some(Group {
            set,
            key: own + Key::of_load(&order.charges, route.idle, route.ride),
            shared: Some((route, order)),
        })
    }
}

/// Members that hang together by loads they could share, each a set.
pub(super) fn knots(groups: &[Group], members: usize) -> Vec<u32> {
    let mut knots: Vec<u32> = (0..members).map(|member| 1 << member).collect();
    for group in groups {
        let joined = knots.iter().filter(|knot| **knot & group.set != 0);
        let joined = joined.fold(0, |all, knot| all | knot);
        knots.retain(|knot| knot & group.set == 0);
        knots.push(joined);
    }
    knots.sort_by_key(|knot| knot.trailing_zeros());
    knots
}

/// The groups of a knot as columns over its own members alone.
pub(super) fn columns_of(groups: &[Group], knot: u32) -> (Vec<Column>, Vec<&Group>) {
    let own: Vec<&Group> = groups
        .iter()
        .filter(|group| group.set & knot != 0)
        .collect();
    let members: Vec<u32> = (0..32).filter(|member| knot & 1 << member != 0).collect();
    let inner = |set: u32| {
        let places = members.iter().enumerate();
        let inside = places.filter(|(_, member)| set & 1 << **member != 0);
        inside.fold(0, |inner, (place, _)| inner | 1 << place)
    };
    let columns = own.iter().map(|group| Column {
        set: inner(group.set),
        key: group.key.0,
    });
    (columns.collect(), own)
}
