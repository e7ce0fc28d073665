//! Why something comes when it does: everything that it waits for, with reasons.

use super::{Node, Reason, Work, index};
use petgraph::Direction;
use petgraph::graph::NodeIndex;
use petgraph::visit::EdgeRef;

/// One thing that is waited for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Link {
    /// What is waited for.
    pub node: Node,
    /// How far from the node that was asked about; its direct waits are at 1.
    pub depth: usize,
    /// Why what stands above it waits for it.
    pub reason: Reason,
    /// Told further up already, with all that it waits for.
    pub seen: bool,
}

/// Everything that a node waits for, as a tree told from the top: each link
/// stands under what waits for it, in the order of the graph's nodes. What was
/// told once is not unfolded again, so the list is never longer than the graph
/// has edges. Empty for a node that waits for nothing or is not in the graph.
pub fn chain(work: &Work, node: Node) -> Vec<Link> {
    let Some(start) = index(work, node) else { return Vec::new() };
    let mut told = vec![false; work.node_count()];
    let mut links = Vec::new();
    let mut open: Vec<(NodeIndex, usize, Reason)> = Vec::new();
    unfold(work, start, 0, &mut open);
    while let Some((at, depth, reason)) = open.pop() {
        let Some(&node) = work.node_weight(at) else { continue };
        let seen = told.get_mut(at.index()).is_some_and(|told| std::mem::replace(told, true));
        links.push(Link { node, depth, reason, seen });
        if !seen {
            unfold(work, at, depth, &mut open);
        }
    }
    links
}

fn unfold(work: &Work, at: NodeIndex, depth: usize, open: &mut Vec<(NodeIndex, usize, Reason)>) {
    let mut before: Vec<_> = work.edges_directed(at, Direction::Incoming).collect();
    before.sort_by_key(|edge| std::cmp::Reverse(edge.source()));
    open.extend(before.into_iter().map(|edge| (edge.source(), depth + 1, edge.weight().clone())));
}
