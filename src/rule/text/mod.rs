//! Rules of the text family.

use super::Rule;

/// Every rule of the family.
pub const RULES: &[Rule] = &[];
