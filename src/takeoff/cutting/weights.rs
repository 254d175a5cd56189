//! Bounds: what each piece weighs of the cost, so that no pattern weighs more than its stock costs.
//!
//! Invariant: for every pattern of a room, the weights of its pieces are at most `scale` times the
//! room's cost, in whole numbers; so what all pieces weigh together is no more than any cutting
//! costs. Absent: where better weights come from.

use super::kinds::{Room, Set};

/// What a piece of each kind weighs.
#[derive(Clone, Debug)]
pub(super) struct Weights {
    pub(super) each: Vec<i64>,
    pub(super) scale: i64,
}

impl Weights {
    /// By length, at the rate of the room that is cheapest for its length.
    pub(super) fn by_length(set: &Set) -> Self {
        let rate = |room: &Room| (i128::from(room.cost), i128::from(room.size));
        let best = set.rooms.iter().min_by(|a, b| {
            let ((a_cost, a_size), (b_cost, b_size)) = (rate(a), rate(b));
            (a_cost * b_size).cmp(&(b_cost * a_size))
        });
        let Some(best) = best else {
            return Self {
                each: vec![0; set.kinds.len()],
                scale: 1,
            };
        };
        let weigh = |size: i64| i128::from(size) * i128::from(best.cost);
        // A length times a cost may be too long for a whole number: both sides lose the last digits.
        let most = weigh(best.size.max(1));
        let shift = (128 - most.leading_zeros()).saturating_sub(60);
        let each = set.kinds.iter().map(|kind| {
            let weight = weigh(kind.size) >> shift;
            i64::try_from(weight).unwrap_or(0)
        });
        let scale = (i128::from(best.size) + (1 << shift) - 1) >> shift;
        Self {
            each: each.collect(),
            scale: i64::try_from(scale).unwrap_or(i64::MAX).max(1),
        }
    }

    /// What so many of each kind weigh.
    pub(super) fn of(&self, takes: &[u32]) -> i128 {
        let pairs = self.each.iter().zip(takes);
        pairs
            .map(|(each, n)| i128::from(*each) * i128::from(*n))
            .sum()
    }

    /// Cutting so many of each kind costs no less than this.
    pub(super) fn bound(&self, takes: &[u32]) -> i64 {
        let scale = i128::from(self.scale.max(1));
        let whole = (self.of(takes) + scale - 1) / scale;
        i64::try_from(whole).unwrap_or(0)
    }
}

/// No cutting costs less: by length, and by how often each length fits beside its like and longer.
pub(super) fn measure_bound(set: &Set, by_length: &Weights) -> i64 {
    let mut bound = by_length.bound(&set.demand());
    let mut longer = 0_i64;
    for kind in &set.kinds {
        longer += i64::from(kind.count);
        let fits = |room: &Room| {
            let fit = room.size / kind.size;
            (fit > 0).then(|| {
                i128::from(longer) * i128::from(room.cost) / i128::from(fit)
                    + i128::from(
                        (i128::from(longer) * i128::from(room.cost)) % i128::from(fit) != 0,
                    )
            })
        };
        let least = set.rooms.iter().filter_map(fits).min();
        let least = least.and_then(|least| i64::try_from(least).ok());
        bound = bound.max(least.unwrap_or(0));
    }
    bound
}
