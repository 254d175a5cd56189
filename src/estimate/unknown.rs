//! Inputs that nobody measured, and what each could move: found by re-pricing, one at a time.
//!
//! Invariants: each is moved to the low and the high end of its row's usual range, everything else
//! left as it was; the order is by money, ties by pointer. Absent: probability; that is risk.

use super::again::Again;
use super::fill_unlisted;
use crate::job::{Assumption, Basis, Day, FieldRow, Fields, Job, JobRequest};
use crate::quantity::money::Amount;
use crate::quantity::{Length, System};
use std::borrow::Cow;

/// An input that nobody measured.
#[derive(Clone, Debug, PartialEq)]
pub struct Unknown {
    /// JSON Pointer into the expanded job.
    pub pointer: String,
    /// How it is known: `assumed`, `drawing` or `told`.
    pub basis: String,
    /// What was taken.
    pub value: String,
    /// Low end of the usual range.
    pub low: String,
    /// High end of the usual range.
    pub high: String,
    /// How the price moves at the low end.
    pub at_low: Amount,
    /// How the price moves at the high end.
    pub at_high: Amount,
    /// What to ask or measure.
    pub ask: String,
}

impl Unknown {
    /// The larger of the two moves, whatever its sign.
    pub fn swing(&self) -> i64 {
        self.at_low.minor().abs().max(self.at_high.minor().abs())
    }
}

/// One input to move.
struct Candidate<'a> {
    pointer: &'a str,
    basis: &'static str,
    value: Cow<'static, str>,
    row: &'static FieldRow,
}

pub(super) fn reprice_unknowns(
    sent: &JobRequest,
    assumptions: &[Assumption],
    (today, again): (Day, &Again<'_>),
) -> Vec<Unknown> {
    let moved = |pointer: &str, text: &str| -> Option<Amount> {
        let mut sent = sent.clone();
        if !set(&mut sent, pointer, text) {
            return None;
        }
        let job = fill_unlisted(sent, today, again.list()).ok()?;
        Some(again.price(&job) - again.total)
    };
    let mut unknowns: Vec<Unknown> = candidates(again.job, sent, assumptions)
        .into_iter()
        .filter_map(|candidate| {
            let (low, high) = usual_range(sent, &candidate)?;
            Some(Unknown {
                at_low: moved(candidate.pointer, &low)?,
                at_high: moved(candidate.pointer, &high)?,
                pointer: candidate.pointer.to_owned(),
                basis: candidate.basis.to_owned(),
                value: candidate.value.into_owned(),
                ask: candidate.row.ask.clone().unwrap_or_default(),
                low,
                high,
            })
        })
        .collect();
    unknowns.retain(|unknown| unknown.swing() > 0);
    unknowns.sort_by(|a, b| {
        b.swing()
            .cmp(&a.swing())
            .then_with(|| a.pointer.cmp(&b.pointer))
    });
    unknowns
}

/// Puts the assumptions that move the price most first; the others keep their order.
pub(super) fn sort_by_money(assumptions: &mut [Assumption], unknowns: &[Unknown]) {
    let swing = |assumption: &Assumption| {
        let known = unknowns
            .iter()
            .find(|unknown| unknown.pointer == assumption.pointer);
        std::cmp::Reverse(known.map_or(0, Unknown::swing))
    };
    assumptions.sort_by_key(swing);
}

fn candidates<'a>(
    job: &Job,
    sent: &'a JobRequest,
    assumptions: &'a [Assumption],
) -> Vec<Candidate<'a>> {
    let assumed = assumptions.iter().map(|assumption| {
        (
            assumption.pointer.as_str(),
            "assumed",
            assumption.value.clone(),
        )
    });
    let basis = sent.basis.iter().flatten();
    let told = basis
        .filter(|(_, basis)| **basis != Basis::Taped)
        .map(|(pointer, basis)| {
            (
                pointer.as_str(),
                basis.as_str(),
                Cow::from(taken(job, pointer)),
            )
        });
    told.chain(assumed)
        .filter_map(|(pointer, basis, value)| {
            let row = Fields::built_in().row(&starred(pointer))?;
            (row.low.is_some() && row.high.is_some()).then_some(Candidate {
                pointer,
                basis,
                value,
                row,
            })
        })
        .collect()
}

/// What the expanded job holds at a pointer, as text.
fn taken(job: &Job, pointer: &str) -> String {
    let written = serde_json::to_value(job).unwrap_or_default();
    let value = written.pointer(pointer).and_then(serde_json::Value::as_str);
    value.unwrap_or_default().to_owned()
}

/// The pointer with `*` for every index.
fn starred(pointer: &str) -> String {
    let star = |part: &str| {
        let index = !part.is_empty() && part.bytes().all(|byte| byte.is_ascii_digit());
        if index {
            "*".to_owned()
        } else {
            part.to_owned()
        }
    };
    pointer.split('/').map(star).collect::<Vec<_>>().join("/")
}

/// The low and high end of the usual range, as text.
fn usual_range(sent: &JobRequest, candidate: &Candidate<'_>) -> Option<(String, String)> {
    let (low, high) = (
        candidate.row.low.as_deref()?,
        candidate.row.high.as_deref()?,
    );
    if !low.starts_with(['-', '+']) {
        return Some((low.to_owned(), high.to_owned()));
    }
    let taken = told_length(sent, candidate.pointer)?;
    let relative = |text: &str| -> Option<String> {
        let percent: f64 = text.trim_end_matches(['%', ' ']).parse().ok()?;
        Some((taken * (1.0 + percent / 100.0)).tape(sent.units.unwrap_or(System::Us)))
    };
    Some((relative(low)?, relative(high)?))
}

/// The length that a relative range is relative to.
fn told_length(sent: &JobRequest, pointer: &str) -> Option<Length> {
    let (index, field) = piece_field(pointer)?;
    sent.ramp.path.get(index)?.length_of(field)
}

/// Index and field of a pointer into the path.
fn piece_field(pointer: &str) -> Option<(usize, &str)> {
    let (index, field) = pointer.strip_prefix("/ramp/path/")?.split_once('/')?;
    Some((index.parse().ok()?, field))
}

/// Writes one input into a job as sent; false where this input cannot be moved.
fn set(sent: &mut JobRequest, pointer: &str, text: &str) -> bool {
    if let Some((index, field)) = piece_field(pointer) {
        let length = Length::parse(text).ok();
        return sent
            .ramp
            .path
            .get_mut(index)
            .is_some_and(|piece| piece.set_length(field, length));
    }
    sent.set_field(pointer, text)
}
