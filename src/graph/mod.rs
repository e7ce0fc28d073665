//! The dependency graph: everything that must be captured or done, and why each
//! thing waits for another.
//!
//! In: model and breakdown. Out: [`Work`], an acyclic graph, or the chain of
//! lines that closes a circle.

use crate::model::{AssetId, JoinId, PlateId};
use crate::recipe::PassId;
use crate::source::Span;
use petgraph::graph::DiGraph;

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
