//! Rules of the desk family: who does the work after the shoot, and by when.

use super::Rule;

mod before_lock;
mod late;
mod no_desk;
mod no_reference;

/// Every rule of the family.
pub const RULES: &[Rule] = &[no_desk::RULE, late::RULE, no_reference::RULE, before_lock::RULE];
