//! Collecting the edges.

use super::{Node, Reason, Work, cycle, needs};
use crate::diagnostic::Diagnostic;
use crate::model::{BeatId, EffectId, Model, PlateId};
use crate::recipe::{Breakdown, Owner, PassId};
use crate::source::Span;
use std::collections::{BTreeMap, BTreeSet};

/// One edge before the graph is made.
#[derive(Debug, Clone)]
pub(super) struct Edge {
    /// What is waited for.
    pub from: Node,
    /// What waits.
    pub to: Node,
    pub reason: Reason,
    /// Whether a line of the writer asks for it; those can close a circle.
    pub written: bool,
}

/// What belongs together, looked up once.
pub(super) struct Index<'a> {
    pub model: &'a Model,
    pub breakdown: &'a Breakdown,
    /// Every plate of a beat, owed ones included.
    pub plates: BTreeMap<BeatId, Vec<PlateId>>,
    /// First and last passes of an owner.
    pub ends: BTreeMap<Owner, (Vec<PassId>, Vec<PassId>)>,
    /// Effects of a beat.
    pub effects: BTreeMap<BeatId, Vec<EffectId>>,
}

/// Builds the graph. Circles are reported as T12 and opened.
pub fn build(model: &Model, breakdown: &Breakdown, diagnostics: &mut Vec<Diagnostic>) -> Work {
    let index = Index::new(model, breakdown);
    let mut edges = Vec::new();
    passes(&index, &mut edges);
    endings(&index, &mut edges);
    shooting_order(&index, &mut edges);
    needs::collect(&index, &mut edges, diagnostics);
    let mut known: BTreeSet<(Node, Node)> = BTreeSet::new();
    edges.retain(|edge| edge.from != edge.to && known.insert((edge.from, edge.to)));
    cycle::open(nodes(model, breakdown), edges, diagnostics)
}

fn nodes(model: &Model, breakdown: &Breakdown) -> Vec<Node> {
    let mut nodes: Vec<Node> = breakdown.plates.ids().map(Node::Plate).collect();
    nodes.extend(model.assets.ids().map(Node::Asset));
    nodes.extend(breakdown.passes.ids().map(Node::Pass));
    nodes.extend(model.joins.ids().map(Node::Join));
    nodes.extend([Node::Lock, Node::Delivery]);
    nodes
}

impl<'a> Index<'a> {
    fn new(model: &'a Model, breakdown: &'a Breakdown) -> Self {
        let mut plates: BTreeMap<BeatId, Vec<PlateId>> = BTreeMap::new();
        for (id, plate) in breakdown.plates.iter() {
            plates.entry(plate.beat).or_default().push(id);
        }
        let mut effects: BTreeMap<BeatId, Vec<EffectId>> = BTreeMap::new();
        for (id, effect) in model.effects.iter() {
            effects.entry(effect.beat).or_default().push(id);
        }
        let mut waited: BTreeSet<(Owner, PassId)> = BTreeSet::new();
        let mut ends: BTreeMap<Owner, (Vec<PassId>, Vec<PassId>)> = BTreeMap::new();
        for (id, pass) in breakdown.passes.iter() {
            let own = pass.waits.iter().filter(|(earlier, _)| breakdown.passes[*earlier].owner == pass.owner);
            let own: Vec<PassId> = own.map(|(earlier, _)| *earlier).collect();
            if own.is_empty() {
                ends.entry(pass.owner).or_default().0.push(id);
            }
            waited.extend(own.into_iter().map(|earlier| (pass.owner, earlier)));
        }
        for (id, pass) in breakdown.passes.iter() {
            if !waited.contains(&(pass.owner, id)) {
                ends.entry(pass.owner).or_default().1.push(id);
            }
        }
        Self { model, breakdown, plates, ends, effects }
    }

    /// The passes with which something starts.
    pub(super) fn first(&self, owner: Owner) -> &[PassId] {
        self.ends.get(&owner).map_or(&[], |(first, _)| first)
    }

