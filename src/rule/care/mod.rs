//! Rules of the care family: people's safety.
//!
//! They are never silent: each gives its cautions for the cards whether it
//! fires or not. None of them is legal advice; each says that local rules and
//! licensed practice decide.

use super::Rule;

mod aircraft;
mod fatigue;
mod hazard;
mod heat_cold;
mod height;
mod needs_spotter;
mod told_danger;
mod traffic;
mod water;

/// Every word after `hazard` that a rule of this family acts on.
#[cfg(test)]
pub(crate) fn hazard_words() -> impl Iterator<Item = &'static str> {
    [hazard::WATER, hazard::HEIGHT, hazard::TRAFFIC, hazard::AIRCRAFT].into_iter().flatten().copied()
}

/// Every rule of the family.
pub const RULES: &[Rule] = &[
    needs_spotter::RULE,
    water::RULE,
    aircraft::RULE,
    height::RULE,
    traffic::RULE,
    fatigue::RULE,
    heat_cold::RULE,
    told_danger::RULE,
];
