//! Recipes: what each effect takes.

mod breakdown;

pub use breakdown::{Breakdown, Demand, DemandKind, FilledRole, Group, GroupId, Owner, Pass, PassId};
