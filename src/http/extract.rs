//! Error handlers for the framework's own extractors, so that each refusal says what was wrong.
//!
//! Absent: bodies in JSON, which [`super::body::Sent`] reads.

use super::{limits, problem::ApiError};
use actix_web::web::{JsonConfig, PathConfig, PayloadConfig, QueryConfig, ServiceConfig};

/// Installs them for every route.
pub(super) fn configure(config: &mut ServiceConfig) {
    config
        .app_data(PathConfig::default().error_handler(|error, _| {
            ApiError::BadPath(format!("A part of the path cannot be read: {error}.")).into()
        }))
        .app_data(
            QueryConfig::default()
                .error_handler(|error, _| ApiError::BadQuery(format!("{error}.")).into()),
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
