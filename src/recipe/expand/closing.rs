//! How every sequence ends: assembly, picture lock, sound, grade, delivery.

use super::work::Scope;
use super::{Ends, Expansion};
use crate::diagnostic::nearest::nearest;
use crate::diagnostic::{Diagnostic, codes};
use crate::model::{EffortOverride, Plate, PlateKind};
use crate::quantity::Hours;
use crate::recipe::breakdown::{After, Owner, Pass, PassId};
use crate::recipe::expression::Values;
use crate::recipe::schema::{Kind, Recipe};
use crate::source::Span;
use std::collections::BTreeMap;

/// Whether a plate is seen on its own.
fn is_seen(plate: &Plate) -> bool {
    plate.kind == PlateKind::Picture && plate.uses.is_none_or(|uses| uses.value.0 > 0.0)
}

/// Layers of a sequence whose writer says nothing about sound; common practice, no source.
const USUAL_LAYERS: &[&str] = &["ambience", "impacts", "voice", "music"];

impl<'a> Expansion<'a> {
    /// Adds the passes that close the sequence. Nothing to show, nothing to close.
    pub(super) fn plan_closing(&mut self) {
        if self.out.plates.is_empty() && self.out.passes.is_empty() {
            return;
        }
        let values = self.sequence_values();
        let finished = self.finished();
        let assembly = self.close("assembly", &values);
        self.wait_for_clips(&assembly);
        // Later passes of the assembly put finished pieces in.
        for &pass in assembly.last.iter().filter(|pass| !assembly.first.contains(pass)) {
            self.out.passes[pass].waits.extend(finished.iter().cloned());
        }
        let lock = self.lock(&assembly, finished);
        let locked = |what: &str| vec![(lock, format!("{what} starts on the locked picture"))];
        let sound = self.plan_sound(values.clone());
        self.wait(&sound.first, &locked("sound"));
        let grade = self.close("grade", &values);
        self.wait(&grade.first, &locked("the grade"));
        let delivery = self.close("delivery", &values);
        let ends = sound.last.iter().map(|&pass| (pass, "the sound must be finished".to_owned()));
        let ends = ends.chain(grade.last.iter().map(|&pass| (pass, "the picture must be graded".to_owned())));
        let mut before: Vec<(PassId, String)> = ends.collect();
        if before.is_empty() {
            before.push((lock, "only a locked picture is delivered".to_owned()));
        }
        self.wait(&delivery.first, &before);
    }

    fn wait(&mut self, passes: &[PassId], waits: &[(PassId, String)]) {
        for &pass in passes {
            self.out.passes[pass].waits.extend(waits.iter().cloned());
        }
    }

    /// The last passes of every effect and join, with words.
    fn finished(&self) -> Vec<(PassId, String)> {
        let mut waited = vec![false; self.out.passes.len()];
        for pass in self.out.passes.values() {
            for &(earlier, _) in &pass.waits {
                use crate::model::arena::Id;
                if let Some(waited) = waited.get_mut(earlier.index()) {
                    *waited = true;
                }
            }
        }
        let last = self.out.passes.iter().zip(waited).filter(|(_, waited)| !waited);
        last.filter_map(|((id, pass), _)| match pass.owner {
            Owner::Effect(effect) => {
                Some((id, format!("the effect '{}' must be in the picture", self.model.effect_label(effect))))
            }
            Owner::Join(join) => {
                Some((id, format!("the join '{}' must be in the picture", self.model.join_label(join))))
            }
            Owner::Plate(_) | Owner::Asset(_) | Owner::Sequence => None,
        })
        .collect()
    }

    fn close(&mut self, name: &'static str, values: &Values) -> Ends {
        let Some(recipe) = self.library.find_kind(name, Kind::Sequence) else { return Ends::default() };
        let chosen = recipe.passes.iter().map(|pass| pass.pass.as_str()).collect();
        self.plan(recipe, self.scope(name, values, &[], chosen, self.model.sequence.named.span))
    }

