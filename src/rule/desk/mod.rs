//! Rules of the desk family: who does the work after the shoot, and by when.

use super::Rule;

mod before_lock;
mod last_week;
mod late;
mod no_desk;
mod no_reference;
mod silent_impact;

/// Every rule of the family.
pub const RULES: &[Rule] =
    &[no_desk::RULE, late::RULE, no_reference::RULE, before_lock::RULE, silent_impact::RULE, last_week::RULE];
