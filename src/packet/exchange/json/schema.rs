//! Schemas of views, made from their types and the words above them.

use schemars::JsonSchema;
use schemars::generate::SchemaSettings;
use serde_json::{Map, Value, json};

/// The definition that a schema refers to: `Told` for `#/$defs/Told`.
pub fn of(schema: &Value) -> Option<&str> {
    schema.get("$ref")?.as_str()?.strip_prefix("#/$defs/")
}

/// The JSON Schema of a view as it serialises: every key there, no other.
pub fn described<T: JsonSchema>() -> Value {
    let generator = SchemaSettings::draft2020_12().for_serialize().into_generator();
    let mut schema = generator.into_root_schema_for::<T>().to_value();
    close(&mut schema);
    schema
}

/// Objects hold the keys that are described and no others; sentences stay on one line.
fn close(schema: &mut Value) {
    match schema {
        Value::Object(object) => {
            if object.get("properties").is_some_and(Value::is_object) {
                object.insert("additionalProperties".to_owned(), json!(false));
            }
            if let Some(Value::String(words)) = object.get_mut("description") {
                *words = words.split_whitespace().collect::<Vec<_>>().join(" ");
            }
            // How wide the program's own numbers are is nothing to a reader.
            if object.get("format").is_some_and(|format| format.as_str().is_some_and(is_width)) {
                object.remove("format");
            }
            object.values_mut().for_each(close);
        }
        Value::Array(items) => items.iter_mut().for_each(close),
        _ => {}
    }
}

fn is_width(format: &str) -> bool {
    format.starts_with("uint") || format.starts_with("int")
}

/// A schema's definitions by name.
pub(super) fn definitions(schema: &Value) -> Map<String, Value> {
    schema.get("$defs").and_then(Value::as_object).cloned().unwrap_or_default()
}
