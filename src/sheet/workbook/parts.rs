//! Which parts a workbook has: its sheets in order, its texts, its styles, its calendar.
//!
//! Invariants: parts are found by what the workbook says of them, never by a guess at their names; how
//! many are kept, and how long their paths are, is bounded.
//!
//! # Source
//! ECMA-376 part 1, sections 18.2.19 (sheet), 18.2.28 (workbookPr) and 15.2.7 (relationships), from
//! memory.

use super::package::{Package, attribute, damaged};
use crate::sheet::SheetError;
use std::collections::BTreeMap;

/// Most relationships of a part, and most sheets: each is kept, and there may be one every few bytes.
const KEPT_AT_MOST: usize = 10_000;
/// Longest path of a part; one that many sheets share is kept as often.
const PATH_AT_MOST: usize = 1_000;

/// The parts that are read, by their paths.
#[derive(Debug, Default)]
pub(super) struct Parts {
    /// Visible worksheets, in their order.
    pub(super) sheets: Vec<String>,
    pub(super) texts: Option<String>,
    pub(super) styles: Option<String>,
    /// Whether days count from 1904.
    pub(super) from_1904: bool,
}

/// One relationship of a part.
#[derive(Clone)]
struct Related {
    /// The last word of its type.
    kind: String,
    path: String,
}

/// Finds them.
pub(super) fn find(package: &mut Package<'_>) -> Result<Parts, SheetError> {
    let top = relationships(package, "", "_rels/.rels")?;
    let workbook = top
        .into_values()
        .find(|related| related.kind == "officeDocument")
        .ok_or(damaged("no workbook is in it"))?
        .path;
    let (folder, name) = workbook.rsplit_once('/').unwrap_or(("", &workbook));
    let beside = join(folder, &format!("_rels/{name}.rels"));
    let related = relationships(package, folder, &beside)?;
    let path_of = |kind: &str| {
        let mut all = related.values();
        all.find(|one| one.kind == kind).map(|one| one.path.clone())
    };
    let mut parts = Parts {
        texts: path_of("sharedStrings"),
        styles: path_of("styles"),
        ..Parts::default()
    };
    let mut part = package
        .part(&workbook)?
        .ok_or(damaged("no workbook is in it"))?;
    part.each_element(|element| {
        match element.local_name().as_ref() {
            "workbookPr" => parts.from_1904 = is_true(attribute(element, "date1904")?.as_deref()),
            "sheet" if attribute(element, "state")?.is_none_or(|state| state == "visible") => {
                let id = attribute(element, "id")?.unwrap_or_default();
                let sheet = related.get(&id).filter(|one| one.kind == "worksheet");
                parts.sheets.extend(sheet.map(|one| one.path.clone()));
                bound(parts.sheets.len())?;
            }
            _ => {}
        }
        Ok(())
    })?;
    Ok(parts)
}

fn is_true(word: Option<&str>) -> bool {
    matches!(word, Some("1" | "true" | "on"))
}

/// The relationships in a part, by their ids, with paths from the top.
fn relationships(
    package: &mut Package<'_>,
    folder: &str,
    path: &str,
) -> Result<BTreeMap<String, Related>, SheetError> {
    let mut part = package.part(path)?.ok_or(damaged("no workbook is in it"))?;
    let mut found = BTreeMap::new();
    part.each_element(|element| {
        if element.local_name().as_ref() != "Relationship" {
            return Ok(());
        }
        let asked = |name| Ok::<_, SheetError>(attribute(element, name)?.unwrap_or_default());
        let kind = asked("Type")?;
        let kind = kind.rsplit('/').next().unwrap_or_default().to_owned();
        let path = join(folder, &asked("Target")?);
        if path.len() > PATH_AT_MOST {
            return Err(damaged("the path of a part is too long"));
        }
        found.insert(asked("Id")?, Related { kind, path });
        bound(found.len())
    })?;
    Ok(found)
}

fn bound(kept: usize) -> Result<(), SheetError> {
    if kept > KEPT_AT_MOST {
        return Err(damaged("it has too many parts"));
    }
    Ok(())
}

/// A path from the top: of a target that counts from a folder, or from the top itself.
fn join(folder: &str, target: &str) -> String {
    let from_top = target.starts_with('/');
    let mut names: Vec<&str> = if from_top {
        Vec::new()
    } else {
        folder.split('/').collect()
    };
    for name in target.split('/') {
        match name {
            "" | "." => {}
            ".." => drop(names.pop()),
            name => names.push(name),
        }
    }
    names.retain(|name| !name.is_empty());
    names.join("/")
}
