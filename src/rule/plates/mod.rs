//! Rules of the plates family: what is captured, and how exactly.

use super::Rule;

mod blur_budget;
pub(super) mod bound;
mod camera_clash;
mod carry;
mod dry;
pub(super) mod fall_time;
mod flicker;
mod free_hands;
mod hands_cross;
mod headroom;
pub(super) mod kit;
pub(super) mod lens;
mod level_roll;
mod lock_broken;
mod lock_needed;
mod retime_range;
mod scene;
mod screen_cover;
mod screen_gap;
mod screen_height;
mod skew_budget;
pub(super) mod speed;
mod speed_gap;
mod staged;

pub use staged::{Staged, staged};

/// Every rule of the family.
pub const RULES: &[Rule] = &[
    lock_needed::RULE,
    blur_budget::RULE,
    screen_cover::RULE,
    retime_range::RULE,
    hands_cross::RULE,
    flicker::RULE,
    headroom::RULE,
    level_roll::RULE,
    screen_gap::RULE,
    carry::RULE,
    dry::RULE,
    free_hands::RULE,
    skew_budget::RULE,
    lock_broken::RULE,
    fall_time::RULE,
    speed_gap::RULE,
    screen_height::RULE,
    camera_clash::RULE,
];
