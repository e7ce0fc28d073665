//! What each plate waits for before it can be shot.
//!
//! In: the graph of work. Out: for each plate the plates and the desk passes
//! that come right before it, with the words that ask for it, and how many
//! times the desk must have worked before it can be shot.

use crate::graph::{Node, Reason, Work};
use crate::model::PlateId;
use crate::recipe::PassId;
use petgraph::Direction;
use petgraph::algo::toposort;
use petgraph::graph::NodeIndex;
use petgraph::visit::EdgeRef;
use std::collections::{BTreeMap, BTreeSet};

/// What one plate waits for.
#[derive(Debug, Clone, Default)]
pub(crate) struct Waits {
    /// Plates that are shot before it.
    pub(crate) plates: Vec<(PlateId, Reason)>,
    /// Passes that are done before it.
    pub(crate) passes: Vec<(PassId, Reason)>,
    /// How many rounds of desk work lie before it.
    pub(crate) depth: usize,
}

/// What every plate of the graph waits for.
pub(crate) fn waits(work: &Work) -> BTreeMap<PlateId, Waits> {
    let depths = depths(work);
    let mut all = BTreeMap::new();
    for node in work.node_indices() {
        if let Some(Node::Plate(plate)) = work.node_weight(node) {
            let mut waits = Waits { depth: depths.get(&node).copied().unwrap_or(0), ..Waits::default() };
            let (plates, passes) = behind(work, node, false);
            (waits.plates, waits.passes) = (plates, passes);
            waits.plates.sort_by_key(|(plate, _)| *plate);
            waits.passes.sort_by_key(|(pass, _)| *pass);
            all.insert(*plate, waits);
        }
    }
    all
}

/// What one pass waits for by the graph.
#[derive(Debug, Clone, Default)]
pub(crate) struct Before {
    /// Footage it needs in hand.
    pub(crate) plates: Vec<PlateId>,
    /// Passes, each with the words that ask for it.
    pub(crate) passes: Vec<(PassId, String)>,
}

/// What every pass of the graph waits for; `after` binds the shoot alone.
pub(crate) fn before_passes(work: &Work) -> BTreeMap<PassId, Before> {
    let mut all = BTreeMap::new();
    for node in work.node_indices() {
        if let Some(Node::Pass(pass)) = work.node_weight(node) {
            let (plates, passes) = behind(work, node, true);
            let mut before = Before {
                plates: plates.into_iter().map(|(plate, _)| plate).collect(),
                passes: passes.into_iter().map(|(pass, reason)| (pass, reason.text)).collect(),
            };
            before.plates.sort_unstable();
            before.passes.sort_by_key(|(pass, _)| *pass);
            all.insert(*pass, before);
        }
    }
    all
}

/// Plates and passes right before a node, each with the reason nearest to the node.
type Behind = (Vec<(PlateId, Reason)>, Vec<(PassId, Reason)>);

/// Walks back through joins, assets and moments to the plates and passes behind them.
fn behind(work: &Work, node: NodeIndex, desk: bool) -> Behind {
    let (mut plates, mut passes) = (Vec::new(), Vec::new());
    let mut seen = BTreeSet::from([node]);
    let mut open: Vec<(NodeIndex, Option<&Reason>)> = vec![(node, None)];
    while let Some((at, asked)) = open.pop() {
        for edge in work.edges_directed(at, Direction::Incoming) {
            if (desk && edge.weight().shoot_only) || !seen.insert(edge.source()) {
                continue;
            }
            let reason = asked.unwrap_or(edge.weight());
            match work.node_weight(edge.source()) {
                Some(Node::Plate(plate)) => plates.push((*plate, reason.clone())),
                Some(Node::Pass(pass)) => passes.push((*pass, reason.clone())),
                _ => open.push((edge.source(), Some(reason))),
            }
        }
    }
    (plates, passes)
}

/// Rounds of desk work before each node; nothing where the graph has a circle.
fn depths(work: &Work) -> BTreeMap<NodeIndex, usize> {
    let mut depths: BTreeMap<NodeIndex, usize> = BTreeMap::new();
    let Ok(order) = toposort(work, None) else { return depths };
    for node in order {
        let is_plate = matches!(work.node_weight(node), Some(Node::Plate(_)));
        let depth = work
            .neighbors_directed(node, Direction::Incoming)
            .map(|before| {
                let from_plate = matches!(work.node_weight(before), Some(Node::Plate(_)));
                let known = depths.get(&before).copied().unwrap_or(0);
                known + usize::from(is_plate && !from_plate)
            })
            .max()
            .unwrap_or(0);
        depths.insert(node, depth);
    }
    depths
}
