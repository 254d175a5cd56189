//! Laws of a visit's schedule, on steps of any kind, and one laid out by hand.

use crossfall::crew::{Leaving, Party, Spell, Step, bound_of, schedule};
use proptest::prelude::*;

const NOISE: f64 = 1e-6;

fn step(number: u32, hours: f64) -> Step {
    Step {
        is: 1 << number,
        after: 0,
        hours,
        lasts: 0.0,
        waits: 0.0,
        people_least: 1,
        people_most: u32::MAX,
        finisher: false,
    }
}

/// Steps and who does them; the third places concrete, where there is one.
fn any_visit() -> impl Strategy<Value = (Vec<Step>, Party)> {
    let one = (
        (0_u32..=24, 1_u32..=3, 0_u32..=3, any::<bool>()),
        (any::<u16>(), 0_u32..=8, 0_u32..=4),
    );
    let party = (1_u32..=6, 1_u32..=2, 0_u32..=20);
    (prop::collection::vec(one, 1..=12), party).prop_map(|(drawn, (people, finishers, stay))| {
        let mut steps: Vec<Step> = Vec::new();
        for (((quarters, least, more, finisher), (follows, waits, lasts)), number) in
            drawn.into_iter().zip(0..)
        {
            let before = steps
                .iter()
                .filter(|step| u64::from(follows) & step.is != 0);
            let after = before.fold(0, |all, step| all | step.is | step.after);
            let waits = if after & PLACES == 0 {
                0.0
            } else {
                f64::from(waits) / 4.0
            };
            steps.push(Step {
                after,
                waits,
                lasts: if number == 2 {
                    f64::from(lasts) / 4.0
                } else {
                    0.0
                },
                people_least: least,
                people_most: least + more,
                finisher,
                ..step(number, f64::from(quarters) / 4.0)
            });
        }
        let party = Party {
            finishers,
            placed: PLACES,
            presence: f64::from(stay) / 4.0,
            ..Party::of(people)
        };
        (steps, party)
    })
}

/// The bit of the step that places concrete.
const PLACES: u64 = 1 << 2;

fn spells(steps: &[Step], party: &Party) -> Vec<Spell> {
    let mut spells = Vec::new();
    schedule(steps, party, |spell| spells.push(spell));
    spells
}

/// When a step begins and ends; none where it takes no time.
fn span(spells: &[Spell], step: usize) -> Option<(f64, f64)> {
    let own = || spells.iter().filter(|spell| spell.step == step);
    let first = own().map(|spell| spell.from).reduce(f64::min)?;
    let last = own().map(|spell| spell.to).reduce(f64::max)?;
    Some((first, last))
}

