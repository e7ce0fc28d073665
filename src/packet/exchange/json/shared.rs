//! What many documents say alike, written once.
//!
//! In: a value and the schema that it was described with. Out: the value with a
//! key in place of each object of a shared kind, and the objects by kind and key.
//! A key is made from what it stands for, so it stays while that does.

use super::SCHEMA;
use super::schema::{definitions, of};
use serde_json::{Map, Value, json};
use sha2::{Digest, Sha256};
use std::fmt::Write;

/// Kinds that are shared: their type and the name of their place under `shared`.
const KINDS: &[(&str, &str)] = &[
    ("Asked", "asked"),
    ("Caution", "cautions"),
    ("Cautions", "caution_sheets"),
    ("Found", "found"),
    ("LeftOut", "left_out"),
    ("PassRow", "passes"),
    ("Piece", "pieces"),
    ("Source", "sources"),
    ("Told", "told"),
    ("Wait", "waits"),
];
/// Hexadecimal digits of a key; more where two would be alike.
const DIGITS: usize = 10;

fn place(kind: &str) -> Option<&'static str> {
    KINDS.iter().find(|(known, _)| *known == kind).map(|(_, place)| *place)
}

/// Gathers what is shared.
pub(super) struct Shared<'s> {
    schema: &'s Value,
    places: Map<String, Value>,
}

impl<'s> Shared<'s> {
    pub(super) fn new(schema: &'s Value) -> Self {
        let places = KINDS.iter().map(|(_, place)| ((*place).to_owned(), json!({})));
        Self { schema, places: places.collect() }
    }

    /// A field with keys in it, or one piece of a field that is a list.
    pub(super) fn replace(&mut self, value: Value, field: &str, piece: bool) -> Value {
        let schema = self.schema.get("properties").and_then(|fields| fields.get(field));
        let schema = if piece { schema.and_then(|list| list.get("items")) } else { schema };
        self.visit(value, schema.expect("every field is described"))
    }

    /// The shared objects by kind and key.
    pub(super) fn into_value(self) -> Value {
        Value::Object(self.places)
    }

    fn visit(&mut self, value: Value, schema: &'s Value) -> Value {
        if let Some(name) = of(schema) {
            let Some(definition) = self.schema.get("$defs").and_then(|all| all.get(name)) else {
                return value;
            };
            let value = self.visit(value, definition);
            return match place(name) {
                Some(place) => Value::String(self.key(place, value)),
                None => value,
            };
        }
        // A view that may be missing is one of its own schema and none.
        if let Some(either) = schema.get("anyOf").and_then(Value::as_array) {
            return match either.iter().find(|one| of(one).is_some()) {
                Some(inside) if !value.is_null() => self.visit(value, inside),
                _ => value,
            };
        }
        match value {
            Value::Object(object) => {
                let known = schema.get("properties");
                let mut visited = Map::new();
                for (key, value) in object {
                    let value = match known.and_then(|known| known.get(&key)) {
                        Some(inside) => self.visit(value, inside),
                        None => value,
                    };
                    visited.insert(key, value);
                }
                Value::Object(visited)
            }
            Value::Array(items) => match schema.get("items") {
                Some(inside) => {
                    Value::Array(items.into_iter().map(|item| self.visit(item, inside)).collect())
                }
                None => Value::Array(items),
            },
            other => other,
        }
    }

    fn key(&mut self, place: &str, value: Value) -> String {
        let mut digits = String::new();
        for byte in Sha256::digest(value.to_string()) {
            let _ = write!(digits, "{byte:02x}");
        }
        let Some(Value::Object(known)) = self.places.get_mut(place) else { return digits };
        let free = |key: &&str| known.get(*key).is_none_or(|other| *other == value);
        let keys = (DIGITS..=digits.len()).filter_map(|length| digits.get(..length));
        let key = keys.clone().find(free).unwrap_or(&digits).to_owned();
        known.insert(key.clone(), value);
        key
    }
}

