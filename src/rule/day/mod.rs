//! Rules of the day family: light, access, people and hours of the shoot days.

use super::Rule;

mod access;
mod cannot_plan;
mod cover;
mod day_length;
mod light_window;
mod meal;
mod mend;
mod person_away;
mod rest;
mod unstated_travel;
mod window;

/// Every rule of the family.
pub const RULES: &[Rule] = &[
    light_window::RULE,
    access::RULE,
    person_away::RULE,
    day_length::RULE,
    meal::RULE,
    rest::RULE,
    cannot_plan::RULE,
    unstated_travel::RULE,
    cover::OF_WEATHER,
    cover::OF_SPENT,
    cover::OF_UNFIT,
    cover::OF_SHORT,
];
