//! Text to tree: shapes only.
//!
//! In: one file of `Sources`. Out: a [`Tree`] that keeps every comment and
//! blank line, and diagnostics for lines of the wrong shape. Any text gives a
//! tree; a malformed line spoils only itself.

mod format;
mod parse;
mod tree;

pub use format::format;
pub use parse::parse;
pub use tree::{Block, Item, Statement, Tree, Value};
