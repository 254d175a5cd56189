//! The files of the repository, as the checks read them.
//!
//! Invariants: paths count from the top and use `/`; files come sorted; what a build, a package
//! manager or version control made is not read.

use std::{
    fs,
    path::{Path, PathBuf},
};

/// Folders that hold nothing of ours; `out` is where real callers write.
const FOREIGN: &[&str] = &["target", ".git", "node_modules", "out"];

/// One text file.
#[derive(Debug)]
pub(super) struct Source {
    /// Its path from the top of the repository.
    pub(super) path: String,
    /// What it holds.
    pub(super) text: String,
}

impl Source {
    pub(super) fn new(path: &str, text: &str) -> Self {
        Self {
            path: path.to_owned(),
            text: text.to_owned(),
        }
    }

    /// The path of modules from the crate's top: `src/http/body.rs` is `http`, `body`.
    pub(super) fn modules(&self) -> Vec<&str> {
        let inner = self.path.strip_prefix("src/").unwrap_or(&self.path);
        let stem = inner.strip_suffix(".rs").unwrap_or(inner);
        let mut modules: Vec<&str> = stem.split('/').collect();
        if modules.last() == Some(&"mod") {
            modules.pop();
        }
        modules
    }

    /// The room it stands in; the crate's own `lib.rs` stands in none.
    pub(super) fn room(&self) -> Option<&str> {
        let room = *self.modules().first()?;
        (self.path.starts_with("src/") && room != "lib").then_some(room)
    }

    /// Whether all of it is test code: a module named `tests`, or a test program.
    pub(super) fn is_test(&self) -> bool {
        self.path.starts_with("tests/") || self.modules().contains(&"tests")
    }
}

/// The top of the repository.
pub(super) fn top() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// Every readable text file below a folder whose name ends so.
pub(super) fn below(folder: &str, ending: &str) -> Vec<Source> {
    let mut paths = Vec::new();
    walk(&top().join(folder), &mut paths);
    paths.sort();
    let read = |path: &PathBuf| {
        let inner = path.strip_prefix(top()).ok()?.to_str()?.replace('\\', "/");
        let text = fs::read_to_string(path).ok()?;
        Some(Source { path: inner, text })
    };
    paths
        .iter()
        .filter(|path| path.to_string_lossy().ends_with(ending))
        .filter_map(read)
        .collect()
}

/// Every Rust file of the package itself.
pub(super) fn rust() -> Vec<Source> {
    below("src", ".rs")
}

fn walk(folder: &Path, paths: &mut Vec<PathBuf>) {
    let entries = fs::read_dir(folder).expect("the folder is there");
    for entry in entries {
        let path = entry.expect("the folder can be read").path();
        let name = path.file_name().unwrap_or_default().to_string_lossy();
        if !path.is_dir() {
            paths.push(path);
        } else if !FOREIGN.contains(&&*name) {
            walk(&path, paths);
        }
    }
}

#[test]
fn a_file_knows_its_room() {
    let modules = |path| Source::new(path, "").modules().join("::");
    assert_eq!(modules("src/quantity/money/mod.rs"), "quantity::money");
    assert_eq!(modules("src/http/body.rs"), "http::body");
    assert_eq!(modules("src/cli.rs"), "cli");
    assert_eq!(Source::new("src/cli.rs", "").room(), Some("cli"));
    assert_eq!(Source::new("src/lib.rs", "").room(), None);
    assert!(Source::new("src/http/body/tests.rs", "").is_test());
    assert!(!Source::new("src/http/body.rs", "").is_test());
}
