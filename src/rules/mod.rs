//! Rule sets as data, and their evaluation on a job solved in space into findings.
//!
//! Invariants: every number of a rule is a row of a TOML file with its section and how far it was
//! checked; the shapes of limits are here, one file a family; exactly at a limit complies, within the
//! house's slack; nothing here approves anything. Absent: prices, quantities of material, files.
//!
//! | file | holds |
//! | --- | --- |
//! | `*.toml` | the rows, one file a document |
//! | `measure`, `row`, `class` | what a row may measure, rows, the runs they hold for |
//! | `read_row`, `sets`, `extend` | reading them, sets that extend others |
//! | `finding`, `bench`, `way` | what comes out, weighing, the path as a rule set sees it |
//! | `slope`, `incline`, `run`, `landing`, `door`, `edge`, `rail` | ramps and walks |
//! | `stair`, `level`, `curb_ramp` | what lies beside and on the way |
//! | `survey` | what was measured, with tolerances of the field and the trade |

mod bench;
mod class;
mod curb_ramp;
mod door;
mod edge;
mod extend;
mod finding;
mod incline;
mod landing;
mod level;
mod measure;
mod rail;
mod read_row;
mod row;
mod run;
mod sets;
mod slope;
mod stair;
mod survey;
mod way;

pub use class::{Class, Classed};
pub use finding::{Check, Compared, Finding, Force, Measured, SetResult, SetVerdict, Verdict};
pub use measure::{Kind, Measure};
pub use row::{
    Beyond, Clearance, ClearanceRow, Limit, Reckoned, Rule, RuleRow, RuleSet, Sense, With,
};
pub use sets::{BUILT_IN, RuleSets};
pub use survey::{Decided, FieldRow, GapRow, SurveyCheck, Tolerance, Tolerances, check_survey};

use crate::geometry::Geometry;
use crate::job::Job;
use crate::quantity::{Fault, Faults, LISTED_AT_MOST};
use bench::Bench;
use finding::sum_up;
use std::collections::BTreeSet;

/// Judges a job against the rule sets that it names, and their advisory companions.
///
/// A job that names no rule set is undetermined.
///
/// # Errors
/// A fault at `/site/rule_sets/N` for every set that `sets` does not hold.
pub fn check(job: &Job, geometry: &Geometry, sets: &RuleSets) -> Result<Check, Faults> {
    let sets = find_sets(job, sets)?;
    let benches = sets
        .into_iter()
        .map(|set| judge(Bench::new(job, geometry, set)));
    Ok(gather(benches))
}

/// What all benches found.
fn gather<'a>(benches: impl IntoIterator<Item = Bench<'a>>) -> Check {
    let mut check = Check {
        verdict: SetVerdict::Complies,
        sets: Vec::new(),
        findings: Vec::new(),
        conditions: Vec::new(),
    };
    for bench in benches {
        let set = bench.set;
        check.sets.push(SetResult {
            id: set.id.clone(),
            version: set.version,
            title: set.title.clone(),
            verdict: sum_up(&bench.findings),
            advisory: set.force == Force::Advisory,
        });
        check.findings.extend(bench.findings);
        for condition in bench.conditions {
            if !check.conditions.contains(&condition) {
                check.conditions.push(condition);
            }
        }
    }
    let judged = check
        .sets
        .iter()
        .filter(|set| !set.advisory)
        .map(|set| set.verdict);
    check.verdict = judged.max().unwrap_or(SetVerdict::Undetermined);
    check
}

/// The word by which a job names every set that counts.
pub const ALL_SETS: &str = "all";

/// A fault at `/site/rule_sets/N` for every name among some that is no set's.
pub fn check_names(names: &[String], sets: &RuleSets) -> Faults {
    let strange = |id: &str| id != ALL_SETS && sets.get(id).is_none();
    let named = names.iter().enumerate();
    // Each fault names every set there is.
    let strangers = named.filter(|(_, id)| strange(id)).take(LISTED_AT_MOST);
    Faults(
        strangers
            .map(|(index, id)| unknown(index, id, sets))
            .collect(),
    )
}

fn unknown(index: usize, id: &str, sets: &RuleSets) -> Fault {
    let known: Vec<&str> = sets.all().iter().map(|set| set.id.as_str()).collect();
    Fault::new(
        format!("/site/rule_sets/{index}"),
        id,
        format!("{ALL_SETS}, {}", known.join(", ")),
        known.first().copied(),
    )
}

/// The sets of a job, each once, each followed by its advisory companion.
fn find_sets<'a>(job: &Job, sets: &'a RuleSets) -> Result<Vec<&'a RuleSet>, Faults> {
    let mut faults = Faults::default();
    let mut found: Vec<&RuleSet> = Vec::new();
    let named: BTreeSet<&str> = job.site.rule_sets.iter().map(String::as_str).collect();
    let mut all = sets.all().iter();
    for (index, id) in job.site.rule_sets.iter().enumerate() {
        if id == ALL_SETS {
            // Said twice it is not more: nothing is left of them.
            let counted = all.by_ref().filter(|set| set.force == Force::Required);
            found.extend(counted.filter(|set| !named.contains(set.id.as_str())));
            continue;
        }
        let Some(set) = sets.get(id) else {
            faults.push(unknown(index, id, sets));
            continue;
        };
        let companion = set.advisory.as_deref().and_then(|id| sets.get(id));
        for set in [Some(set), companion].into_iter().flatten() {
            if !found.iter().any(|other| other.id == set.id) {
                found.push(set);
            }
        }
    }
    faults.or(found)
}

/// Runs every family of rules; a family without rows in the set finds nothing.
fn judge(mut bench: Bench) -> Bench {
    slope::check_slopes(&mut bench);
    run::check_widths(&mut bench);
    run::check_flights(&mut bench);
    landing::check_landings(&mut bench);
    door::check_doors(&mut bench);
    rail::check_rails(&mut bench);
    edge::check_edges(&mut bench);
    level::check_level_changes(&mut bench);
    curb_ramp::check_curb_ramps(&mut bench);
    stair::check_steps(&mut bench);
    bench.condition_of(Measure::Surface);
    bench
}
