//! Bytes into text: which charset they are in, and where they are no text of it.
//!
//! Invariants: UTF-8 is lent, never copied; no byte is replaced by a guess; the text never grows
//! over the limit. Absent: guessing a charset from what the text looks like.

use super::{Limits, SheetError, csv_reading::records_in};
use encoding_rs::{DecoderResult, Encoding, UTF_8};
use std::borrow::Cow;

/// The text of a file: by its byte-order mark, else by the label given, else UTF-8; and the refusal of
/// a row that is none.
///
/// # Source
/// Labels: WHATWG Encoding, as read by `encoding_rs`; there `iso-8859-1` means windows-1252.
pub(super) fn decode<'a>(
    bytes: &'a [u8],
    label: Option<&str>,
    limits: &Limits,
) -> Result<(Cow<'a, str>, impl Fn(u64) -> SheetError), SheetError> {
    let marked = Encoding::for_bom(bytes);
    let (charset, bytes) = match (marked, label) {
        (Some((charset, mark)), _) => (charset, &bytes[mark..]),
        (None, Some(label)) => (named(label)?, bytes),
        (None, None) => (UTF_8, bytes),
    };
    let named = marked.is_some() || label.is_some();
    let no_text = move |row| SheetError::NotText {
        charset: charset.name(),
        row,
        named,
    };
    let fault = |before: &str| no_text(records_in(before, limits.row_bytes) + 1);
    let text = if charset == UTF_8 {
        let text = std::str::from_utf8(bytes).map_err(|error| {
            let before = std::str::from_utf8(&bytes[..error.valid_up_to()]);
            fault(before.unwrap_or_default())
        })?;
        Cow::Borrowed(text)
    } else {
        let text = convert(bytes, charset, limits.unfolded_bytes)?;
        Cow::Owned(text.map_err(|before| fault(&before))?)
    };
    Ok((text, no_text))
}

/// The charset of a label.
pub(super) fn named(label: &str) -> Result<&'static Encoding, SheetError> {
    Encoding::for_label_no_replacement(label.trim().as_bytes()).ok_or_else(|| {
        SheetError::UnknownCharset {
            label: label.to_owned(),
        }
    })
}

/// How much room is made at a time, in bytes.
const STEP: usize = 64 * 1024;

/// The text in UTF-8, or as much of it as stands before a fault.
fn convert(
    bytes: &[u8],
    charset: &'static Encoding,
    limit: u64,
) -> Result<Result<String, String>, SheetError> {
    let mut decoder = charset.new_decoder_without_bom_handling();
    let (mut text, mut rest) = (String::new(), bytes);
    loop {
        text.reserve(STEP);
        let (result, read) = decoder.decode_to_string_without_replacement(rest, &mut text, true);
        rest = &rest[read..];
        if text.len() as u64 > limit {
            return Err(SheetError::TooLarge { limit });
        }
        match result {
            DecoderResult::InputEmpty => return Ok(Ok(text)),
            DecoderResult::OutputFull => {}
            DecoderResult::Malformed(..) => return Ok(Err(text)),
        }
    }
}
