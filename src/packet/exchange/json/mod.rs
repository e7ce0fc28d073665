//! The whole packet as JSON: every view under its own name, keys in a stable
//! order, with the version of its shape in `schema`.
//!
//! In: the views. Out: `packet.json`, and `packet.schema.json`, its JSON Schema
//! (draft 2020-12), made from the same types, so that the two cannot part. What
//! many documents say alike is written once, under `shared`, and named by its key
//! wherever it is said.

mod layout;
mod schema;
mod shared;

use crate::packet::Packet;
pub use schema::{described, of};
use serde::Serialize;
use serde_json::{Map, Value};
use shared::Shared;

/// Version of the shape of `packet.json`; changes when a key changes meaning or goes.
pub const SCHEMA: &str = "seamster.packet.3";

/// The packet as indented JSON, ending in a line end.
pub fn write(packet: &Packet) -> String {
    let described = described::<Packet>();
    // One field after another, and lists piece by piece: as values they take many
    // times the room that they take as text.
    let Packet {
        schema,
        head,
        cover,
        call_sheets,
        plates,
        hand_overs,
        screens,
        bundles,
        logs,
        ingest,
        ingest_totals,
        ingest_aside,
        passes,
        handoffs,
        desk,
        graph,
        assembly,
        calendars,
        rules,
        // Lines and circles of what is here already.
        // The same as the graph, laid out.
        dependencies: _,
        pictures: _,
    } = packet;
    let mut fields = Fields { shared: Shared::new(&described), whole: Map::new() };
    fields.one("schema", schema);
    fields.one("head", head);
    fields.one("cover", cover);
    fields.list("call_sheets", call_sheets);
    fields.list("plates", plates);
    fields.list("hand_overs", hand_overs);
    fields.list("screens", screens);
    fields.list("bundles", bundles);
    fields.list("logs", logs);
    fields.list("ingest", ingest);
    fields.one("ingest_totals", ingest_totals);
    fields.list("ingest_aside", ingest_aside);
    fields.list("passes", passes);
    fields.list("handoffs", handoffs);
    fields.one("desk", desk);
    fields.one("graph", graph);
    fields.one("assembly", assembly);
    fields.list("calendars", calendars);
    fields.list("rules", rules);
    let Fields { shared, mut whole } = fields;
    whole.insert("shared".to_owned(), shared.into_value());
    layout::text(&Value::Object(whole))
}

/// The JSON Schema of [`write`]'s result, indented, ending in a line end.
pub fn write_schema() -> String {
    layout::text(&shared::shared_schema(described::<Packet>()))
}

/// The fields that are done.
struct Fields<'s> {
    shared: Shared<'s>,
    whole: Map<String, Value>,
}

impl Fields<'_> {
    fn one(&mut self, name: &str, field: &impl Serialize) {
        let value = self.shared.replace(value(field), name, false);
        self.whole.insert(name.to_owned(), value);
    }

    fn list(&mut self, name: &str, field: &[impl Serialize]) {
        let items = field.iter().map(|item| self.shared.replace(value(item), name, true)).collect();
        self.whole.insert(name.to_owned(), Value::Array(items));
    }
}

fn value(view: &impl Serialize) -> Value {
    // The views hold strings, whole numbers and booleans under fixed names.
    serde_json::to_value(view).expect("views always serialise")
}
