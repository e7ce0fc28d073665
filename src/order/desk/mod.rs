//! Who does what at the desk, and when.
//!
//! The core knows nothing of film: [`problem`] is plain data in, [`Answer`] is
//! what comes out. `passes`, `stages` and `calendar` turn the breakdown into such
//! a problem, `telling` turns the answer into a plan.
//!
//! ```text
//! problem · hours     tasks, hands, working hours
//! fault · urgent      what cannot be done at all, what is done at once
//!   └→ net · load · schedule    an order of tasks, timed; both directions of time
//!        └→ bound     when all can be done at the earliest
//!        └→ breed · swing · polish      orders that are better and better
//! slack               what can slip
//! ```

pub mod hours;
pub mod problem;

mod bound;
mod breed;
pub(crate) mod calendar;
mod fault;
mod learn;
mod load;
mod net;
pub(crate) mod passes;
mod polish;
mod prove;
mod schedule;
mod search;
mod slack;
mod solve;
mod stages;
mod swing;
mod telling;
#[cfg(test)]
mod tests;
mod urgent;
mod value;

pub use solve::{Answer, Done, solve};
