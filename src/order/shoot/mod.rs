//! In what order things are shot.
//!
//! Set-ups are worked one after another by one unit. The core knows nothing of
//! film: [`problem`] is plain data, [`search`] puts it in order, [`run`] says
//! what an order costs and why one cannot be.

pub mod problem;

mod construct;
pub(crate) mod event;
pub(crate) mod improve;
mod prove;
pub(crate) mod run;
pub(crate) mod score;
pub(crate) mod search;
pub(crate) mod spent;
pub(crate) mod state;
mod store;
#[cfg(test)]
mod tests;
