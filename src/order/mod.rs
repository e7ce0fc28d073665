//! The two plans: in what order things are shot, and who does what at the desk.
//!
//! In: model, breakdown and graph. Out: [`Plan`]. What cannot be planned is
//! named with its reasons; nothing is dropped in silence. Same input, same
//! plan: no clock, no randomness, a limit in work.
//!
//! The way through this room:
//!
//! ```text
//! setup · helper · window · waits   what the plates are, who helps, when, after what
//!          └→ setting → blocks      looked up once, then as a plain problem
//! shoot::{problem, run, search}     the problem's core: no word of film in it
//!          └→ shooting → telling    reasons for what is left out, steps with words
//! desk::{problem, schedule, search} the desk's core
//!          └→ desk::passes          passes in, assignments out
//! ```
//!
//! Conventions, each common practice without a source unless said otherwise,
//! and each a named constant: people arrive 15 min before the first step and
//! pack for 15 min after the last; a rig is fitted when rig or camera change,
//! after a move and first on a day, and set anew in 2 min when only mark, mode
//! or hold change; a tenth of a battery and a quarter of a flight pack are kept
//! back; cards are emptied and everything is charged overnight, and what a reset
//! can undo within the night's rest is undone; charging on the day happens in
//! moves, fits, waits and meals; bringing a state back between takes of one
//! plate is part of its time between takes; the desk works from 10:00, on
//! footage of the days before.
//!
//! A plate that waits for a pass is planned in a later round, on a day after
//! that pass can be done.
//!
//! A day that depends on the weather is planned a second time, as its cover
//! ([`Cover`]); what the rest of the plan would become is a plan of its own, made
//! with that day supposed to have fallen.

mod aftermath;
mod blocks;
mod cover;
mod daylight;
pub mod desk;
pub mod duration;
mod effort;
pub mod explain;
mod helper;
mod levels;
mod pins;
mod plan;
mod price;
mod reasons;
mod rolling;
mod rounds;
mod setting;
mod setup;
pub mod shoot;
mod shooting;
mod states;
mod steady;
mod telling;
mod units;
mod waits;
mod weather;
mod window;

pub use crate::model::Weights;
pub use aftermath::{Aftermath, aftermaths};
pub use cover::{Cover, fallen, named_by};
pub use effort::Effort;
pub use helper::{Helper, helpers_for};
pub use plan::{
    Assignment, CameraUse, DeskPlan, Level, LevelOf, Minute, PersonCall, Plan, PlannedDay, Quality, SetUp,
    SetUpId, ShootPlan, Step, StepKind, SunDay, Unplanned, WaitKind, Waited,
};
pub use price::Paid;
pub use rounds::{plan, plan_with};
pub use steady::{Moved, keep, moved};
pub use weather::spoiled;
pub use window::{Limit, LimitKind, Limits, limits};

#[cfg(test)]
pub(crate) mod tests;

use crate::model::{Model, PlaceId};

/// Ways that a plan uses and whose time nobody wrote, each once, in order;
/// [`duration::UNSTATED_TRAVEL`] minutes are assumed for each.
pub fn unstated_travel(model: &Model, plan: &ShootPlan) -> Vec<(PlaceId, PlaceId)> {
    let mut ways = Vec::new();
    for day in &plan.days {
        let moves = day.steps.iter().filter_map(|step| match step.kind {
            StepKind::Move { from, to } => Some((from, to)),
            StepKind::Pack => day.base.map(|base| (step.place, base)),
            _ => None,
        });
        for (from, to) in moves {
            if from != to && model.travel(from, to).is_none() {
                ways.push((from.min(to), from.max(to)));
            }
        }
    }
    ways.sort_unstable();
    ways.dedup();
    ways
}
