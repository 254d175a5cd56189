//! What figures are told apart by.
//!
//! Invariant: a label's values are few, and none of them comes from a caller.

use super::Answered;
use crate::batch::Status;
use prometheus_client::encoding::{EncodeLabel as _, EncodeLabelSet, LabelSetEncoder};
use std::fmt;

/// A method and a route.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub(super) struct Route {
    method: &'static str,
    route: String,
}

impl Route {
    pub(super) fn of(answered: &Answered<'_>) -> Self {
        Self {
            method: answered.method,
            route: answered.route.to_owned(),
        }
    }
}

impl EncodeLabelSet for Route {
    fn encode(&self, encoder: &mut LabelSetEncoder<'_>) -> fmt::Result {
        ("method", self.method).encode(encoder.encode_label())?;
        ("route", self.route.as_str()).encode(encoder.encode_label())
    }
}

/// A route and how it was answered.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub(super) struct Answer {
    pub(super) route: Route,
    pub(super) status: Option<u16>,
}

impl EncodeLabelSet for Answer {
    fn encode(&self, encoder: &mut LabelSetEncoder<'_>) -> fmt::Result {
        self.route.encode(encoder)?;
        match self.status {
            Some(status) => ("status", u64::from(status)).encode(encoder.encode_label()),
            None => ("status", "none").encode(encoder.encode_label()),
        }
    }
}

/// The label of an outcome.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(super) struct JobLabel(pub(super) Status);

impl EncodeLabelSet for JobLabel {
    fn encode(&self, encoder: &mut LabelSetEncoder<'_>) -> fmt::Result {
        ("outcome", self.0.word()).encode(encoder.encode_label())
    }
}
