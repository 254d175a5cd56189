//! The whole flow for one job, and what must be true of any answer.
//!
//! Invariants: prices are those of the invented demo book; today is always the same day.

use crossfall::book::demo_history;
use crossfall::catalog::{Catalog, PriceList};
use crossfall::crew::Rates;
use crossfall::estimate::{Brief, Estimate, With, estimate};
use crossfall::figures::FIGURES;
use crossfall::job::{Day, JobRequest, expand};
use crossfall::price::Priced;
use crossfall::quantity::money::{Amount, extend};
use crossfall::quantity::{Fault, Faults};
use crossfall::rules::RuleSets;
use serde::de::DeserializeOwned;
use serde_json::Value;
use std::fmt::{Debug, Write};
use std::sync::{Arc, OnceLock};

/// Nesting that the service lets through.
const NESTING: usize = 32;

/// The day of every estimate here.
pub(super) fn today() -> Day {
    Day::parse("2026-05-04").expect("a day that exists")
}

/// The demo book of that day.
pub(super) fn demo_list() -> &'static PriceList {
    static LIST: OnceLock<PriceList> = OnceLock::new();
    LIST.get_or_init(|| {
        let history = demo_history().expect("the demo book can be read");
        PriceList::new(Arc::new(history), None, today().0).expect("it has a revision")
    })
}

/// What every estimate here is computed with.
pub(super) fn with() -> With<'static> {
    With {
        rules: RuleSets::built_in(),
        catalog: Catalog::built_in(),
        rates: Rates::built_in(),
        list: demo_list(),
    }
}

/// Reads a body as the service does, and holds its two readers to each other.
pub(super) fn read<T>(bytes: &[u8]) -> Option<T>
where
    T: DeserializeOwned + deserr::Deserr<Faults> + Debug,
{
    let value: Value = serde_json::from_slice(bytes).ok()?;
    if depth(&value) > NESTING {
        return None;
    }
    // Written anew, so that no field stands in it twice: only the strict reader minds that.
    let text = value.to_string();
    let strict = serde_json::from_str::<T>(&text);
    let listing = deserr::deserialize::<T, _, Faults>(value);
    match (strict, listing) {
        (Ok(strict), Ok(listing)) => {
            let (one, other) = (format!("{strict:?}"), format!("{listing:?}"));
            assert_eq!(one, other, "the readers read differently");
            Some(strict)
        }
        (Err(_), Err(faults)) => {
            assert!(!faults.is_empty(), "a refusal without a fault");
            None
        }
        (strict, listing) => panic!(
            "the readers differ: {:?} and {:?}: {text}",
            strict.map(drop),
            listing.map(drop)
        ),
    }
}

fn depth(value: &Value) -> usize {
    match value {
        Value::Array(items) => 1 + items.iter().map(depth).max().unwrap_or(0),
        Value::Object(fields) => 1 + fields.values().map(depth).max().unwrap_or(0),
        _ => 0,
    }
}

/// A job that is answered has a whole answer; a refusal says why.
pub(super) fn check_estimate(sent: JobRequest, unknowns: bool) -> Option<Estimate> {
    let mut brief = Brief::from(sent);
    // Pricing each job some forty times takes most of the time, so not every job is.
    brief.unknowns = unknowns;
    match estimate(brief, today(), with()) {
        Ok(answer) => {
            check_finite(&answer);
            check_money(&answer.priced);
            let mut sets: Vec<&str> = answer
                .check
                .sets
                .iter()
                .map(|set| set.id.as_str())
                .collect();
            sets.sort_unstable();
            assert!(
                sets.windows(2).all(|two| two[0] != two[1]),
                "a set twice: {sets:?}"
            );
            for figure in FIGURES {
                check_figure(&figure.of(&answer), figure.name);
            }
            Some(answer)
        }
        Err(faults) => {
            assert!(!faults.is_empty(), "a refusal without a fault");
            let told = |fault: &Fault| !fault.accepted.is_empty() && !fault.found.is_empty();
            assert!(
                faults.0.iter().all(told),
                "a fault that says nothing: {faults:?}"
            );
            None
        }
    }
}

/// An expanded job, sent again, expands to itself.
pub(super) fn check_expansion(sent: JobRequest) {
    let Ok(once) = expand(sent, today()) else {
        return;
    };
    let written = serde_json::to_string(&once.job).expect("a job can be written");
    let again: JobRequest = serde_json::from_str(&written)
        .unwrap_or_else(|error| panic!("an expanded job is not read: {error}: {written}"));
    let again = expand(again, today())
        .unwrap_or_else(|faults| panic!("an expanded job is refused: {faults}: {written}"));
    let rewritten = serde_json::to_string(&again.job).expect("a job can be written");
    assert_eq!(rewritten, written, "an expanded job expands to another");
}

fn check_figure(found: &crossfall::figures::Found, name: &str) {
    match found {
        Ok(shown) => {
            let text = shown.as_str();
            assert!(
                !text.contains(['\n', '\r']),
                "{name} breaks its line: {text:?}"
            );
            if !matches!(shown, crossfall::figures::Shown::Text(_)) {
                let number: f64 = text.parse().unwrap_or(f64::NAN);
                assert!(number.is_finite(), "{name} is {text}");
            }
        }
        Err(why) => assert!(!why.why().is_empty(), "{name} does not say why"),
    }
}

/// Lines are their printed quantity times their printed price, and the steps begin with their sum.
fn check_money(priced: &Priced) {
    let mut direct = Amount::zero(&priced.currency);
    for line in &priced.lines {
        let product = extend(line.quantity, line.unit_price, &priced.currency);
        assert_eq!(line.extended, product, "{}", line.code);
        direct += line.extended;
    }
    let steps = &priced.build_up.steps;
    assert_eq!(steps[0].amount, direct, "the lines are not the direct cost");
    let sum: i64 = steps.iter().map(|step| step.amount.minor()).sum();
    assert_eq!(priced.build_up.total().minor(), sum);
}

/// No number of a value is infinite or none at all.
pub(super) fn check_finite(value: &impl Debug) {
    let mut watch = Watch::default();
    write!(watch, "{value:?}").expect("it is only looked at");
    assert!(watch.strange.is_none(), "a number is {:?}", watch.strange);
}

/// Reads debug output without keeping it, texts passed over, and remembers a number that is none.
#[derive(Default)]
struct Watch {
    word: String,
    in_text: bool,
    escaped: bool,
    strange: Option<String>,
}

impl Write for Watch {
    fn write_str(&mut self, text: &str) -> std::fmt::Result {
        for c in text.chars() {
            match c {
                _ if self.escaped => self.escaped = false,
                '\\' if self.in_text => self.escaped = true,
                '"' => self.in_text = !self.in_text,
                _ if self.in_text => {}
                'a'..='z' | 'A'..='Z' | '_' => self.word.push(c),
                _ => {
                    if matches!(self.word.as_str(), "NaN" | "inf") {
                        self.strange = Some(self.word.clone());
                    }
                    self.word.clear();
                }
            }
        }
        Ok(())
    }
}
