//! Effects on one plate, laid one over another in the order written.

use super::Expansion;
use crate::model::{EffectId, Need, PlateId, Target};
use std::collections::{BTreeMap, BTreeSet};

impl Expansion<'_> {
    /// The finishing passes of an effect wait for those of the one before it on
    /// the same plate, unless the writer's own lines say the opposite.
    pub(super) fn stack_effects(&mut self) {
        let mut on: BTreeMap<PlateId, Vec<EffectId>> = BTreeMap::new();
        for bound in &self.bound {
            for plate in bound.on() {
                on.entry(plate).or_default().push(bound.effect);
            }
        }
        let mut pairs: Vec<(EffectId, EffectId)> = Vec::new();
        for effects in on.values() {
            let next = effects.iter().skip(1);
            pairs.extend(effects.iter().copied().zip(next.copied()).filter(|(under, over)| under != over));
        }
        pairs.sort_unstable();
        pairs.dedup();
        let order = self.order_of_waits();
        for (under, over) in pairs {
            let place = |effect| order.get(self.id(Target::Effect(effect))).copied().flatten();
            // What comes later in an order that keeps every line cannot be waited for.
            let clear = matches!((place(under), place(over)), (Some(under), Some(over)) if under < over);
            if !clear && self.reaches(under, over) {
                continue;
            }
            let name = self.model.effect_label(under);
            let because = format!("it is laid over '{name}' on the same plate, in the order written");
            let below = self.ends.get(&under).map(|ends| ends.last.clone()).unwrap_or_default();
            let above = self.ends.get(&over).map(|ends| ends.last.clone()).unwrap_or_default();
            for last in above {
                let waits = &mut self.out.passes[last].waits;
                waits.extend(below.iter().map(|&earlier| (earlier, because.clone())));
            }
        }
    }

    /// For each target its place in one order that keeps every line of the
    /// writer; none for what closes a circle or waits for one.
    fn order_of_waits(&self) -> Vec<Option<usize>> {
        let mut left = vec![0usize; self.ids()];
        let mut later: Vec<Vec<usize>> = vec![Vec::new(); self.ids()];
        for target in self.targets() {
            let mut waits = Vec::new();
            self.waits_for(target, &mut waits);
            let id = self.id(target);
            for earlier in waits {
                if let (Some(left), Some(later)) = (left.get_mut(id), later.get_mut(self.id(earlier))) {
                    *left += 1;
                    later.push(id);
                }
            }
        }
        let ready = left.iter().enumerate().filter(|(_, left)| **left == 0).map(|(id, _)| id);
        let mut ready: BTreeSet<usize> = ready.collect();
        let mut order = vec![None; self.ids()];
        let mut placed = 0;
        while let Some(id) = ready.pop_first() {
            if let Some(place) = order.get_mut(id) {
                *place = Some(placed);
                placed += 1;
            }
            for &next in later.get(id).into_iter().flatten() {
                if let Some(left) = left.get_mut(next) {
                    *left -= 1;
                    if *left == 0 {
                        ready.insert(next);
                    }
                }
            }
        }
        order
    }

    fn targets(&self) -> impl Iterator<Item = Target> {
        let beats = self.model.beats.ids().map(Target::Beat);
        let plates = self.out.plates.ids().map(Target::Plate);
        let effects = self.model.effects.ids().map(Target::Effect);
        beats.chain(plates).chain(effects).chain(self.model.assets.ids().map(Target::Asset))
    }

    /// Whether the writer's lines make the first effect wait, in the end, for the second.
    fn reaches(&self, from: EffectId, to: EffectId) -> bool {
        let mut seen: Vec<bool> = vec![false; self.ids()];
        let mut open = vec![Target::Effect(from)];
        while let Some(target) = open.pop() {
            let Some(seen) = seen.get_mut(self.id(target)) else { continue };
            if std::mem::replace(seen, true) {
                continue;
            }
            if target == Target::Effect(to) {
                return true;
            }
            self.waits_for(target, &mut open);
        }
        false
    }

    fn ids(&self) -> usize {
        let model = self.model;
        model.beats.len() + self.out.plates.len() + model.effects.len() + model.assets.len()
    }

    fn id(&self, target: Target) -> usize {
        use crate::model::arena::Id;
        let model = self.model;
        let (plates, effects) = (self.out.plates.len(), model.effects.len());
        match target {
            Target::Beat(beat) => beat.index(),
            Target::Plate(plate) => model.beats.len() + plate.index(),
            Target::Effect(effect) => model.beats.len() + plates + effect.index(),
            Target::Asset(asset) => model.beats.len() + plates + effects + asset.index(),
        }
    }

    fn waits_for(&self, target: Target, open: &mut Vec<Target>) {
        let model = self.model;
        let mut needs = |needs: &[Need]| open.extend(needs.iter().map(|need| need.on));
        match target {
            Target::Beat(beat) => {
                let beat = &model.beats[beat];
                needs(&beat.needs);
                open.extend(beat.effects.iter().copied().map(Target::Effect));
                open.extend(beat.plates.iter().copied().map(Target::Plate));
            }
            Target::Plate(plate) => {
                let plate = &self.out.plates[plate];
                needs(&plate.needs);
                needs(&model.beats[plate.beat].needs);
                open.extend(plate.after.iter().map(|(earlier, _)| Target::Plate(*earlier)));
            }
            Target::Effect(effect) => {
                let one = &model.effects[effect];
                needs(&one.needs);
                needs(&model.beats[one.beat].needs);
                open.extend(one.assets.iter().map(|asset| Target::Asset(asset.value)));
                let at = self.bound.binary_search_by_key(&effect, |bound| bound.effect);
                let bound = at.ok().and_then(|at| self.bound.get(at));
                let plates = bound.into_iter().flat_map(|bound| bound.roles.iter().flatten());
                open.extend(plates.map(|(plate, _)| Target::Plate(*plate)));
            }
            Target::Asset(asset) => {
                let asset = &model.assets[asset];
                needs(&asset.needs);
                let plates = asset.texture.iter().chain(&asset.light);
                open.extend(plates.map(|plate| Target::Plate(plate.value)));
            }
        }
    }
}
