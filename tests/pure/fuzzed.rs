//! Every kept input of the fuzz targets, through the same bodies, without a fuzzer.
//!
//! Invariants: each target has inputs, and each input a target; a body that breaks its promise panics.
//! Absent: new inputs, which `.ci/fuzz` finds, and the mutator.

#[allow(unreachable_pub)]
#[path = "../fuzz/src/bodies/mod.rs"]
mod bodies;

use std::path::{Path, PathBuf};

fn files(folder: &Path) -> Vec<PathBuf> {
    let entries = std::fs::read_dir(folder).expect("the folder is there");
    let mut paths: Vec<PathBuf> = entries
        .map(|entry| entry.expect("readable").path())
        .collect();
    paths.sort();
    paths
}

fn corpus() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/fuzz/corpus")
}

#[track_caller]
fn replay(target: &str) {
    let body = bodies::BODIES.iter().find(|(name, _)| *name == target);
    let (_, body) = body.expect("a target of this name");
    let inputs = files(&corpus().join(target));
    assert!(inputs.len() >= 10, "{target} has {} inputs", inputs.len());
    for path in inputs {
        let bytes = std::fs::read(&path).expect("an input");
        let ran = std::panic::catch_unwind(|| body(&bytes));
        assert!(ran.is_ok(), "{} breaks its promise", path.display());
    }
}

macro_rules! replayed {
    ($($target:ident)*) => {
        $(
            #[test]
            fn $target() {
                replay(stringify!($target));
            }
        )*

        #[test]
        fn every_target_is_replayed() {
            let replayed = [$(stringify!($target)),*];
            let bodies: Vec<&str> = bodies::BODIES.iter().map(|(name, _)| *name).collect();
            assert_eq!(bodies, replayed);
            let kept = files(&corpus());
            assert_eq!(kept.len(), replayed.len(), "{kept:?}");
        }
    };
}

replayed!(quantity job papers short_row csv_table xlsx_table rules bill sent_back);
