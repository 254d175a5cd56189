//! List scheduling of the steps of one visit: who works on what, from when to when.
//!
//! Invariants: nobody works on two steps at once and no step begins before what it follows has
//! ended; of the steps that may begin, the one with the longest chain behind it takes people first,
//! ties by their order: each the fewest it takes, then the first as many as can share it; the same steps give the same schedule; work is
//! bounded by twice the number of steps. Absent: rates, days, pay, rounding.

use super::sequence::Mask;
use crate::quantity::Compared;
use crate::quantity::slack::{ceil, compare};

/// A step of a visit. Steps stand in an order in which none comes before what it follows.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Step {
    /// Its own bit among the steps.
    pub is: u64,
    /// The bits of the steps that end before it begins, at any remove; others are not asked for.
    pub after: u64,
    /// Hours of one person.
    pub hours: f64,
    /// Hours it lasts at the least, whoever works on it.
    pub lasts: f64,
    /// Hours after the last of the `Waits::placed` steps before it may begin.
    pub waits: f64,
    /// Fewest people who can do it; all, where there are fewer.
    pub people_least: u32,
    /// Most people who can share it.
    pub people_most: u32,
    /// True where one of them must be a finisher.
    pub finisher: bool,
}

/// Who is there, and what binds the stay.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Party {
    /// How many.
    pub people: u32,
    /// How many of them are finishers.
    pub finishers: u32,
    /// The bits of placing, from whose end `Step::waits` and `presence` count.
    pub placed: u64,
    /// Hours from the end of placing until the last may leave.
    pub presence: f64,
    /// Who leaves early.
    pub leaving: Option<Leaving>,
}

impl Party {
    /// So many people, with as many finishers as steps could ask for, no placing.
    pub const fn of(people: u32) -> Self {
        Self {
            people,
            finishers: people,
            placed: 0,
            presence: 0.0,
            leaving: None,
        }
    }
}

/// Who leaves early.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Leaving {
    /// Once these steps have ended.
    pub after: u64,
    /// How many stay.
    pub staying: u32,
}

/// So many people on a step for a while, in hours after the arrival.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spell {
    /// Which step, by its place.
    pub step: usize,
    /// From.
    pub from: f64,
    /// To.
    pub to: f64,
    /// How many.
    pub people: u32,
}

/// When all is done.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Ends {
    /// The last may leave.
    pub all: f64,
    /// Those who leave early may; the same as `all` where none do.
    pub leaving: f64,
    /// True where waiting for the concrete, not a step, decides.
    pub waited: bool,
}

/// What no schedule can be shorter than.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Bound {
    /// All hours over all people.
    pub shared: f64,
    /// The longest chain of steps and waits, each shared as far as it can be.
    pub chain: f64,
    /// Placing, then staying with the concrete.
    pub setting: f64,
}

impl Bound {
    /// The greatest of them.
    pub fn hours(self) -> f64 {
        self.shared.max(self.chain).max(self.setting)
    }
}

/// Most steps of one visit: the bits there are.
const STEPS: usize = Mask::BITS as usize;

impl Step {
    /// Most of so many people who are of use.
    fn most(&self, people: u32) -> u32 {
        let least = self.people_least.min(people).max(1);
        let most = self.people_most.min(people).max(least);
        if self.lasts > 0.0 {
            // More would only wait with the others.
            return most.min((ceil(self.hours / self.lasts) as u32).max(least));
        }
        most
    }

    /// Hours that so many take.
    fn elapsed(&self, people: u32) -> f64 {
        (self.hours / f64::from(people.max(1))).max(self.lasts)
    }
}

/// What no schedule of these steps can be shorter than.
pub fn bound_of(steps: &[Step], party: &Party) -> Bound {
    Chained::of(steps, party).bound()
}

/// Schedules steps; each spell is told to `tell` when it ends.
///
/// No more than 64 steps are taken.
pub fn schedule(steps: &[Step], party: &Party, tell: impl FnMut(Spell)) -> Ends {
    Chained::of(steps, party).schedule(tell)
}

/// Steps of one party, with the chains that begin with each.
pub(super) struct Chained<'s> {
    steps: &'s [Step],
    party: &'s Party,
    /// Hours from the beginning of each step to the end of the longest chain that begins with it.
    tails: [f64; STEPS],
}

impl<'s> Chained<'s> {
    pub(super) fn of(steps: &'s [Step], party: &'s Party) -> Self {
        let steps = &steps[..steps.len().min(STEPS)];
        let mut tails = [0.0; STEPS];
        for at in (0..steps.len()).rev() {
            tails[at] = tail_of(at, (steps, party), &tails);
        }
        Self {
            steps,
            party,
            tails,
        }
    }

    pub(super) fn bound(&self) -> Bound {
        let party = self.party;
        let hours: f64 = self.steps.iter().map(|step| step.hours).sum();
        let placing = self.steps.iter().filter(|step| step.is & party.placed != 0);
        let placing = placing.map(|step| step.elapsed(party.people));
        Bound {
            shared: hours / f64::from(party.people.max(1)),
            chain: self.tails.iter().fold(0.0, |most, tail| most.max(*tail)),
            setting: placing.fold(0.0, f64::max) + party.presence,
        }
    }

    pub(super) fn schedule(&self, tell: impl FnMut(Spell)) -> Ends {
        let all = self.steps.iter().fold(0, |all, step| all | step.is);
        let mut at_work = AtWork {
            steps: self.steps,
            party: self.party,
            order: by_tail(self.steps, &self.tails),
            open: self.steps.len(),
            left: [1.0; STEPS],
            working: [(0, 0); STEPS],
            busy: 0,
            all,
            done: 0,
            now: 0.0,
            placed: (all & self.party.placed == 0).then_some(0.0),
            gone: None,
            tell,
        };
        // Each round ends a step or a wait.
        for _ in 0..=2 * self.steps.len() {
            if !at_work.go_on() {
                break;
            }
        }
        at_work.ends()
    }
}

