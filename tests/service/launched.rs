//! The real service on a free port with a book of its own: in this process, or as the real binary.

use crossfall::{
    config::{Config, StopSettings},
    http::bounds::Bounds,
    startup::Service,
};
use reqwest::{Client, RequestBuilder, Response, header::CONTENT_TYPE};
use secrecy::SecretString;
use serde_json::Value;
use std::{
    io::{BufRead as _, BufReader, Read as _},
    path::{Path, PathBuf},
    process::{Child, Command, ExitStatus, Output, Stdio},
    sync::atomic::{AtomicUsize, Ordering},
    time::{Duration, Instant},
};

/// A key that is long enough.
pub(crate) const KEY: &str = "a-key-for-tests-0123456789";

/// A folder that goes when the test ends.
pub(crate) struct Folder(PathBuf);

/// Items of the invented book that a first start loads: the rows of its table under the header.
pub(crate) fn demo_items() -> i64 {
    let table = include_str!("../../src/book/demo/items.csv");
    let rows = table.lines().filter(|row| !row.starts_with('#'));
    i64::try_from(rows.count()).expect("a small book") - 1
}

impl Folder {
    pub(crate) fn new() -> Self {
        static NUMBER: AtomicUsize = AtomicUsize::new(0);
        let number = NUMBER.fetch_add(1, Ordering::Relaxed);
        let name = format!("crossfall-test-{}-{number}", std::process::id());
        let path = std::env::temp_dir().join(name);
        std::fs::create_dir_all(&path).expect("a temporary folder can be made");
        Self(path)
    }

    pub(crate) fn path(&self) -> &Path {
        &self.0
    }

    /// Writes a file and names it.
    pub(crate) fn file(&self, name: &str, text: &str) -> PathBuf {
        let path = self.0.join(name);
        std::fs::write(&path, text).expect("a temporary file can be written");
        path
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        // A folder left behind in the temporary place harms nobody.
        let _ = std::fs::remove_dir_all(&self.0);
    }
}

/// Settings for a service with a book in `folder`.
pub(crate) fn settings(folder: &Folder) -> Config {
    let book = folder.path().join("book.db");
    Config {
        rules: None,
        config: None,
        default_book: "demo".to_owned(),
        listen: ([127, 0, 0, 1], 0).into(),
        database_url: Some(SecretString::from(format!("sqlite://{}", book.display()))),
        database_url_file: None,
        log: "warn".to_owned(),
        time_zone: chrono::FixedOffset::east_opt(0).expect("zero is an offset"),
        first_key_file: None,
        hosts: Vec::new(),
        offline_limit: Duration::from_secs(24 * 60 * 60),
        base_path: String::new(),
        trusted_proxies: Vec::new(),
        metrics_listen: None,
        stop: StopSettings {
            notice: Duration::from_secs(5),
            limit: Duration::from_secs(30),
        },
    }
}

/// A service running in this process.
pub(crate) struct Launched {
    pub(crate) base: String,
    pub(crate) counters: Option<String>,
    pub(crate) client: Client,
    _folder: Folder,
}

impl Launched {
    pub(crate) async fn start() -> Self {
        Self::start_with(|_, _| {}).await
    }

    pub(crate) async fn start_with(change: impl FnOnce(&mut Config, &Folder)) -> Self {
        let folder = Folder::new();
        let mut config = settings(&folder);
        change(&mut config, &folder);
        Self::start_on(config, folder).await
    }

    /// Starts with other bounds of what is borne.
    pub(crate) async fn start_within(bounds: Bounds) -> Self {
        let folder = Folder::new();
        let service = Service::build_within(settings(&folder), bounds).await;
        Self::running(service.expect("the service builds"), folder)
    }

    /// Starts with these settings; the folder goes when the service does.
    pub(crate) async fn start_on(config: Config, folder: Folder) -> Self {
        let service = Service::build(config).await.expect("the service builds");
        Self::running(service, folder)
    }

    fn running(service: Service, folder: Folder) -> Self {
        let base = format!("http://{}", service.address);
        let counters = service.counters.map(|address| format!("http://{address}"));
        actix_web::rt::spawn(service.run());
        Self {
            base,
            counters,
            client: client(),
            _folder: folder,
        }
    }

    pub(crate) fn get(&self, path: &str) -> RequestBuilder {
        self.client.get(format!("{}{path}", self.base))
    }

    pub(crate) fn post(&self, path: &str) -> RequestBuilder {
        self.client.post(format!("{}{path}", self.base))
    }
}

/// A client that follows nothing and asks no proxy.
pub(crate) fn client() -> Client {
    let builder = crossfall::clients::client().redirect(reqwest::redirect::Policy::none());
    builder.build().expect("a client can be built")
}

/// An amount of an answer in its smallest unit.
pub(crate) fn cents(amount: &Value) -> i64 {
    let text = amount.as_str().expect("an amount");
    text.replace('.', "").parse().expect("a number")
}

