//! Names near to one that is not known, so that a slip of the finger is answered with what was meant.
//!
//! Invariant: the same names for the same slip, in the order of the table.

use super::FIGURES;

/// Most names that are given.
const NAMED_AT_MOST: usize = 5;

/// Most single letters that a near name may differ by.
const FARTHEST: usize = 3;

/// Figures that hold the name or are held by it, else those that are spelled nearly so.
pub fn near_names(name: &str) -> Vec<&'static str> {
    let name = name.to_ascii_lowercase().replace('-', "_");
    let names = || FIGURES.iter().map(|figure| figure.name);
    let parts: Vec<&str> = name.split('_').filter(|part| part.len() > 2).collect();
    let far = |known: &str| distance(&name, known);
    let mut near: Vec<&str> = names().filter(|known| far(known) <= FARTHEST).collect();
    near.sort_by_key(|known| far(known));
    for known in names() {
        let shares = parts.iter().any(|part| known.contains(part));
        if shares && !near.contains(&known) {
            near.push(known);
        }
    }
    near.truncate(NAMED_AT_MOST);
    near
}

/// How many letters must be put in, taken out or changed (Levenshtein's distance); one more than
/// [`FARTHEST`] where the lengths alone differ by more.
fn distance(one: &str, other: &str) -> usize {
    let (one, other) = (one.as_bytes(), other.as_bytes());
    if one.len().abs_diff(other.len()) > FARTHEST {
        return FARTHEST + 1;
    }
    let mut last: Vec<usize> = (0..=other.len()).collect();
    for (row, letter) in one.iter().enumerate() {
        let mut next = vec![row + 1];
        for (column, against) in other.iter().enumerate() {
            let change = last[column] + usize::from(letter != against);
            next.push(change.min(last[column + 1] + 1).min(next[column] + 1));
        }
        last = next;
    }
    last[other.len()]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_slip_finds_what_was_meant() {
        assert_eq!(near_names("totl")[0], "total");
        assert_eq!(near_names("Paid-Hours")[0], "paid_hours");
        assert!(near_names("concrete").contains(&"concrete_order"));
        assert!(near_names("zzzzzzzzzzzzzzzz").is_empty());
    }
}
