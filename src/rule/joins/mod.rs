//! Rules of the joins family: where two plates meet.

use super::Rule;

mod handles;
mod handover;
mod heading;
mod light;
mod meeting;
mod mode;
mod offset;
mod overlap;
mod speed;
mod start;
mod state;

pub use meeting::{Meeting, Meets, meeting};

/// Every rule of the family.
pub const RULES: &[Rule] = &[
    offset::RULE,
    light::RULE,
    speed::RULE,
    heading::RULE,
    mode::RULE,
    state::RULE,
    handles::RULE,
    overlap::RULE,
    start::RULE,
];
