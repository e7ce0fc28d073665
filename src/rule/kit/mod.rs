//! Rules of the kit family: charge, space and flying time.

use super::Rule;
use crate::model::Plate;
use crate::quantity::Seconds;

mod battery;
mod card;
mod flights;

/// Every rule of the family.
pub const RULES: &[Rule] = &[battery::RULE, card::RULE, flights::RULE];

/// Recording time of all takes of a plate.
fn recorded(plate: &Plate) -> Seconds {
    plate.lasts.value * f64::from(plate.takes)
}
