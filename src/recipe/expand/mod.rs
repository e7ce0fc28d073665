//! From a model and its recipes to the [`Breakdown`]: everything to capture and
//! everything to do.
//!
//! In: a whole model and a checked library. Out: the model's plates under their
//! own identities (those that only serve an effect marked as such) followed by those that recipes owe; demands, groups and
//! passes, each with the line that caused it. What cannot be bound is reported
//! and left out; the rest is still expanded.

mod bind;
mod closing;
mod derive;
mod group;
mod serving;
mod settings;
mod stack;
mod work;

use super::breakdown::{Breakdown, Demand, FilledRole, Owner, PassId};
use super::expression::{Expression, Values};
use super::library::Library;
use super::schema::{DemandRule, GroupOrder, Kind, Recipe, When};
use crate::diagnostic::{Diagnostic, codes};
use crate::model::{AssetId, EffectId, Hold, ModeId, Model, Plate, PlateId, PlateKind};
use crate::quantity::Seconds;
use crate::source::Span;
pub use serving::serving;
use std::collections::BTreeMap;

/// Breaks a model down by its recipes.
pub fn expand(model: &Model, library: &Library, diagnostics: &mut Vec<Diagnostic>) -> Breakdown {
    let mut out = Breakdown { plates: model.plates.clone(), ..Breakdown::default() };
    for (plate, kind) in serving(model, library) {
        out.plates[plate].kind = kind;
        out.plates[plate].in_picture = Seconds(0.0);
    }
    let mut expansion = Expansion {
        model,
        library,
        out,
        diagnostics,
        shared: BTreeMap::new(),
        order: BTreeMap::new(),
        bound: Vec::new(),
        builds: BTreeMap::new(),
        ingest: BTreeMap::new(),
        ends: BTreeMap::new(),
    };
    expansion.bind_effects();
    expansion.derive_owed();
    let references = expansion.derive_asset_references();
    expansion.fill_roles();
    expansion.ask_of_joins();
    expansion.out.demands.sort_by_key(|demand| (demand.plate, demand.by));
    expansion.form_groups();
    expansion.plan_ingest();
    expansion.plan_builds(&references);
    expansion.plan_effects();
    expansion.plan_joins();
    expansion.plan_closing();
    expansion.apply_settings();
    expansion.out
}

/// What is at hand while a model is broken down.
struct Expansion<'a> {
    model: &'a Model,
    library: &'a Library,
    out: Breakdown,
    diagnostics: &'a mut Vec<Diagnostic>,
    /// References that more than one effect may use.
    shared: BTreeMap<(PlateKind, SharedBy), PlateId>,
    /// Place in a locked group of those plates that recipes owe.
    order: BTreeMap<PlateId, GroupOrder>,
    bound: Vec<Bound<'a>>,
    builds: BTreeMap<AssetId, PassId>,
    ingest: BTreeMap<PlateId, PassId>,
    ends: BTreeMap<EffectId, Ends>,
}

/// What a shared reference belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum SharedBy {
    Plate(PlateId),
    Mode(ModeId),
}

/// An effect with its recipe and what its block binds.
struct Bound<'a> {
    effect: EffectId,
    recipe: &'a Recipe,
    /// For each role of the recipe, in order: its plates, each with the line that binds it.
    roles: Vec<Vec<(PlateId, Span)>>,
    values: Values,
}

/// The first and last passes of something.
#[derive(Debug, Clone, Default)]
struct Ends {
    first: Vec<PassId>,
    last: Vec<PassId>,
}

impl Bound<'_> {
    /// The plates in a role.
    fn plates(&self, role: &str) -> Vec<PlateId> {
        let at = self.recipe.roles.iter().position(|one| one.role == role);
        let plates = at.and_then(|at| self.roles.get(at));
        plates.into_iter().flatten().map(|(plate, _)| *plate).collect()
    }

    /// The plates that the effect is on: those of its first role.
    fn on(&self) -> impl Iterator<Item = PlateId> {
        self.roles.first().into_iter().flatten().map(|(plate, _)| *plate)
    }
}

impl Expansion<'_> {
    /// Writes down who plays which role, and what is asked of each plate.
    fn fill_roles(&mut self) {
        for bound in &self.bound {
            for (role, plates) in bound.recipe.roles.iter().zip(&bound.roles) {
                if plates.is_empty() {
                    continue;
                }
                self.out.roles.push(FilledRole {
                    effect: bound.effect,
                    role: role.role.clone(),
                    title: role.title.clone(),
                    plates: plates.iter().map(|(plate, _)| *plate).collect(),
                });
                for &(plate, span) in plates {
                    let by = Owner::Effect(bound.effect);
                    ask(&mut self.out, plate, &role.demands, by, &role.role, span);
                }
            }
            let beat = self.model.effects[bound.effect].beat;
            let effect = bound.effect;
            self.out.cues.extend(bound.recipe.cues.iter().map(|text| (beat, text.clone(), effect)));
            self.out.cautions.extend(bound.recipe.cautions.iter().map(|text| (effect, text.clone())));
            self.out.notes.extend(bound.recipe.notes.iter().map(|text| (effect, text.clone())));
        }
    }

    /// What joins ask of their two sides.
    fn ask_of_joins(&mut self) {
        for (id, join) in self.model.joins.iter() {
            let Some(recipe) = self.library.find_kind(join.kind.word(), Kind::Join) else { continue };
            for (name, plate) in [("from", join.from), ("to", join.to)] {
                if let Some(role) = recipe.role(name) {
                    ask(&mut self.out, plate, &role.demands, Owner::Join(id), name, join.span);
                }
            }
            self.out.join_cues.extend(recipe.cues.iter().map(|text| (id, text.clone())));
        }
    }

    /// The value of a sum, between 0 and `most`; reports why there is none.
    fn value(&mut self, sum: &Expression, values: &Values, most: f64, of: &str, span: Span) -> Option<f64> {
        let why = match sum.value(values) {
            Ok(value) if (0.0..=most).contains(&value) => return Some(value),
            Ok(value) => {
                let value = crate::quantity::show::number(value, 2);
                format!("'{}' gives {value}, which is not between 0 and {most}", sum.text())
            }
            Err(why) => why,
        };
        let message = format!("the sum for '{of}' has no usable value: {why}");
        let help = "set it in the block, or mend the quantities that the sum uses";
        self.diagnostics.push(Diagnostic::new(codes::RECIPE, span, message).help(help));
        None
    }

    /// Length of a plate in the picture; its captured length where it has none.
    fn picture_length(&self, plate: &Plate) -> Seconds {
        match plate.uses {
            _ if plate.in_picture.0 > 0.0 => plate.in_picture,
            Some(uses) => uses.value,
            None => plate.lasts.value,
        }
    }
}

fn ask(out: &mut Breakdown, plate: PlateId, rules: &[DemandRule], by: Owner, role: &str, span: Span) {
    for rule in rules {
        if applies(rule.when, &out.plates[plate]) {
            out.demands.push(Demand {
                plate,
                kind: rule.kind,
                by,
                role: role.to_owned(),
                text: rule.text.clone(),
                span,
            });
        }
    }
}

/// Whether something that is only for locked or only for moving plates is for this one.
fn applies(when: Option<When>, plate: &Plate) -> bool {
    match when {
        None => true,
        Some(When::Locked) => plate.hold.value == Hold::Locked,
        Some(When::Moving) => plate.hold.value == Hold::Free,
    }
}

#[cfg(test)]
mod tests;
