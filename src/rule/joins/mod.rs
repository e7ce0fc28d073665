//! Rules of the joins family.

use super::Rule;

/// Every rule of the family.
pub const RULES: &[Rule] = &[];
