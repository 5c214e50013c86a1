//! The JSON Schema of a raw type. An absent value is left out of a file, so `null` is allowed nowhere.

use schemars::generate::SchemaSettings;
use schemars::transform::RecursiveTransform;
use schemars::{JsonSchema, Schema};
use serde_json::Value;

/// The schema (draft 2020-12) of a raw type.
#[must_use]
pub fn schema_of<T: JsonSchema>() -> Schema {
    SchemaSettings::draft2020_12()
        .for_deserialize()
        .with_transform(RecursiveTransform(forbid_null as fn(&mut Schema)))
        .into_generator()
        .into_root_schema_for::<T>()
}

fn forbid_null(schema: &mut Schema) {
    let Some(object) = schema.as_object_mut() else { return };
    if let Some(Value::Array(types)) = object.get_mut("type") {
        types.retain(|t| t != "null");
        if let [single] = &types[..] {
            let single = single.clone();
            object.insert("type".into(), single);
        }
    }
    if object.get("default").is_some_and(Value::is_null) {
        object.remove("default");
    }
    let Some(Value::Array(branches)) = object.get_mut("anyOf") else { return };
    branches.retain(|branch| branch.get("type").is_none_or(|t| t != "null"));
    if let [Value::Object(single)] = &branches[..] {
        let single = single.clone();
        object.remove("anyOf");
        for (key, value) in single {
            object.entry(key).or_insert(value);
        }
    }
}
