//! Beats and what stands in them; sound.

use super::{Lower, args, speed_curve};
use crate::diagnostic::{Diagnostic, codes};
use crate::model::{
    Amount, Asset, AssetId, Beat, BeatId, Binding, Cue, Effect, EffectId, EffortOverride, Join, JoinKind,
    Layer, Model, Need, PlateId, SpeedPoint, Target,
};
use crate::quantity::{Angle, Hours, Pixels, Seconds, TimeSpan};
use crate::schema::Fact;
use crate::source::Spanned;

/// A block that is kept, to be finished once every plate has its identity.
struct Pending<'a, I> {
    id: I,
    fact: &'a Fact,
    beat: Option<String>,
}

impl<'a> Lower<'a> {
    pub(super) fn story(&mut self, model: &mut Model) {
        let mut beats = Vec::new();
        let mut plates: Vec<Pending<'a, PlateId>> = Vec::new();
        let mut effects: Vec<Pending<'a, EffectId>> = Vec::new();
        let mut assets: Vec<Pending<'a, AssetId>> = Vec::new();
        for fact in self.top("beat") {
            let Some(name) = args::name(fact, 0) else { continue };
            if !self.names.declare("beat", &name.value, name.span, self.diagnostics) {
                continue;
            }
            let id = self.beat(fact, &name.value, model);
            beats.push((id, fact, name.value.clone()));
            self.beat_plates(fact, &name.value, id, model, &mut plates);
            self.beat_effects(fact, &name.value, id, model, &mut effects);
            for asset in fact.all("asset") {
                self.asset(asset, Some(name.value.clone()), model, &mut assets);
            }
        }
        for fact in self.top("asset") {
            self.asset(fact, None, model, &mut assets);
        }
        for (id, fact, name) in &beats {
            let needs = self.needs(fact, Some(name));
            model.beats[*id].needs = needs;
        }
        let written: Vec<_> = plates.iter().map(|one| (one.id, one.fact, one.beat.as_deref())).collect();
        self.rolling(&written, model);
        for Pending { id, fact, beat } in plates {
            model.plates[id].needs = self.needs(fact, beat.as_deref());
            model.plates[id].after = fact
                .body
                .iter()
                .filter(|line| line.word.value == "after")
                .flat_map(|line| args::list_names(line, 0))
                .filter_map(|name| self.plate_named(&name, beat.as_deref()).map(|plate| (plate, name.span)))
                .collect();
        }
        for Pending { id, fact, beat } in effects {
            self.finish_effect(id, fact, beat.as_deref(), model);
        }
        for Pending { id, fact, beat } in assets {
            model.assets[id].texture = self.plates_of(fact, "texture", beat.as_deref());
            model.assets[id].light = self.plates_of(fact, "light", beat.as_deref());
            model.assets[id].needs = self.needs(fact, beat.as_deref());
        }
        for (_, fact, name) in &beats {
            for join in fact.all("join") {
                if let Some(join) = self.join(join, name, model) {
                    model.joins.push(join);
                }
            }
        }
        self.sound(model);
    }

    fn beat(&mut self, fact: &Fact, name: &str, model: &mut Model) -> BeatId {
        let beat = Beat {
            named: self.named(fact, name),
            story: args::first_text(fact, "story"),
            runs: args::seconds(fact, "runs", model.sequence.rate),
            turns: self.turns(fact, model),
            priority: super::passes::priority(fact),
            needs: Vec::new(),
            plates: Vec::new(),
            effects: Vec::new(),
        };
        let id = model.beats.push(beat);
        self.names.settle("beat", name, id);
        id
    }

    fn beat_plates(
        &mut self,
        fact: &'a Fact,
        beat: &str,
        id: BeatId,
        model: &mut Model,
        pending: &mut Vec<Pending<'a, PlateId>>,
    ) {
        for line in fact.all("plate") {
            let Some(name) = args::name(line, 0) else { continue };
            let path = format!("{beat}.{}", name.value);
            let plate = self.plate(line, &path, id, model);
            if !self.names.declare("plate", &path, name.span, self.diagnostics) {
                continue;
            }
            if let Some(plate) = plate {
                let plate = model.plates.push(plate);
                self.names.settle("plate", &path, plate);
                model.beats[id].plates.push(plate);
                pending.push(Pending { id: plate, fact: line, beat: Some(beat.to_owned()) });
            }
        }
    }

