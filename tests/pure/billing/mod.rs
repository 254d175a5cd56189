//! What is billed and posted, from answers that were sent back.

mod answered;
mod by_hand;
mod laws;
mod quotations;
mod reviewed;
mod sent;

use crate::worked::priced;
use crossfall::answered::Answered;
use crossfall::http::answer::{EstimateAnswer, View};
use serde_json::Value;

/// The answer to a job, as a caller has it.
fn answer_of(job: &str) -> Value {
    let estimate = priced(job);
    let view = View {
        system: estimate.job.units,
        working: true,
    };
    let answer = EstimateAnswer::of(estimate, view, true);
    serde_json::to_value(answer).expect("an answer can be written")
}

fn sent_back(answer: &Value) -> Answered {
    let text = answer.to_string();
    serde_json::from_str(&text).expect("an answer can be sent back")
}