/// The schema of a value in which the shared kinds are keys.
pub(super) fn shared_schema(mut schema: Value) -> Value {
    let mut defs = Map::new();
    let mut places = Map::new();
    for (name, mut definition) in definitions(&schema) {
        name_keys(&mut definition);
        if let Some(place) = place(&name) {
            let words = definition.get("description").and_then(Value::as_str).unwrap_or_default().to_owned();
            let key = json!({
                "description": format!("{words} Its key under `shared.{place}`."),
                "type": "string",
                "pattern": format!("^[0-9a-f]{{{DIGITS},64}}$"),
            });
            defs.insert(key_of(&name), key);
            places.insert(
                place.to_owned(),
                json!({
                    "description": words,
                    "type": "object",
                    "additionalProperties": { "$ref": format!("#/$defs/{name}") },
                }),
            );
        }
        defs.insert(name, definition);
    }
    if let Some(root) = schema.as_object_mut() {
        root.remove("$defs");
        root.values_mut().for_each(name_keys);
        let required: Vec<Value> = places.keys().cloned().map(Value::String).collect();
        let shared = json!({
            "description": "What is said in several places, once: by kind and key.",
            "type": "object",
            "properties": places,
            "required": required,
            "additionalProperties": false,
        });
        if let Some(properties) = root.get_mut("properties").and_then(Value::as_object_mut) {
            properties.insert("shared".to_owned(), shared);
            if let Some(version) = properties.get_mut("schema").and_then(Value::as_object_mut) {
                version.insert("const".to_owned(), json!(SCHEMA));
            }
        }
        if let Some(required) = root.get_mut("required").and_then(Value::as_array_mut) {
            required.push(json!("shared"));
        }
        root.insert("title".to_owned(), json!(SCHEMA));
        root.insert("$defs".to_owned(), Value::Object(defs));
    }
    schema
}

fn key_of(name: &str) -> String {
    format!("{name}Key")
}

/// Makes every reference to a shared kind one to its key.
fn name_keys(schema: &mut Value) {
    let shared = of(schema).filter(|name| place(name).is_some()).map(key_of);
    match schema {
        Value::Object(object) => {
            if let Some(key) = shared {
                object.insert("$ref".to_owned(), json!(format!("#/$defs/{key}")));
            }
            object.values_mut().for_each(name_keys);
        }
        Value::Array(items) => items.iter_mut().for_each(name_keys),
        _ => {}
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::packet::Packet;
    use crate::packet::exchange::json::described;

    /// Every shared kind is one of the packet's types, and stands in no place that
    /// [`Shared::visit`] does not reach.
    #[test]
    fn every_shared_kind_is_there_and_reached() {
        let schema = described::<Packet>();
        let definitions = definitions(&schema);
        for (kind, _) in KINDS {
            assert!(definitions.contains_key(*kind), "{kind}");
        }
        fn unreached(schema: &Value, inside: bool) -> Vec<String> {
            let own = of(schema).filter(|name| inside && place(name).is_some()).map(str::to_owned);
            let below = match schema {
                Value::Object(object) => {
                    let deeper = |key: &str| {
                        inside || ["oneOf", "anyOf", "allOf", "additionalProperties"].contains(&key)
                    };
                    object.iter().flat_map(|(key, value)| unreached(value, deeper(key))).collect::<Vec<_>>()
                }
                Value::Array(items) => items.iter().flat_map(|item| unreached(item, inside)).collect(),
                _ => Vec::new(),
            };
            own.into_iter().chain(below).collect()
        }
        assert_eq!(unreached(&schema, false), Vec::<String>::new());
    }

    #[test]
    fn what_is_shared_stands_once_under_its_key() {
        let schema = json!({
            "properties": { "all": { "type": "array", "items": { "$ref": "#/$defs/Told" } } },
            "$defs": { "Told": { "properties": { "text": { "type": "string" } } } },
        });
        let mut shared = Shared::new(&schema);
        let value = shared.replace(json!([{ "text": "a" }, { "text": "b" }, { "text": "a" }]), "all", false);
        let keys: Vec<&str> = value.as_array().unwrap().iter().filter_map(Value::as_str).collect();
        assert!(keys[0] == keys[2] && keys[0] != keys[1] && keys[0].len() == DIGITS);
        let shared = shared.into_value();
        assert_eq!(shared["told"][keys[1]]["text"], "b");
        assert_eq!(shared["told"].as_object().unwrap().len(), 2);
    }

    #[test]
    fn two_contents_never_share_a_key() {
        let schema = json!({});
        let mut shared = Shared::new(&schema);
        let first = shared.key("told", json!("a"));
        let digits = shared.key("told", json!("a"));
        assert_eq!(first, digits);
        // Something else stands where the key of "b" would be.
        let free = Shared::new(&schema).key("told", json!("b"));
        shared.places["told"][&free] = json!("c");
        let longer = shared.key("told", json!("b"));
        assert!(longer.starts_with(&free) && longer.len() == DIGITS + 1);
    }
}
