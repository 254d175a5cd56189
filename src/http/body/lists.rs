//! Lists that stand where an object belongs: the strict reader's derive takes them for the fields of the
//! object, in the order of its declaration.
//!
//! Invariants: what is named here is a list wherever a request has it, so that such a list is no place to
//! look at; a name that is missing costs a second reading and no verdict. Absent: the verdict, which the
//! collecting reader has.

/// Names of fields that are lists in every request, sorted.
const LISTS: &[&str] = &[
    "allow",
    "allowances",
    "alternates",
    "attachments_needed",
    "back_charges",
    "bars",
    "bills",
    "books",
    "break_out",
    "build_up",
    "changes",
    "changes_before",
    "checklist",
    "classes",
    "codes",
    "concrete_before",
    "curb_ramps",
    "curbs",
    "days",
    "documents",
    "earlier",
    "elements",
    "entries",
    "equipment",
    "exclusions",
    "extra_rates",
    "extras",
    "findings",
    "groups",
    "items",
    "legs",
    "level_changes",
    "lines",
    "materials",
    "members",
    "needed_from_others",
    "notes",
    "paid",
    "path",
    "people",
    "pours",
    "prices",
    "progress",
    "quantities",
    "readings",
    "requirements",
    "risers",
    "rule_sets",
    "short_load",
    "shots",
    "slips",
    "steps",
    "stock",
    "street",
    "stretches",
    "table",
    "tasks",
    "taxes",
    "terms",
    "tickets",
    "treads",
    "trucks",
    "unknowns",
    "unpriced",
    "walks",
    "weather",
];

/// True where a list stands that is not the value of a field known to be one.
pub(super) fn stand_for_objects(bytes: &[u8]) -> bool {
    let (mut at, mut text, mut field) = (0, &[][..], None);
    while let Some(byte) = bytes.get(at) {
        match byte {
            b'"' => {
                let end = end_of_text(bytes, at + 1);
                text = bytes.get(at + 1..end).unwrap_or_default();
                at = end;
            }
            b':' => field = Some(text),
            b',' | b'{' => field = None,
            b'[' if !field.take().is_some_and(is_a_list) => return true,
            _ => {}
        }
        at += 1;
    }
    false
}

fn is_a_list(field: &[u8]) -> bool {
    LISTS
        .binary_search_by(|list| list.as_bytes().cmp(field))
        .is_ok()
}

/// Where the text that begins here ends, or the bytes do.
fn end_of_text(bytes: &[u8], from: usize) -> usize {
    let mut at = from;
    while let Some(byte) = bytes.get(at) {
        match byte {
            b'"' => break,
            b'\\' => at += 2,
            _ => at += 1,
        }
    }
    at
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::Value;
    use std::collections::{BTreeMap, BTreeSet};

    #[test]
    fn lists_of_known_fields_are_passed_over() {
        for known in [
            r#"{"ramp": {"path": [{"kind": "run"}, {"kind": "landing", "curbs": ["left"]}]}}"#,
            r#"{"name": "a [b] \" [c", "path": []}"#,
            "{}",
        ] {
            assert!(!stand_for_objects(known.as_bytes()), "{known}");
        }
        for unknown in [
            r#"{"pour": [null]}"#,
            r#"[{"path": []}]"#,
            r#"{"path": [["run"]]}"#,
            r#"{"path": [{"kind": "run"}, ["run"]]}"#,
            r#"{"path": [{"door": ["end"]}]}"#,
            r#"{"name": "\\", "slab": ["#,
            r#"{"p\u0061th": []}"#,
        ] {
            assert!(stand_for_objects(unknown.as_bytes()), "{unknown}");
        }
    }

    /// Kinds of every field below, by its name.
    fn kinds<'a>(
        all: &'a Value,
        schema: &'a Value,
        into: &mut BTreeMap<&'a str, BTreeSet<String>>,
    ) {
        let fields = schema["properties"].as_object().into_iter().flatten();
        for (name, field) in fields {
            let found = into.entry(name).or_default();
            kinds_of(all, field, found);
        }
        match schema {
            Value::Object(members) => members.values().for_each(|one| kinds(all, one, into)),
            Value::Array(items) => items.iter().for_each(|one| kinds(all, one, into)),
            _ => {}
        }
    }

    fn kinds_of(all: &Value, field: &Value, into: &mut BTreeSet<String>) {
        if let Some(at) = field["$ref"].as_str() {
            let target = all.pointer(at.trim_start_matches('#'));
            return kinds_of(all, target.expect("a schema"), into);
        }
        let said = [&field["type"]]
            .into_iter()
            .chain(field["type"].as_array().into_iter().flatten());
        into.extend(said.filter_map(Value::as_str).map(str::to_owned));
        for choice in ["oneOf", "anyOf", "allOf"] {
            let choices = field[choice].as_array().into_iter().flatten();
            choices.for_each(|one| kinds_of(all, one, into));
        }
    }

    /// No name of the table is an object anywhere.
    #[test]
    fn the_table_agrees_with_the_contract() {
        assert!(LISTS.is_sorted(), "not sorted");
        let all = crate::http::document::document(crate::http::routes);
        let reached = crate::http::document::schemas_of_bodies(&all);
        let mut found = BTreeMap::new();
        for name in &reached {
            kinds(&all, &all["components"]["schemas"][name], &mut found);
        }
        for list in LISTS {
            let kinds = found.get(list).expect("a field of a request");
            assert!(
                kinds.contains("array") && !kinds.contains("object"),
                "{list}: {kinds:?}"
            );
        }
    }
}
