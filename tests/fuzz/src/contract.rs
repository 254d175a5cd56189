//! Changes a JSON body within what the published contract lets it say, so that little is refused at the door.
//!
//! Invariants: the same body and the same seed give the same change; what comes out is JSON. Absent:
//! what makes a body unreadable, which the fuzzer's own changes see to.

use serde_json::{Map, Value, json};
use std::sync::OnceLock;

/// Deepest body that is made up.
const DEPTH: usize = 10;

const TEXTS: &[&str] = &[
    "East entrance",
    "",
    "=1+1",
    "</svg><script>x</script>",
    "a\u{1}b",
    "Ж 東 🛠",
    "\u{202e}abc",
    "a\nb",
    "'@x",
    "]]>",
    "ada-2010",
    "all",
    "demo",
    "/ramp/path/1",
    "9999999999999999999999999",
];
const DAYS: &[&str] = &[
    "2026-05-11",
    "0001-01-01",
    "9999-12-31",
    "2024-02-29",
    "2026-05-04",
    "-0001-01-01",
];
const NUMBERS: &[&str] = &[
    "0",
    "1",
    "2",
    "3.5",
    "12",
    "0.001",
    "100",
    "1000",
    "0.0625",
    "7",
    "24",
    "48",
    "96",
    "1/2",
    "5 3/8",
    "999999999999",
    "0.000000000001",
    "33.333333333",
    "-1",
    "60",
    "8.33",
    "20",
];

/// What each letter before a body that is sent back stands for: a schema of the contract.
pub const CALLS: &[(u8, &str)] = &[
    (b'i', "InvoiceRequest"),
    (b'c', "CreditRequest"),
    (b'j', "JournalRequest"),
    (b'q', "QuotationRequest"),
    (b'p', "ProposalRequest"),
    (b'k', "JobCostRequest"),
    (b'l', "LoadPlanRequest"),
];

/// Repeatable chance (splitmix64).
struct Dice(u64);

impl Dice {
    fn roll(&mut self, sides: usize) -> usize {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) % sides.max(1) as u64) as usize
    }

    fn pick<'a, T>(&mut self, all: &'a [T]) -> Option<&'a T> {
        (!all.is_empty()).then(|| &all[self.roll(all.len())])
    }
}

/// A body of the named schema, changed in a few places; none where `body` is no JSON.
pub fn change(schema: &str, body: &[u8], seed: u32) -> Option<Vec<u8>> {
    let mut value: Value = serde_json::from_slice(body).ok()?;
    let mut dice = Dice(u64::from(seed));
    let schema = json!({"$ref": format!("#/components/schemas/{schema}")});
    for _ in 0..=dice.roll(3) {
        let mut places = Vec::new();
        walk(&value, &schema, String::new(), &mut places);
        let (at, schema) = dice.pick(&places)?.clone();
        change_at(&mut value, &at, (&schema, &mut dice));
    }
    serde_json::to_vec(&value).ok()
}

fn document() -> &'static Value {
    static DOCUMENT: OnceLock<Value> = OnceLock::new();
    DOCUMENT.get_or_init(|| {
        let text = include_str!("../../../openapi/openapi.json");
        serde_json::from_str(text).expect("the contract is JSON")
    })
}

/// What a reference stands for.
fn resolved(schema: &Value) -> &Value {
    let mut schema = schema;
    while let Some(at) = schema["$ref"].as_str() {
        let Some(found) = document().pointer(at.trim_start_matches('#')) else {
            break;
        };
        schema = found;
    }
    schema
}

fn is_null(schema: &Value) -> bool {
    schema["type"] == "null"
}

/// The ways that a schema offers; itself where there is one.
fn ways(schema: &Value) -> Vec<&Value> {
    let schema = resolved(schema);
    let listed = schema["oneOf"].as_array().or(schema["anyOf"].as_array());
    match listed {
        Some(all) => all
            .iter()
            .filter(|way| !is_null(way))
            .flat_map(ways)
            .collect(),
        None => vec![schema],
    }
}

/// The way that a value takes.
fn way_of<'a>(value: &Value, schema: &'a Value) -> Option<&'a Value> {
    let fits = |way: &&Value| match value {
        Value::Object(fields) => way["properties"].as_object().is_some_and(|known| {
            fields.iter().all(|(name, field)| {
                let words = known.get(name).map(|field| &resolved(field)["enum"]);
                let words = words.and_then(Value::as_array);
                words.is_none_or(|words| !field.is_string() || words.contains(field))
            })
        }),
        Value::Array(_) => !way["items"].is_null(),
        _ => way["properties"].is_null() && way["items"].is_null(),
    };
    let all = ways(schema);
    all.iter().copied().find(fits).or(all.first().copied())
}

/// Every place of a value with its schema.
fn walk(value: &Value, schema: &Value, at: String, places: &mut Vec<(String, Value)>) {
    let Some(way) = way_of(value, schema) else {
        return;
    };
    let inner: Vec<(String, &Value, &Value)> = match value {
        Value::Object(fields) => fields
            .iter()
            .map(|(name, field)| {
                (
                    name.replace('~', "~0").replace('/', "~1"),
                    field,
                    &way["properties"][name],
                )
            })
            .collect(),
        Value::Array(items) => (0..)
            .zip(items)
            .map(|(index, item): (usize, _)| (index.to_string(), item, &way["items"]))
            .collect(),
        _ => Vec::new(),
    };
    for (name, inner, schema) in inner {
        walk(inner, schema, format!("{at}/{name}"), places);
    }
    places.push((at, schema.clone()));
}

