//! Keys on more than one replica, and while the database is away: on SQLite and on a real Postgres.

use crate::{
    launched::{Folder, KEY, Launched, problem, problem_of, settings},
    roles::add_key,
    store::place::Place,
};
use chrono::Utc;
use crossfall::book::Role;
use std::time::Duration;

/// Makes a test of each promise for each database.
macro_rules! keep {
    ($($promise:ident),+ $(,)?) => {
        mod on_sqlite {
            use super::Place;
            $(
                #[actix_web::test]
                async fn $promise() {
                    let place = Place::sqlite();
                    super::$promise(&place).await;
                    place.remove().await;
                }
            )+
        }

        mod on_postgres {
            use super::Place;
            $(
                #[actix_web::test]
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

keep!(
    a_key_opens_and_closes_on_every_replica_within_a_second,
    once_a_key_was_made_the_service_is_never_open_again,
    a_key_that_holds_is_enough_beyond_loopback,
    keys_are_trusted_without_the_database_up_to_the_offline_limit,
);

/// What the contract allows.
const A_SECOND: Duration = Duration::from_secs(1);

async fn replica(place: &Place, offline_limit: u64) -> Launched {
    let folder = Folder::new();
    let mut config = settings(&folder);
    config.database_url = Some(place.address.clone().into());
    config.offline_limit = Duration::from_secs(offline_limit);
    Launched::start_on(config, folder).await
}

async fn status(service: &Launched, key: &str) -> u16 {
    let asked = service.get("/v1/price-books").bearer_auth(key);
    asked.send().await.expect("an answer").status().as_u16()
}

async fn a_key_opens_and_closes_on_every_replica_within_a_second(place: &Place) {
    let replicas = [replica(place, 60).await, replica(place, 60).await];
    let store = place.store().await;
    let (id, key) = add_key(&*store, Role::Estimate, None).await;
    tokio::time::sleep(A_SECOND).await;
    for service in &replicas {
        problem(service.get("/v1/price-books"), 401).await;
        assert_eq!(status(service, &key).await, 200);
    }
    let revoked = store.revoke_key(&id, Utc::now(), "a test").await;
    assert!(revoked.expect("it answers"));
    tokio::time::sleep(A_SECOND).await;
    for service in &replicas {
        assert_eq!(status(service, &key).await, 401);
    }
}

async fn once_a_key_was_made_the_service_is_never_open_again(place: &Place) {
    let before = replica(place, 60).await;
    let open = before.get("/v1/price-books").send().await;
    assert_eq!(open.expect("an answer").status(), 200);
    let store = place.store().await;
    let (id, key) = add_key(&*store, Role::Admin, None).await;
    let revoked = store.revoke_key(&id, Utc::now(), "a test").await;
    assert!(revoked.expect("it answers"));
    tokio::time::sleep(A_SECOND).await;
    let after = replica(place, 60).await;
    for service in [&before, &after] {
        problem(service.get("/v1/price-books"), 401).await;
        assert_eq!(status(service, &key).await, 401);
    }
}

async fn a_key_that_holds_is_enough_beyond_loopback(place: &Place) {
    let folder = Folder::new();
    let mut config = settings(&folder);
    config.database_url = Some(place.address.clone().into());
    config.listen = ([0, 0, 0, 0], 0).into();
    let start = async || crossfall::startup::Service::build(config.clone()).await;
    let refused = start().await.err().expect("there is no key");
    assert!(refused.to_string().contains("keys add"), "{refused}");
    let store = place.store().await;
    let (id, _) = add_key(&*store, Role::Cell, None).await;
    assert!(start().await.is_ok());
    let revoked = store.revoke_key(&id, Utc::now(), "a test").await;
    assert!(revoked.expect("it answers"));
    assert!(start().await.is_err(), "a revoked key opens nothing");
}

async fn keys_are_trusted_without_the_database_up_to_the_offline_limit(place: &Place) {
    let store = place.store().await;
    let (_, key) = add_key(&*store, Role::Estimate, None).await;
    let service = replica(place, 3).await;
    let folder = Folder::new();
    let mut config = settings(&folder);
    config.database_url = Some(place.address.clone().into());
    config.offline_limit = Duration::from_secs(3);
    config.first_key_file = Some(folder.file("key", KEY));
    let with_first = Launched::start_on(config, folder).await;
    for table in ["access_version", "book"] {
        let hide = format!("ALTER TABLE {table} RENAME TO {table}_away");
        place.run(hide).await.expect("the table is hidden");
    }
    tokio::time::sleep(A_SECOND).await;
    assert_eq!(status(&service, &key).await, 200, "memory is still good");
    problem(
        service.get("/v1/price-books").bearer_auth("no-key-of-ours"),
        401,
    )
    .await;
    let ready = service.get("/readyz").send().await.expect("an answer");
    assert_eq!(ready.status(), 200);
    tokio::time::sleep(Duration::from_secs(3)).await;
    let asked = service.get("/v1/price-books").bearer_auth(&key);
    let refused = asked.send().await.expect("an answer");
    assert_eq!(refused.headers()["retry-after"], "5");
    problem_of(refused, 503).await;
    problem(service.get("/readyz"), 503).await;
    assert_eq!(
        status(&with_first, KEY).await,
        200,
        "the first key needs no database"
    );
    assert_eq!(status(&with_first, &key).await, 503);
    for table in ["access_version", "book"] {
        let show = format!("ALTER TABLE {table}_away RENAME TO {table}");
        place.run(show).await.expect("the table is back");
    }
    tokio::time::sleep(A_SECOND).await;
    assert_eq!(status(&service, &key).await, 200);
    let ready = service.get("/readyz").send().await.expect("an answer");
    assert_eq!(ready.status(), 200);
}
