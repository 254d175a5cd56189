//! A fixed number of threads that compute, shared by all batches.
//!
//! Invariants: no more than a few tasks wait, so that who brings them waits instead and no batch
//! fills the queue for the others; a task that panics ends itself alone; the threads that answer
//! other requests are not among these, and go before them. Absent: what a task does.

use std::{
    panic::{AssertUnwindSafe, catch_unwind},
    sync::{
        Arc, Mutex, PoisonError,
        mpsc::{Receiver, SyncSender, sync_channel},
    },
    thread,
};

/// One piece of work.
pub(super) type Task = Box<dyn FnOnce() + Send>;

/// The threads; they end when the last owner is gone.
#[derive(Clone, Debug)]
pub struct Pool {
    tasks: SyncSender<Task>,
    threads: usize,
}

impl Pool {
    /// As many threads as the machine has cores.
    pub fn start() -> Self {
        let threads = thread::available_parallelism().map_or(1, usize::from);
        let (tasks, waiting) = sync_channel(threads);
        let waiting = Arc::new(Mutex::new(waiting));
        for number in 0..threads {
            let waiting = waiting.clone();
            let named = thread::Builder::new().name(format!("batch-{number}"));
            // Where no thread can be had, the others do its work.
            drop(named.spawn(move || work(&waiting)));
        }
        Self { tasks, threads }
    }

    /// How many there are.
    pub(super) const fn threads(&self) -> usize {
        self.threads
    }

    /// Has a task done; waits while too many are waiting. A task that is never done is dropped,
    /// which whoever waits for its answer sees.
    pub(super) fn give(&self, task: Task) {
        drop(self.tasks.send(task));
    }
}

/// How much less a thread of batches is urgent than one that answers somebody who waits: half of the
/// way from 0, which is usual, to 19, the least urgent.
#[cfg(target_os = "linux")]
const NICENESS: i32 = 10;

/// Lets the threads that answer other requests go first. On Linux a niceness is a thread's own; other
/// systems know it of whole processes only, and there this does nothing.
pub(super) fn step_back() {
    // A batch is slower for nobody where this is refused.
    #[cfg(target_os = "linux")]
    let _ = rustix::process::setpriority_process(None, NICENESS);
}

fn work(waiting: &Mutex<Receiver<Task>>) {
    step_back();
    loop {
        let next = waiting
            .lock()
            .unwrap_or_else(PoisonError::into_inner)
            .recv();
        let Ok(task) = next else {
            return;
        };
        if catch_unwind(AssertUnwindSafe(task)).is_err() {
            tracing::error!("a group of batch rows panicked");
        }
    }
}
