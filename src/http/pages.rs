//! What a person opens in a browser: `/`, `/docs/`, and the document behind it.
//!
//! Invariant: these pages ask nothing of any other host; the documentation page is built in and
//! its validator badge, which would call outside, is off.

use super::base_path::BasePath;
use super::routes::Described;
use actix_web::{
    HttpResponse, get,
    http::header,
    web::{Data, ServiceConfig},
};
use utoipa_swagger_ui::{Config, SwaggerUi};

const FRONT: &str = "<!doctype html>
<html lang=\"en\">
<meta charset=\"utf-8\">
<meta name=\"viewport\" content=\"width=device-width\">
<title>crossfall</title>
<h1>crossfall</h1>
<p>Judges, takes off, schedules and prices small concrete access ramps.
This is a service for other programs; there is nothing to fill in here.</p>
<ul>
<li><a href=\"{base}/docs/\">Calls, with examples to try</a></li>
<li><a href=\"{base}/openapi.json\">The OpenAPI document</a></li>
<li><a href=\"{base}/readyz\">Is it ready</a></li>
</ul>
";

#[get("/")]
async fn get_front(base: Data<BasePath>) -> HttpResponse {
    HttpResponse::Ok()
        .content_type("text/html; charset=utf-8")
        .body(FRONT.replace("{base}", &base.before("")))
}

#[get("/openapi.json")]
async fn get_document(described: Data<Described>) -> HttpResponse {
    HttpResponse::Ok()
        .content_type("application/json")
        .body(described.text().to_owned())
}

#[get("/docs")]
async fn get_docs() -> HttpResponse {
    HttpResponse::PermanentRedirect()
        .insert_header((header::LOCATION, "docs/"))
        .finish()
}

/// Installs the pages.
pub(super) fn configure(config: &mut ServiceConfig) {
    // The address is relative to the page, so that it holds behind a proxy that adds a prefix.
    let settings = Config::from("../openapi.json").validator_url("none");
    config
        .service(get_front)
        .service(get_document)
        .service(get_docs)
        .service(SwaggerUi::new("/docs/{part:.*}").config(settings));
}
