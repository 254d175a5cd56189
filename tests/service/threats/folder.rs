//! What may lie in the folder of an office's own rules beside rules.

use crate::launched::{Folder, settings};
use crossfall::startup::Service;
use std::{path::Path, process::Command, time::Duration};

/// An invented county's amendment, as the README shows it.
const COUNTY: &str = include_str!("../../../examples/rules/mill-county.toml");

/// What starting with a folder says, within a time in which it either starts or refuses.
async fn started(folder: &Folder) -> Result<(), String> {
    let home = Folder::new();
    let mut config = settings(&home);
    config.rules = Some(folder.path().to_owned());
    let (tell, told) = tokio::sync::oneshot::channel();
    // A thread of its own: one that waits for ever would keep a runtime from its end.
    std::thread::spawn(move || {
        let built = actix_web::rt::System::new().block_on(Service::build(config));
        tell.send(built.map(drop).map_err(|error| format!("{error:#}")))
    });
    let within = tokio::time::timeout(Duration::from_secs(20), told).await;
    within.expect("it says so at once").expect("no panic")
}

fn link(to: &Path, folder: &Folder) {
    let name = folder.path().join("linked.toml");
    std::os::unix::fs::symlink(to, name).expect("a link can be made");
}

#[actix_web::test]
async fn what_is_no_file_is_never_opened() {
    let piped = Folder::new();
    let pipe = piped.path().join("pipe.toml");
    let made = Command::new("mkfifo").arg(&pipe).status();
    assert!(made.expect("it runs").success());
    let endless = Folder::new();
    link(Path::new("/dev/zero"), &endless);
    let nested = Folder::new();
    std::fs::create_dir(nested.path().join("folder.toml")).expect("a folder can be made");
    for folder in [piped, endless, nested] {
        let said = started(&folder).await.expect_err("it is no rule set");
        assert!(said.contains("is no file"), "{said}");
    }
}

#[actix_web::test]
async fn a_link_to_a_file_is_read_and_a_large_or_deep_one_refused() {
    let linked = Folder::new();
    let elsewhere = Folder::new();
    link(&elsewhere.file("county", COUNTY), &linked);
    assert_eq!(started(&linked).await, Ok(()));
    let large = Folder::new();
    large.file(
        "large.toml",
        &format!("{COUNTY}\n#{}", "x".repeat(1024 * 1024)),
    );
    let said = started(&large).await.expect_err("too large");
    assert!(said.contains("is larger than"), "{said}");
    let deep = Folder::new();
    let (open, shut) = ("[".repeat(100_000), "]".repeat(100_000));
    deep.file("deep.toml", &format!("id = {open}{shut}"));
    let tables = format!("[{}]\nid = 1", vec!["a"; 20_000].join("."));
    deep.file("tables.toml", &tables);
    let said = started(&deep).await.expect_err("too deep");
    assert!(
        said.contains("deep.toml") && said.contains("tables.toml"),
        "{said}"
    );
    assert!(said.len() < 20_000, "{} characters", said.len());
}
