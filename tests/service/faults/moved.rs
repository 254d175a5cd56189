//! The whole book carried elsewhere: moved, backed up while it is written, restored.
//!
//! Invariants: nothing is lost and nothing is made up; the source stays as it is; only what is empty
//! is filled. Absent: how the tables are read and filled, which `book::moving` holds.

use super::{
    asking::{add, estimate, import_of, sent},
    process::{Process, done, run},
};
use crate::{launched::Folder, store::place::Place};
use crossfall::book::{RAISED, tables};
use std::collections::BTreeSet;

both!(
    a_book_moved_there_and_back_is_the_same_book,
    a_backup_made_while_the_service_writes_is_one_whole_state,
    every_column_of_the_database_is_carried_by_a_move,
);

/// Something in every table of the database.
async fn fill(place: &Place) {
    let running = Process::start(&place.address);
    let tables = [
        (
            "suppliers",
            "supplier,supplier_name,short_load_steps,zones\nhill-pit,Hill pit (invented),2 = 140; 4 = 90,A = 40; B = 65\n",
        ),
        (
            "wages",
            "schedule,class,effective_from,base,fringe,burdens\nbridge,finisher,2026-01-01,40.00,6.50,payroll tax = 7.65 % + premium; small tools = 2.00\n",
        ),
        (
            "rates",
            "task,setup_min,low_min,likely_min,high_min\nSTRIKE,15,0.4,0.6,0.9\n",
        ),
        (
            "indices",
            "series,month,value\nready-mix-west,2026-03,180.306\n",
        ),
        (
            "prices",
            "item,supplier,unit_price,effective_from,from_quantity,valid_until,quoted_for\nstone-dense-graded,hill-pit,33.10,2026-03-02,20,,\nstone-dense-graded,hill-pit,31.25,2026-03-02,5,2026-12-31,\"Mill lane, \u{e9}ast\"\n",
        ),
    ];
    for (revision, (table, text)) in (1..).zip(tables) {
        let text = text.replace("STRIKE", crossfall::crew::Rates::built_in().rows()[0].code);
        let asked = import_of(table, &running.base, (&text, (revision, table)));
        let (status, body) = sent(asked).await;
        assert_eq!(status, 200, "{table}: {body}");
    }
    let (status, body) = sent(add(&running.base, "left-alone", "2.50")).await;
    assert_eq!(status, 201, "{body}");
    running.stop();
    done(
        place,
        &["keys", "add", "--name", "the office", "--role", "prices"],
    );
}

/// Counts of the tables as a command printed them.
fn counted(printed: &str) -> Vec<(String, i64)> {
    let rows = printed.lines().filter_map(|line| line.split_once(": "));
    rows.map(|(table, count)| (table.to_owned(), count.parse().expect("a number")))
        .collect()
}

async fn a_book_moved_there_and_back_is_the_same_book(place: &Place) {
    let (start, back) = (Place::sqlite(), Place::sqlite());
    fill(&start).await;
    let before = start.store().await.read_all().await.expect("read");
    let there = done(&start, &["book", "move", "--to", &place.address]);
    let again = done(place, &["book", "move", "--to", &back.address]);
    assert_eq!(there, again);
    let counts = counted(&there);
    println!("moved there and back: {counts:?}");
    assert_eq!(counts.len(), tables().count());
    for (table, count) in &counts {
        assert!(
            *count > 0,
            "{table} holds something, so that losing it would be seen"
        );
    }
    let history = start.demo().await;
    for other in [&start, place, &back] {
        assert_eq!(other.store().await.read_all().await.expect("read"), before);
        assert_eq!(other.demo().await, history);
    }
    for full in [place, &back, &start] {
        let refused = run(&start, &["book", "move", "--to", &full.address]);
        let said = String::from_utf8_lossy(&refused.stderr).into_owned();
        assert!(
            !refused.status.success() && said.contains("holds something already"),
            "{said}"
        );
        assert_eq!(full.store().await.read_all().await.expect("read"), before);
    }
    start.remove().await;
    back.remove().await;
}

