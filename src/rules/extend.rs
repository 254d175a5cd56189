//! Sets that extend another: its rows, but for those that are replaced or dropped, and their own.
//!
//! Invariants: a row that replaces another stands in its place; every row keeps its id and its source,
//! so that a finding cites the document it comes from. Absent: what a row says.

use super::row::{Rule, RuleSet};

/// Gives every set that extends another the rows of that one.
pub(super) fn extend_sets(sets: Vec<RuleSet>, faults: &mut Vec<String>) -> Vec<RuleSet> {
    let whole = sets.iter().map(|set| match chain(&sets, set) {
        Ok(chain) => {
            let merged = chain.into_iter().rev().fold(None, |base, set| {
                Some(base.map_or_else(|| set.clone(), |base| merge(base, set, faults)))
            });
            merged.unwrap_or_else(|| set.clone())
        }
        Err(fault) => {
            faults.push(fault);
            set.clone()
        }
    });
    whole.collect()
}

/// A set, what it extends, what that extends, and so on.
fn chain<'a>(sets: &'a [RuleSet], set: &'a RuleSet) -> Result<Vec<&'a RuleSet>, String> {
    let mut chain = vec![set];
    while let Some(of) = &chain[chain.len() - 1].extends {
        let base = sets.iter().find(|other| other.id == *of);
        let Some(base) = base else {
            return Err(format!("{}: extends {of}, which is no rule set", set.id));
        };
        if chain.iter().any(|known| known.id == base.id) {
            return Err(format!("{}: extends itself, by way of {of}", set.id));
        }
        chain.push(base);
    }
    Ok(chain)
}

fn merge(base: RuleSet, set: &RuleSet, faults: &mut Vec<String>) -> RuleSet {
    let known = |id: &str| base.rules.iter().any(|rule| rule.row.id == id);
    let replaced = set
        .rules
        .iter()
        .filter_map(|rule| rule.row.replaces.as_deref());
    let named = replaced.chain(set.drops.iter().map(String::as_str));
    for id in named.filter(|id| !known(id)) {
        faults.push(format!("{}: {} has no row {id}", set.id, base.id));
    }
    let mut rules: Vec<Rule> = Vec::new();
    for rule in base.rules {
        let id = &rule.row.id;
        let stands_in = |other: &&Rule| other.row.replaces.as_ref() == Some(id);
        match set.rules.iter().find(stands_in) {
            Some(other) => rules.push(other.clone()),
            None if set.drops.contains(id) => {}
            None => rules.push(rule),
        }
    }
    let own = set.rules.iter().filter(|rule| rule.row.replaces.is_none());
    rules.extend(own.cloned());
    let clearances = match set.clearances.is_empty() {
        true => base.clearances,
        false => set.clearances.clone(),
    };
    RuleSet {
        rules,
        clearances,
        advisory: set.advisory.clone().or(base.advisory),
        ..set.clone()
    }
}