fn change_at(value: &mut Value, at: &str, (schema, dice): (&Value, &mut Dice)) {
    let Some(place) = value.pointer_mut(at) else {
        return;
    };
    let way = way_of(place, schema).cloned().unwrap_or_default();
    match place {
        Value::Object(fields) if dice.roll(4) > 0 => change_fields(fields, &way, dice),
        Value::Array(items) if dice.roll(4) > 0 => change_items(items, &way, dice),
        Value::String(text) if dice.roll(3) > 0 => *text = renumbered(text, dice),
        place => *place = made(schema, DEPTH - at.matches('/').count().min(DEPTH), dice),
    }
}

fn change_fields(fields: &mut Map<String, Value>, way: &Value, dice: &mut Dice) {
    let known: Vec<&String> = way["properties"]
        .as_object()
        .into_iter()
        .flat_map(Map::keys)
        .collect();
    let Some(name) = dice.pick(&known) else {
        return;
    };
    if fields.contains_key(*name) && dice.roll(2) == 0 {
        fields.shift_remove(*name);
    } else {
        fields.insert((*name).clone(), made(&way["properties"][*name], 4, dice));
    }
}

fn change_items(items: &mut Vec<Value>, way: &Value, dice: &mut Dice) {
    let at = dice.roll(items.len().max(1));
    match dice.roll(4) {
        0 if !items.is_empty() => drop(items.remove(at)),
        1 if !items.is_empty() => items.insert(at, items[at].clone()),
        2 if !items.is_empty() => {
            let other = dice.roll(items.len());
            items.swap(at, other);
        }
        _ => items.insert(at.min(items.len()), made(&way["items"], 4, dice)),
    }
}

/// A text with another number in it, where it has one.
fn renumbered(text: &str, dice: &mut Dice) -> String {
    let from = text.find(|c: char| c.is_ascii_digit());
    let Some(from) = from else {
        return TEXTS[dice.roll(TEXTS.len())].to_owned();
    };
    let rest = &text[from..];
    let to = rest
        .find(|c: char| !c.is_ascii_digit() && c != '.')
        .unwrap_or(rest.len());
    let number = match (dice.roll(2), rest[..to].parse::<f64>()) {
        (0, Ok(number)) => (number * [0.5, 0.99, 1.01, 2.0, 10.0][dice.roll(5)]).to_string(),
        _ => NUMBERS[dice.roll(NUMBERS.len())].to_owned(),
    };
    format!("{}{number}{}", &text[..from], &rest[to..])
}

/// Some value of a schema.
fn made(schema: &Value, depth: usize, dice: &mut Dice) -> Value {
    let all = ways(schema);
    let Some(way) = dice.pick(&all).copied() else {
        return Value::Null;
    };
    if let Some(words) = way["enum"].as_array() {
        return dice.pick(words).cloned().unwrap_or_default();
    }
    let kinds = match &way["type"] {
        Value::Array(kinds) => kinds.iter().filter_map(Value::as_str).collect(),
        kind => Vec::from_iter(kind.as_str()),
    };
    match kinds.first().copied().unwrap_or_default() {
        "object" => made_object(way, depth, dice),
        "array" if depth == 0 => json!([]),
        "array" => (0..=dice.roll(3))
            .map(|_| made(&way["items"], depth - 1, dice))
            .collect(),
        "string" => made_text(way, dice).into(),
        "boolean" => (dice.roll(2) == 0).into(),
        "integer" => {
            let least = way["minimum"].as_i64().unwrap_or(0);
            let most = way["maximum"].as_i64().unwrap_or(least.saturating_add(20));
            json!(least.saturating_add(dice.roll(12) as i64).min(most))
        }
        "number" => json!(dice.roll(2000) as f64 / 8.0),
        _ => Value::Null,
    }
}

fn made_object(way: &Value, depth: usize, dice: &mut Dice) -> Value {
    let mut fields = Map::new();
    let needed = way["required"].as_array().cloned().unwrap_or_default();
    for (name, schema) in way["properties"].as_object().into_iter().flatten() {
        let must = needed.iter().any(|needed| needed == name);
        if must || (depth > 0 && dice.roll(4) == 0) {
            fields.insert(name.clone(), made(schema, depth.saturating_sub(1), dice));
        }
    }
    if way["additionalProperties"].is_object() && depth > 0 {
        let value = made(&way["additionalProperties"], depth - 1, dice);
        fields.insert(TEXTS[dice.roll(TEXTS.len())].to_owned(), value);
    }
    Value::Object(fields)
}

fn made_text(way: &Value, dice: &mut Dice) -> String {
    if way["format"] == "date" && dice.roll(8) > 0 {
        return DAYS[dice.roll(DAYS.len())].to_owned();
    }
    let examples = way["examples"].as_array().cloned().unwrap_or_default();
    let example = dice
        .pick(&examples)
        .and_then(Value::as_str)
        .map(str::to_owned);
    match (example, dice.roll(3)) {
        (Some(example), 0) => example,
        (Some(example), _) => renumbered(&example, dice),
        (None, _) => TEXTS[dice.roll(TEXTS.len())].to_owned(),
    }
}
