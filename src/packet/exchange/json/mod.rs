//! The whole packet as JSON: every view under its own name, keys in a stable
//! order, with the version of its shape in `schema`.
//!
//! In: the views. Out: `packet.json`, and `packet.schema.json`, its JSON Schema
//! (draft 2020-12), made from the same types, so that the two cannot part. What
//! many documents say alike is written once, under `shared`, and named by its key
//! wherever it is said.

mod schema;
mod shared;

use crate::packet::Packet;
pub use schema::{described, of};
use serde_json::{Map, Value};

/// Version of the shape of `packet.json`; changes when a key changes meaning or goes.
pub const SCHEMA: &str = "seamster.packet.2";

/// The packet as indented JSON, ending in a line end.
pub fn write(packet: &Packet) -> String {
    let described = described::<Packet>();
    let mut shared = shared::Shared::new(&described);
    // The views hold strings, whole numbers and booleans under fixed names.
    let packet = serde_json::to_value(packet).expect("views always serialise");
    let mut whole = match shared.replace(packet) {
        Value::Object(whole) => whole,
        _ => Map::new(),
    };
    whole.insert("shared".to_owned(), shared.into_value());
    text(&Value::Object(whole))
}

/// The JSON Schema of [`write`]'s result, indented, ending in a line end.
pub fn write_schema() -> String {
    text(&shared::shared_schema(described::<Packet>()))
}

fn text(value: &Value) -> String {
    let mut text = serde_json::to_string_pretty(value).expect("a JSON value always serialises");
    text.push('\n');
    text
}
