//! How the service stops.
//!
//! Invariants, in this order: readiness turns and every answer closes its connection; a supervised
//! service goes on like this for the notice; the door closes; who is inside is served until nothing is
//! under way any more; idle connections close. All after the notice is held to the limit. A second
//! signal ends it at once. Absent: the settings of it, which `config` holds.

use super::door::Door;
use crate::{config::StopSettings, http::health::Readiness, meter::Meter};
use actix_web::dev::ServerHandle;
use std::{
    io,
    sync::Arc,
    time::{Duration, Instant},
};

/// How long nothing may be under way before idle connections are closed. One that was idle all
/// through the notice hardly brings a request now; one that waits for a busy worker has it read by
/// then, and one whose answer has just ended may bring the next.
const QUIET: Duration = Duration::from_secs(1);

/// Between two looks at what is under way.
const LOOK: Duration = Duration::from_millis(20);

/// How long before the limit an answer in pieces is told to end itself, so that its caller learns why.
const LAST_WORDS: Duration = Duration::from_secs(2);

/// What a stop has to do with.
pub(super) struct Stopping {
    pub(super) readiness: Readiness,
    /// Knows of requests under way.
    pub(super) meter: Arc<Meter>,
    pub(super) server: ServerHandle,
    pub(super) door: Door,
    /// How long each part may take.
    pub(super) times: StopSettings,
}

impl Stopping {
    /// Waits for a signal and stops; ends when all is done that had the time, or at a second signal.
    pub(super) async fn on_signal(self, mut signals: StopSignals) {
        let signal = signals.next().await;
        tracing::info!("stopping: requests under way are finished first");
        tokio::select! {
            () = self.stop(signal) => {}
            _ = signals.next() => tracing::warn!("stopping at once"),
        }
    }

    async fn stop(&self, signal: Stop) {
        self.readiness.stop();
        // A person at a terminal does not wait.
        if signal == Stop::Terminate {
            tokio::time::sleep(self.times.notice).await;
        }
        self.door.close(&self.server).await;
        let limit = self.times.limit;
        let orderly = async {
            self.be_quiet().await;
            self.server.stop(true).await;
        };
        let out_of_time = async {
            let words = LAST_WORDS.min(limit / 2);
            tokio::time::sleep(limit - words).await;
            self.readiness.end_streams();
            tokio::time::sleep(words).await;
            tracing::warn!("stopping with requests under way: {limit:?} are over");
        };
        tokio::select! {
            () = orderly => {}
            () = out_of_time => {}
        }
    }

    /// Waits until nobody is inside, or nothing has been under way for a while.
    async fn be_quiet(&self) {
        let mut since = Instant::now();
        while !self.door.is_empty() && since.elapsed() < QUIET {
            if self.meter.is_busy() {
                since = Instant::now();
            }
            tokio::time::sleep(LOOK).await;
        }
    }
}

/// Who asked for a stop.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Stop {
    /// A supervisor.
    #[cfg_attr(not(unix), expect(dead_code, reason = "only one signal exists there"))]
    Terminate,
    /// A person at the terminal.
    Interrupt,
}

/// The signals that ask for a stop.
#[cfg(unix)]
pub(super) struct StopSignals {
    terminate: tokio::signal::unix::Signal,
    interrupt: tokio::signal::unix::Signal,
}

#[cfg(unix)]
impl StopSignals {
    pub(super) fn watch() -> io::Result<Self> {
        use tokio::signal::unix::{SignalKind, signal};
        let terminate = signal(SignalKind::terminate())?;
        let interrupt = signal(SignalKind::interrupt())?;
        Ok(Self {
            terminate,
            interrupt,
        })
    }

    async fn next(&mut self) -> Stop {
        tokio::select! {
            _ = self.terminate.recv() => Stop::Terminate,
            _ = self.interrupt.recv() => Stop::Interrupt,
        }
    }
}

/// The signals that ask for a stop.
#[cfg(not(unix))]
pub(super) struct StopSignals;

#[cfg(not(unix))]
impl StopSignals {
    pub(super) fn watch() -> io::Result<Self> {
        Ok(Self)
    }

    async fn next(&mut self) -> Stop {
        if tokio::signal::ctrl_c().await.is_err() {
            std::future::pending::<()>().await;
        }
        Stop::Interrupt
    }
}
