//! Passes at the desk: bringing in, building, effects and joins.

use super::derive::capital;
use super::{Ends, Expansion, applies};
use crate::diagnostic::nearest::nearest;
use crate::diagnostic::{Diagnostic, codes};
use crate::model::{AssetId, EffectId, EffortOverride, JoinId, PlateId};
use crate::quantity::{Hours, show};
use crate::recipe::breakdown::{After, Owner, Pass, PassId};
use crate::recipe::check::{INGEST, MOST_AFTER, MOST_HOURS};
use crate::recipe::expression::{Expression, Values};
use crate::recipe::schema::{Kind, PassRule, Recipe};
use crate::source::Span;
use std::collections::BTreeMap;

/// What a recipe's passes are made for.
pub(super) struct Scope<'a> {
    /// Begins the path of each pass; empty where the pass's name stands alone.
    pub prefix: String,
    pub owner: Owner,
    pub span: Span,
    pub values: &'a Values,
    pub efforts: &'a [EffortOverride],
    /// Plates of each role, by name.
    pub roles: BTreeMap<&'a str, Vec<PlateId>>,
    /// Passes that build the effect's assets.
    pub builds: Vec<PassId>,
    /// Passes that are made; all others of the recipe are left out, and what waited for them waits for theirs.
    pub chosen: Vec<&'a str>,
}

impl<'a> Expansion<'a> {
    /// One `ingest` for each moving picture.
    pub(super) fn plan_ingest(&mut self) {
        let Some(recipe) = self.library.find_kind(INGEST, Kind::EveryPlate) else { return };
        for id in self.out.plates.ids() {
            let plate = &self.out.plates[id];
            if !plate.kind.is_footage() {
                continue;
            }
            let seconds = self.picture_length(plate).0;
            let values: Values = [
                ("seconds", seconds),
                ("frames", seconds * self.model.sequence.rate.per_second()),
                ("lasts", plate.lasts.value.0),
                ("takes", f64::from(plate.takes)),
            ]
            .map(|(name, value)| (name.to_owned(), value))
            .into();
            let scope = Scope {
                prefix: plate.named.path.clone(),
                owner: Owner::Plate(id),
                span: plate.named.span,
                values: &values,
                efforts: &[],
                roles: [("plate", vec![id])].into(),
                builds: Vec::new(),
                chosen: chosen(recipe, Some(plate)),
            };
            let ends = self.plan(recipe, scope);
            self.ingest.extend(ends.last.first().map(|&pass| (id, pass)));
        }
    }

    /// One `build` for each asset.
    pub(super) fn plan_builds(&mut self, references: &BTreeMap<AssetId, Vec<PlateId>>) {
        for (id, asset) in self.model.assets.iter() {
            let pass = self.out.passes.push(Pass {
                path: format!("{}.build", asset.named.path),
                stage: "build".into(),
                title: format!("Build {}", asset.named.label()),
                department: "cg".into(),
                or: Vec::new(),
                effort: asset.build.value,
                effort_from: "as written".into(),
                after: After::default(),
                priority: None,
                owner: Owner::Asset(id),
                inputs: references.get(&id).cloned().unwrap_or_default(),
                waits: Vec::new(),
                notes: asset.named.notes.clone(),
                span: asset.named.span,
                lock: false,
            });
            self.builds.insert(id, pass);
        }
    }

    /// The passes of every effect.
    pub(super) fn plan_effects(&mut self) {
        let bound = std::mem::take(&mut self.bound);
        for one in &bound {
            let effect = &self.model.effects[one.effect];
            let builds = effect.assets.iter().filter_map(|asset| self.builds.get(&asset.value).copied());
            let on = one.on().next().map(|plate| &self.out.plates[plate]);
            let scope = Scope {
                prefix: effect.named.path.clone(),
                owner: Owner::Effect(one.effect),
                span: effect.named.span,
                values: &one.values,
                efforts: &effect.efforts,
                roles: one
                    .recipe
                    .roles
                    .iter()
                    .map(|role| (role.role.as_str(), one.plates(&role.role)))
                    .collect(),
                builds: builds.collect(),
                chosen: chosen(one.recipe, on),
            };
            let ends = self.plan(one.recipe, scope);
            self.ends.insert(one.effect, ends);
        }
        self.bound = bound;
        self.stack_effects();
    }

