//! The pattern that is worth most, for each room: what column generation asks.
//!
//! Invariants: values are whole numbers and sums never wrap; no pattern takes more of a kind than is
//! needed; `most` is never less than the best there is, also where the nodes ran out. Over lengths
//! that share a large enough divisor every room is answered by one table; else branches are cut by
//! what the rest of the room is worth at the best rate. Absent: why a piece is worth what it is.

use super::kinds::{Kind, Set, Takes, divisor};

/// Cells of a table.
const CELLS_AT_MOST: usize = 1 << 21;
const NODES_AT_MOST: u32 = 20_000;

/// The best pattern of a room.
#[derive(Clone, Debug)]
pub(super) struct Best {
    pub(super) takes: Takes,
    /// What it is worth.
    pub(super) value: i64,
    /// No pattern is worth more.
    pub(super) most: i64,
}

/// The longest step of which every piece is a whole number.
fn common_step(set: &Set) -> i64 {
    let sizes = set.kinds.iter().map(|kind| kind.size);
    sizes.fold(0, divisor).max(1)
}

/// The best pattern of every room, for what a piece of each kind is worth.
pub(super) fn fill_rooms(set: &Set, demand: &[u32], values: &[i64]) -> Vec<Best> {
    let step = common_step(set);
    let largest = set.rooms.last().map_or(0, |room| room.size / step);
    let bundles = bundle(set, demand, values, step);
    let wide = usize::try_from(largest).ok().and_then(|n| n.checked_add(1));
    match wide.filter(|wide| wide.saturating_mul(bundles.len()) <= CELLS_AT_MOST) {
        Some(wide) => {
            let table = Table::of(&bundles, wide);
            let rooms = set.rooms.iter();
            rooms
                .map(|room| table.read(&bundles, (room.size / step) as usize, set.kinds.len()))
                .collect()
        }
        None => {
            let rooms = set.rooms.iter();
            rooms
                .map(|room| branch(set, (demand, values), room.size))
                .collect()
        }
    }
}

/// Steps of filling all rooms once, at most.
pub(super) fn measure_work(set: &Set, demand: &[u32]) -> usize {
    let step = common_step(set);
    let largest = set.rooms.last().map_or(0, |room| room.size / step);
    let bundles = bundle(set, demand, &vec![1; demand.len()], step).len();
    let cells = usize::try_from(largest)
        .ok()
        .and_then(|n| n.checked_mul(bundles));
    match cells.filter(|cells| *cells <= CELLS_AT_MOST) {
        Some(cells) => cells.max(1),
        None => NODES_AT_MOST as usize * set.rooms.len().max(1),
    }
}

/// So many of one kind, taken together or not at all.
struct Bundle {
    kind: usize,
    times: u32,
    size: usize,
    value: i64,
}

/// One, two, four … of each kind, so that every number up to the need can be made.
fn bundle(set: &Set, demand: &[u32], values: &[i64], step: i64) -> Vec<Bundle> {
    let largest = set.rooms.last().map_or(0, |room| room.size);
    let mut bundles = Vec::new();
    for (kind, row) in set.kinds.iter().enumerate() {
        let fit = (largest / row.size).min(i64::from(demand[kind]));
        let mut left = if values[kind] > 0 { fit } else { 0 };
        let mut times = 1;
        while left > 0 {
            let here = times.min(left);
            bundles.push(Bundle {
                kind,
                times: here as u32,
                size: (row.size / step * here) as usize,
                value: values[kind].saturating_mul(here),
            });
            left -= here;
            times *= 2;
        }
    }
    bundles
}

struct Table {
    wide: usize,
    /// The best value by room.
    best: Vec<i64>,
    /// By bundle and room, whether the bundle is taken.
    taken: Vec<bool>,
}

impl Table {
    fn of(bundles: &[Bundle], wide: usize) -> Self {
        let mut best = vec![0_i64; wide];
        let mut taken = vec![false; wide * bundles.len()];
        for (bundle, row) in bundles.iter().zip(taken.chunks_mut(wide)) {
            for room in (bundle.size..wide).rev() {
                let with = best[room - bundle.size].saturating_add(bundle.value);
                if with > best[room] {
                    best[room] = with;
                    row[room] = true;
                }
            }
        }
        Self { wide, best, taken }
    }

    fn read(&self, bundles: &[Bundle], room: usize, kinds: usize) -> Best {
        let mut takes = vec![0; kinds];
        let mut free = room;
        for (index, bundle) in bundles.iter().enumerate().rev() {
            if self.taken[index * self.wide + free] {
                takes[bundle.kind] += bundle.times;
                free -= bundle.size;
            }
        }
        Best {
            takes,
            value: self.best[room],
            most: self.best[room],
        }
    }
}

/// What is worth most for its length comes first.
struct Branch<'a> {
    kinds: &'a [Kind],
    demand: &'a [u32],
    values: &'a [i64],
    order: Vec<usize>,
    nodes: u32,
    takes: Takes,
    best: (i64, Takes),
}

fn branch(set: &Set, (demand, values): (&[u32], &[i64]), room: i64) -> Best {
    let kinds = &set.kinds;
    let mut order: Vec<usize> = (0..kinds.len()).filter(|kind| values[*kind] > 0).collect();
    let rate = |kind: usize| (i128::from(values[kind]), i128::from(kinds[kind].size));
    order.sort_by(|a, b| {
        let ((a_value, a_size), (b_value, b_size)) = (rate(*a), rate(*b));
        (b_value * a_size).cmp(&(a_value * b_size)).then(a.cmp(b))
    });
    let mut branch = Branch {
        kinds,
        demand,
        values,
        order,
        nodes: NODES_AT_MOST,
        takes: vec![0; kinds.len()],
        best: (0, vec![0; kinds.len()]),
    };
    let open = branch.rest(0, room);
    let ended = branch.fill(0, room, 0).is_some();
    let (value, takes) = branch.best;
    Best {
        takes,
        value,
        most: if ended { value } else { open.max(value) },
    }
}

impl Branch<'_> {
    /// What the rest of a room is worth at the best rate left.
    fn rest(&self, place: usize, free: i64) -> i64 {
        let Some(kind) = self.order.get(place) else {
            return 0;
        };
        let size = i128::from(self.kinds[*kind].size);
        let worth = i128::from(free) * i128::from(self.values[*kind]);
        i64::try_from((worth + size - 1) / size).unwrap_or(i64::MAX)
    }

    fn fill(&mut self, place: usize, free: i64, value: i64) -> Option<()> {
        self.nodes = self.nodes.checked_sub(1)?;
        if value > self.best.0 {
            self.best = (value, self.takes.clone());
        }
        if value.saturating_add(self.rest(place, free)) <= self.best.0 {
            return Some(());
        }
        let kind = self.order[place];
        let size = self.kinds[kind].size;
        let most = (free / size).min(i64::from(self.demand[kind])).max(0);
        for n in (0..=most).rev() {
            self.takes[kind] = n as u32;
            let more = value.saturating_add(self.values[kind].saturating_mul(n));
            let ended = self.fill(place + 1, free - size * n, more);
            self.takes[kind] = 0;
            ended?;
        }
        Some(())
    }
}
