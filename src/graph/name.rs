//! Nodes by name, and names of nodes.

use super::{Node, Work};
use crate::model::{EffectId, Model};
use crate::recipe::{Breakdown, Owner, PassId};
use petgraph::graph::NodeIndex;

/// What a node is called: the path of its plate, asset, pass or join, `lock`, `delivery`.
pub fn name<'a>(node: Node, model: &'a Model, breakdown: &'a Breakdown) -> &'a str {
    match node {
        Node::Plate(plate) => &breakdown.plates[plate].named.path,
        Node::Asset(asset) => &model.assets[asset].named.path,
        Node::Pass(pass) => &breakdown.passes[pass].path,
        Node::Join(join) => &model.joins[join].named.path,
        Node::Lock => "lock",
        Node::Delivery => "delivery",
    }
}

/// What people call a node: its title; a pass with what it belongs to.
pub fn label(node: Node, model: &Model, breakdown: &Breakdown) -> String {
    match node {
        Node::Plate(plate) => breakdown.plates[plate].named.label().to_owned(),
        Node::Asset(asset) => model.assets[asset].named.label().to_owned(),
        Node::Pass(pass) => pass_label(pass, model, breakdown),
        Node::Join(join) => model.join_label(join),
        Node::Lock => "picture lock".to_owned(),
        Node::Delivery => "delivery".to_owned(),
    }
}

/// "Mask each object (flight in The parcel wraps itself)"; a pass of the whole
/// sequence is called by its title alone, and so is one that builds something.
fn pass_label(id: PassId, model: &Model, breakdown: &Breakdown) -> String {
    let pass = &breakdown.passes[id];
    let of = match pass.owner {
        Owner::Plate(plate) => breakdown.plates[plate].named.label().to_owned(),
        Owner::Effect(effect) => model.effect_label(effect),
        Owner::Join(join) => model.join_label(join),
        Owner::Asset(_) | Owner::Sequence => return pass.title.clone(),
    };
    format!("{} ({of})", pass.title)
}

/// The nodes that a word names: one plate, asset, pass or join; the finishing
/// passes of an effect; the plates of a beat. Empty where nothing is called so.
pub fn named(word: &str, model: &Model, breakdown: &Breakdown) -> Vec<Node> {
    let plates = breakdown.plates.ids().map(Node::Plate);
    let assets = model.assets.ids().map(Node::Asset);
    let passes = breakdown.passes.ids().map(Node::Pass);
    let joins = model.joins.ids().map(Node::Join);
    let all = plates.chain(assets).chain(passes).chain(joins).chain([Node::Lock, Node::Delivery]);
    let found: Vec<Node> = all.filter(|&node| name(node, model, breakdown) == word).collect();
    if !found.is_empty() {
        return found;
    }
    if let Some((effect, _)) = model.effects.iter().find(|(_, effect)| effect.named.path == word) {
        return finishing(effect, breakdown);
    }
    let beat = model.beats.iter().find(|(_, beat)| beat.named.path == word);
    beat.map(|(id, _)| breakdown.plates.iter().filter(move |(_, plate)| plate.beat == id))
        .into_iter()
        .flatten()
        .map(|(id, _)| Node::Plate(id))
        .collect()
}

fn finishing(effect: EffectId, breakdown: &Breakdown) -> Vec<Node> {
    let own = || breakdown.passes.iter().filter(|(_, pass)| pass.owner == Owner::Effect(effect));
    let waited = |id| own().any(|(_, pass)| pass.waits.iter().any(|(earlier, _)| *earlier == id));
    own().filter(|(id, _)| !waited(*id)).map(|(id, _)| Node::Pass(id)).collect()
}

/// Where a node is in the graph.
pub fn index(work: &Work, node: Node) -> Option<NodeIndex> {
    work.node_indices().find(|&at| work.node_weight(at) == Some(&node))
}
