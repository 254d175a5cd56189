//! What every request passes before it is routed.
//!
//! Invariants: limits, `Host` and `Origin`, then the key, its rate and its role, in this order and
//! nowhere else; a refused body is drained first, so that the caller sees the refusal; a key in the
//! query goes no further than here. Absent: anything that depends on what the resource does.

use super::{
    base_path,
    keys::{KEY_IN_QUERY, Keys},
    limits,
    origin::Hosts,
    problem::ApiError,
    rate::Rates,
    roles::{Need, is_figure, needed_as_sent},
};
use crate::book::Caller;
use actix_web::{
    Error, HttpMessage as _, HttpResponse, ResponseError as _,
    body::{self, BoxBody, MessageBody},
    dev::{ServiceRequest, ServiceResponse},
    http::{
        Method, Uri,
        uri::{InvalidUri, PathAndQuery},
    },
    middleware::Next,
    web::Data,
};

/// Who is let in.
#[derive(Debug, Default)]
pub struct Gate {
    keys: Keys,
    hosts: Hosts,
    rates: Rates,
}

impl Gate {
    /// Lets in those with one of `keys`, to one of `hosts`.
    pub fn new(keys: Keys, hosts: Hosts) -> Self {
        Self {
            keys,
            hosts,
            rates: Rates::default(),
        }
    }

    /// Who calls; none where nobody asks.
    fn admit(&self, request: &ServiceRequest) -> Result<Option<Caller>, ApiError> {
        limits::check_head(request)?;
        self.hosts.check(request)?;
        base_path::check_below(request)?;
        let (sent, routed) = (request.uri().path(), request.match_info().as_str());
        let need = needed_as_sent(request.method(), sent, routed);
        if need == Need::Open {
            return Ok(None);
        }
        let caller = self.keys.caller(request)?;
        if self.keys.any() {
            self.rates.check(&caller)?;
        }
        if need.allows(caller.role) {
            return Ok(Some(caller));
        }
        Err(ApiError::Forbidden(refusal(need, &caller)))
    }
}

/// Names the roles that would do.
fn refusal(need: Need, caller: &Caller) -> String {
    let roles: Vec<String> = match need {
        Need::OneOf(roles) => roles.iter().map(|role| format!("`{role}`")).collect(),
        Need::Open | Need::AnyKey => Vec::new(),
    };
    format!(
        "This call needs a key of role {}; the key sent has the role `{}`.",
        roles.join(" or "),
        caller.role
    )
}

/// Middleware: refuses what may not come in, and routes HEAD as GET.
///
/// The HTTP codec has noted the method by then and leaves the body out of the answer, so every
/// GET answers to HEAD with the headers it would send.
pub(super) async fn pass_gate(
    gate: Data<Gate>,
    mut request: ServiceRequest,
    next: Next<impl MessageBody + 'static>,
) -> Result<ServiceResponse<BoxBody>, Error> {
    if request.method() == Method::CONNECT {
        // What follows it has no end that could be waited for.
        let refusal = ApiError::BadRequest("This service is not a proxy.".to_owned());
        return Ok(request.into_response(refusal.error_response()));
    }
    match gate.admit(&request) {
        Ok(Some(caller)) => drop(request.extensions_mut().insert(caller)),
        Ok(None) => {}
        Err(refusal) => {
            limits::drain(request.take_payload()).await;
            return Ok(request.into_response(refusal.error_response()));
        }
    }
    if request.method() == Method::HEAD && is_figure(request.match_info().as_str()) {
        // A spreadsheet looks before it reads; nothing is worked out for that.
        return Ok(request.into_response(HttpResponse::Ok().body(body::None::new())));
    }
    // What cannot be written again holds no key that could be read.
    if let Ok(Some(uri)) = without_key(request.uri()) {
        request.head_mut().uri = uri;
    }
    if request.method() == Method::HEAD {
        request.head_mut().method = Method::GET;
    }
    Ok(next.call(request).await?.map_into_boxed_body())
}

/// The target without a key in its query; none where there is no such key.
fn without_key(uri: &Uri) -> Result<Option<Uri>, InvalidUri> {
    let Some(query) = uri.query() else {
        return Ok(None);
    };
    let is_key = |part: &&str| part.split('=').next() == Some(KEY_IN_QUERY);
    if !query.split('&').any(|part| is_key(&part)) {
        return Ok(None);
    }
    let kept: Vec<&str> = query.split('&').filter(|part| !is_key(part)).collect();
    let target = match kept.is_empty() {
        true => uri.path().to_owned(),
        false => format!("{}?{}", uri.path(), kept.join("&")),
    };
    let mut parts = uri.clone().into_parts();
    parts.path_and_query = Some(PathAndQuery::try_from(target)?);
    Ok(Uri::from_parts(parts).ok())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_key_in_the_query_goes_no_further() {
        let left = |target: &str| {
            let uri = target.parse().expect("a target");
            without_key(&uri)
                .expect("it can be written")
                .map(|uri| uri.to_string())
        };
        assert_eq!(left("/a?b=1&key=x&c=2").as_deref(), Some("/a?b=1&c=2"));
        assert_eq!(left("/a?key=x").as_deref(), Some("/a"));
        assert_eq!(left("/a?key").as_deref(), Some("/a"));
        assert_eq!(left("/a?keys=x&b=key"), None);
        assert_eq!(left("/a"), None);
    }
}
