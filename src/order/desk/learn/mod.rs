//! Proves that no schedule ends sooner, or finds one that does.
//!
//! Tries starts one after the other, follows what must be then, and where
//! nothing is left learns a clause from the clash that forbids it for good (lazy
//! clause generation; Ohrimenko, Stuckey and Codish 2009; for scheduling Schutt
//! et al. 2011). Every step is counted and nothing depends on time.

mod bounds;
mod clauses;
mod conflict;
mod model;
mod room;
mod trials;
mod waits;

pub(super) use model::Model;
pub(super) use trials::{Outcome, Trials};
