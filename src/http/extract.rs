//! Error handlers for the framework's own extractors, so that each refusal says what was wrong.
//!
//! Absent: bodies in JSON, which [`super::body::Sent`] reads.

use super::{keys::KEY_IN_QUERY, limits, problem::ApiError};
use crate::book::without_keys;
use actix_web::web::{JsonConfig, PathConfig, PayloadConfig, Query, QueryConfig, ServiceConfig};
use std::fmt::Display;

/// Most parameters of a query that are repeated back, and most characters of each.
const SHOWN: (usize, usize) = (8, 40);

/// A query that cannot be read. What refuses it does not know of which parameter it speaks, so what stands in
/// the query is told beside it; not what looks like a key, under a slip of the pen either.
pub(super) fn bad_query(error: &impl Display, query: &str) -> ApiError {
    let pairs = Query::<Vec<(String, String)>>::from_query(query).map(Query::into_inner);
    let held = pairs.unwrap_or_default().into_iter();
    let held = held.filter(|(name, _)| !name.to_ascii_lowercase().contains(KEY_IN_QUERY));
    let held: Vec<String> = held
        .take(SHOWN.0)
        .map(|(name, value)| {
            let shown = format!("{name}={value}");
            without_keys(&shown).chars().take(SHOWN.1).collect()
        })
        .collect();
    let error = error.to_string();
    let error = error.trim_start_matches("Query deserialize error: ");
    ApiError::BadQuery(match held.is_empty() {
        true => format!("{error}."),
        false => format!("{error}; the query holds {}.", held.join(", ")),
    })
}

/// Installs them for every route.
pub(super) fn configure(config: &mut ServiceConfig) {
    config
        .app_data(PathConfig::default().error_handler(|error, _| {
            ApiError::BadPath(format!("A part of the path cannot be read: {error}.")).into()
        }))
        .app_data(
            QueryConfig::default()
                .error_handler(|error, request| bad_query(&error, request.query_string()).into()),
        )
        .app_data(
            JsonConfig::default()
                .limit(limits::BODY_BYTES)
                .error_handler(|error, _| {
                    ApiError::Unreadable(format!("The body is not JSON: {error}.")).into()
                }),
        )
        .app_data(PayloadConfig::new(limits::BODY_BYTES));
}
