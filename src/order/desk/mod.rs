//! Who does what at the desk, and when.
//!
//! The core knows nothing of film: [`problem`] is plain data, [`schedule`]
//! times it in a given order, [`search`] finds the order, [`slack`] says what
//! can slip. [`passes`] turns the breakdown into such a problem and back.

pub mod problem;

pub(crate) mod passes;
mod schedule;
mod search;
mod slack;
#[cfg(test)]
mod tests;