    /// The passes with which something is finished.
    pub(super) fn last(&self, owner: Owner) -> &[PassId] {
        self.ends.get(&owner).map_or(&[], |(_, last)| last)
    }
}

fn edge(from: Node, to: Node, text: impl Into<String>, span: impl Into<Option<Span>>) -> Edge {
    let reason = Reason { text: text.into(), span: span.into(), shoot_only: false };
    Edge { from, to, reason, written: false }
}

/// What recipes ask of the order of passes.
fn passes(index: &Index<'_>, edges: &mut Vec<Edge>) {
    let breakdown = index.breakdown;
    for (id, pass) in breakdown.passes.iter() {
        for &plate in &pass.inputs {
            // A clip reaches the pass through its own ingest.
            let through = |earlier: &PassId| breakdown.passes[*earlier].owner == Owner::Plate(plate);
            if !pass.waits.iter().any(|(earlier, _)| through(earlier)) {
                let plate_named = &breakdown.plates[plate];
                let text = if plate_named.kind.is_footage() {
                    format!("'{}' must be shot", plate_named.named.label())
                } else {
                    format!("the {} '{}' must be in hand", plate_named.kind.word(), plate_named.named.label())
                };
                edges.push(edge(Node::Plate(plate), Node::Pass(id), text, pass.span));
            }
        }
        for (earlier, because) in &pass.waits {
            edges.push(edge(Node::Pass(*earlier), Node::Pass(id), because, pass.span));
        }
    }
}

/// What is done when its last pass is done.
fn endings(index: &Index<'_>, edges: &mut Vec<Edge>) {
    for (id, asset) in index.model.assets.iter() {
        for &pass in index.last(Owner::Asset(id)) {
            let text = format!("'{}' is there when it is built", asset.named.label());
            edges.push(edge(Node::Pass(pass), Node::Asset(id), text, asset.named.span));
        }
    }
    for (id, join) in index.model.joins.iter() {
        for &pass in index.last(Owner::Join(id)) {
            let text = format!("'{}' is joined when its last pass is done", index.model.join_label(id));
            edges.push(edge(Node::Pass(pass), Node::Join(id), text, join.span));
        }
        let text = format!("'{}' must be in the picture", index.model.join_label(id));
        edges.push(edge(Node::Join(id), Node::Lock, text, join.span));
    }
    for (id, pass) in index.breakdown.passes.iter().filter(|(_, pass)| pass.lock) {
        edges.push(edge(Node::Pass(id), Node::Lock, "the picture is locked", pass.span));
    }
    for &pass in index.last(Owner::Sequence) {
        let text = format!("'{}' comes before all is delivered", index.breakdown.passes[pass].title);
        edges.push(edge(Node::Pass(pass), Node::Delivery, text, index.breakdown.passes[pass].span));
    }
    if index.last(Owner::Sequence).iter().all(|&pass| !index.breakdown.passes[pass].lock) {
        edges.push(edge(Node::Lock, Node::Delivery, "only a locked picture is delivered", None));
    }
}

/// What binds the shoot alone: locked groups and `after`.
fn shooting_order(index: &Index<'_>, edges: &mut Vec<Edge>) {
    let breakdown = index.breakdown;
    for group in breakdown.groups.values() {
        let span = group.effects.first().map(|&effect| index.model.effects[effect].named.span);
        for (&earlier, &later) in group.plates.iter().zip(group.plates.iter().skip(1)) {
            let text = format!(
                "it is shot next after '{}', the camera untouched between them",
                breakdown.plates[earlier].named.label()
            );
            let mut edge = edge(Node::Plate(earlier), Node::Plate(later), text, span);
            edge.reason.shoot_only = true;
            edges.push(edge);
        }
    }
    for (id, plate) in breakdown.plates.iter() {
        for &(earlier, span) in &plate.after {
            let (later, before) = (plate.named.label(), breakdown.plates[earlier].named.label());
            let text = format!("'{later}' is shot after '{before}'");
            let mut edge = edge(Node::Plate(earlier), Node::Plate(id), text, span);
            edge.reason.shoot_only = true;
            edge.written = true;
            edges.push(edge);
        }
    }
}
