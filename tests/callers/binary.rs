//! The real binary on a free port of loopback, with a book of its own, ended when the test ends.

use std::{
    fs,
    io::{BufRead as _, BufReader},
    path::{Path, PathBuf},
    process::{Child, Command, Stdio},
    sync::atomic::{AtomicUsize, Ordering},
};

/// Name of the file of settings, where there is one.
const SETTINGS: &str = "settings.toml";

/// The running binary.
pub(crate) struct Binary {
    child: Child,
    /// A folder of its own, which goes away with it.
    pub(crate) folder: PathBuf,
    /// Where it listens.
    pub(crate) base: String,
}

impl Binary {
    pub(crate) fn start() -> Self {
        Self::start_in(new_folder())
    }

    /// One that has a key, and so asks everybody for one; the key's role is given.
    pub(crate) fn guarded(role: &str) -> (Self, String) {
        let folder = new_folder();
        let key = add_key(&folder, &["--role", role]);
        (Self::start_in(folder), key)
    }

    /// One that has a file of settings and a key, which may call as often as it likes.
    pub(crate) fn busy(role: &str, settings: impl FnOnce(&Path) -> String) -> (Self, String) {
        let folder = new_folder();
        let text = settings(&folder);
        fs::write(folder.join(SETTINGS), text).expect("a place for settings");
        let key = add_key(&folder, &["--role", role, "--per-minute", "1000000"]);
        (Self::start_in(folder), key)
    }

    /// One with a file of settings, which may lie beside other files of its folder.
    pub(crate) fn set(settings: impl FnOnce(&Path) -> String) -> Self {
        let folder = new_folder();
        let text = settings(&folder);
        fs::write(folder.join(SETTINGS), text).expect("a place for settings");
        Self::start_in(folder)
    }

    fn start_in(folder: PathBuf) -> Self {
        let log = fs::File::create(folder.join("log")).expect("a place for the log");
        let mut child = command(&folder)
            .env("CROSSFALL_LISTEN", "127.0.0.1:0")
            .stdout(Stdio::piped())
            .stderr(log)
            .spawn()
            .expect("the binary starts");
        let out = child.stdout.take().expect("its output is ours");
        let mut line = String::new();
        let read = BufReader::new(out).read_line(&mut line);
        read.expect("a line comes");
        let base = line.trim().strip_prefix("listening on ");
        let base = base.expect("the line names the address").to_owned();
        Self {
            child,
            folder,
            base,
        }
    }
}

/// Makes a key in the book of a folder.
fn add_key(folder: &Path, further: &[&str]) -> String {
    let add = ["keys", "add", "--name", "a caller"];
    let output = command(folder).args(add).args(further).output();
    let output = output.expect("the binary starts");
    let key = String::from_utf8(output.stdout).expect("text");
    assert!(output.status.success() && !key.is_empty(), "no key made");
    key.trim().to_owned()
}

/// A folder that nobody else has.
fn new_folder() -> PathBuf {
    static NUMBER: AtomicUsize = AtomicUsize::new(0);
    let number = NUMBER.fetch_add(1, Ordering::Relaxed);
    let name = format!("callers-{}-{number}", std::process::id());
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(name);
    fs::create_dir_all(&folder).expect("a place for the book");
    folder
}

/// The binary on the book of a folder, with nothing else in its environment.
fn command(folder: &Path) -> Command {
    let book = format!("sqlite://{}", folder.join("book.db").display());
    let mut command = Command::new(env!("CARGO_BIN_EXE_crossfall"));
    command.env_clear().env("CROSSFALL_DATABASE_URL", book);
    let settings = folder.join(SETTINGS);
    if settings.exists() {
        command.env("CROSSFALL_CONFIG", settings);
    }
    command
}

impl Drop for Binary {
    fn drop(&mut self) {
        // Whatever is left of them harms nobody.
        let _ = self.child.kill();
        let _ = self.child.wait();
        let _ = fs::remove_dir_all(&self.folder);
    }
}
