//! What is promised of keys and the audit: one list, kept on SQLite and on a real Postgres.

use crate::store::place::Place;
use chrono::{DateTime, SubsecRound as _, Utc};
use crossfall::book::{
    AccessStore, AuditPage, AuditRow, BookError, KeyRecord, KeyRing, NewKey, Role,
};
use secrecy::{ExposeSecret as _, SecretString};

/// Makes a test of each promise for each database.
macro_rules! keep {
    ($($promise:ident),+ $(,)?) => {
        mod on_sqlite {
            use super::Place;
            $(
                #[tokio::test]
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
                #[tokio::test]
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
    what_is_added_is_what_is_read,
    a_key_is_revoked_once_and_for_good,
    a_key_that_is_there_already_changes_nothing,
    the_audit_is_read_newest_first_page_by_page,
    the_database_refuses_to_change_a_key_or_the_audit,
    writers_at_once_are_all_counted,
    a_ring_sees_what_others_did_when_it_looks_again,
);

fn made(role: Role, per_minute: Option<u32>) -> (KeyRecord, SecretString) {
    let new = NewKey {
        name: "O'Hill's — \"north\" crew".to_owned(),
        role,
        per_minute,
    };
    new.make().expect("random bytes")
}

fn now() -> DateTime<Utc> {
    Utc::now().trunc_subsecs(3)
}

async fn audit(store: &dyn AccessStore) -> Vec<AuditRow> {
    let page = AuditPage {
        after: None,
        limit: 100,
    };
    store.audit(page).await.expect("the audit is read")
}

async fn version(store: &dyn AccessStore) -> i64 {
    store.access_version().await.expect("the version is read")
}

async fn what_is_added_is_what_is_read(place: &Place) {
    let store = place.store().await;
    let mut added = Vec::new();
    for (role, per_minute) in Role::ALL
        .into_iter()
        .zip([None, Some(1), Some(u32::MAX)].into_iter().cycle())
    {
        let (record, _) = made(role, per_minute);
        store.add_key(&record, "a test").await.expect("it is kept");
        added.push(record);
    }
    let mut read = place.store().await.keys().await.expect("keys are read");
    let id = |record: &KeyRecord| record.id.clone();
    read.sort_by_key(id);
    added.sort_by_key(id);
    assert_eq!(read, added);
    assert_eq!(version(&*store).await, 5);
}

async fn a_key_is_revoked_once_and_for_good(place: &Place) {
    let store = place.store().await;
    let (record, _) = made(Role::Prices, None);
    store.add_key(&record, "one").await.expect("it is kept");
    let at = now();
    assert!(
        !store
            .revoke_key("000000000000", at, "two")
            .await
            .expect("answered")
    );
    assert_eq!(version(&*store).await, 1, "nothing was written");
    assert!(
        store
            .revoke_key(&record.id, at, "two")
            .await
            .expect("answered")
    );
    assert!(
        !store
            .revoke_key(&record.id, now(), "two")
            .await
            .expect("answered")
    );
    let keys = store.keys().await.expect("keys are read");
    assert_eq!(keys[0].revoked_at, Some(at));
    assert_eq!(version(&*store).await, 2);
    let rows = audit(&*store).await;
    let told: Vec<_> = rows
        .iter()
        .map(|row| {
            (
                row.action.as_str(),
                row.caller.as_str(),
                row.target.as_str(),
                row.at,
            )
        })
        .collect();
    let id = record.id.as_str();
    assert_eq!(
        told,
        [
            ("key.revoke", "two", id, at),
            ("key.add", "one", id, record.made_at)
        ]
    );
}

async fn a_key_that_is_there_already_changes_nothing(place: &Place) {
    let store = place.store().await;
    let (record, _) = made(Role::Cell, None);
    store.add_key(&record, "a test").await.expect("it is kept");
    let (other, _) = made(Role::Admin, None);
    let same_hash = KeyRecord {
        hash: record.hash.clone(),
        ..other
    };
    for again in [&record, &same_hash] {
        let error = store
            .add_key(again, "a test")
            .await
            .expect_err("it is there");
        assert!(matches!(error, BookError::Refused(_)), "{error:?}");
    }
    assert_eq!(version(&*store).await, 1);
    assert_eq!(audit(&*store).await.len(), 1);
    assert_eq!(store.keys().await.expect("keys are read"), [record]);
}

async fn the_audit_is_read_newest_first_page_by_page(place: &Place) {
    let store = place.store().await;
    let mut ids = Vec::new();
    for _ in 0..5 {
        let (record, _) = made(Role::Cell, None);
        store.add_key(&record, "a test").await.expect("it is kept");
        ids.insert(0, record.id);
        // Ids order by the millisecond.
        tokio::time::sleep(std::time::Duration::from_millis(2)).await;
    }
    let (mut read, mut after) = (Vec::new(), None::<String>);
    loop {
        let page = AuditPage {
            after: after.as_deref(),
            limit: 2,
        };
        let rows = store.audit(page).await.expect("the audit is read");
        assert!(rows.len() <= 2);
        let Some(last) = rows.last() else { break };
        after = Some(last.id.clone());
        read.extend(rows.into_iter().map(|row| row.target));
    }
    assert_eq!(read, ids);
}

async fn the_database_refuses_to_change_a_key_or_the_audit(place: &Place) {
    let store = place.store().await;
    let (record, _) = made(Role::Cell, None);
    store.add_key(&record, "a test").await.expect("it is kept");
    store
        .revoke_key(&record.id, now(), "a test")
        .await
        .expect("revoked");
    for statement in [
        "UPDATE access_key SET revoked_at = NULL",
        "UPDATE access_key SET role = 'admin'",
        "DELETE FROM access_key",
        "UPDATE audit SET caller = 'somebody'",
        "DELETE FROM audit",
    ] {
        assert!(
            place.run(statement.to_owned()).await.is_err(),
            "{statement}"
        );
    }
}

async fn writers_at_once_are_all_counted(place: &Place) {
    let (one, other) = (place.store().await, place.store().await);
    let keys: Vec<_> = (0..6).map(|_| made(Role::Cell, None).0).collect();
    let add = async |store: &dyn AccessStore, keys: &[KeyRecord]| {
        for key in keys {
            store.add_key(key, "a test").await.expect("it is kept");
        }
    };
    tokio::join!(add(&*one, &keys[..3]), add(&*other, &keys[3..]));
    assert_eq!(version(&*one).await, 6);
    assert_eq!(one.keys().await.expect("keys are read").len(), 6);
}

async fn a_ring_sees_what_others_did_when_it_looks_again(place: &Place) {
    let store = place.store().await;
    let ring = KeyRing::open(place.store().await)
        .await
        .expect("keys are read");
    assert!(!ring.any_made() && !ring.any_live());
    let (record, text) = made(Role::Deliver, Some(7));
    let key = text.expose_secret().as_bytes();
    store.add_key(&record, "a test").await.expect("it is kept");
    assert_eq!(ring.find(key), None, "memory alone is asked");
    ring.refresh().await.expect("read");
    let caller = ring.find(key).expect("it is known now");
    assert_eq!(
        (&*caller.id, caller.role, caller.per_minute),
        (&*record.id, Role::Deliver, Some(7))
    );
    let mut wrong = key.to_vec();
    let last = wrong.last_mut().expect("it is not empty");
    *last = if *last == b'0' { b'1' } else { b'0' };
    assert_eq!(ring.find(&wrong), None, "the right id alone opens nothing");
    store
        .revoke_key(&record.id, now(), "a test")
        .await
        .expect("revoked");
    ring.refresh().await.expect("read");
    assert_eq!(ring.find(key), None);
    assert!(ring.any_made() && !ring.any_live(), "a key was made once");
}