/// Hours from the beginning of a step to the end of the longest chain, where those of all that follow
/// it are known.
fn tail_of(at: usize, (steps, party): (&[Step], &Party), tails: &[f64; STEPS]) -> f64 {
    let step = &steps[at];
    let placed = step.is & party.placed != 0;
    let later = steps.iter().zip(tails).skip(at + 1);
    let follow = later.filter(|(later, _)| later.after & step.is != 0);
    let rests = follow.map(|(later, tail)| if placed { later.waits + tail } else { *tail });
    step.elapsed(step.most(party.people)) + rests.fold(0.0, f64::max)
}

/// Places of steps, the longest chain first, ties in their order.
fn by_tail(steps: &[Step], tails: &[f64; STEPS]) -> [u8; STEPS] {
    let mut order = [0; STEPS];
    for at in 0..steps.len() {
        let mut to = at;
        while to > 0 && compare(tails[usize::from(order[to - 1])], tails[at]) == Compared::Below {
            order[to] = order[to - 1];
            to -= 1;
        }
        order[to] = at as u8;
    }
    order
}

/// A schedule in the making.
struct AtWork<'s, T> {
    steps: &'s [Step],
    party: &'s Party,
    /// Places of the steps, the longest chain first; so many of them had not ended.
    order: [u8; STEPS],
    open: usize,
    /// Share of each step that is left.
    left: [f64; STEPS],
    /// Places of steps and people on them; so many steps are worked on.
    working: [(u8, u32); STEPS],
    busy: usize,
    /// The bits of all steps, and of those that have ended.
    all: Mask,
    done: Mask,
    now: f64,
    /// When placing ended.
    placed: Option<f64>,
    /// When those who leave early left.
    gone: Option<f64>,
    tell: T,
}

impl<T: FnMut(Spell)> AtWork<'_, T> {
    /// Works until something ends; false when all is done.
    fn go_on(&mut self) -> bool {
        let hours = self.assign();
        if !hours.is_finite() {
            return false;
        }
        for place in 0..self.busy {
            let (at, people) = self.working[place];
            self.work(usize::from(at), people, hours);
        }
        self.now += hours;
        self.note_ends();
        true
    }

    /// So many people on a step for so many hours.
    fn work(&mut self, at: usize, people: u32, hours: f64) {
        let step = &self.steps[at];
        let elapsed = step.elapsed(people);
        if compare(self.left[at] * elapsed, hours) == Compared::Above {
            self.left[at] -= hours / elapsed;
        } else {
            self.left[at] = 0.0;
            self.done |= step.is;
        }
        let (from, to) = (self.now, self.now + hours);
        if to > from {
            (self.tell)(Spell {
                step: at,
                from,
                to,
                people,
            });
        }
    }

    /// Notes when placing ended and when those who leave early left.
    fn note_ends(&mut self) {
        let left = self.all & !self.done;
        if self.placed.is_none() && self.party.placed & left == 0 {
            self.placed = Some(self.now);
        }
        if let (Some(leaving), None) = (self.party.leaving, self.gone)
            && leaving.after & left == 0
        {
            self.gone = Some(self.now);
        }
    }

    /// Gives people to the steps that may begin or go on: to each the fewest it takes, then to the
    /// first of them as many as can share it. Hours until something ends; endless where nothing is left.
    fn assign(&mut self) -> f64 {
        let people = match (self.gone, self.party.leaving) {
            (Some(_), Some(leaving)) => leaving.staying,
            _ => self.party.people,
        };
        let (mut free, mut until) = self.begin(people);
        for (at, on_it) in &mut self.working[..self.busy] {
            let step = &self.steps[usize::from(*at)];
            let more = (step.most(people) - *on_it).min(free);
            free -= more;
            *on_it += more;
            until = until.min(self.left[usize::from(*at)] * step.elapsed(*on_it));
        }
        until
    }

    /// Gives each step that may begin or go on the fewest people it takes; how many are left, and the
    /// hours until a wait ends.
    fn begin(&mut self, people: u32) -> (u32, f64) {
        let (mut free, mut finishers) = (people, self.party.finishers.max(1));
        let (mut until, mut open) = (f64::INFINITY, 0);
        let left = self.all & !self.done;
        self.busy = 0;
        for place in 0..self.open {
            let at = self.order[place];
            let step = &self.steps[usize::from(at)];
            if step.is & left == 0 {
                continue;
            }
            self.order[open] = at;
            open += 1;
            let least = step.people_least.min(people).max(1);
            if step.after & left != 0 || free < least || (step.finisher && finishers == 0) {
                continue;
            }
            if let Some(waits) = self.waits(step) {
                until = until.min(waits);
                continue;
            }
            free -= least;
            finishers -= u32::from(step.finisher);
            self.working[self.busy] = (at, least);
            self.busy += 1;
        }
        self.open = open;
        (free, until)
    }

    /// Hours until a step may begin; none where it may.
    fn waits(&self, step: &Step) -> Option<f64> {
        let rest = self.placed.unwrap_or(self.now) + step.waits - self.now;
        (step.waits > 0.0 && compare(rest, 0.0) == Compared::Above).then_some(rest)
    }

    fn ends(&self) -> Ends {
        let presence = self.placed.unwrap_or(0.0) + self.party.presence;
        let all = self.now.max(presence);
        Ends {
            all,
            leaving: self.gone.unwrap_or(all).min(all),
            waited: compare(presence, self.now) == Compared::Above,
        }
    }
}
