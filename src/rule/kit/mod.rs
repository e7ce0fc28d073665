//! Rules of the kit family.

use super::Rule;

/// Every rule of the family.
pub const RULES: &[Rule] = &[];
