//! The embedded file on a disk that is full, played by a limit on the size of files.
//!
//! Invariants: what does not fit is refused whole, and nothing that was there is lost. Absent:
//! Postgres, which keeps its disk to itself and tells us as any other failure.

use super::{
    asking::{book, estimate, import, new_items, sent},
    process::{Process, serving},
};
use crate::{
    launched::{Folder, demo_items, problem_of},
    store::place::Place,
};
use std::process::Command;

/// Largest file, in blocks of 512 bytes: more than the demo book, less than the import.
const BLOCKS: u32 = 3_000;

/// Starts it where no file can grow beyond the limit.
fn start_where_the_disk_is_full(place: &Place) -> Process {
    let folder = Folder::new();
    let within = serving(&folder, &place.address);
    let script = format!("trap '' XFSZ; ulimit -f {BLOCKS}; exec \"$0\"");
    let mut command = Command::new("sh");
    command
        .env_clear()
        .arg("-c")
        .arg(script)
        .arg(within.get_program());
    command.envs(
        within
            .get_envs()
            .filter_map(|(name, value)| Some((name, value?))),
    );
    Process::begin(command, folder).expect("the demo book fits")
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn an_import_that_does_not_fit_on_the_disk_is_refused_whole() {
    let place = Place::sqlite();
    let running = start_where_the_disk_is_full(&place);
    let (_, first) = sent(estimate(&running.base, Some(1))).await;
    let table = new_items(20_000, "large");
    let import_it = |base: &str| import(base, &table, (1, "large"));
    // More often than there are connections, each of which must stay usable.
    for _ in 0..7 {
        let refused = import_it(&running.base).send().await.expect("an answer");
        problem_of(refused, 503).await;
        assert_eq!(
            book(&running.base).await,
            (1, demo_items()),
            "nothing was written"
        );
        assert_eq!(
            sent(estimate(&running.base, Some(1))).await,
            (200, first.clone())
        );
    }
    let small = import(&running.base, &new_items(5, "small"), (1, "small"));
    let (status, body) = sent(small).await;
    assert_eq!(
        status,
        200,
        "what fits is written: {body} {}",
        running.log()
    );
    assert!(!running.log().is_empty(), "the operator is told");
    running.stop();
    let roomy = Process::start(&place.address);
    assert_eq!(book(&roomy.base).await, (2, demo_items() + 5));
    let (status, body) = sent(import(&roomy.base, &table, (2, "large, again"))).await;
    assert_eq!(status, 200, "{body}");
    assert_eq!(book(&roomy.base).await, (3, demo_items() + 20_005));
    assert_eq!(sent(estimate(&roomy.base, Some(1))).await, (200, first));
    println!("disk full: refused seven times, nothing written; with room the same table landed");
    drop(roomy);
    place.remove().await;
}
