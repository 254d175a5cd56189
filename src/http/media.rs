//! What the headers of a request say of its body.
//!
//! Absent: which media types a call reads.

use actix_web::http::header::{self, HeaderMap};

/// A media type (RFC 9110, section 8.3.1), without its parameters but the charset.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct MediaType {
    /// Type and subtype in small letters; empty where none was sent.
    pub(super) essence: String,
    /// The charset as the caller wrote it, where it names one.
    pub(super) charset: Option<String>,
}

impl MediaType {
    /// That of `Content-Type`.
    pub(super) fn of(headers: &HeaderMap) -> Self {
        let text = text(headers, header::CONTENT_TYPE);
        let mut parts = text.split(';').map(str::trim);
        let essence = parts.next().unwrap_or_default().to_ascii_lowercase();
        let charset = parts.find_map(|part| {
            let (name, value) = part.split_once('=')?;
            let ours = name.trim().eq_ignore_ascii_case("charset");
            ours.then(|| value.trim().trim_matches('"').to_owned())
        });
        Self { essence, charset }
    }

    /// For a sentence that refuses it.
    pub(super) fn found(&self) -> &str {
        match self.essence.as_str() {
            "" => "none",
            essence => essence,
        }
    }
}

/// The coding of `Content-Encoding` in small letters; empty where there is none.
pub(super) fn coding(headers: &HeaderMap) -> String {
    let coding = text(headers, header::CONTENT_ENCODING).trim();
    match coding.to_ascii_lowercase().as_str() {
        "identity" => String::new(),
        coding => coding.to_owned(),
    }
}

/// A header as text; empty where it is missing or no text.
fn text(headers: &HeaderMap, name: header::HeaderName) -> &str {
    let value = headers.get(name);
    value
        .and_then(|value| value.to_str().ok())
        .unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;
    use actix_web::test::TestRequest;

    #[test]
    fn a_media_type_is_read_with_its_charset() {
        for (sent, essence, charset) in [
            (
                "Text/CSV; charset=\"windows-1252\"",
                "text/csv",
                Some("windows-1252"),
            ),
            (
                "text/csv;header=present; Charset = utf-8",
                "text/csv",
                Some("utf-8"),
            ),
            ("application/json", "application/json", None),
            ("", "", None),
        ] {
            let request = TestRequest::default().insert_header((header::CONTENT_TYPE, sent));
            let found = MediaType::of(request.to_http_request().headers());
            assert_eq!(found.essence, essence);
            assert_eq!(found.charset.as_deref(), charset, "{sent}");
        }
    }
}
