//! The shape every answer has: refusals are problems, and some headers always stand.
//!
//! Invariant: no answer with a status of 400 or more leaves here in another media type than that
//! of a problem, whoever made it. Absent: what our own handlers refuse with; that is a problem
//! from the start.

use super::figures::Inline;
use super::problem::{ApiError, PROBLEM_JSON};
use super::reason::Reason;
use super::request_id::{self, RequestName};
use actix_web::{
    Error, HttpResponse, ResponseError as _,
    body::{BoxBody, MessageBody},
    dev::{ServiceRequest, ServiceResponse},
    error::InternalError,
    http::header::{self, HeaderMap, HeaderName, HeaderValue},
    middleware::Next,
};

/// Headers of every answer: a page served here may load from here only, and from nowhere else.
const STANDING: [(HeaderName, &str); 3] = [
    (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
    (header::REFERRER_POLICY, "no-referrer"),
    (
        header::CONTENT_SECURITY_POLICY,
        "default-src 'self'; style-src 'self' 'unsafe-inline'; img-src 'self' data:; frame-ancestors 'none'; base-uri 'none'",
    ),
];

/// Middleware: turns the framework's own refusals into problems and adds the standing headers;
/// where a spreadsheet asks for that, a refusal becomes a line in place of the value.
pub(super) async fn shape_answer(
    request: ServiceRequest,
    next: Next<impl MessageBody + 'static>,
) -> Result<ServiceResponse<BoxBody>, Error> {
    let path = request.path();
    let wanted = Wanted {
        private: path.starts_with("/v1/") || path == "/metrics",
        inline: Inline::asked(&request),
        name: RequestName::of(&request),
    };
    match next.call(request).await {
        Ok(answered) => {
            let (request, answer) = answered.map_into_boxed_body().into_parts();
            Ok(ServiceResponse::new(request, wanted.dress(answer)))
        }
        Err(error) => {
            let answer = wanted.dress(error.error_response());
            Err(InternalError::from_response(error, answer).into())
        }
    }
}

/// What an answer is to look like.
struct Wanted {
    /// Whether it is for its caller alone, so that no cache between may give it to another.
    private: bool,
    inline: Option<Inline>,
    name: Option<RequestName>,
}

impl Wanted {
    fn dress(&self, mut answer: HttpResponse) -> HttpResponse {
        let status = answer.status();
        let refused = status.is_client_error() || status.is_server_error();
        if refused && !is_problem(answer.headers()) {
            answer = ApiError::from_status(status).error_response();
        }
        let reason = answer.extensions().get::<Reason>().cloned();
        if let (Some(reason), Some(inline)) = (reason, &self.inline) {
            answer = inline.tell(&reason);
        }
        for (name, value) in STANDING {
            answer
                .headers_mut()
                .insert(name, HeaderValue::from_static(value));
        }
        let kept = answer.headers().contains_key(header::CACHE_CONTROL);
        if self.private && !kept {
            let value = HeaderValue::from_static("private, no-cache");
            answer.headers_mut().insert(header::CACHE_CONTROL, value);
        }
        let name = self
            .name
            .as_ref()
            .map(|name| HeaderValue::from_str(name.as_str()));
        if let Some(Ok(name)) = name {
            answer.headers_mut().insert(request_id::HEADER, name);
        }
        answer
    }
}

fn is_problem(headers: &HeaderMap) -> bool {
    headers
        .get(header::CONTENT_TYPE)
        .is_some_and(|kind| kind.as_bytes().starts_with(PROBLEM_JSON.as_bytes()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use actix_web::{App, body::to_bytes, middleware::from_fn, test};

    /// What a layer below refuses by an error instead of an answer, as the time limit does.
    async fn refuse(
        _: ServiceRequest,
        _: Next<impl MessageBody + 'static>,
    ) -> Result<ServiceResponse<BoxBody>, Error> {
        Err(ApiError::Unavailable("Not ready.".to_owned()).into())
    }

    async fn refused(path: &str) -> HttpResponse {
        let layers = App::new().wrap(from_fn(refuse)).wrap(from_fn(shape_answer));
        let app = test::init_service(layers).await;
        let request = test::TestRequest::get().uri(path).to_request();
        let answered = test::try_call_service(&app, request).await;
        answered.expect_err("it is refused").error_response()
    }

    #[actix_web::test]
    async fn an_error_of_a_layer_is_dressed_as_an_answer_is() {
        let problem = refused("/v1/cell/total").await;
        assert!(problem.status().is_server_error() && is_problem(problem.headers()));
        assert!(problem.headers().contains_key(header::REFERRER_POLICY));
        assert!(problem.headers().contains_key(header::RETRY_AFTER));
        let inline = refused("/v1/cell/total?errors=inline").await;
        assert!(inline.status().is_success());
        let text = to_bytes(inline.into_body()).await.expect("a body");
        assert_eq!(text, "#ERR Not ready.");
    }
}
