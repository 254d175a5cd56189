//! Starting, stopping and asking after the real binary.

use crate::launched::{Binary, Folder, command, output_of};
use std::{
    io::{Read as _, Write as _},
    net::TcpStream,
    time::Duration,
};

fn output(home: &Folder, words: &[&str], variables: &[(&str, &str)]) -> (bool, String, String) {
    let mut asked = command(home);
    asked.args(words).envs(variables.iter().copied());
    let ended = output_of(asked);
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).expect("text");
    (
        ended.status.success(),
        text(ended.stdout),
        text(ended.stderr),
    )
}

#[test]
fn port_zero_prints_one_line_with_the_real_port() {
    for words in [
        &[][..],
        &["serve"],
        &["--log", "trace"],
        &["serve", "--log", "off"],
    ] {
        let binary = Binary::serve(words);
        let port: u16 = binary
            .address()
            .strip_prefix("127.0.0.1:")
            .expect("loopback")
            .parse()
            .expect("a port");
        assert!(port > 0);
        assert!(TcpStream::connect(("127.0.0.1", port)).is_ok());
        binary.signal("INT");
        let (success, rest, log) = binary.end();
        assert!(success, "{words:?}: {log}");
        assert_eq!(rest, "", "{words:?}: standard output holds one line");
    }
}

#[test]
fn a_stop_finishes_the_request_under_way() {
    let binary = Binary::serve(&["--stop-notice", "1s"]);
    let mut stream = TcpStream::connect(binary.address()).expect("it listens");
    let head = "POST /v1/nothing HTTP/1.1\r\nHost: localhost\r\nContent-Length: 2\r\n\r\n{";
    stream.write_all(head.as_bytes()).expect("it reads");
    // The half that was sent must have arrived before the signal does.
    std::thread::sleep(Duration::from_millis(300));
    binary.signal("TERM");
    // Past the notice, so that the door has closed and the stop itself is under way.
    std::thread::sleep(Duration::from_millis(1500));
    stream
        .write_all(b"}")
        .expect("the connection is still open");
    let mut answer = String::new();
    stream
        .read_to_string(&mut answer)
        .expect("an answer and the end");
    assert!(
        answer.starts_with("HTTP/1.1 404") && answer.contains("/problems/not-found"),
        "{answer}"
    );
    let (success, _, log) = binary.end();
    assert!(success && log.contains("stopping"), "{log}");
}

#[test]
fn a_supervised_stop_turns_readiness_off_before_the_door_closes() {
    let binary = Binary::serve(&["--stop-notice", "1s"]);
    let ask = |path: &str| {
        let mut stream = TcpStream::connect(binary.address()).ok()?;
        let head = format!("GET {path} HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n");
        stream.write_all(head.as_bytes()).ok()?;
        let mut answer = String::new();
        stream.read_to_string(&mut answer).ok()?;
        Some(answer)
    };
    let starts =
        |path: &str, start: &str| ask(path).is_some_and(|answer| answer.starts_with(start));
    assert!(starts("/readyz", "HTTP/1.1 200"));
    binary.signal("TERM");
    std::thread::sleep(Duration::from_millis(200));
    let stopping = ask("/readyz").expect("the door is still open");
    assert!(
        stopping.starts_with("HTTP/1.1 503") && stopping.contains("retry-after: "),
        "{stopping}"
    );
    assert!(starts("/livez", "HTTP/1.1 200"));
    std::thread::sleep(Duration::from_millis(1500));
    assert!(ask("/livez").is_none(), "nobody new is let in");
    let (good, _, log) = binary.end();
    assert!(good);
    assert!(
        !log.contains("Temporarily unavailable"),
        "asked again and again: {log}"
    );
}

#[test]
fn the_health_check_tells_by_its_exit_code() {
    let home = Folder::new();
    let binary = Binary::serve(&[]);
    let (ready, out, _) = output(
        &home,
        &["healthcheck"],
        &[("CROSSFALL_LISTEN", binary.address())],
    );
    assert!(ready && out.is_empty());
    let (ready, ..) = output(
        &home,
        &["healthcheck"],
        &[("CROSSFALL_LISTEN", "127.0.0.1:1")],
    );
    assert!(!ready);
    let port = binary.address().rsplit(':').next().expect("a port");
    let (ready, ..) = output(
        &home,
        &["healthcheck", "--listen", &format!("0.0.0.0:{port}")],
        &[],
    );
    assert!(ready, "an address for all interfaces is asked on loopback");
}

#[cfg(unix)]
#[test]
fn a_book_is_made_for_its_owner_alone() {
    use std::os::unix::fs::PermissionsExt as _;
    let home = Folder::new();
    let book = home.path().join("book.db");
    let address = format!("sqlite://{}", book.display());
    let copy = home.path().join("copy.db");
    let copied = copy.to_str().expect("text");
    let words = ["book", "backup", copied, "--database-url", &address];
    assert!(output(&home, &["migrate", "--database-url", &address], &[]).0);
    let (done, _, log) = output(&home, &words, &[]);
    assert!(done, "{log}");
    for file in [&book, &copy] {
        let mode = std::fs::metadata(file)
            .expect("it is made")
            .permissions()
            .mode();
        assert_eq!(mode & 0o777, 0o600, "{}", file.display());
    }
}

#[test]
fn a_default_book_that_is_not_there_is_told_at_the_start() {
    let binary = Binary::serve(&["--default-book", "yard"]);
    let log = binary.said();
    assert!(
        log.contains("CROSSFALL_DEFAULT_BOOK") && log.contains("yard"),
        "{log}"
    );
}

#[test]
fn an_unknown_variable_of_ours_stops_the_start() {
    let home = Folder::new();
    let (success, out, log) = output(&home, &["openapi"], &[("CROSSFALL_LISTNE", "127.0.0.1:0")]);
    assert!(!success && out.is_empty());
    assert!(
        log.contains("CROSSFALL_LISTNE") && log.contains("CROSSFALL_DATABASE_URL_FILE"),
        "{log}"
    );
}

#[test]
fn a_taken_address_is_one_line_of_error() {
    let binary = Binary::serve(&[]);
    let (success, out, log) = output(
        &binary.folder,
        &[],
        &[("CROSSFALL_LISTEN", binary.address())],
    );
    assert!(!success && out.is_empty());
    assert!(log.contains("crossfall: listening on"), "{log}");
}

#[test]
fn a_book_that_is_none_is_named_and_told_once() {
    let home = Folder::new();
    let noise = home.file("book.db", &"no database ".repeat(1000));
    let address = format!("sqlite://{}", noise.display());
    let (success, _, log) = output(&home, &["--database-url", &address], &[]);
    assert!(!success && log.contains("book.db"), "{log}");
    assert_eq!(log.matches("file is not a database").count(), 1, "{log}");
}

#[test]
fn the_address_of_the_database_is_never_shown() {
    let home = Folder::new();
    let url = [("CROSSFALL_DATABASE_URL", "mysql://owner:hidden-word@db/x")];
    let (success, out, log) = output(&home, &[], &url);
    assert!(!success && out.is_empty());
    assert!(
        log.contains("postgres://") && !log.contains("hidden-word"),
        "{log}"
    );
    let (_, help, _) = output(&home, &["--help"], &url);
    assert!(
        help.contains("CROSSFALL_DATABASE_URL") && !help.contains("hidden-word"),
        "{help}"
    );
}
