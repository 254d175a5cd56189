//! Small lists inside one cell: `A = 40; B = 65`.
//!
//! Invariants: a list is written as it is read; its numbers have a point, whatever the file's
//! decimal mark. Absent: what the entries mean.

/// The word that empties a cell's meaning.
pub(super) const NONE: &str = "none";

/// One entry: its name and what stands behind the equals sign.
pub(super) type Entry<'a> = (&'a str, &'a str);

/// The entries of a list; the first that cannot be split is the error.
pub(super) fn read_entries(text: &str) -> Result<Vec<Entry<'_>>, &str> {
    if text.eq_ignore_ascii_case(NONE) {
        return Ok(Vec::new());
    }
    let entries = text
        .split(';')
        .map(str::trim)
        .filter(|entry| !entry.is_empty());
    let read = entries.map(|entry| {
        let (name, value) = entry.rsplit_once('=').ok_or(entry)?;
        let (name, value) = (name.trim(), value.trim());
        (!name.is_empty() && !value.is_empty())
            .then_some((name, value))
            .ok_or(entry)
    });
    read.collect()
}

/// A list as text; `none` where it is empty.
pub(super) fn write_entries(entries: impl Iterator<Item = (String, String)>) -> String {
    let entries: Vec<String> = entries
        .map(|(name, value)| format!("{name} = {value}"))
        .collect();
    if entries.is_empty() {
        NONE.to_owned()
    } else {
        entries.join("; ")
    }
}
