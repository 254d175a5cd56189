//! Rule sets of the office's own, read from a folder at the start.
//!
//! Invariant: a folder with one faulty file is refused whole, with every fault of every file, so that no
//! job is ever judged by half of it. Absent: what a row may say.

use crate::rules::{BUILT_IN, RuleSets};
use anyhow::{Context as _, bail, ensure};
use std::fs::File;
use std::io::Read as _;
use std::path::{Path, PathBuf};

/// Files of one folder, and bytes of one file; more is a mistake.
const MOST_FILES: usize = 200;
const MOST_BYTES: u64 = 1024 * 1024;

/// The sets that come with the program, and those of a folder.
///
/// # Errors
/// The folder or a file cannot be read, or a set has faults: all are named, each with its file.
pub(crate) fn read(folder: Option<&Path>) -> anyhow::Result<RuleSets> {
    let Some(folder) = folder else {
        return Ok(RuleSets::built_in().clone());
    };
    let mut texts = Vec::new();
    for path in files(folder)? {
        let name = path.file_name().unwrap_or_default().to_string_lossy();
        texts.push((name.into_owned(), read_file(&path)?));
    }
    let own = texts
        .iter()
        .map(|(name, text)| (name.as_str(), text.as_str()));
    let all: Vec<(&str, &str)> = BUILT_IN.iter().copied().chain(own).collect();
    match RuleSets::read(&all) {
        Ok(sets) => Ok(sets),
        Err(faults) => bail!(
            "the rule sets in {} have {} faults:\n  {}",
            folder.display(),
            faults.len(),
            faults.join("\n  ")
        ),
    }
}

/// Every `.toml` of a folder, by name.
fn files(folder: &Path) -> anyhow::Result<Vec<PathBuf>> {
    let reading = || format!("reading the rule sets in {}", folder.display());
    let mut found = Vec::new();
    for entry in std::fs::read_dir(folder).with_context(reading)? {
        let path = entry.with_context(reading)?.path();
        if path.extension().is_some_and(|ending| ending == "toml") {
            found.push(path);
        }
    }
    ensure!(
        found.len() <= MOST_FILES,
        "{} holds more than {MOST_FILES} rule files",
        folder.display()
    );
    found.sort();
    Ok(found)
}

/// The text of a rule file, never more of it than a rule file may have, whatever its size is said to be.
fn read_file(path: &Path) -> anyhow::Result<String> {
    let reading = || format!("reading {}", path.display());
    // A pipe or a device that has such a name is never opened: it may have no end.
    let regular = std::fs::metadata(path).with_context(reading)?.is_file();
    ensure!(regular, "{} is no file", path.display());
    let mut text = String::new();
    let file = File::open(path).with_context(reading)?;
    let mut most = file.take(MOST_BYTES + 1);
    let read = most.read_to_string(&mut text).with_context(reading)?;
    ensure!(
        read as u64 <= MOST_BYTES,
        "{} is larger than {MOST_BYTES} bytes",
        path.display()
    );
    Ok(text)
}
