//! `GET /livez` and `GET /readyz`: is the process there, and can it answer.
//!
//! Invariant: neither needs a key nor touches a database; what the store says of itself is a
//! [`Probe`] that only reads memory. A service that is stopping is not ready.

use super::problem::{ApiError, Problem};
use actix_web::{
    get,
    web::{Data, Json},
};
use serde::Serialize;
use std::{
    fmt,
    sync::{
        Arc,
        atomic::{AtomicBool, Ordering},
    },
};
use tokio::sync::watch;
use utoipa::ToSchema;

/// What the store says of itself.
#[derive(Clone, Debug)]
pub struct StoreState {
    /// True while estimates can be answered.
    pub ready: bool,
    /// The database's state in words, without an address or a path.
    pub database: String,
}

/// Asked at each `/readyz`; must answer from memory.
pub type Probe = Arc<dyn Fn() -> StoreState + Send + Sync>;

/// Whether the service can take requests.
#[derive(Clone)]
pub struct Readiness {
    stopping: Arc<AtomicBool>,
    out_of_time: watch::Sender<bool>,
    store: Probe,
}

impl Readiness {
    /// Ready while the store is and nobody has called [`Readiness::stop`].
    pub fn new(store: Probe) -> Self {
        Self {
            stopping: Arc::default(),
            out_of_time: watch::Sender::new(false),
            store,
        }
    }

    /// From now on the service is not ready; for good.
    pub fn stop(&self) {
        self.stopping.store(true, Ordering::Release);
    }

    /// True while `/readyz` says yes.
    pub fn is_ready(&self) -> bool {
        self.state().is_ok()
    }

    /// True once [`Readiness::stop`] was called.
    pub(super) fn is_stopping(&self) -> bool {
        self.stopping.load(Ordering::Acquire)
    }

    /// From now on an answer that is being sent in pieces ends itself, as broken off.
    pub fn end_streams(&self) {
        self.out_of_time.send_replace(true);
    }

    /// Waits for [`Readiness::end_streams`].
    pub(super) async fn out_of_time(&self) {
        let mut told = self.out_of_time.subscribe();
        // The sender is ours, so that it cannot be gone.
        drop(told.wait_for(|over| *over).await);
    }

    fn state(&self) -> Result<StoreState, String> {
        if self.is_stopping() {
            return Err("The service is stopping.".to_owned());
        }
        let state = (self.store)();
        if state.ready {
            Ok(state)
        } else {
            Err(format!("Not ready; database: {}.", state.database))
        }
    }
}

impl fmt::Debug for Readiness {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Readiness")
            .field("stopping", &self.stopping)
            .finish_non_exhaustive()
    }
}

/// Says that the process runs.
#[derive(Debug, Serialize, ToSchema)]
pub struct LivezResponse {
    /// Always `alive`.
    #[schema(examples("alive"))]
    pub status: &'static str,
}

/// Says that estimates can be answered.
#[derive(Debug, Serialize, ToSchema)]
pub struct ReadyzResponse {
    /// Always `ready`; when it is not, the answer is a problem with status 503.
    #[schema(examples("ready"))]
    pub status: &'static str,
    /// The database's state in words.
    pub database: String,
}

/// Is the process there
///
/// Needs no key and touches nothing.
#[utoipa::path(
    tag = "health",
    security(()),
    responses((status = 200, description = "The process runs.", body = LivezResponse)),
)]
#[get("/livez")]
pub(super) async fn get_livez() -> Json<LivezResponse> {
    Json(LivezResponse { status: "alive" })
}

/// Can estimates be answered
///
/// Needs no key. Turns to 503 as soon as the service is told to stop.
#[utoipa::path(
    tag = "health",
    security(()),
    responses(
        (status = 200, description = "Estimates can be answered.", body = ReadyzResponse),
        (status = 503, description = "Not for the moment; `detail` says why.", body = Problem, content_type = "application/problem+json",
            headers(("Retry-After" = i32, description = "Seconds after which to ask again."))),
    ),
)]
#[get("/readyz")]
pub(super) async fn get_readyz(
    readiness: Data<Readiness>,
) -> Result<Json<ReadyzResponse>, ApiError> {
    let state = readiness.state().map_err(ApiError::NotReady)?;
    Ok(Json(ReadyzResponse {
        status: "ready",
        database: state.database,
    }))
}
