//! Rules of the kit family: charge, space and flying time.

use super::Rule;
use super::Subject;
use crate::model::{Hold, Plate, PlateId};
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

/// Plates between which nobody may touch the camera: each locked group, and each
/// locked plate that is in none.
fn untouched(subject: &Subject<'_>) -> Vec<Vec<PlateId>> {
    let mut runs: Vec<Vec<PlateId>> =
        subject.breakdown.groups.values().map(|group| group.plates.clone()).collect();
    for (id, plate) in subject.breakdown.plates.iter() {
        if plate.hold.value == Hold::Locked && !runs.iter().any(|run| run.contains(&id)) {
            runs.push(vec![id]);
        }
    }
    runs
}
