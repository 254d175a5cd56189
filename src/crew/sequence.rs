//! The rows of `sequence.toml`: which task follows which within a visit, and who may leave a pour
//! early.
//!
//! Invariants: every task has its row, a row names only tasks that are there, and nothing follows
//! itself on any way round; a file that breaks this is refused. Absent: hours, people, days.

use super::rate::Rates;
use crate::quantity::{Citation, Verified};
use serde::Deserialize;
use std::collections::BTreeMap;
use std::sync::LazyLock;

/// A task among all others, as one bit.
pub(super) type Mask = u64;

/// The bit of what is done when all else is.
pub(super) const AT_THE_END: Mask = 1 << (Mask::BITS - 1);

/// A window of the finisher that a task waits for, after placing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub(super) enum WaitsFor {
    Edging,
    Broom,
    Risers,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    after: Vec<String>,
    waits_for: Option<WaitsFor>,
    #[serde(default)]
    at_the_end: f64,
    #[serde(rename = "document")]
    _document: String,
    #[serde(rename = "verified")]
    _verified: Verified,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct ReleaseRow {
    after: Vec<String>,
    stay_least: u32,
    why: String,
    document: String,
    verified: Verified,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    task: BTreeMap<String, Row>,
    release: ReleaseRow,
}

/// Who may leave the pour early.
#[derive(Clone, Debug)]
pub(super) struct EarlyRelease {
    /// Once these are done.
    pub(super) after: Mask,
    /// How many stay at the least.
    pub(super) stay_least: u32,
    /// Why so many.
    pub(super) why: String,
    /// Where that comes from.
    pub(super) source: Citation,
}

/// One task in the order.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Place {
    /// All tasks that end before it begins, at any remove.
    pub(super) after: Mask,
    /// The window it waits for.
    pub(super) waits_for: Option<WaitsFor>,
    /// The share of it that is done when all others are, below 1.
    pub(super) at_the_end: f64,
    /// Where it stands when all are put in a row, each after what it follows.
    pub(super) rank: u8,
}

/// The order of every task.
#[derive(Clone, Debug)]
pub(super) struct Sequence {
    places: Vec<Place>,
    pub(super) release: EarlyRelease,
}

static SEQUENCE: LazyLock<Sequence> = LazyLock::new(|| {
    let rows = Rates::built_in().rows();
    let codes: Vec<&str> = rows.iter().map(|row| row.code).collect();
    Sequence::read(include_str!("sequence.toml"), &codes)
        .expect("the embedded order is read by a test")
});

impl Sequence {
    /// The order built into the program.
    pub(super) fn built_in() -> &'static Self {
        &SEQUENCE
    }

    /// Reads the order of tasks of these codes.
    ///
    /// # Errors
    /// In words: what is not TOML, which task lacks its row, is unknown or follows itself.
    pub(super) fn read(text: &str, codes: &[&str]) -> Result<Self, String> {
        let file: File = toml::from_str(text).map_err(|error| error.to_string())?;
        if codes.len() >= Mask::BITS as usize {
            return Err(format!(
                "more tasks than {}, and one bit for the end",
                Mask::BITS - 1
            ));
        }
        if let Some(code) = file
            .task
            .keys()
            .find(|code| !codes.contains(&code.as_str()))
        {
            return Err(format!("{code}: no such task"));
        }
        let mut places = Vec::with_capacity(codes.len());
        for code in codes {
            let row = file.task.get(*code);
            let row = row.ok_or_else(|| format!("{code}: no row"))?;
            places.push(Place {
                after: mask_of(&row.after, codes)?,
                waits_for: row.waits_for,
                at_the_end: row.at_the_end.clamp(0.0, 1.0),
                rank: 0,
            });
        }
        rank(&mut places, codes)?;
        let release = file.release;
        Ok(Self {
            places,
            release: EarlyRelease {
                after: mask_of(&release.after, codes)?,
                stay_least: release.stay_least,
                source: Citation::new(&release.document, None, release.verified),
                why: release.why,
            },
        })
    }

    /// The place of the task with this number in the rates.
    pub(super) fn of(&self, number: u8) -> Place {
        self.places
            .get(usize::from(number))
            .copied()
            .unwrap_or_default()
    }
}