async fn a_backup_made_while_the_service_writes_is_one_whole_state(place: &Place) {
    let running = Process::start(&place.address);
    let base = running.base.clone();
    let writing = tokio::spawn(async move {
        for number in 0..40 {
            let (status, body) = sent(add(&base, &format!("thing-{number}"), "3.10")).await;
            assert_eq!(status, 201, "{body}");
        }
    });
    while place.demo().await.latest() < 6 {
        tokio::task::yield_now().await;
    }
    let folder = Folder::new();
    let file = folder.path().join("kept.db");
    let file = file.to_str().expect("text");
    let address = place.address.clone();
    let words = ["book".to_owned(), "backup".to_owned(), file.to_owned()];
    let backing = tokio::task::spawn_blocking(move || {
        let home = Folder::new();
        let mut command = super::process::serving(&home, &address);
        command.args(words);
        crate::launched::output_of(command)
    });
    let backed = backing.await.expect("it ends");
    assert!(
        backed.status.success(),
        "{}",
        String::from_utf8_lossy(&backed.stderr)
    );
    writing.await.expect("the writer ends");
    let all = place.demo().await;
    assert_eq!(all.latest(), 41, "the service wrote on");

    let restored = place.another().await;
    let printed = done(&restored, &["book", "restore", file]);
    assert_eq!(
        printed.as_bytes(),
        backed.stdout,
        "the restore carried what the backup did"
    );
    let kept = restored.demo().await;
    let end = kept.latest();
    assert!((6..=41).contains(&end), "{end}");
    println!("backed up at revision {end} of 41");
    assert_eq!(kept.revisions(), &all.revisions()[..end as usize]);
    let items = |book: &crossfall::catalog::History| -> Vec<_> {
        let known = book.items().filter(|item| item.item(end).is_some());
        known
            .map(|item| {
                (
                    item.item(end).cloned(),
                    item.prices(end).cloned().collect::<Vec<_>>(),
                )
            })
            .collect()
    };
    assert_eq!(items(&kept), items(&all));
    let other = Process::start(&restored.address);
    let priced = sent(estimate(&other.base, Some(end))).await;
    assert_eq!(priced, sent(estimate(&running.base, Some(end))).await);
    assert_eq!(priced.0, 200);
    let refused = run(&restored, &["book", "restore", file]);
    assert!(!refused.status.success(), "only what is empty is filled");
    let refused = run(place, &["book", "backup", file]);
    assert!(!refused.status.success(), "no file is written over");
    drop(other);
    restored.remove().await;
}

/// Every column of every table, `table.column`, as the database has them.
async fn real_columns(place: &Place) -> BTreeSet<String> {
    let question = if place.is_shared() {
        "SELECT table_name || '.' || column_name FROM information_schema.columns WHERE table_schema = 'public'"
    } else {
        "SELECT made.name || '.' || found.name FROM sqlite_master AS made JOIN pragma_table_info(made.name) AS found
         WHERE made.type = 'table'"
    };
    place.texts(question).await.into_iter().collect()
}

async fn every_column_of_the_database_is_carried_by_a_move(place: &Place) {
    place.store().await;
    let mut real = real_columns(place).await;
    let ours = |column: &String| {
        let table = column.split('.').next().unwrap_or_default();
        // The migrations' own record is made by the migrations of the target.
        table != "_sqlx_migrations" && !RAISED.contains(&table)
    };
    real.retain(ours);
    let carried = tables().flat_map(|(table, columns)| {
        columns
            .into_iter()
            .map(move |column| format!("{table}.{column}"))
    });
    let carried: BTreeSet<String> = carried.collect();
    assert_eq!(carried, real);
    assert!(real.len() > 80, "{} columns", real.len());
}
