//! The whole packet as JSON: every view under its own name, keys in a stable
//! order, with the version of its shape in `schema`.

use crate::packet::Packet;

/// Version of the shape of `packet.json`; changes when a key changes meaning or goes.
pub const SCHEMA: &str = "seamster.packet.1";

/// The packet as indented JSON, ending in a line end.
pub fn write(packet: &Packet) -> String {
    // The views hold strings, whole numbers and booleans under fixed names.
    let mut text = serde_json::to_string_pretty(packet).expect("views always serialise");
    text.push('\n');
    text
}
