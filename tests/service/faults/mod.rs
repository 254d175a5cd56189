//! What happens when things break: processes killed, databases away or full, clocks set back, many
//! writers, many replicas, too much to do; on SQLite and on a real Postgres, with the real binary.
//!
//! Invariants: each test has a database of its own and is bounded in time; how often something was
//! tried comes from `TEST_SIZE`, and what came of it is printed. Absent: the promises of the store
//! itself, which `store` holds.

/// Makes a test of each promise for each database.
macro_rules! both {
    ($($promise:ident),+ $(,)?) => {
        mod on_sqlite {
            use crate::store::place::Place;
            $(
                #[tokio::test(flavor = "multi_thread", worker_threads = 2)]
                async fn $promise() {
                    let place = Place::sqlite();
                    super::$promise(&place).await;
                    place.remove().await;
                }
            )+
        }

        mod on_postgres {
            use crate::store::place::Place;
            $(
                #[tokio::test(flavor = "multi_thread", worker_threads = 2)]
                #[ignore = "needs CROSSFALL_TEST_POSTGRES; the full test command runs it"]
                async fn $promise() {
                    let place = Place::postgres().await;
                    super::$promise(&place).await;
                    place.remove().await;
                }
            )+
        }
    };
}

mod again;
mod asking;
mod clock;
mod full;
mod held;
mod killed;
#[cfg(target_os = "linux")]
mod load;
mod many;
mod moved;
mod outage;
mod process;
mod replaced;
mod stopped;
mod upgraded;
mod wire;
mod writers;

/// How often a fault is tried.
fn times() -> usize {
    match std::env::var("TEST_SIZE").as_deref() {
        Ok("long") => 100,
        Ok("ci") | Err(_) => 10,
        Ok(other) => panic!("TEST_SIZE is {other}, and may be ci or long"),
    }
}
