//! What a job is.
