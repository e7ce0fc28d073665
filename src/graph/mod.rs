//! The dependency graph: everything that must be captured or done, and why each
//! thing waits for another.
//!
//! In: model and breakdown. Out: [`Work`], an acyclic graph; where the writer's
//! lines close a circle it is reported with its lines, and one of them is left
//! out so that later stages still have something to stand on.
//!
//! An edge points from what is waited for to what waits. It comes from
//! - a recipe: a pass waits for other passes, for clips brought in, for
//!   references in hand, for assets built;
//! - a locked group: its plates are shot in the group's order (`shoot_only`);
//! - `after` on a plate: the shooting order alone (`shoot_only`);
//! - `needs`, which depends on what needs what:
//!
//! | line in … | `needs` beat | `needs` plate | `needs` effect | `needs` asset |
//! |---|---|---|---|---|
//! | beat | its plates are shot after all plates of the other; its effects start after all effects of the other | its plates are shot after it | its plates are shot after the effect's last pass | its plates are shot after the asset is built |
//! | plate | shot after all plates of the beat | shot after it | shot after its last pass | shot after it is built |
//! | effect | starts after all clips of the beat are in and its effects are finished | starts when its clip is in | starts after its last pass | starts when it is built |
//! | asset | as for an effect | as for an effect | as for an effect | built after it |

use crate::model::{AssetId, JoinId, PlateId};
use crate::recipe::PassId;
use crate::source::Span;
use petgraph::graph::DiGraph;

mod build;
pub mod critical;
mod cycle;
mod name;
mod needs;
mod why;

pub use build::build;
pub use critical::{CriticalPath, Times};
pub use name::{index, label, name, named};
pub use why::{Link, chain};

/// Something to capture or to do.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Node {
    /// Captured on a shoot day.
    Plate(PlateId),
    /// Built (its `build` pass done).
    Asset(AssetId),
    /// Worked at the desk.
    Pass(PassId),
    /// Both sides joined (its last pass done).
    Join(JoinId),
    /// The picture no longer changes.
    Lock,
    /// Delivered.
    Delivery,
}

/// Why one thing waits for another.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Reason {
    /// In words: what asks for it.
    pub text: String,
    /// The line behind it; for a recipe's own order, the line that invokes it.
    pub span: Option<Span>,
    /// Only the shooting order is bound by it (`after`).
    pub shoot_only: bool,
}

/// The graph; an edge points from what is waited for to what waits.
pub type Work = DiGraph<Node, Reason>;

#[cfg(test)]
mod tests;
