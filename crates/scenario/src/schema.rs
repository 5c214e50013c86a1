//! JSON Schema of the formats, and the tables of their documentation.

use schemars::{JsonSchema, Schema};
use serde_json::Value;

use crate::bounds;
use crate::code::Code;
use crate::machine::RawMachine;
use crate::quantity::{Dimension, UNITS};
use crate::raw::RawScenario;
use crate::structure::schema_of;

/// JSON Schema of scenario files, as text.
#[must_use]
pub fn scenario() -> String {
    pretty::<RawScenario>()
}

/// JSON Schema of machine files, as text.
#[must_use]
pub fn machine() -> String {
    pretty::<RawMachine>()
}

fn pretty<T: JsonSchema>() -> String {
    let mut schema = schema_of::<T>();
    exactly_one(&mut schema);
    format!("{:#}\n", schema.to_value())
}

/// States in standard keywords what the reader checks by "x-one-of": exactly one of some keys.
fn exactly_one(schema: &mut Schema) {
    schemars::transform::transform_subschemas(&mut exactly_one, schema);
    let Some(Value::Array(keys)) = schema.remove("x-one-of") else { return };
    let required: Vec<Value> = keys.into_iter().map(|key| serde_json::json!({ "required": [key] })).collect();
    schema.insert("oneOf".into(), required.into());
}

/// Every quantity with its range, as a Markdown table.
#[must_use]
pub fn bounds_table() -> String {
    let rows = bounds::ALL.iter().map(|b| format!("| {} | {} | {} |\n", b.name, b.range(), b.words));
    std::iter::once("| quantity | range | what it is |\n|---|---|---|\n".to_string()).chain(rows).collect()
}

/// Every unit by what it measures, as a Markdown table.
#[must_use]
pub fn units_table() -> String {
    let mut dimensions: Vec<Dimension> = UNITS.iter().map(|unit| unit.dimension).collect();
    dimensions.dedup();
    let row = |dimension: Dimension| {
        let units: Vec<_> = dimension.units().map(|unit| format!("`{unit}`")).collect();
        format!("| {dimension} | {} | `\"{}\"` |\n", units.join(" "), dimension.example())
    };
    let head = "| kind | units | example |\n|---|---|---|\n".to_string();
    std::iter::once(head).chain(dimensions.into_iter().map(row)).collect()
}

/// Every code of a problem, as a Markdown list.
#[must_use]
pub fn codes_list() -> String {
    Code::ALL.iter().map(|code| format!("- `{code}`: {}\n", code.explain())).collect()
}
