//! The path below which everything is served, for a proxy that shares one name among several programs.
//!
//! Invariants: it is taken off before anything else looks at a request, so that no other part knows of it;
//! what is not below it is not served; what leads back to us begins with it. Absent: a proxy that takes the
//! path off by itself, which needs none of this.

use super::problem::ApiError;
use actix_web::{
    Error, HttpMessage as _, HttpRequest,
    body::MessageBody,
    dev::{ServiceRequest, ServiceResponse},
    http::uri::{PathAndQuery, Uri},
    middleware::Next,
    web::Data,
};
use serde_json::{Value, json};

/// What stands before every path; empty where nothing does.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct BasePath(String);

/// Marks a request that is not below the base path.
#[derive(Clone, Copy, Debug)]
struct Outside;

impl BasePath {
    /// What the operator set: nothing, or whole parts such as `/ramps`.
    pub fn new(text: &str) -> Self {
        Self(text.to_owned())
    }

    /// A path of ours as a caller has to write it.
    pub fn before(&self, path: &str) -> String {
        format!("{}{path}", self.0)
    }

    /// The document for callers, who reach us below this path.
    pub(super) fn tell(&self, document: &mut Value) {
        if !self.0.is_empty() {
            document["servers"] = json!([{"url": self.0}]);
        }
    }

    /// The target without this path; none where it is not below it.
    fn strip(&self, uri: &Uri) -> Option<Uri> {
        let below = uri.path().strip_prefix(self.0.as_str())?;
        let path = match below.chars().next() {
            None => "/",
            Some('/') => below,
            Some(_) => return None,
        };
        let target = match uri.query() {
            Some(query) => format!("{path}?{query}"),
            None => path.to_owned(),
        };
        let mut parts = uri.clone().into_parts();
        parts.path_and_query = Some(PathAndQuery::try_from(target).ok()?);
        Uri::from_parts(parts).ok()
    }
}

/// Middleware: takes the base path off.
pub async fn take_off<B: MessageBody>(
    base: Data<BasePath>,
    mut request: ServiceRequest,
    next: Next<B>,
) -> Result<ServiceResponse<B>, Error> {
    if !base.0.is_empty() {
        match base.strip(request.uri()) {
            Some(uri) => {
                request.match_info_mut().get_mut().update(&uri);
                request.head_mut().uri = uri;
            }
            None => drop(request.extensions_mut().insert(Outside)),
        }
    }
    next.call(request).await
}

/// The path of a request as its caller wrote it, to lead back to.
pub(super) fn own_path(request: &HttpRequest) -> String {
    match request.app_data::<Data<BasePath>>() {
        Some(base) => base.before(request.path()),
        None => request.path().to_owned(),
    }
}

/// Refuses what is not below the base path.
pub(super) fn check_below(request: &ServiceRequest) -> Result<(), ApiError> {
    match request.extensions().get::<Outside>() {
        None => Ok(()),
        Some(Outside) => Err(ApiError::NotFound(
            "Nothing is served here; this service is reached under another base path.".to_owned(),
        )),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_what_is_below_it_is_served() {
        let base = BasePath::new("/ramps");
        let stripped = |target: &str| {
            let uri: Uri = target.parse().expect("a target");
            base.strip(&uri).map(|uri| uri.to_string())
        };
        assert_eq!(stripped("/ramps").as_deref(), Some("/"));
        assert_eq!(stripped("/ramps/").as_deref(), Some("/"));
        assert_eq!(stripped("/ramps/livez?a=b").as_deref(), Some("/livez?a=b"));
        assert_eq!(stripped("/ramps?a=b").as_deref(), Some("/?a=b"));
        for outside in [
            "/",
            "/rampsx/livez",
            "/livez",
            "/Ramps/livez",
            "//ramps/livez",
        ] {
            assert_eq!(stripped(outside), None, "{outside}");
        }
    }
}