    fn beat_effects(
        &mut self,
        fact: &'a Fact,
        beat: &str,
        id: BeatId,
        model: &mut Model,
        pending: &mut Vec<Pending<'a, EffectId>>,
    ) {
        for line in fact.all("effect") {
            let (Some(name), Some(recipe)) = (args::name(line, 0), args::name(line, 1)) else { continue };
            let path = format!("{beat}.{}", name.value);
            if !self.names.declare("effect", &path, name.span, self.diagnostics) {
                continue;
            }
            let rate = model.sequence.rate;
            let speed = line.get("speed");
            let effect = Effect {
                named: self.named(line, path.clone()),
                beat: id,
                recipe: recipe.clone(),
                bindings: Vec::new(),
                objects: args::names(line, "objects"),
                speed: speed.map(|line| self.speed(line)).unwrap_or_default(),
                speed_span: speed.map(|line| line.span),
                sweep: args::pair(line, "sweep")
                    .map(|pair| Spanned::new((Angle(pair.value.0), Angle(pair.value.1)), pair.span)),
                screen: None,
                gap: args::length(line, "gap"),
                assets: Vec::new(),
                seconds: args::seconds(line, "seconds", rate),
                efforts: efforts(line),
                needs: Vec::new(),
            };
            let effect = model.effects.push(effect);
            self.names.settle("effect", &path, effect);
            model.beats[id].effects.push(effect);
            pending.push(Pending { id: effect, fact: line, beat: Some(beat.to_owned()) });
        }
    }

    fn finish_effect(&mut self, id: EffectId, fact: &Fact, beat: Option<&str>, model: &mut Model) {
        if let Some(name) = fact.get("screen").and_then(|line| args::name(line, 0)) {
            model.effects[id].screen = self
                .names
                .find("screen", name, self.diagnostics)
                .map(|screen| Spanned::new(screen, name.span));
        }
        let mut assets = Vec::new();
        for name in args::names(fact, "asset") {
            if let Some(asset) = self.target_named("asset", &name, beat) {
                assets.push(Spanned::new(asset, name.span));
            }
        }
        model.effects[id].assets = assets;
        let mut bindings = Vec::new();
        for raw in &fact.bindings {
            let plates = raw
                .names
                .iter()
                .filter_map(|name| self.plate_named(name, beat).map(|plate| Spanned::new(plate, name.span)))
                .collect();
            let amount = raw.amount.map(|amount| {
                let value = if amount.value.frames {
                    TimeSpan::Frames(amount.value.value).seconds(model.sequence.rate).0
                } else {
                    amount.value.value
                };
                Spanned::new(Amount { value, dimension: amount.value.dimension }, amount.span)
            });
            bindings.push(Binding { word: raw.word.clone(), plates, amount, span: raw.span });
        }
        model.effects[id].bindings = bindings;
        model.effects[id].needs = self.needs(fact, beat);
    }

    fn speed(&mut self, line: &Fact) -> Vec<SpeedPoint> {
        let (points, wrong) = speed_curve(args::list(line, 0));
        self.diagnostics.extend(wrong);
        points
    }

    fn asset(
        &mut self,
        fact: &'a Fact,
        beat: Option<String>,
        model: &mut Model,
        pending: &mut Vec<Pending<'a, AssetId>>,
    ) {
        let Some(name) = args::name(fact, 0) else { return };
        let path = beat.as_ref().map_or(name.value.clone(), |beat| format!("{beat}.{}", name.value));
        if !self.names.declare("asset", &path, name.span, self.diagnostics) {
            return;
        }
        let Some(build) = args::of(fact, "build") else { return };
        let asset = Asset {
            named: self.named(fact, path.clone()),
            build: Spanned::new(Hours(build.value / 3600.0), build.span),
            texture: Vec::new(),
            light: Vec::new(),
            needs: Vec::new(),
        };
        let id = model.assets.push(asset);
        self.names.settle("asset", &path, id);
        pending.push(Pending { id, fact, beat });
    }

    fn plates_of(&mut self, fact: &Fact, word: &str, beat: Option<&str>) -> Vec<Spanned<PlateId>> {
        args::names(fact, word)
            .into_iter()
            .filter_map(|name| self.plate_named(&name, beat).map(|plate| Spanned::new(plate, name.span)))
            .collect()
    }

    pub(super) fn plate_named(&mut self, name: &Spanned<String>, beat: Option<&str>) -> Option<PlateId> {
        self.target_named("plate", name, beat)
    }

    fn target_named<I: crate::model::arena::Id>(
        &mut self,
        kind: &'static str,
        name: &Spanned<String>,
        beat: Option<&str>,
    ) -> Option<I> {
        match self.names.path_in(kind, beat, &name.value) {
            Some(path) => self.names.find(kind, &Spanned::new(path, name.span), self.diagnostics),
            None => {
                let wrong = self.names.unknown(kind, name);
                self.diagnostics.push(wrong);
                None
            }
        }
    }

