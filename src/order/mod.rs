//! The two plans: in what order things are shot, and who does what at the desk.
//!
//! In: model, breakdown and graph. Out: [`Plan`]. What cannot be planned is
//! named with its reasons; nothing is dropped in silence. Same input, same
//! plan: no clock, no randomness, a limit in work.

mod blocks;
mod daylight;
pub mod duration;
mod helper;
mod plan;
mod reasons;
mod setting;
mod setup;
pub mod shoot;
mod shooting;
mod states;
mod telling;
mod waits;
mod window;

pub use helper::{Helper, helpers_for};
pub use window::{Limit, Limits, limits};

pub use plan::{
    Assignment, CameraUse, DeskPlan, Minute, PersonCall, Plan, PlannedDay, Quality, SetUp, SetUpId,
    ShootPlan, Step, StepKind, SunDay, Unplanned, What,
};
