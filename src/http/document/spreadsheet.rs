//! What the document says of the query of a cell and a row: the columns of the short form, once.
//!
//! Invariants: the parameters come from the table that the reader reads; each way to call a column
//! is a parameter of its own. Absent: what a figure is, which its handler describes.

use crate::figures::FIGURES;
use crate::job::{ShortColumn, ShortKind, short_columns};
use crate::quantity::System;
use serde_json::{Map, Value, json};

/// The calls that take a line of the short form, and what else they take.
const CALLS: [(&str, &[&str]); 2] = [
    ("/v1/cell/{figure}", &["errors", "cell_format", "_"]),
    (
        "/v1/row",
        &["errors", "row_format", "figures", "header", "_"],
    ),
];

/// Writes the parameters once, and a reference to each into the calls that take them.
pub(super) fn describe_columns(document: &mut Value) {
    let columns: Vec<(String, Value)> = short_columns()
        .iter()
        .filter(|column| !column.is_batch_only())
        .flat_map(|column| column.forms().into_iter().map(move |form| (column, form)))
        .map(|(column, form)| (form.clone(), parameter(&form, column)))
        .collect();
    let mut told = false;
    for (path, options) in CALLS {
        let operation = document["paths"]
            .get_mut(path)
            .and_then(|item| item.get_mut("get"));
        let Some(operation) = operation.and_then(Value::as_object_mut) else {
            continue;
        };
        let columns = columns.iter().map(|(form, _)| form.as_str());
        let names = options.iter().copied().chain(columns);
        let parameters = operation.entry("parameters").or_insert_with(|| json!([]));
        name_figures(parameters);
        if let Some(parameters) = parameters.as_array_mut() {
            parameters.extend(names.map(reference));
            told = true;
        }
    }
    if told {
        let all = options().into_iter().chain(columns);
        let all: Map<String, Value> = all.collect();
        document["components"]["parameters"] = all.into();
    }
}

/// The words that the path of a cell takes.
fn name_figures(parameters: &mut Value) {
    let all = parameters.as_array_mut().into_iter().flatten();
    for parameter in all.filter(|parameter| parameter["name"] == "figure") {
        let names: Vec<&str> = FIGURES.iter().map(|figure| figure.name).collect();
        parameter["schema"] = json!({"type": "string", "enum": names});
    }
}

fn reference(name: &str) -> Value {
    json!({"$ref": format!("#/components/parameters/{name}")})
}

/// What may be asked beside the job.
fn options() -> Vec<(String, Value)> {
    let option = |key: &str, name: &str, (description, schema): (&str, Value)| {
        let parameter =
            json!({"name": name, "in": "query", "description": description, "schema": schema});
        (key.to_owned(), parameter)
    };
    let words = |words: &[&str]| json!({"type": "string", "enum": words});
    let errors =
        "`problem`, the default; or `inline` for status 200 and a reason in place of the value.";
    vec![
        option("errors", "errors", (errors, words(&["problem", "inline"]))),
        option(
            "cell_format",
            "format",
            ("Wins over `Accept`.", words(&["text"])),
        ),
        option(
            "row_format",
            "format",
            ("Wins over `Accept`.", words(&["json", "csv", "xml"])),
        ),
        option(
            "figures",
            "figures",
            (
                "Figures with commas between, answered in that order, each once; the usual ones where nothing stands.",
                json!({"type": "string", "examples": ["verdict,concrete_order,total"]}),
            ),
        ),
        option(
            "header",
            "header",
            (
                "Whether CSV begins with a heading; `yes` is the default.",
                words(&["yes", "no"]),
            ),
        ),
        option(
            "_",
            "_",
            (
                "Ignored: makes an address new to a program that keeps answers.",
                json!({"type": "string"}),
            ),
        ),
    ]
}

fn parameter(form: &str, column: &ShortColumn) -> Value {
    let mut parameter = json!({
        "name": form,
        "in": "query",
        "description": describe(form, column),
        "schema": schema(form, column),
    });
    // What has no default has an example, so that the examples together are a job.
    if form == column.name && column.required {
        parameter["example"] = column.example(System::Us).into();
    }
    parameter
}

/// Meaning, default and range in a few words.
fn describe(form: &str, column: &ShortColumn) -> String {
    let mut text = column.meaning.clone();
    if form != column.name {
        text.push_str(&format!(" In place of `{}`, a plain number.", column.name));
        return text;
    }
    if column.required {
        text.push_str(" Required, under one of its names.");
    }
    let both = |of: &dyn Fn(System) -> Option<String>| match (of(System::Us), of(System::Metric)) {
        (Some(us), Some(metric)) if us == metric => Some(us),
        (Some(us), Some(metric)) => Some(format!("{us}, or {metric} with units=metric")),
        (us, metric) => us.or(metric),
    };
    let default = both(&|system| column.default_in(system).map(str::to_owned));
    if let Some(default) = default.or_else(|| column.otherwise().map(str::to_owned)) {
        text.push_str(&format!(" Default: {default}."));
    }
    let range = both(&|system| {
        let (least, most) = column.range_in(system)?;
        Some(format!("{least} to {most}"))
    });
    if let Some(range) = range {
        text.push_str(&format!(" Range: {range}."));
    }
    text
}

fn schema(form: &str, column: &ShortColumn) -> Value {
    if form != column.name {
        return json!({"type": "number"});
    }
    match column.kind {
        ShortKind::Count => json!({"type": "integer"}),
        ShortKind::Choice if !column.words.is_empty() => {
            json!({"type": "string", "enum": column.words})
        }
        ShortKind::YesNo => json!({"type": "string", "enum": ["yes", "no"]}),
        ShortKind::Date => json!({"type": "string", "format": "date"}),
        ShortKind::Text => match column.most {
            Some(most) => json!({"type": "string", "maxLength": most}),
            None => json!({"type": "string"}),
        },
        _ => json!({"type": "string"}),
    }
}
