//! Rules of the plates family.

use super::Rule;

pub(super) mod kit;
pub(super) mod lens;
pub(super) mod speed;

/// Every rule of the family.
pub const RULES: &[Rule] = &[];
