//! A database of an earlier version, and a start that is killed while it brings the tables up to
//! date.
//!
//! Invariants: whatever the moment, no row is lost and the next start serves. Absent: what the
//! migrations do, which they say themselves.

use super::{
    asking::{book, estimate, sent},
    process::{Process, serving},
    times,
};
use crate::answered::json_of;
use crate::{
    launched::{Folder, client},
    store::place::Place,
};
use serde_json::Value;
use sqlx::{Connection as _, PgConnection, SqliteConnection, migrate::Migrator};
use std::{
    path::Path,
    process::Stdio,
    time::{Duration, Instant},
};

both!(a_start_killed_while_it_upgrades_loses_nothing);

/// Items of the old book, each with one price.
const ITEMS: i64 = 20_000;

/// The first migrations of which this test is about.
const OLD: [&str; 2] = ["0001_price_book.sql", "0002_append_only.sql"];

/// Rows that the first version wrote, in its own columns.
const ROWS: [&str; 8] = [
    "INSERT INTO book (code, name, currency, demo, latest) VALUES ('demo', 'Old book (invented)', 'USD', 1, 0)",
    "UPDATE book SET latest = 1",
    "INSERT INTO revision (book, number, made_at, note) VALUES ('demo', 1, '2026-01-05T08:00:00.000Z', 'old')",
    "INSERT INTO setting (book, revision, overhead_e6, contingency_e6, profit_basis, profit_e6, warranty_e6,
        sales_tax_e6, sales_tax_base, travel_minutes) VALUES ('demo', 1, 120000, 30000, 'margin', 150000, 0, 0, 'none', 30)",
    "INSERT INTO supplier (book, code) VALUES ('demo', 'old-yard')",
    "INSERT INTO supplier_version (book, code, revision, name) VALUES ('demo', 'old-yard', 1, 'Old yard (invented)')",
    "INSERT INTO item (book, code) WITH RECURSIVE n (i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n WHERE i < 20000)
        SELECT 'demo', 'old-' || i FROM n",
    "INSERT INTO item_version (book, code, revision, description, class, sale_unit, order_step_e4, minimum_e4)
        SELECT book, code, 1, 'Invented thing', 'material', 'each', 10000, 0 FROM item",
];

const PRICES: &str =
    "INSERT INTO price (book, item, supplier, effective_from, revision, unit_price_e4)
    SELECT book, code, 'old-yard', '2026-01-05', 1, 10000 * length(code) FROM item";

/// Makes the tables of the first version, and a book in them.
async fn make_old(place: &Place) {
    let kind = if place.is_shared() {
        "postgres"
    } else {
        "sqlite"
    };
    let from = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("migrations")
        .join(kind);
    let folder = Folder::new();
    for name in OLD {
        std::fs::copy(from.join(name), folder.path().join(name)).expect("it is copied");
    }
    let old = Migrator::new(folder.path()).await.expect("two migrations");
    if place.is_shared() {
        let mut on = PgConnection::connect(&place.address)
            .await
            .expect("it opens");
        old.run(&mut on).await.expect("the old tables");
    } else {
        let file = place.address.trim_start_matches("sqlite:");
        let inner = Path::new(file).parent().expect("a folder");
        std::fs::create_dir_all(inner).expect("the folder is made");
        let made = format!("{}?mode=rwc", place.address);
        let mut on = SqliteConnection::connect(&made).await.expect("it opens");
        old.run(&mut on).await.expect("the old tables");
    }
    for row in ROWS.into_iter().chain([PRICES]) {
        place.run(row.to_owned()).await.expect(row);
    }
}

/// What every state must hold: each old row, with its price.
async fn check_rows(place: &Place) {
    let sums = "SELECT CAST(COUNT(*) AS TEXT) || ' ' || CAST(SUM(unit_price_e4) AS TEXT) FROM price
        WHERE supplier = 'old-yard' AND effective_from = '2026-01-05' AND revision = 1";
    let expected: i64 = (1..=ITEMS)
        .map(|i| 10_000 * format!("old-{i}").len() as i64)
        .sum();
    assert_eq!(place.texts(sums).await, [format!("{ITEMS} {expected}")]);
}

/// How many migrations have landed.
async fn landed(place: &Place) -> usize {
    place
        .texts("SELECT description FROM _sqlx_migrations")
        .await
        .len()
}

/// Starts and kills after `delay`.
async fn kill_a_start(place: &Place, delay: Duration) {
    let folder = Folder::new();
    let mut command = serving(&folder, &place.address);
    let quiet = command.stdout(Stdio::null()).stderr(Stdio::null());
    let mut child = quiet.spawn().expect("it starts");
    tokio::time::sleep(delay).await;
    child.kill().expect("it is killed");
    child.wait().expect("it ends");
}

/// The upgraded database serves what the old one held.
async fn check_serving(place: &Place) {
    let running = Process::start(&place.address);
    assert_eq!(book(&running.base).await, (1, ITEMS));
    let path = format!(
        "{}/v1/price-books/demo/items/old-{ITEMS}?as_of=2026-05-04",
        running.base
    );
    let item: Value = json_of(client().get(path)).await;
    assert_eq!(item["price"]["unit_price"], "9.00", "{item}");
    assert_eq!(item["price"]["supplier_name"], "Old yard (invented)");
    assert_eq!(sent(estimate(&running.base, Some(1))).await.0, 200);
}

async fn a_start_killed_while_it_upgrades_loses_nothing(place: &Place) {
    make_old(place).await;
    let begun = Instant::now();
    check_serving(place).await;
    let whole = begun.elapsed();
    let (mut before, mut after, mut share) = (0, 0, 0.3);
    for number in 0..times() {
        let old = place.another().await;
        make_old(&old).await;
        // Killed twice, the second time where it was killed before.
        for _ in 0..2 {
            kill_a_start(&old, whole.mul_f64(share)).await;
            check_rows(&old).await;
            let upgraded = landed(&old).await > OLD.len();
            *(if upgraded { &mut after } else { &mut before }) += 1;
            // Nearer to the moment at which it lands from either side.
            share *= if upgraded { 0.8 } else { 1.15 };
        }
        if number % 4 == 0 {
            check_serving(&old).await;
            check_rows(&old).await;
        }
        old.remove().await;
    }
    println!("killed while it upgrades: {before} before the upgrade landed, {after} after");
    assert!(before > 0 && after > 0, "both kinds occur");
}