    /// The passes of every join; they wait for the effects on both sides.
    pub(super) fn plan_joins(&mut self) {
        let mut on: BTreeMap<PlateId, Vec<EffectId>> = BTreeMap::new();
        for role in &self.out.roles {
            for &plate in &role.plates {
                on.entry(plate).or_default().push(role.effect);
            }
        }
        for (id, join) in self.model.joins.iter() {
            let Some(recipe) = self.library.find_kind(join.kind.word(), Kind::Join) else { continue };
            let seconds = self.model.seconds(join.overlap).0;
            let values: Values =
                [("seconds", seconds), ("frames", seconds * self.model.sequence.rate.per_second())]
                    .map(|(name, value)| (name.to_owned(), value))
                    .into();
            let scope = Scope {
                prefix: join.named.path.clone(),
                owner: Owner::Join(id),
                span: join.span,
                values: &values,
                efforts: &join.efforts,
                roles: [("from", vec![join.from]), ("to", vec![join.to])].into(),
                builds: Vec::new(),
                chosen: chosen(recipe, Some(&self.out.plates[join.from])),
            };
            let ends = self.plan(recipe, scope);
            let sides = [join.from, join.to];
            let effects = sides.iter().filter_map(|plate| on.get(plate)).flatten().copied().collect();
            self.after_effects(&ends.last, effects, id);
        }
    }

    fn after_effects(&mut self, last: &[PassId], mut effects: Vec<EffectId>, join: JoinId) {
        effects.sort_unstable();
        effects.dedup();
        for effect in effects {
            let Some(earlier) = self.ends.get(&effect).map(|ends| ends.last.clone()) else { continue };
            let because = format!(
                "'{}' is on one side of '{}', and both sides are finished before they are joined",
                self.model.effect_label(effect),
                self.model.join_label(join)
            );
            for &pass in last {
                let waits = &mut self.out.passes[pass].waits;
                waits.extend(earlier.iter().map(|&earlier| (earlier, because.clone())));
            }
        }
    }

    /// Adds the passes of a recipe for one thing; gives its first and last ones.
    pub(super) fn plan(&mut self, recipe: &'a Recipe, scope: Scope<'_>) -> Ends {
        self.check_efforts(recipe, scope.efforts);
        let mut made: BTreeMap<&str, PassId> = BTreeMap::new();
        let rules = || recipe.passes.iter().filter(|rule| scope.chosen.contains(&rule.pass.as_str()));
        for rule in rules() {
            let pass = self.pass(rule, &scope);
            made.insert(&rule.pass, self.out.passes.push(pass));
        }
        let mut ends = Ends::default();
        let mut waited: Vec<PassId> = Vec::new();
        for rule in rules() {
            let Some(&pass) = made.get(rule.pass.as_str()) else { continue };
            let mut waits = Vec::new();
            inherited(recipe, rule, &made, &mut waits);
            waited.extend(waits.iter().map(|(earlier, _)| *earlier));
            if waits.is_empty() {
                ends.first.push(pass);
            }
            self.out.passes[pass].waits.extend(waits);
        }
        ends.last = made.values().copied().filter(|pass| !waited.contains(pass)).collect();
        ends.last.sort_unstable();
        ends
    }

    fn pass(&mut self, rule: &PassRule, scope: &Scope<'_>) -> Pass {
        let mut inputs: Vec<PlateId> =
            rule.inputs.iter().filter_map(|role| scope.roles.get(role.as_str())).flatten().copied().collect();
        inputs.sort_unstable();
        inputs.dedup();
        let mut waits = Vec::new();
        for &plate in &inputs {
            if let Some(&ingest) = self.ingest.get(&plate) {
                let label = self.out.plates[plate].named.label();
                waits.push((ingest, format!("the clip of '{label}' is brought in first")));
            }
        }
        if rule.assets {
            waits.extend(scope.builds.iter().map(|&build| (build, "what it shows must be built".to_owned())));
        }
        let path = match scope.prefix.as_str() {
            "" => rule.pass.clone(),
            prefix if prefix == rule.pass => rule.pass.clone(),
            prefix => format!("{prefix}.{}", rule.pass),
        };
        let (effort, effort_from) = self.effort(rule, scope, &path);
        let after = self.after(rule, scope, &path);
        Pass {
            path,
            stage: rule.pass.clone(),
            title: capital(&rule.title),
            department: rule.department.clone(),
            or: rule.or.clone(),
            effort,
            effort_from,
            after,
            priority: None,
            owner: scope.owner,
            inputs,
            waits,
            notes: rule.notes.clone(),
            span: scope.span,
            lock: false,
        }
    }