    fn needs(&mut self, fact: &Fact, beat: Option<&str>) -> Vec<Need> {
        let mut needs = Vec::new();
        for name in args::names(fact, "needs") {
            let found = ["plate", "effect", "asset", "beat"]
                .into_iter()
                .find_map(|kind| self.names.path_in(kind, beat, &name.value).map(|path| (kind, path)));
            let Some((kind, path)) = found else {
                let wrong = self.names.unknown("beat", &name);
                self.diagnostics.push(Diagnostic {
                    message: format!("no beat, plate, effect or asset is called '{}'", name.value),
                    label: "nothing to wait for".into(),
                    ..wrong
                });
                continue;
            };
            let name = Spanned::new(path, name.span);
            let on = match kind {
                "plate" => self.names.find(kind, &name, self.diagnostics).map(Target::Plate),
                "effect" => self.names.find(kind, &name, self.diagnostics).map(Target::Effect),
                "asset" => self.names.find(kind, &name, self.diagnostics).map(Target::Asset),
                _ => self.names.find(kind, &name, self.diagnostics).map(Target::Beat),
            };
            needs.extend(on.map(|on| Need { on, span: name.span }));
        }
        needs
    }

    fn join(&mut self, fact: &Fact, beat: &str, model: &Model) -> Option<Join> {
        let from = self.plate_named(args::name(fact, 0)?, Some(beat));
        let to = self.plate_named(args::name(fact, 1)?, Some(beat));
        let kind = match args::name(fact, 2)?.value.as_str() {
            "stitch" => JoinKind::Stitch,
            "match" => JoinKind::Match,
            "wipe" => JoinKind::Wipe,
            "whip" => JoinKind::Whip,
            _ => JoinKind::Dissolve,
        };
        let (from, to) = (from?, to?);
        if from == to {
            self.wrong(
                Diagnostic::new(codes::VALUE, fact.span, "a join needs two plates")
                    .label("the same plate on both sides"),
            );
            return None;
        }
        let path = format!("{}->{}", model.plates[from].named.path, model.plates[to].named.path);
        if !self.names.declare("join", &path, fact.span, &mut Vec::new()) {
            self.wrong(
                Diagnostic::new(codes::DUPLICATE, fact.span, "these two plates are joined twice")
                    .label("joined again"),
            );
            return None;
        }
        let overlap = fact.get("overlap").and_then(|line| args::measure(line, 0));
        let out = model.plates[from].leaves.as_ref().map(|at| at.mark).or(model.plates[from].mark);
        let back = model.plates[to].enters.as_ref().map(|at| at.mark).or(model.plates[to].mark);
        let mut named = self.named(fact, path);
        named.span = fact.span;
        Some(Join {
            named,
            from,
            to,
            kind,
            overlap: overlap.map_or(TimeSpan::Time(Seconds(0.0)), |overlap| args::span_of(overlap.value)),
            overlap_span: overlap.map(|overlap| overlap.span),
            mark: out.filter(|mark| back == Some(*mark)),
            allow: args::of(fact, "allow").map(|number| Spanned::new(Pixels(number.value), number.span)),
            efforts: efforts(fact),
            span: fact.span,
        })
    }

    fn sound(&mut self, model: &mut Model) {
        let Some(fact) = self.top("sound").next() else { return };
        model.sound.span = Some(fact.span);
        let efforts = efforts(fact);
        for name in args::names(fact, "layer") {
            if model.sound.layers.iter().any(|layer| layer.name.value == name.value) {
                self.wrong(
                    Diagnostic::new(
                        codes::DUPLICATE,
                        name.span,
                        format!("the layer '{}' is listed twice", name.value),
                    )
                    .label("listed again"),
                );
                continue;
            }
            let effort = efforts.iter().find(|one| one.pass.value == name.value).map(|one| one.hours);
            model.sound.layers.push(Layer { name, effort });
        }
        for one in &efforts {
            if !model.sound.layers.iter().any(|layer| layer.name.value == one.pass.value) {
                self.wrong(
                    Diagnostic::new(
                        codes::UNKNOWN_NAME,
                        one.pass.span,
                        format!("no layer is called '{}'", one.pass.value),
                    )
                    .label("not a layer of this sound"),
                );
            }
        }
        for line in fact.all("cue") {
            let (Some(text), Some(beat)) = (args::text(line, 0), args::name(line, 1)) else { continue };
            if let Some(beat) = self.names.find("beat", beat, self.diagnostics) {
                model.sound.cues.push(Cue { text: text.value, beat, span: line.span });
            }
        }
    }
}

fn efforts(fact: &Fact) -> Vec<EffortOverride> {
    fact.all("effort")
        .filter_map(|line| {
            let pass = args::name(line, 0)?.clone();
            Some(EffortOverride { pass, hours: Hours(args::number(line, 1)?.value / 3600.0) })
        })
        .collect()
}
