//! What the published document says of quantities: made from the rows that the reader uses.
//!
//! Invariants: a text that fits the pattern is read, and an object that fits is read: a body that
//! fits the schema and is refused would be a lie of the document. Absent here: descriptions of
//! single fields.

use super::factors::Scale;
use super::notation::TEXT_AT_MOST;
use super::parse::NUMBER_BELOW;
use super::pattern::pattern;
use super::units::{Dimension, UnitRow};
use serde_json::json;
use std::sync::LazyLock;
use utoipa::openapi::RefOr;
use utoipa::openapi::schema::{
    AdditionalProperties, ObjectBuilder, OneOfBuilder, Schema, SchemaType, Type,
};

/// The steepest angle the document admits, in degrees; the reader goes up to 90, not included.
const STEEPEST: f64 = 89.0;

fn of_type(kind: Type) -> ObjectBuilder {
    ObjectBuilder::new().schema_type(SchemaType::new(kind))
}

/// The pattern of a dimension; the document repeats each many times.
fn known_pattern(dimension: Dimension) -> &'static str {
    static PATTERNS: LazyLock<[String; Dimension::ALL.len()]> =
        LazyLock::new(|| Dimension::ALL.map(pattern));
    &PATTERNS[dimension as usize]
}

/// A quantity in a request: a text, or an object of value and unit.
pub(super) fn quantity_schema(dimension: Dimension) -> RefOr<Schema> {
    let text = of_type(Type::String)
        .pattern(Some(known_pattern(dimension).to_owned()))
        .max_length(Some(TEXT_AT_MOST))
        .examples(dimension.examples().iter().map(|text| json!(text)));
    let (angles, others): (Vec<_>, Vec<_>) = dimension
        .rows()
        .iter()
        .partition(|row| row.scale == Scale::Degrees);
    let mut schema = OneOfBuilder::new()
        .item(text)
        .item(object(&others, NUMBER_BELOW));
    if !angles.is_empty() {
        schema = schema.item(object(&angles, STEEPEST));
    }
    let says = format!("{} with its unit", dimension.noun());
    RefOr::T(Schema::OneOf(schema.description(Some(says)).build()))
}

/// The object form in the units of `rows`.
fn object(rows: &[&UnitRow], largest: f64) -> ObjectBuilder {
    let value = of_type(Type::Number)
        .minimum(Some(-largest))
        .maximum(Some(largest));
    let symbols = rows.iter().flat_map(|row| row.symbols.iter());
    let unit = of_type(Type::String).enum_values(Some(symbols.map(|symbol| json!(symbol))));
    closed(
        ObjectBuilder::new()
            .property("value", value)
            .property("unit", unit),
    )
    .required("value")
    .required("unit")
}

fn closed(object: ObjectBuilder) -> ObjectBuilder {
    object.additional_properties(Some(AdditionalProperties::<Schema>::FreeForm(false)))
}

fn shown(unit: ObjectBuilder) -> ObjectBuilder {
    ObjectBuilder::new()
        .property("value", of_type(Type::Number))
        .required("value")
        .property("unit", unit)
        .required("unit")
}

/// A quantity in an answer, in the US and the metric unit.
pub(super) fn shown_schema(units: &[&str; 2]) -> RefOr<Schema> {
    let [us, metric] = units;
    let mut listed = vec![json!(us)];
    if us != metric {
        listed.push(json!(metric));
    }
    let says = format!("{us} when units is us, {metric} when it is metric");
    let unit = of_type(Type::String)
        .enum_values(Some(listed))
        .description(Some(says));
    RefOr::T(closed(shown(unit)).into())
}

/// A slope in an answer.
pub(super) fn slope_schema() -> RefOr<Schema> {
    let unit = of_type(Type::String).enum_values(Some([json!("%")]));
    let ratio = of_type(Type::String)
        .description(Some(
            "one up for so many along, negative downhill, or level",
        ))
        .examples([json!("1:12"), json!("level")]);
    RefOr::T(
        closed(shown(unit))
            .property("ratio", ratio)
            .required("ratio")
            .into(),
    )
}

/// A quantity in an answer whose unit the field's description names.
pub(super) fn any_shown_schema() -> RefOr<Schema> {
    RefOr::T(closed(shown(of_type(Type::String))).into())
}

/// A text with a pattern: money, and what is written like it.
pub(super) fn text_schema(says: &str, pattern: &str, example: &str) -> RefOr<Schema> {
    let text = of_type(Type::String)
        .description(Some(says))
        .pattern(Some(pattern))
        .examples([json!(example)]);
    RefOr::T(text.into())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn written(schema: RefOr<Schema>) -> serde_json::Value {
        serde_json::to_value(schema).unwrap_or_default()
    }

    #[test]
    fn every_quantity_is_a_text_of_its_pattern_or_a_closed_object() {
        for dimension in Dimension::ALL {
            let schema = written(quantity_schema(dimension));
            let text = &schema["oneOf"][0];
            assert_eq!(text["pattern"], pattern(dimension));
            assert_eq!(text["maxLength"], TEXT_AT_MOST);
            assert_eq!(text["examples"][0], dimension.examples()[0]);
            let objects = schema["oneOf"]
                .as_array()
                .map(|all| &all[1..])
                .unwrap_or_default();
            let listed = objects
                .iter()
                .filter_map(|o| o["properties"]["unit"]["enum"].as_array());
            let symbols: usize = dimension.rows().iter().map(|row| row.symbols.len()).sum();
            assert_eq!(
                listed.map(Vec::len).sum::<usize>(),
                symbols,
                "{dimension:?}"
            );
            for object in objects {
                assert_eq!(object["additionalProperties"], false);
                assert_eq!(object["required"], json!(["value", "unit"]));
            }
        }
    }

    #[test]
    fn an_answer_names_its_unit_in_each_system() {
        let schema = written(shown_schema(&["in", "mm"]));
        assert_eq!(schema["properties"]["unit"]["enum"], json!(["in", "mm"]));
        let hours = written(shown_schema(&["h", "h"]));
        assert_eq!(hours["properties"]["unit"]["enum"], json!(["h"]));
        assert_eq!(
            written(slope_schema())["required"],
            json!(["value", "unit", "ratio"])
        );
    }
}
