//! Who is let in: keys, names, origins, and the refusal to start open to everybody.

use crate::launched::{
    Binary, Folder, KEY, Launched, command, output_of, problem, problem_of, settings,
};
use crossfall::startup::Service;

async fn with_key() -> Launched {
    Launched::start_with(|config, folder| {
        config.first_key_file = Some(folder.file("key", &format!("{KEY}\n")));
    })
    .await
}

#[actix_web::test]
async fn once_a_key_exists_every_call_needs_it() {
    let service = with_key().await;
    let answer = service.get("/v1/nothing").send().await.expect("an answer");
    assert_eq!(answer.headers()["www-authenticate"], "Bearer");
    problem_of(answer, 401).await;
    problem(service.post("/v1/nothing").body("x".repeat(100_000)), 401).await;
    problem(
        service
            .get("/v1/nothing")
            .bearer_auth("not-the-key-0123456789012"),
        401,
    )
    .await;
    problem(service.get("/%761/nothing"), 401).await;
    problem(service.get("/v1/nothing").bearer_auth(KEY), 404).await;
    problem(service.get("/v1/nothing").header("X-API-Key", KEY), 404).await;
}

#[actix_web::test]
async fn health_and_documentation_are_open_to_all() {
    let service = with_key().await;
    for path in [
        "/livez",
        "/readyz",
        "/openapi.json",
        "/docs/",
        "/docs/swagger-ui.css",
        "/",
    ] {
        assert_eq!(
            service.get(path).send().await.expect("an answer").status(),
            200,
            "{path}"
        );
    }
}

#[actix_web::test]
async fn on_loopback_no_key_is_needed_until_the_first_exists() {
    let service = Launched::start().await;
    problem(service.get("/v1/nothing"), 404).await;
}

#[actix_web::test]
async fn loopback_answers_to_its_own_names_only() {
    let service =
        Launched::start_with(|config, _| config.hosts = vec!["ramp.example".into()]).await;
    for host in [
        "localhost",
        "localhost:8080",
        "127.0.0.1",
        "[::1]:8080",
        "ramp.example",
    ] {
        let answer = service
            .get("/livez")
            .header("Host", host)
            .send()
            .await
            .expect("an answer");
        assert_eq!(answer.status(), 200, "{host}");
    }
    problem(service.get("/livez").header("Host", "evil.example"), 403).await;
}

#[actix_web::test]
async fn a_write_from_a_foreign_page_is_refused() {
    let service = Launched::start().await;
    let foreign = service
        .post("/v1/nothing")
        .header("Origin", "https://evil.example");
    problem(foreign, 403).await;
    let own = service
        .post("/v1/nothing")
        .header("Origin", service.base.clone());
    problem(own, 404).await;
    let read = service
        .get("/livez")
        .header("Origin", "https://evil.example");
    assert_eq!(read.send().await.expect("an answer").status(), 200);
}

#[actix_web::test]
async fn beyond_loopback_nothing_starts_without_a_key() {
    let folder = Folder::new();
    let mut config = settings(&folder);
    config.listen = ([0, 0, 0, 0], 0).into();
    let refused = Service::build(config.clone())
        .await
        .err()
        .expect("it must not start");
    assert!(
        refused.to_string().contains("CROSSFALL_FIRST_KEY_FILE"),
        "{refused}"
    );
    config.first_key_file = Some(folder.file("short", "nineteen-characters"));
    let refused = Service::build(config.clone())
        .await
        .err()
        .expect("a short key is none");
    assert!(refused.to_string().contains("20"), "{refused}");
    config.first_key_file = Some(folder.file("key", KEY));
    assert!(Service::build(config).await.is_ok());
}

#[test]
fn the_binary_refuses_to_start_open_and_says_why() {
    let folder = Folder::new();
    let mut open = command(&folder);
    open.env("CROSSFALL_LISTEN", "0.0.0.0:0");
    let ended = output_of(open);
    assert!(!ended.status.success());
    assert!(
        ended.stdout.is_empty(),
        "nothing listens, so nothing is announced"
    );
    assert!(String::from_utf8_lossy(&ended.stderr).contains("CROSSFALL_FIRST_KEY_FILE"));
}

#[test]
fn a_key_never_gets_into_the_log() {
    let binary = Binary::serve(&["--log", "trace"]);
    let url = format!("http://{}/v1/nothing?key={KEY}", binary.address());
    let asked = std::process::Command::new(env!("CARGO_BIN_EXE_crossfall"))
        .env_clear()
        .env("CROSSFALL_LISTEN", binary.address())
        .arg("healthcheck")
        .status();
    assert!(asked.expect("it runs").success());
    let runtime = actix_web::rt::System::new();
    let answer = runtime.block_on(crate::launched::client().get(url).bearer_auth(KEY).send());
    assert_eq!(answer.expect("an answer").status(), 404);
    binary.signal("TERM");
    let (success, _, log) = binary.end();
    assert!(
        success && log.contains("/v1/nothing") && log.contains("\"status\":404"),
        "{log}"
    );
    assert!(!log.contains(KEY), "{log}");
}