/// Sends a request and insists that the answer is a problem of this status.
pub(crate) async fn problem(request: RequestBuilder, status: u16) -> Value {
    problem_of(request.send().await.expect("an answer comes"), status).await
}

pub(crate) async fn problem_of(answer: Response, status: u16) -> Value {
    assert_eq!(answer.status().as_u16(), status);
    let kind = answer
        .headers()
        .get(CONTENT_TYPE)
        .expect("a media type")
        .clone();
    assert_eq!(kind, "application/problem+json");
    let body: Value = answer.json().await.expect("a problem is JSON");
    assert_eq!(body["status"], status);
    for member in ["type", "title", "detail"] {
        assert!(
            body[member].as_str().is_some_and(|text| !text.is_empty()),
            "{member} in {body}"
        );
    }
    body
}

/// The real binary, ended when the test ends.
pub(crate) struct Binary {
    child: Child,
    pub(crate) line: String,
    pub(crate) folder: Folder,
}

impl Binary {
    /// Starts it on a free port and reads the line that names the address.
    pub(crate) fn serve(words: &[&str]) -> Self {
        let folder = Folder::new();
        let mut child = command(&folder)
            .args(words)
            .env("CROSSFALL_LISTEN", "127.0.0.1:0")
            .stdout(Stdio::piped())
            // A file, not a pipe: nobody empties a pipe while the binary runs, and a full one stops it.
            .stderr(log_file(&folder))
            .spawn()
            .expect("the binary starts");
        let mut line = String::new();
        let out = child.stdout.as_mut().expect("its output is ours");
        BufReader::with_capacity(1, out)
            .read_line(&mut line)
            .expect("a line comes");
        Self {
            child,
            line,
            folder,
        }
    }

    pub(crate) fn address(&self) -> &str {
        self.line
            .trim()
            .strip_prefix("listening on http://")
            .expect("the line names the address")
    }

    pub(crate) fn id(&self) -> u32 {
        self.child.id()
    }

    pub(crate) fn signal(&self, name: &str) {
        let kill = format!("kill -{name} {}", self.child.id());
        let sent = Command::new("sh")
            .args(["-c", &kill])
            .status()
            .expect("a shell is there");
        assert!(sent.success());
    }

    /// What it has said so far.
    pub(crate) fn said(&self) -> String {
        std::fs::read_to_string(self.folder.path().join(LOG)).expect("the log is there")
    }

    /// Waits for the end: success, the rest of standard output, standard error.
    pub(crate) fn end(mut self) -> (bool, String, String) {
        let success = wait_for(&mut self.child, LONGEST_END).success();
        let mut out = String::new();
        let pipe = self.child.stdout.as_mut().expect("ours");
        pipe.read_to_string(&mut out).expect("text");
        let log = std::fs::read(self.folder.path().join(LOG)).expect("the log is there");
        let log = String::from_utf8(log).expect("text");
        (success, out, log)
    }
}

impl Drop for Binary {
    fn drop(&mut self) {
        // It has usually ended by itself.
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// Runs a command that has to end by itself and says little enough to fit a pipe.
pub(crate) fn output_of(mut command: Command) -> Output {
    let piped = command.stdout(Stdio::piped()).stderr(Stdio::piped());
    let mut child = piped.spawn().expect("it starts");
    wait_for(&mut child, LONGEST_END);
    child.wait_with_output().expect("its output is text")
}

/// Waits for an end that has to come: what serves by mistake fails its test and does not hang it.
pub(crate) fn wait_for(child: &mut Child, longest: Duration) -> ExitStatus {
    let start = Instant::now();
    while start.elapsed() < longest {
        if let Some(status) = child.try_wait().expect("it can be asked") {
            return status;
        }
        std::thread::sleep(Duration::from_millis(20));
    }
    // Whether or not it could be ended, the test has failed.
    let _ = child.kill();
    panic!("the binary still runs after {longest:?}");
}

/// Longer than a stop waits for requests under way.
const LONGEST_END: Duration = Duration::from_secs(45);

/// Name of the file that standard error goes to.
const LOG: &str = "log";

fn log_file(folder: &Folder) -> std::fs::File {
    std::fs::File::create(folder.path().join(LOG)).expect("a temporary file can be made")
}

/// The real binary with nothing of our environment but a home.
pub(crate) fn command(home: &Folder) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_crossfall"));
    command.env_clear().env("HOME", home.path());
    command
}

/// The kind and the bytes of a good answer.
pub(crate) async fn typed(service: &Launched, path: &str, body: &Value) -> (String, Vec<u8>) {
    let answer = service
        .post(path)
        .json(body)
        .send()
        .await
        .expect("an answer");
    assert_eq!(answer.status(), 200, "{path}");
    let kind = answer.headers()["content-type"]
        .to_str()
        .expect("ASCII")
        .to_owned();
    (kind, answer.bytes().await.expect("a body").to_vec())
}
