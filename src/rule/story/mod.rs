//! Rules of the story family: the states that things show along the story.

use super::Rule;

mod state_jump;
mod state_order;

/// Every rule of the family.
pub const RULES: &[Rule] = &[state_order::RULE, state_jump::RULE];