    fn effort(&mut self, rule: &PassRule, scope: &Scope<'_>, path: &str) -> (Hours, String) {
        if let Some(own) = scope.efforts.iter().rev().find(|own| own.pass.value == rule.pass) {
            return (own.hours, "as written".into());
        }
        let hours = self.value(&rule.effort, scope.values, MOST_HOURS, path, scope.span).unwrap_or(0.0);
        (Hours(hours), explained(&rule.effort, scope.values))
    }

    /// What the recipe lets lie between a pass and whatever waits for it.
    fn after(&mut self, rule: &PassRule, scope: &Scope<'_>, path: &str) -> After {
        let mut value = |sum: &Option<Expression>| {
            let Some(sum) = sum else { return (Hours(0.0), String::new()) };
            let hours = self.value(sum, scope.values, MOST_AFTER, path, scope.span).unwrap_or(0.0);
            (Hours(hours), explained(sum, scope.values))
        };
        let ((render, render_from), (review, review_from)) = (value(&rule.render), value(&rule.review));
        After { render, render_from, review, review_from, pace: rule.review_in.unwrap_or_default() }
    }

    fn check_efforts(&mut self, recipe: &Recipe, efforts: &[EffortOverride]) {
        for effort in efforts.iter().filter(|effort| recipe.pass(&effort.pass.value).is_none()) {
            let name = effort.pass.value.as_str();
            let span = effort.pass.span;
            let message = format!("{} has no pass '{name}'", recipe.recipe);
            let diagnostic = Diagnostic::new(codes::ROLE, span, message);
            let names: Vec<&str> = recipe.passes.iter().map(|pass| pass.pass.as_str()).collect();
            self.diagnostics.push(match nearest(name, names.iter().copied()) {
                Some(near) => diagnostic.help(format!("did you mean '{near}'?")).patch(span, near),
                None => diagnostic.help(format!("its passes are {}", names.join(", "))),
            });
        }
    }
}

/// The passes that apply to a plate.
fn chosen<'r>(recipe: &'r Recipe, plate: Option<&crate::model::Plate>) -> Vec<&'r str> {
    let made = recipe.passes.iter().filter(|pass| plate.is_none_or(|plate| applies(pass.when, plate)));
    made.map(|pass| pass.pass.as_str()).collect()
}

/// What a pass waits for; for a pass that is left out, what that one waits for.
/// The recipe was checked: its waits form no circle, and its passes are few.
fn inherited(
    recipe: &Recipe,
    rule: &PassRule,
    made: &BTreeMap<&str, PassId>,
    waits: &mut Vec<(PassId, String)>,
) {
    for wait in &rule.waits {
        match made.get(wait.pass.as_str()) {
            Some(&pass) if waits.iter().any(|(earlier, _)| *earlier == pass) => {}
            Some(&pass) => waits.push((pass, wait.because.clone())),
            None => {
                if let Some(left_out) = recipe.pass(&wait.pass) {
                    inherited(recipe, left_out, made, waits);
                }
            }
        }
    }
}

/// `objects * 2, with objects 3`.
fn explained(sum: &Expression, values: &Values) -> String {
    let with: Vec<String> = sum
        .names()
        .into_iter()
        .filter_map(|name| values.get(name).map(|value| format!("{name} {}", show::number(*value, 2))))
        .collect();
    if with.is_empty() { sum.text().to_owned() } else { format!("{}, with {}", sum.text(), with.join(", ")) }
}
