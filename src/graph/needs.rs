//! What the writer's `needs` lines mean for the graph; the table is in the
//! module above.

use super::build::{Edge, Index};
use super::{Node, Reason};
use crate::diagnostic::{Diagnostic, codes};
use crate::model::{BeatId, EffectId, Need, PlateId, Target};
use crate::recipe::Owner;

/// Adds the edges of every `needs`.
pub(super) fn collect(index: &Index<'_>, edges: &mut Vec<Edge>, diagnostics: &mut Vec<Diagnostic>) {
    let model = index.model;
    let mut collector = Collector { index, edges, diagnostics };
    for (id, beat) in model.beats.iter() {
        for need in &beat.needs {
            collector.beat(id, beat.named.label(), need);
        }
    }
    for (id, plate) in index.breakdown.plates.iter() {
        for need in &plate.needs {
            let name = plate.named.label();
            if collector.is_other(Target::Plate(id), name, need) {
                let earlier = collector.captured(need.on);
                collector.add(&earlier, &[Node::Plate(id)], name, need);
            }
        }
    }
    for (id, effect) in model.effects.iter() {
        for need in &effect.needs {
            collector.desk(Target::Effect(id), Owner::Effect(id), &model.effect_label(id), need);
        }
    }
    for (id, asset) in model.assets.iter() {
        for need in &asset.needs {
            collector.desk(Target::Asset(id), Owner::Asset(id), asset.named.label(), need);
        }
    }
}

struct Collector<'a, 'b> {
    index: &'a Index<'a>,
    edges: &'b mut Vec<Edge>,
    diagnostics: &'b mut Vec<Diagnostic>,
}

impl Collector<'_, '_> {
    fn beat(&mut self, id: BeatId, name: &str, need: &Need) {
        if !self.is_other(Target::Beat(id), name, need) {
            return;
        }
        let own: Vec<Node> = self.plates(id).iter().copied().map(Node::Plate).collect();
        let earlier = self.captured(need.on);
        // A beat may need one of its own plates: the others wait for it.
        let own: Vec<Node> = own.into_iter().filter(|node| !earlier.contains(node)).collect();
        self.add(&earlier, &own, name, need);
        if let Target::Beat(other) = need.on {
            let finished = self.finished(self.effects(other));
            let starts: Vec<Node> =
                self.effects(id).iter().flat_map(|&effect| self.starts(Owner::Effect(effect))).collect();
            self.add(&finished, &starts, name, need);
        }
    }

    /// Work at the desk that waits for something.
    fn desk(&mut self, this: Target, owner: Owner, name: &str, need: &Need) {
        if !self.is_other(this, name, need) {
            return;
        }
        let mut earlier = match need.on {
            Target::Beat(beat) => {
                let clips = self.plates(beat).iter().flat_map(|&plate| self.in_hand(plate));
                clips.chain(self.finished(self.effects(beat))).collect()
            }
            Target::Plate(plate) => self.in_hand(plate),
            Target::Effect(_) | Target::Asset(_) => self.captured(need.on),
        };
        // An effect that needs its own beat waits for the rest of it.
        let own: Vec<Node> = self
            .index
            .breakdown
            .passes
            .iter()
            .filter(|(_, pass)| pass.owner == owner)
            .map(|(id, _)| Node::Pass(id))
            .collect();
        earlier.retain(|node| !own.contains(node));
        self.add(&earlier, &self.starts(owner), name, need);
    }

    /// Reports what needs itself.
    fn is_other(&mut self, this: Target, name: &str, need: &Need) -> bool {
        if need.on == this {
            let message = format!("'{name}' needs itself");
            self.diagnostics.push(Diagnostic::new(codes::CYCLE, need.span, message).help("remove the line"));
        }
        need.on != this
    }

    fn plates(&self, beat: BeatId) -> &[PlateId] {
        self.index.plates.get(&beat).map_or(&[], Vec::as_slice)
    }

    fn effects(&self, beat: BeatId) -> &[EffectId] {
        self.index.effects.get(&beat).map_or(&[], Vec::as_slice)
    }

    fn starts(&self, owner: Owner) -> Vec<Node> {
        self.index.first(owner).iter().copied().map(Node::Pass).collect()
    }

    fn finished(&self, effects: &[EffectId]) -> Vec<Node> {
        let last = effects.iter().flat_map(|&effect| self.index.last(Owner::Effect(effect)));
        last.copied().map(Node::Pass).collect()
    }

    /// What must have happened before something can be shot.
    fn captured(&self, on: Target) -> Vec<Node> {
        match on {
            Target::Beat(beat) => self.plates(beat).iter().copied().map(Node::Plate).collect(),
            Target::Plate(plate) => vec![Node::Plate(plate)],
            Target::Effect(effect) => self.finished(&[effect]),
            Target::Asset(asset) => vec![Node::Asset(asset)],
        }
    }

    /// A clip brought in; a reference as it is.
    fn in_hand(&self, plate: PlateId) -> Vec<Node> {
        match self.index.last(Owner::Plate(plate)) {
            [] => vec![Node::Plate(plate)],
            passes => passes.iter().copied().map(Node::Pass).collect(),
        }
    }

    fn add(&mut self, earlier: &[Node], later: &[Node], name: &str, need: &Need) {
        let (model, breakdown) = (self.index.model, self.index.breakdown);
        let on = match need.on {
            Target::Beat(beat) => model.beats[beat].named.label().to_owned(),
            Target::Plate(plate) => breakdown.plates[plate].named.label().to_owned(),
            Target::Effect(effect) => model.effect_label(effect),
            Target::Asset(asset) => model.assets[asset].named.label().to_owned(),
        };
        let text = format!("'{name}' needs '{on}'");
        for &to in later {
            for &from in earlier {
                let reason = Reason { text: text.clone(), span: Some(need.span), shoot_only: false };
                self.edges.push(Edge { from, to, reason, written: true });
            }
        }
    }
}
