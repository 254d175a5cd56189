//! Making, listing and revoking keys with the real binary.

use crate::launched::{Binary, Folder, client, command, output_of};
use sha2::{Digest as _, Sha256};
use std::fmt::Write as _;

/// Runs `keys …` on the book of a folder: exit code, standard output, standard error.
pub(crate) fn keys(home: &Folder, words: &[&str]) -> (Option<i32>, String, String) {
    let mut asked = command(home);
    asked.arg("keys").args(words);
    let ended = output_of(asked);
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).expect("text");
    (ended.status.code(), text(ended.stdout), text(ended.stderr))
}

/// The hash of a key, as it is kept.
pub(crate) fn hash(key: &str) -> String {
    let digest = Sha256::digest(key.as_bytes());
    digest.iter().fold(String::new(), |mut all, byte| {
        write!(all, "{byte:02x}").expect("writing to a text cannot fail");
        all
    })
}

#[test]
fn a_key_is_shown_once_when_it_is_made() {
    let home = Folder::new();
    let (code, out, log) = keys(
        &home,
        &[
            "add",
            "--name",
            "the office",
            "--role",
            "prices",
            "--per-minute",
            "30",
        ],
    );
    assert_eq!(code, Some(0), "{log}");
    let key = out.strip_suffix('\n').expect("a whole line");
    let id = log.trim().strip_prefix("id ").expect("its id");
    assert!(
        key.starts_with(&format!("cf_{id}_")) && key.len() == 80,
        "{key}"
    );
    let (code, list, log) = keys(&home, &["list"]);
    assert_eq!((code, log.as_str()), (Some(0), ""));
    let row = list.lines().nth(1).expect("a row below the heading");
    for part in [id, "the office", "prices", "30"] {
        assert!(row.contains(part), "{part} in {row}");
    }
    assert!(
        !list.contains(&key[16..]) && !list.contains(&hash(key)),
        "{list}"
    );
}

#[test]
fn a_key_is_revoked_once_and_stays_in_the_list() {
    let home = Folder::new();
    let (_, _, log) = keys(&home, &["add", "--name", "a", "--role", "cell"]);
    let id = log.trim().strip_prefix("id ").expect("its id");
    assert_eq!(keys(&home, &["revoke", id]).0, Some(0));
    let (code, out, log) = keys(&home, &["revoke", id]);
    assert_eq!((code, out.as_str()), (Some(1), ""));
    assert!(log.contains(id) && log.contains("already"), "{log}");
    assert_eq!(keys(&home, &["revoke", "000000000000"]).0, Some(1));
    let (_, list, _) = keys(&home, &["list"]);
    let row = list.lines().nth(1).expect("a row below the heading");
    let instants = row.matches('Z').count();
    assert!(
        row.starts_with(id) && instants == 2,
        "made and revoked: {row}"
    );
}

#[test]
fn what_cannot_be_a_key_is_refused() {
    let home = Folder::new();
    let long = "x".repeat(65);
    for words in [
        &["add", "--name", "a", "--role", "owner"][..],
        &["add", "--name", "", "--role", "cell"],
        &["add", "--name", "a\nb", "--role", "cell"],
        &["add", "--name", &long, "--role", "cell"],
        &["add", "--name", "a", "--role", "cell", "--per-minute", "0"],
        &["add", "--role", "cell"],
        &["add", "--name", "a"],
    ] {
        let (code, out, _) = keys(&home, words);
        assert!(code != Some(0) && out.is_empty(), "{words:?}");
    }
    assert_eq!(
        keys(&home, &["list"]).1.lines().count(),
        1,
        "the heading alone"
    );
}

#[actix_web::test]
async fn a_running_service_asks_for_a_key_within_a_second_of_the_first() {
    let binary = Binary::serve(&[]);
    let url = format!("http://{}/v1/price-books", binary.address());
    let status = async |key: &str| {
        let asked = client().get(&url).bearer_auth(key).send().await;
        asked.expect("an answer").status().as_u16()
    };
    assert_eq!(status("none").await, 200);
    let (code, out, log) = keys(&binary.folder, &["add", "--name", "a", "--role", "admin"]);
    assert_eq!(code, Some(0), "{log}");
    tokio::time::sleep(std::time::Duration::from_secs(1)).await;
    assert_eq!(status("none").await, 401);
    assert_eq!(status(out.trim()).await, 200);
    let audit = format!("http://{}/v1/audit", binary.address());
    let rows = client().get(audit).bearer_auth(out.trim()).send().await;
    let rows: serde_json::Value = rows.expect("an answer").json().await.expect("JSON");
    assert_eq!(rows["rows"][0]["caller"], "command line", "{rows}");
    assert_eq!(rows["rows"][0]["action"], "key.add", "{rows}");
}