    fn scope<'s>(
        &self,
        name: &str,
        values: &'s Values,
        efforts: &'s [EffortOverride],
        chosen: Vec<&'s str>,
        span: Span,
    ) -> Scope<'s> {
        Scope {
            prefix: name.to_owned(),
            owner: Owner::Sequence,
            span,
            values,
            efforts,
            roles: BTreeMap::new(),
            builds: Vec::new(),
            chosen,
        }
    }

    /// The assembly starts from every clip that is seen.
    fn wait_for_clips(&mut self, assembly: &Ends) {
        let seen = self.out.plates.iter().filter(|(_, plate)| is_seen(plate));
        let clips: Vec<(PassId, String)> = seen
            .filter_map(|(id, plate)| {
                let pass = *self.ingest.get(&id)?;
                Some((pass, format!("the clip of '{}' is brought in first", plate.named.label())))
            })
            .collect();
        self.wait(&assembly.first, &clips);
    }

    fn lock(&mut self, assembly: &Ends, finished: Vec<(PassId, String)>) -> PassId {
        let mut waits = finished;
        waits.extend(
            assembly.last.iter().map(|&pass| (pass, "the assembly must be at its final lengths".to_owned())),
        );
        self.out.passes.push(Pass {
            path: "picture_lock".into(),
            stage: "picture_lock".into(),
            title: "Picture lock".into(),
            department: "edit".into(),
            or: Vec::new(),
            effort: Hours(0.0),
            effort_from: "a moment, no work".into(),
            after: After::default(),
            priority: None,
            owner: Owner::Sequence,
            inputs: Vec::new(),
            waits,
            notes: vec!["from here on no length and no cut changes".into()],
            span: self.model.sequence.named.span,
            lock: true,
        })
    }

    /// One pass a layer, and what follows them all.
    fn plan_sound(&mut self, mut values: Values) -> Ends {
        let Some(recipe) = self.library.find_kind("sound", Kind::Sequence) else { return Ends::default() };
        let sound = &self.model.sound;
        let span = sound.span.unwrap_or(self.model.sequence.named.span);
        let mut layers: Vec<&str> = sound.layers.iter().map(|layer| layer.name.value.as_str()).collect();
        if layers.is_empty() {
            layers = USUAL_LAYERS.to_vec();
        }
        values.insert("layers".into(), layers.len() as f64);
        let is_layer = |name: &str| recipe.pass(name).is_some_and(|pass| pass.waits.is_empty());
        let closing =
            recipe.passes.iter().filter(|pass| !pass.waits.is_empty()).map(|pass| pass.pass.as_str());
        let chosen = layers.iter().copied().filter(|name| is_layer(name)).chain(closing).collect();
        let efforts: Vec<EffortOverride> = sound
            .layers
            .iter()
            .filter(|layer| is_layer(&layer.name.value))
            .filter_map(|layer| Some(EffortOverride { pass: layer.name.clone(), hours: layer.effort? }))
            .collect();
        let scope = self.scope("sound", &values, &efforts, chosen, span);
        let mut ends = self.plan(recipe, scope);
        self.own_layers(recipe, &is_layer, &mut ends);
        if sound.layers.is_empty() {
            for &pass in &ends.first {
                let note = "no layers are written, so the usual ones are planned";
                self.out.passes[pass].notes.push(note.into());
            }
        }
        ends
    }

    /// Layers of the writer's own: they need an effort, since no recipe knows them.
    fn own_layers(&mut self, recipe: &Recipe, known: &dyn Fn(&str) -> bool, ends: &mut Ends) {
        let own = self.model.sound.layers.iter().filter(|layer| !known(&layer.name.value));
        let mut added: Vec<PassId> = Vec::new();
        for layer in own {
            let name = layer.name.value.as_str();
            let Some(effort) = layer.effort else {
                let message = format!("sound has no layer '{name}'");
                let diagnostic = Diagnostic::new(codes::ROLE, layer.name.span, message);
                let names = recipe.passes.iter().map(|pass| pass.pass.as_str()).filter(|name| known(name));
                self.diagnostics.push(match nearest(name, names) {
                    Some(near) => {
                        diagnostic.help(format!("did you mean '{near}'?")).patch(layer.name.span, near)
                    }
                    None => diagnostic.help("give it an effort to make it a layer of your own"),
                });
                continue;
            };
            added.push(self.out.passes.push(Pass {
                path: format!("sound.{name}"),
                stage: name.to_owned(),
                title: super::derive::capital(name),
                department: "sound".into(),
                or: Vec::new(),
                effort,
                effort_from: "as written".into(),
                after: After::default(),
                priority: None,
                owner: Owner::Sequence,
                inputs: Vec::new(),
                waits: Vec::new(),
                notes: Vec::new(),
                span: layer.name.span,
                lock: false,
            }));
        }
        let waits: Vec<_> =
            added.iter().map(|&pass| (pass, "all layers are mixed together".to_owned())).collect();
        let closing: Vec<PassId> =
            ends.last.iter().copied().filter(|pass| !ends.first.contains(pass)).collect();
        self.wait(&closing, &waits);
        if closing.is_empty() {
            ends.last.extend(&added);
        }
        ends.first.extend(added);
    }

    fn sequence_values(&self) -> Values {
        let model = self.model;
        let mut written = vec![0.0; model.beats.len()];
        for plate in self.out.plates.values().filter(|plate| is_seen(plate)) {
            use crate::model::arena::Id;
            if let Some(length) = written.get_mut(plate.beat.index()) {
                *length += self.picture_length(plate).0;
            }
        }
        let lengths = model.beats.values().zip(written);
        let seconds: f64 = lengths.map(|(beat, sum)| beat.runs.map_or(sum, |runs| runs.value.0)).sum();
        let seen = self.out.plates.values().filter(|plate| is_seen(plate)).count();
        [
            ("seconds", seconds),
            ("frames", seconds * model.sequence.rate.per_second()),
            ("beats", model.beats.len() as f64),
            ("plates", seen as f64),
            ("effects", model.effects.len() as f64),
            ("joins", model.joins.len() as f64),
            ("cues", (model.sound.cues.len() + self.out.cues.len() + self.out.join_cues.len()) as f64),
            ("layers", 0.0),
        ]
        .map(|(name, value)| (name.to_owned(), value))
        .into()
    }
}
