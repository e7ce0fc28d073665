//! Seamster compiles an effects-heavy film sequence.
//!
//! text → syntax → model → recipes → graph → rules → order → packet

pub mod craft;
pub mod diagnostic;
pub mod graph;
pub mod model;
pub mod order;
pub mod packet;
pub mod quantity;
pub mod recipe;
pub mod rule;
pub mod schema;
pub mod source;
pub mod syntax;
