//! Good answers, as most tests want them: the whole body of a 200.

use reqwest::RequestBuilder;
use serde_json::Value;

/// The text of a good answer.
pub(crate) async fn text_of(request: RequestBuilder) -> String {
    let answer = request.send().await.expect("an answer");
    let (status, url) = (answer.status(), answer.url().clone());
    let text = answer.text().await.expect("text");
    assert_eq!(status, 200, "{url}: {text}");
    text
}

/// The JSON of a good answer.
pub(crate) async fn json_of(request: RequestBuilder) -> Value {
    serde_json::from_str(&text_of(request).await).expect("JSON")
}
