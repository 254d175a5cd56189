//! Answers where no route fits: unknown paths, wrong methods, OPTIONS.
//!
//! Invariant: the table of paths and methods comes from the OpenAPI document, so that `Allow` says
//! what the document says; what stands outside the document is listed in [`OUTSIDE`].

use super::{limits, problem::ApiError, routes::Described};
use actix_web::{
    HttpRequest, HttpResponse,
    dev::ResourceDef,
    http::{Method, header},
    web::{Data, Payload},
};

/// Paths served with GET that the document does not list.
const OUTSIDE: [&str; 4] = ["/", "/docs", "/docs/{part:.*}", "/openapi.json"];

/// Keys of an OpenAPI path item that are methods.
const METHODS: [&str; 5] = ["get", "put", "post", "delete", "patch"];

/// Which methods each path answers to.
pub(super) struct Methods(Vec<(ResourceDef, String)>);

impl Methods {
    /// Reads the paths of an OpenAPI document.
    pub(super) fn of(document: &serde_json::Value) -> Self {
        let listed = document.get("paths").and_then(|paths| paths.as_object());
        let inside = listed.into_iter().flatten().map(|(path, item)| {
            let has = |method: &&str| item.get(method).is_some();
            (path.as_str(), allow(METHODS.into_iter().filter(has)))
        });
        let outside = OUTSIDE
            .into_iter()
            .map(|path| (path, allow(["get"].into_iter())));
        Self(
            inside
                .chain(outside)
                .map(|(path, allow)| (ResourceDef::new(path), allow))
                .collect(),
        )
    }

    /// Value of `Allow` for `path`; `None` where nothing is served.
    fn at(&self, path: &str) -> Option<&str> {
        let fits = self.0.iter().find(|(resource, _)| resource.is_match(path));
        fits.map(|(_, allow)| allow.as_str())
    }
}

/// Value of `Allow`: HEAD comes with GET, OPTIONS always.
fn allow<'a>(methods: impl Iterator<Item = &'a str>) -> String {
    let mut names: Vec<String> = methods.map(str::to_ascii_uppercase).collect();
    if names.iter().any(|name| name == "GET") {
        names.push("HEAD".to_owned());
    }
    names.push("OPTIONS".to_owned());
    names.join(", ")
}

/// Handler of last resort.
pub(super) async fn answer_unmatched(
    request: HttpRequest,
    payload: Payload,
    described: Data<Described>,
) -> Result<HttpResponse, ApiError> {
    limits::drain(payload.into_inner()).await;
    match described.methods().at(request.match_info().as_str()) {
        None => Err(ApiError::NotFound(
            "Nothing is served at this path; /docs shows what there is.".to_owned(),
        )),
        Some(allow) if request.method() == Method::OPTIONS => Ok(HttpResponse::NoContent()
            .insert_header((header::ALLOW, allow))
            .finish()),
        Some(allow) => Err(ApiError::MethodNotAllowed {
            method: request.method().to_string(),
            allow: allow.to_owned(),
        }),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn allow_is_what_the_document_lists() {
        let document = serde_json::json!({"paths": {
            "/v1/books/{book}": {"get": {}, "put": {}, "parameters": []},
            "/v1/takeoff": {"post": {}},
        }});
        let methods = Methods::of(&document);
        assert_eq!(
            methods.at("/v1/books/demo"),
            Some("GET, PUT, HEAD, OPTIONS")
        );
        assert_eq!(methods.at("/v1/takeoff"), Some("POST, OPTIONS"));
        assert_eq!(methods.at("/docs/a/b.js"), Some("GET, HEAD, OPTIONS"));
        assert_eq!(methods.at("/v1/books/demo/x"), None);
    }
}
