//! Many jobs at once: what comes back, in which order, and what becomes of whoever goes away.

mod agree;
mod going_away;
mod refused;
mod rows;
mod shared;
mod streamed;
mod written;

use crate::launched::Launched;
use reqwest::header::CONTENT_TYPE;
use reqwest::{RequestBuilder, Response};

pub(super) const CSV: &str = "text/csv";
pub(super) const LINES: &str = "application/x-ndjson";
pub(super) const JSON: &str = "application/json";

/// A batch of this form.
pub(super) fn batch(service: &Launched, query: &str, form: &str) -> RequestBuilder {
    service
        .post(&format!("/v1/estimates/batch{query}"))
        .header(CONTENT_TYPE, form)
}

/// The text of a batch that is answered.
pub(super) async fn answered(request: RequestBuilder) -> String {
    let answer = request.send().await.expect("an answer comes");
    assert_eq!(answer.status(), 200);
    text(answer).await
}

pub(super) async fn text(answer: Response) -> String {
    answer.text().await.expect("a whole text")
}

/// The cells of a CSV answer, record by record, read by another library.
pub(super) fn cells(text: &str, delimiter: u8) -> Vec<Vec<String>> {
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .delimiter(delimiter)
        .from_reader(text.trim_start_matches('\u{feff}').as_bytes());
    let records = reader.records().map(|record| record.expect("a record"));
    records
        .map(|record| record.iter().map(str::to_owned).collect())
        .collect()
}

/// The cell of a column, by its name.
pub(super) fn cell<'a>(rows: &'a [Vec<String>], row: usize, column: &str) -> &'a str {
    let place = rows[0].iter().position(|name| name == column);
    let place = place.unwrap_or_else(|| panic!("no column {column} in {:?}", rows[0]));
    &rows[row][place]
}
