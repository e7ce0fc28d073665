//! What waits for what, as plain data: the dependency graph.

use crate::graph::Node;
use crate::model::BeatId;
use crate::packet::index::Index;
use crate::packet::names::Names;
use crate::recipe::Owner;
use petgraph::visit::EdgeRef;
use schemars::JsonSchema;
use serde::Serialize;
use std::collections::BTreeMap;

/// The dependency graph.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Graph {
    /// Everything that is captured or done.
    pub nodes: Vec<GraphNode>,
    /// What waits for what.
    pub edges: Vec<GraphEdge>,
    /// Beats in story order, by which a large graph is parted.
    pub beats: Vec<GraphBeat>,
}

/// Something that is captured or done.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct GraphNode {
    /// Its path.
    pub path: String,
    /// In words.
    pub title: String,
    /// What kind.
    pub kind: NodeKind,
    /// Path of its beat; empty for what belongs to the whole.
    pub beat: String,
    /// Whether it sets the day on which the desk is done.
    pub critical: bool,
}

/// What a node is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum NodeKind {
    /// Captured on a shoot day.
    Plate,
    /// Built at the desk.
    Asset,
    /// Worked at the desk.
    Pass,
    /// Both sides joined.
    Join,
    /// The picture no longer changes.
    Lock,
    /// Delivered.
    Delivery,
}

/// One thing waits for another.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct GraphEdge {
    /// What is waited for, as its place among the nodes.
    pub from: usize,
    /// What waits.
    pub to: usize,
    /// Whether only the order of the shoot is bound by it.
    pub shoot_only: bool,
}

/// A beat's part of the graph.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct GraphBeat {
    /// Its path.
    pub path: String,
    /// Its title, or path.
    pub title: String,
    /// Name of its document without ending, where the graph is parted.
    pub file: String,
}

/// The graph in the order in which it was built. Why an edge is there is told by
/// the pass list and by `why`, and left out here.
pub(crate) fn graph(index: &Index<'_>) -> Graph {
    let work = index.input.work;
    let mut places = BTreeMap::new();
    let mut nodes = Vec::new();
    for at in work.node_indices() {
        let Some(node) = work.node_weight(at) else { continue };
        places.insert(at, nodes.len());
        nodes.push(told(index, *node));
    }
    let place = |at| places.get(&at).copied();
    let edges = work.edge_references().filter_map(|edge| {
        Some(GraphEdge {
            from: place(edge.source())?,
            to: place(edge.target())?,
            shoot_only: edge.weight().shoot_only,
        })
    });
    let mut names = Names::default();
    let beats = index.model.beats.values().map(|beat| GraphBeat {
        path: beat.named.path.clone(),
        title: beat.named.label().to_owned(),
        file: names.give("graph", &beat.named.path),
    });
    Graph { edges: edges.collect(), beats: beats.collect(), nodes }
}

fn told(index: &Index<'_>, node: Node) -> GraphNode {
    let model = index.model;
    let of = |beat: Option<BeatId>| beat.map(|id| model.beats[id].named.path.clone()).unwrap_or_default();
    let new = |path: &str, title: String, kind, beat| GraphNode {
        path: path.to_owned(),
        title,
        kind,
        beat: of(beat),
        critical: false,
    };
    match node {
        Node::Plate(id) => {
            let plate = index.plate(id);
            new(&plate.named.path, plate.named.label().to_owned(), NodeKind::Plate, Some(plate.beat))
        }
        Node::Asset(id) => {
            let named = &model.assets[id].named;
            new(&named.path, named.label().to_owned(), NodeKind::Asset, None)
        }
        Node::Pass(id) => {
            let pass = &index.input.breakdown.passes[id];
            let beat = match pass.owner {
                Owner::Plate(id) => Some(index.plate(id).beat),
                Owner::Effect(id) => Some(model.effects[id].beat),
                Owner::Join(id) => Some(index.plate(model.joins[id].to).beat),
                Owner::Asset(_) | Owner::Sequence => None,
            };
            let title = format!("{} ({})", pass.title, pass.department);
            let critical = index.input.plan.desk.critical.contains(&id);
            GraphNode { critical, ..new(&pass.path, title, NodeKind::Pass, beat) }
        }
        Node::Join(id) => {
            let join = &model.joins[id];
            new(&join.named.path, index.join_title(id), NodeKind::Join, Some(index.plate(join.to).beat))
        }
        Node::Lock => new("lock", "Picture lock".to_owned(), NodeKind::Lock, None),
        Node::Delivery => new("delivery", "Delivery".to_owned(), NodeKind::Delivery, None),
    }
}
