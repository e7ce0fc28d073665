//! Pictures inside documents.
//!
//! A view that can have a picture holds an `Option<Svg>` beside the words that
//! say the same, so that a document is whole without it.

use schemars::JsonSchema;
use serde::Serialize;

/// A drawing as one `<svg>` element: self-contained, without script, without
/// outside references, every text in it already escaped.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(transparent)]
pub struct Svg(pub String);