fn mask_of(names: &[String], codes: &[&str]) -> Result<Mask, String> {
    let bit = |name: &String| {
        let at = codes.iter().position(|code| code == name);
        at.map(|at| 1 << at)
            .ok_or_else(|| format!("{name}: no such task"))
    };
    names.iter().try_fold(0, |mask, name| Ok(mask | bit(name)?))
}

/// Puts all in a row, each after what it follows, else by number; what a task follows at one remove
/// becomes what it follows at any.
fn rank(places: &mut [Place], codes: &[&str]) -> Result<(), String> {
    let mut ranked: Mask = 0;
    for rank in 0..places.len() {
        let free = |at: &usize| ranked >> at & 1 == 0 && places[*at].after & !ranked == 0;
        let Some(at) = (0..places.len()).find(free) else {
            let left = (0..places.len()).find(|at| ranked >> at & 1 == 0);
            return Err(format!("{}: follows itself", codes[left.unwrap_or(0)]));
        };
        let direct = places[at].after;
        let before = places.iter().enumerate();
        let before = before.filter(|(number, _)| direct >> number & 1 == 1);
        places[at].after = before.fold(direct, |all, (_, place)| all | place.after);
        places[at].rank = rank as u8;
        ranked |= 1 << at;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    const FILE: &str = include_str!("sequence.toml");

    fn codes() -> Vec<&'static str> {
        let rows = Rates::built_in().rows();
        rows.iter().map(|row| row.code).collect()
    }

    #[test]
    fn every_task_has_its_row_and_none_follows_itself() {
        let sequence = Sequence::read(FILE, &codes()).expect("the rows read");
        for (number, place) in sequence.places.iter().enumerate() {
            assert_eq!(place.after >> number & 1, 0, "{}", codes()[number]);
            for (other, before) in sequence.places.iter().enumerate() {
                let follows = place.after >> other & 1 == 1;
                assert!(!follows || before.rank < place.rank);
            }
        }
    }

    #[test]
    fn a_task_follows_what_comes_before_at_any_remove() {
        let sequence = Sequence::built_in();
        let number = |code| codes().iter().position(|one| *one == code).expect("a task");
        let follows =
            |code, before| sequence.of(number(code) as u8).after >> number(before) & 1 == 1;
        assert!(follows("bars-cut", "layout") && follows("secure", "grade-check"));
        assert!(!follows("layout", "bars-cut") && !follows("level-walk", "rub"));
    }

    /// Each way in which the file may be wrong is caught, and the fault names the task.
    #[test]
    fn a_broken_order_is_refused() {
        let broken = |from: &str, to: &str| {
            assert!(FILE.contains(from), "{from} is not in the file");
            Sequence::read(&FILE.replacen(from, to, 1), &codes()).expect_err("refused")
        };
        let round = broken(
            "[task.layout]\nafter = [\"load-unload\"]",
            "[task.layout]\nafter = [\"bars\"]",
        );
        assert!(round.contains("follows itself"), "{round}");
        let own = broken(
            "[task.cut-existing]\nafter = [\"layout\"]",
            "[task.cut-existing]\nafter = [\"cut-existing\"]",
        );
        assert!(own.contains("follows itself"), "{own}");
        assert!(broken("[task.rub]", "[task.rubb]").starts_with("rubb"));
        assert!(broken("after = [\"layout\"]", "after = [\"layoutt\"]").starts_with("layoutt"));
        let more: Vec<&str> = codes().into_iter().chain(["one-more"]).collect();
        let lacking = Sequence::read(FILE, &more).expect_err("refused");
        assert!(lacking.starts_with("one-more"), "{lacking}");
    }
}
