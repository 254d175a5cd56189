//! Schedules of visits against OR-Tools: the shortest stay by a mixed-integer programme.

use super::ask;
use super::solids::Numbers;
use crossfall::crew::{Party, Step, schedule};
use serde_json::{Value, json};

/// Steps of one visit, drawn at random.
struct Case {
    party: Party,
    steps: Vec<Step>,
}

impl Case {
    /// Three to six steps for two to four people; of every second case each step takes one person at the
    /// least and no finisher, so that the programme's optimum is the true one.
    fn draw(numbers: &mut Numbers, case: usize) -> Self {
        let mut whole = |least: u32, most: u32| {
            (numbers.next(f64::from(least), f64::from(most + 1)) as u32).min(most)
        };
        let people = whole(2, 4);
        let mut steps: Vec<Step> = Vec::new();
        for number in 0..whole(3, 6) {
            let least = if is_exact(case) { 1 } else { whole(1, 2) };
            let direct = steps.iter().filter(|_| whole(0, 2) == 0);
            let after = direct.fold(0, |all, step| all | step.is | step.after);
            steps.push(Step {
                is: 1 << number,
                after,
                hours: f64::from(whole(1, 24)) / 4.0,
                lasts: 0.0,
                waits: 0.0,
                people_least: least,
                people_most: whole(least, 4),
                finisher: !is_exact(case) && whole(0, 2) == 0,
            });
        }
        let finishers = if is_exact(case) { people } else { 1 };
        let party = Party {
            finishers,
            ..Party::of(people)
        };
        Self { party, steps }
    }

    fn tell(&self) -> Value {
        let step = |step: &Step| {
            let before = (0..self.steps.len()).filter(|at| step.after >> at & 1 == 1);
            json!({
                "hours": step.hours, "most": step.people_most, "finisher": step.finisher,
                "after": before.collect::<Vec<_>>(),
            })
        };
        let steps: Vec<Value> = self.steps.iter().map(step).collect();
        json!({"people": self.party.people, "finishers": self.party.finishers, "steps": steps})
    }

    fn hours(&self) -> f64 {
        schedule(&self.steps, &self.party, |_| {}).all
    }
}

const fn is_exact(case: usize) -> bool {
    case.is_multiple_of(2)
}

/// How much longer than the least a schedule may be: a list schedule never leaves people idle while a
/// step could take them, so it is below twice the optimum (Graham 1966, from memory: 2 - 1/m).
fn most_times(party: &Party) -> f64 {
    2.0 - 1.0 / f64::from(party.people)
}

#[test]
fn no_schedule_is_shorter_than_the_least_nor_twice_as_long() {
    let mut numbers = Numbers(41);
    let cases: Vec<Case> = (0..80).map(|case| Case::draw(&mut numbers, case)).collect();
    let told: Vec<Value> = cases.iter().map(Case::tell).collect();
    let least = ask("schedule.py", &Value::from(told));
    let least = least.as_array().expect("an answer for each case");
    assert_eq!(least.len(), cases.len());
    let (mut worst, mut sum, mut exact) = (1.0_f64, 0.0, 0);
    for (number, (case, least)) in cases.iter().zip(least).enumerate() {
        let (ours, least) = (case.hours(), least.as_f64().expect("hours"));
        let told = case.tell();
        assert!(
            ours >= least - 1e-6,
            "{number}: {ours} h, least {least} h: {told}"
        );
        if is_exact(number) {
            let times = ours / least;
            assert!(
                times <= most_times(&case.party) + 1e-6,
                "{number}: {ours} h, {least} h: {told}"
            );
            (worst, sum, exact) = (worst.max(times), sum + times, exact + 1);
        }
    }
    let mean = sum / f64::from(exact);
    println!("{exact} schedules: {mean:.4} times the least on average, {worst:.4} at the worst");
    assert!(
        mean <= 1.05 && worst <= 1.25,
        "{mean} on average, {worst} at the worst"
    );
}
