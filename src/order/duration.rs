//! How long things take on the day, in whole minutes.
//!
//! A plate takes its takes and the time between them, rounded up to a whole
//! minute; fitting takes what the rig says. What no line says is common
//! practice, no source, and named here.

use crate::model::{Plate, Rig};
use crate::quantity::Seconds;

/// Between the call and the first step: arriving, unpacking, a word on safety.
pub const ARRIVE: i64 = 15;
/// Packing at the end of the day, before the way back to base.
pub const PACK: i64 = 15;
/// Changing mark, mode or hold on a rig that is already fitted.
pub const TURN: i64 = 2;
/// Between two places whose travel time nobody wrote.
pub const UNSTATED_TRAVEL: i64 = 30;

/// A later call leaves so much between the work and the end of its light.
pub const MARGIN: i64 = 10;

/// Share of a camera's charge that is kept back: the clock of a small battery
/// is not exact, and cold shortens it (common practice, no source).
pub const KEPT_BACK: f64 = 0.1;
/// Share of a flight pack that may be flown before landing (common practice, no source).
pub const FLOWN: f64 = 0.75;
/// Seconds of climbing, lining up and landing around each flown take (common practice, no source).
pub const AROUND_FLIGHT: i64 = 60;

/// Hour, local time, at which a working day at the desk starts.
pub const DESK_START: i8 = 10;

/// Minutes after the hours of a shoot day in which its footage is still brought
/// in: what is missing must be seen before the place is left for good (common practice, no source).
pub const EVENING: i64 = 120;

/// Longest span that is told apart, so that sums stay whole: ten years.
const MOST: f64 = 5_256_000.0;

/// Whole minutes, rounded up; a span that is not a number takes none.
pub(crate) fn minutes(span: Seconds) -> i64 {
    let minutes = (span.0 / 60.0 - 1e-9).ceil();
    if minutes > 0.0 { minutes.min(MOST) as i64 } else { 0 }
}

/// Whole seconds, rounded up.
pub(crate) fn seconds(span: Seconds) -> i64 {
    if span.0 > 0.0 { (span.0 - 1e-9).ceil().min(MOST * 60.0) as i64 } else { 0 }
}

/// Minutes to shoot a plate: takes × length + (takes − 1) × time between, at least one.
pub fn shooting(plate: &Plate) -> i64 {
    let takes = f64::from(plate.takes.max(1));
    minutes(plate.lasts.value * takes + plate.between * (takes - 1.0)).max(1)
}

/// Seconds recorded in one take; stills and notes record nothing worth counting.
pub(crate) fn recorded(plate: &Plate) -> i64 {
    if plate.kind.is_footage() { seconds(plate.lasts.value) } else { 0 }
}

/// Minutes to change the set-up on a rig that stays: never more than fitting it.
pub(crate) fn turning(rig: &Rig) -> i64 {
    minutes(rig.fitting).min(TURN)
}
