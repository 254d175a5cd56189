//! Every key that holds, in memory, so that no request waits for the database to know its caller.
//!
//! Invariants: what is in memory is one whole state of the keys; how old it is can be asked, and
//! nothing here decides how old is too old. Absent: SQL, roles' rights, and who reads the key out
//! of a request.

use super::{AccessStore, KeyHash, KeyRecord, Role, key::id_of};
use crate::book::BookError;
use arc_swap::ArcSwap;
use std::{
    collections::HashMap,
    sync::Arc,
    time::{Duration, Instant},
};

/// Longest wait for the database in one look; a connection that hangs is given up for a new one.
const PATIENCE: Duration = Duration::from_secs(5);

/// Who calls.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Caller {
    /// Id of the key; `first` for the operator's first key, `local` where none is asked for.
    pub id: Arc<str>,
    /// The name by which the operator knows the key.
    pub name: Arc<str>,
    /// What the key opens.
    pub role: Role,
    /// Calls a minute, in place of the role's.
    pub per_minute: Option<u32>,
}

/// The keys as they were read at one instant.
#[derive(Debug)]
struct Keys {
    version: i64,
    live: Arc<HashMap<String, (KeyHash, Caller)>>,
    // True for good once a key was made: a revoked key does not open the service to everybody.
    any_made: bool,
    read_at: Instant,
}

/// The keys of one database, in memory.
#[derive(Debug)]
pub struct KeyRing {
    store: Arc<dyn AccessStore>,
    keys: ArcSwap<Keys>,
}

impl KeyRing {
    /// Reads the keys of a store.
    ///
    /// # Errors
    /// [`BookError::Damaged`], [`BookError::Unavailable`].
    pub async fn open(store: Arc<dyn AccessStore>) -> Result<Self, BookError> {
        let read_at = Instant::now();
        let version = store.access_version().await?;
        let keys = Keys::of(store.keys().await?, version, read_at);
        Ok(Self {
            store,
            keys: ArcSwap::from_pointee(keys),
        })
    }

    /// Reads the version, and the keys where it changed. One caller at a time.
    ///
    /// # Errors
    /// [`BookError::Damaged`], [`BookError::Unavailable`]; memory then stays as it was.
    pub async fn refresh(&self) -> Result<(), BookError> {
        let read_at = Instant::now();
        let version = self.store.access_version().await?;
        let known = self.keys.load_full();
        let fresh = if version == known.version {
            known.seen_again(read_at)
        } else {
            // They may be newer than the version read before; the next look then reads them again.
            Keys::of(self.store.keys().await?, version, read_at)
        };
        self.keys.store(Arc::new(fresh));
        Ok(())
    }

    /// Looks every `pause` for what changed, for as long as it is let run.
    pub async fn keep_fresh(self: Arc<Self>, pause: Duration) {
        let mut answers = true;
        loop {
            tokio::time::sleep(pause).await;
            let read = tokio::time::timeout(PATIENCE, self.refresh()).await;
            let good = matches!(read, Ok(Ok(())));
            if answers && !good {
                tracing::warn!(cause = ?read, "keys are read from memory alone");
            } else if good && !answers {
                tracing::info!("keys are read from the database again");
            }
            answers = good;
        }
    }

    /// Whose key this is; none when it is unknown or revoked.
    pub fn find(&self, key: &[u8]) -> Option<Caller> {
        let keys = self.keys.load();
        let (hash, caller) = keys.live.get(id_of(key)?)?;
        hash.fits(key).then(|| caller.clone())
    }

    /// True when a key was ever made, even if it was revoked since.
    pub fn any_made(&self) -> bool {
        self.keys.load().any_made
    }

    /// True while a key holds.
    pub fn any_live(&self) -> bool {
        !self.keys.load().live.is_empty()
    }

    /// How long ago memory was last seen to be what the database holds.
    pub fn age(&self) -> Duration {
        self.keys.load().read_at.elapsed()
    }
}

impl Keys {
    fn of(records: Vec<KeyRecord>, version: i64, read_at: Instant) -> Self {
        let any_made = !records.is_empty();
        let live = records.into_iter().filter(|key| key.revoked_at.is_none());
        let known = live.map(|key| {
            let caller = Caller {
                id: key.id.as_str().into(),
                name: key.name.into(),
                role: key.role,
                per_minute: key.per_minute,
            };
            (key.id, (key.hash, caller))
        });
        Self {
            version,
            live: Arc::new(known.collect()),
            any_made,
            read_at,
        }
    }

    fn seen_again(&self, read_at: Instant) -> Self {
        Self {
            version: self.version,
            live: self.live.clone(),
            any_made: self.any_made,
            read_at,
        }
    }
}