proptest! {
    #![proptest_config(crate::config())]

    #[test]
    fn no_schedule_is_shorter_than_its_bound((steps, party) in any_visit()) {
        let ends = schedule(&steps, &party, |_| {});
        let bound = bound_of(&steps, &party).hours();
        prop_assert!(ends.all >= bound - NOISE, "{} {bound}", ends.all);
        // Never longer than one person after the other, and the waits between them.
        let alone: f64 = steps.iter().map(|step| step.hours.max(step.lasts) + step.waits).sum();
        prop_assert!(ends.all <= alone + party.presence + NOISE, "{} {alone}", ends.all);
    }

    #[test]
    fn nobody_works_on_two_steps_at_once((steps, party) in any_visit()) {
        let spells = spells(&steps, &party);
        for at in spells.iter().map(|spell| f64::midpoint(spell.from, spell.to)) {
            let now = || spells.iter().filter(|spell| spell.from < at && at < spell.to);
            let people: u32 = now().map(|spell| spell.people).sum();
            prop_assert!(people <= party.people, "{people} at {at}");
            let skilled = now().filter(|spell| steps[spell.step].finisher).count();
            prop_assert!(skilled as u32 <= party.finishers, "{skilled} finishers at {at}");
            for spell in now() {
                let step = &steps[spell.step];
                let least = step.people_least.min(party.people);
                prop_assert!((least..=step.people_most.max(least)).contains(&spell.people));
                prop_assert_eq!(now().filter(|one| one.step == spell.step).count(), 1);
            }
        }
    }

    #[test]
    fn every_step_is_done_whole_and_after_what_it_follows((steps, party) in any_visit()) {
        let spells = spells(&steps, &party);
        let placed = span(&spells, 2).map_or(0.0, |(_, end)| end);
        for (at, step) in steps.iter().enumerate() {
            let own = spells.iter().filter(|spell| spell.step == at);
            let hours: f64 = own.map(|spell| (spell.to - spell.from) * f64::from(spell.people)).sum();
            let Some((begins, ends)) = span(&spells, at) else {
                prop_assert!(step.hours.max(step.lasts) < NOISE);
                continue;
            };
            if step.lasts > 0.0 {
                prop_assert!(hours >= step.hours - NOISE && ends - begins >= step.lasts - NOISE);
            } else {
                prop_assert!((hours - step.hours).abs() < NOISE, "{hours} {step:?}");
            }
            if step.waits > 0.0 {
                prop_assert!(begins >= placed + step.waits - NOISE, "{begins} {placed} {step:?}");
            }
            for (other, _) in steps.iter().enumerate().filter(|(_, one)| step.after & one.is != 0) {
                let ended = span(&spells, other).map_or(0.0, |(_, end)| end);
                prop_assert!(begins >= ended - NOISE, "{begins} {ended}");
            }
        }
    }

    /// Whoever may choose among more counts of people is never done later.
    #[test]
    fn more_people_to_choose_from_never_take_longer((steps, party) in any_visit()) {
        let best = |most: u32| {
            let counts = (1..=most).map(|people| schedule(&steps, &Party { people, ..party }, |_| {}).all);
            counts.fold(f64::INFINITY, f64::min)
        };
        prop_assert!(best(party.people + 1) <= best(party.people) + NOISE);
        prop_assert!(best(party.people) >= bound_of(&steps, &party).hours() - NOISE);
    }

    #[test]
    fn who_leaves_early_is_gone_and_not_before_the_steps_that_hold_him(
        (steps, party) in any_visit(), staying in 1_u32..=3,
    ) {
        let leaving = Leaving { after: PLACES, staying: staying.min(party.people) };
        let party = Party { leaving: Some(leaving), ..party };
        let mut told = Vec::new();
        let ends = schedule(&steps, &party, |spell| told.push(spell));
        let placed = span(&told, 2).map_or(0.0, |(_, end)| end);
        prop_assert!(ends.leaving >= placed - NOISE && ends.leaving <= ends.all + NOISE);
        for at in told.iter().filter(|spell| spell.from >= ends.leaving - NOISE && ends.leaving > 0.0) {
            prop_assert!(at.people <= leaving.staying, "{at:?} {ends:?}");
        }
    }
}

/// By hand, three people: 3 h that all share take 1 h. Then 2 h for two at the most run beside 1 h for
/// one alone: both take 1 h. The last 1.5 h follow the two and take 0.5 h: 2.5 h in all, the hours over
/// the people. With two people: 1.5 h, then one each: the step for one ends after 1 h, the other has 1 h
/// left for two and takes half an hour more; then 0.75 h: 3.75 h, again the hours over the people.
#[test]
fn a_visit_laid_out_by_hand() {
    let follows = |after: u64, step: Step| Step { after, ..step };
    let steps = [
        step(0, 3.0),
        follows(
            1,
            Step {
                people_most: 2,
                ..step(1, 2.0)
            },
        ),
        follows(
            1,
            Step {
                people_most: 1,
                ..step(2, 1.0)
            },
        ),
        follows(0b11, step(3, 1.5)),
    ];
    let three = spells(&steps, &Party::of(3));
    let told: Vec<_> = three
        .iter()
        .map(|s| (s.step, s.from, s.to, s.people))
        .collect();
    let by_hand = [
        (0, 0.0, 1.0, 3),
        (1, 1.0, 2.0, 2),
        (2, 1.0, 2.0, 1),
        (3, 2.0, 2.5, 3),
    ];
    assert_eq!(told, by_hand);
    let ends = |people| schedule(&steps, &Party::of(people), |_| {}).all;
    assert!((ends(3) - 2.5).abs() < NOISE && (ends(2) - 3.75).abs() < NOISE);
    assert!(
        (ends(1) - 7.5).abs() < NOISE,
        "all the hours, one after the other"
    );
}
