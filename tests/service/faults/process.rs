//! The real binary on a database that a test names: started, stopped, killed, started again.
//!
//! Invariants: what was started ends with its value; what it logs goes to a file and is shown where
//! a start fails. Absent: what is asked of it.

use crate::{
    launched::{Folder, command, output_of, wait_for},
    store::place::Place,
};
use std::{
    fs::File,
    io::{BufRead as _, BufReader},
    process::{Child, Command, Output, Stdio},
    time::Duration,
};

/// A service in a process of its own.
pub(super) struct Process {
    child: Child,
    /// `http://…`, without a slash at the end.
    pub(super) base: String,
    folder: Folder,
}

/// Longer than any stop of these tests may take: on a machine with other work a batch, which steps
/// back for everybody, takes minutes.
const LONGEST_END: Duration = Duration::from_secs(330);

/// The binary with its settings: the database, a free port.
pub(super) fn serving(folder: &Folder, database: &str) -> Command {
    let mut command = command(folder);
    command
        .env("CROSSFALL_DATABASE_URL", database)
        .env("CROSSFALL_LISTEN", "127.0.0.1:0")
        .env("CROSSFALL_LOG", "warn");
    command
}

/// Runs the binary to its end.
pub(super) fn run(place: &Place, words: &[&str]) -> Output {
    let folder = Folder::new();
    let mut command = serving(&folder, &place.address);
    command.args(words);
    output_of(command)
}

/// The same, which must succeed; what it printed.
pub(super) fn done(place: &Place, words: &[&str]) -> String {
    let ended = run(place, words);
    let log = String::from_utf8_lossy(&ended.stderr);
    assert!(ended.status.success(), "{words:?}: {log}");
    String::from_utf8(ended.stdout).expect("text")
}

impl Process {
    /// Starts on a database and waits until it listens.
    pub(super) fn start(database: &str) -> Self {
        let folder = Folder::new();
        let command = serving(&folder, database);
        Self::begin(command, folder).expect("it serves")
    }

    /// Starts a command that serves; none, with what it logged on standard error, where it ends
    /// before it listens.
    pub(super) fn begin(mut command: Command, folder: Folder) -> Option<Self> {
        let log = folder.path().join("log");
        let file = File::create(&log).expect("a temporary file can be made");
        let mut child = command
            .stdout(Stdio::piped())
            .stderr(file)
            .spawn()
            .expect("the binary starts");
        let out = child.stdout.as_mut().expect("its output is ours");
        let mut line = String::new();
        BufReader::with_capacity(1, out)
            .read_line(&mut line)
            .expect("text");
        let Some(base) = line.trim().strip_prefix("listening on ") else {
            let said = std::fs::read_to_string(&log).unwrap_or_default();
            eprintln!("it did not serve: {said}");
            let _ = child.wait();
            return None;
        };
        Some(Self {
            child,
            base: base.to_owned(),
            folder,
        })
    }

    /// Ends it at once, as a loss of power would.
    pub(super) fn kill(mut self) {
        self.child.kill().expect("it still runs");
        self.child.wait().expect("it ends");
    }

    /// Lets it finish what is under way.
    pub(super) fn stop(mut self) {
        self.signal("INT");
        assert!(self.ended());
    }

    /// Sends it a signal by its name.
    pub(super) fn signal(&self, name: &str) {
        let kill = format!("kill -{name} {}", self.child.id());
        let sent = Command::new("sh").args(["-c", &kill]).status();
        assert!(sent.expect("a shell is there").success());
    }

    /// Waits until it has ended by itself; true where it says that all is well.
    pub(super) fn ended(&mut self) -> bool {
        wait_for(&mut self.child, LONGEST_END).success()
    }

    /// Whether it still runs.
    pub(super) fn runs(&mut self) -> bool {
        self.child.try_wait().expect("it can be asked").is_none()
    }

    /// Its number.
    pub(super) fn id(&self) -> u32 {
        self.child.id()
    }

    /// What it has logged so far.
    pub(super) fn log(&self) -> String {
        std::fs::read_to_string(self.folder.path().join("log")).unwrap_or_default()
    }
}

impl Drop for Process {
    fn drop(&mut self) {
        // It has often ended already.
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}
