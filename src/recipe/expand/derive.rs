//! Owed plates: what a recipe takes and the writer left out.
//!
//! A reference that several effects owe on the same plate is derived once and
//! shared. What an effect's own action shows (an element, a patch) never is.

use super::{Bound, Expansion, SharedBy};
use crate::diagnostic::{Diagnostic, Severity, codes};
use crate::model::{
    AssetId, EffectId, Hands, Hold, Light, Named, Origin, Plate, PlateId, PlateKind, RigId, StateOf,
};
use crate::quantity::Seconds;
use crate::recipe::breakdown::{Demand, DemandKind, Owner};
use crate::recipe::schema::{Derive, Role, SetUpRule};
use crate::source::{Span, Spanned};
use std::collections::BTreeMap;

/// Longest take that can be owed, in seconds.
const LONGEST: f64 = 6.0 * 3600.0;
/// Time for a still or a light reference of an asset, in seconds; common practice, no source.
const STILL: f64 = 60.0;
const LIGHT: f64 = 120.0;

/// An owed plate before it is added.
struct Owed<'a> {
    effect: EffectId,
    role: &'a str,
    path: String,
    title: String,
    because: Span,
    lasts: Seconds,
    takes: u32,
}

impl<'a> Expansion<'a> {
    /// Supplies every role that was left out and can be derived.
    pub(super) fn derive_owed(&mut self) {
        let mut bound = std::mem::take(&mut self.bound);
        for one in &mut bound {
            self.remember_written(one);
        }
        for one in &mut bound {
            let recipe = one.recipe;
            for (at, role) in recipe.roles.iter().enumerate() {
                let Some(derive) = &role.derive else { continue };
                if one.roles.get(at).is_some_and(|plates| plates.is_empty())
                    && let Some(plate) = self.owe(one, role, derive)
                    && let Some(plates) = one.roles.get_mut(at)
                {
                    plates.push((plate, self.model.effects[one.effect].named.span));
                }
            }
        }
        self.bound = bound;
    }

    /// A reference that the writer bound serves every effect on the same plate; a
    /// plate before a screen takes from the effect what its own block leaves out.
    fn remember_written(&mut self, bound: &Bound<'_>) {
        for (role, plates) in bound.recipe.roles.iter().zip(&bound.roles) {
            let Some(derive) = &role.derive else { continue };
            if derive.set_up == SetUpRule::Screen {
                let effect = &self.model.effects[bound.effect];
                for &(plate, _) in plates {
                    let plate = &mut self.out.plates[plate];
                    plate.screen = plate.screen.or(effect.screen.map(|screen| screen.value));
                    plate.gap = plate.gap.or(effect.gap);
                    plate.sweep = plate.sweep.or(effect.sweep.map(|sweep| sweep.value));
                }
            }
            let Some(&source) = bound.plates(&derive.from).first() else { continue };
            if let (Some(key), Some(&(plate, _))) = (self.key(derive.kind, source), plates.first()) {
                self.shared.entry(key).or_insert(plate);
                self.order.entry(plate).or_insert(derive.order);
            }
        }
    }

    /// What a reference is shared by; `None` for what is an effect's own.
    fn key(&self, kind: PlateKind, source: PlateId) -> Option<(PlateKind, SharedBy)> {
        match kind {
            PlateKind::Clean | PlateKind::Still | PlateKind::LightReference | PlateKind::Survey => {
                Some((kind, SharedBy::Plate(source)))
            }
            PlateKind::LensReference => Some((kind, SharedBy::Mode(self.out.plates[source].mode))),
            PlateKind::Picture | PlateKind::Patch | PlateKind::Element => None,
        }
    }

    fn owe(&mut self, bound: &Bound<'a>, role: &Role, derive: &Derive) -> Option<PlateId> {
        let effect = &self.model.effects[bound.effect];
        let span = effect.named.span;
        let source = *bound.plates(&derive.from).first()?;
        let lasts = self.value(&derive.lasts, &bound.values, LONGEST, &role.role, span)?;
        let key = self.key(derive.kind, source);
        if let Some(&plate) = key.and_then(|key| self.shared.get(&key)) {
            let shared = &mut self.out.plates[plate];
            if matches!(shared.origin, Origin::Owed { .. }) {
                shared.lasts.value = shared.lasts.value.max(Seconds(lasts));
                shared.takes = shared.takes.max(derive.takes);
                add(&mut shared.must, &derive.must);
                add(&mut shared.avoid, &derive.avoid);
            }
            return Some(plate);
        }
        let label = self.out.plates[source].named.label();
        let owed = Owed {
            effect: bound.effect,
            role: &role.role,
            path: format!("{}.{}", effect.named.path, role.role),
            title: format!("{}: {label}", capital(&role.title)),
            because: span,
            lasts: Seconds(lasts),
            takes: derive.takes,
        };
        let mut plate = match derive.set_up {
            SetUpRule::Same => self.beside(source, derive.kind, &owed, derive.same_move),
            SetUpRule::Screen => self.before_screen(source, derive.kind, &owed),
        };
        plate.must = derive.must.clone();
        plate.avoid = derive.avoid.clone();
        let plate = self.out.plates.push(plate);
        self.order.insert(plate, derive.order);
        self.shared.extend(key.map(|key| (key, plate)));
        Some(plate)
    }

    /// A plate from the same set-up as another, without its action.
    fn beside(&self, source: PlateId, kind: PlateKind, owed: &Owed<'_>, same_move: bool) -> Plate {
        let like = &self.out.plates[source];
        let mut plate = like.clone();
        self.settle(&mut plate, kind, owed);
        plate.hands = Spanned::new(Hands::Out, owed.because);
        // Nobody flies for a still or a tape measure: the camera goes on a stand.
        if self.model.rigs[like.rig].flies && !kind.is_footage() {
            plate.rig = self.screen_rig(like).unwrap_or(like.rig);
            plate.hold = Spanned::new(Hold::Free, owed.because);
        }
        // A worn or moving rig needs whoever bears it; an empty frame on a stand needs nobody.
        if self.model.rigs[plate.rig].fixed {
            plate.people.clear();
        }
        let moves = same_move && like.hold.value == Hold::Free;
        if !moves {
            plate.mark = like.mark;
            plate.turns_camera = None;
            plate.rolls = None;
            plate.moves = None;
        }
        // Never a side of the join: only the plate itself meets the other one.
        plate.enters = None;
        plate.leaves = None;
        plate.shows.clear();
        plate
    }

    /// A plate before a screen: on a fixed rig if the kit has one that can carry
    /// the camera, under lamps if a place has them, with the lens as high and
    /// tilted as in the plate it is laid over.
    fn before_screen(&self, source: PlateId, kind: PlateKind, owed: &Owed<'_>) -> Plate {
        let model = self.model;
        let like = &self.out.plates[source];
        let effect = &model.effects[owed.effect];
        let mut plate = like.clone();
        self.settle(&mut plate, kind, owed);
        let lamps = (std::iter::once(like.place))
            .chain(model.places.ids())
            .find(|&place| model.places[place].light == Light::Lamp);
        plate.place = lamps.unwrap_or(like.place);
        plate.light = if lamps.is_some() { Light::Lamp } else { like.light };
        plate.light_span = None;
        plate.rig = self.screen_rig(like).unwrap_or(like.rig);
        if plate.people.is_empty() {
            // Somebody's hands they must be: those of whoever performs in the beat.
            let beat = &model.beats[like.beat];
            let performed = beat.plates.iter().map(|&plate| &model.plates[plate].people);
            plate.people =
                performed.into_iter().find(|people| !people.is_empty()).cloned().unwrap_or_default();
        }
        if plate.height.is_none() {
            let eyes = like.people.iter().find_map(|&person| model.people[person].eyes);
            let worn = model.rigs[like.rig].worn;
            let height = eyes.filter(|_| worn).or(model.rigs[like.rig].height);
            plate.height = height.map(|height| Spanned::new(height, owed.because));
        }
        plate.hold = Spanned::new(Hold::Free, owed.because);
        plate.hands = Spanned::new(Hands::In, owed.because);
        plate.heading = None;
        plate.near = None;
        plate.far = None;
        plate.mark = None;
        plate.enters = None;
        plate.leaves = None;
        plate.turns_camera = None;
        plate.rolls = None;
        plate.moves = None;
        plate.hazards.clear();
        // Sleeves are in the picture; props of the other place are not.
        plate.shows.retain(|(of, _, _)| matches!(of, StateOf::Look(_)));
        plate.screen = effect.screen.map(|screen| screen.value);
        plate.gap = effect.gap;
        plate.sweep = effect.sweep.map(|sweep| sweep.value);
        plate
    }

    /// The fixed rig, first by name, that can carry the plate's camera.
    fn screen_rig(&self, like: &Plate) -> Option<RigId> {
        let weight = self.model.camera_of(like).weighs;
        self.model
            .rigs
            .iter()
            .filter(|(_, rig)| rig.fixed && !rig.flies)
            .filter(|(_, rig)| match (rig.carries, weight) {
                (Some(carries), Some(weight)) => carries >= weight,
                _ => true,
            })
            .min_by(|(_, a), (_, b)| a.named.path.cmp(&b.named.path))
            .map(|(id, _)| id)
    }

    /// What is the same for every owed plate.
    fn settle(&self, plate: &mut Plate, kind: PlateKind, owed: &Owed<'_>) {
        plate.named = Named {
            path: owed.path.clone(),
            title: Some(owed.title.clone()),
            span: owed.because,
            notes: Vec::new(),
            cautions: plate.named.cautions.clone(),
            waivers: Vec::new(),
        };
        plate.kind = kind;
        plate.origin =
            Origin::Owed { effect: owed.effect, role: owed.role.to_owned(), because: owed.because };
        plate.lasts = Spanned::new(owed.lasts, owed.because);
        plate.takes = owed.takes;
        plate.uses = None;
        plate.in_picture = Seconds(0.0);
        plate.turns.clear();
        plate.must.clear();
        plate.avoid.clear();
        plate.needs.clear();
        plate.after.clear();
        plate.rolls_with = None;
        plate.beside.clear();
        plate.sound = false;
    }

    /// The stills and light references that assets are built from, owed where no effect owes them already.
    pub(super) fn derive_asset_references(&mut self) -> BTreeMap<AssetId, Vec<PlateId>> {
        let mut references = BTreeMap::new();
        for (id, asset) in self.model.assets.iter() {
            let user =
                self.model.effects.iter().find(|(_, effect)| effect.assets.iter().any(|one| one.value == id));
            let texture = asset.texture.iter().enumerate();
            let texture = texture.map(|(at, plate)| (at, plate, PlateKind::Still, "texture", STILL));
            let light = asset.light.iter().enumerate();
            let light = light.map(|(at, plate)| (at, plate, PlateKind::LightReference, "light", LIGHT));
            let mut inputs: Vec<PlateId> = Vec::new();
            for (at, plate, kind, role, lasts) in texture.chain(light) {
                let found = match user {
                    Some((effect, _)) => self.owe_to_asset(id, effect, (*plate, kind, role, lasts), at),
                    None => self.existing(plate.value, kind),
                };
                let Some(found) = found else {
                    let message =
                        format!("no effect uses '{}', so its references are not asked for", asset.named.path);
                    let mut note = Diagnostic::new(codes::UNUSED, plate.span, message);
                    note.severity = Severity::Note;
                    self.diagnostics.push(note);
                    continue;
                };
                self.ask_for_asset(id, found, role, plate.span);
                inputs.push(found);
            }
            inputs.sort_unstable();
            inputs.dedup();
            references.insert(id, inputs);
        }
        references
    }

    /// The plate itself where it is such a reference, or the one that it has already.
    fn existing(&self, plate: PlateId, kind: PlateKind) -> Option<PlateId> {
        if self.out.plates[plate].kind == kind {
            return Some(plate);
        }
        self.key(kind, plate).and_then(|key| self.shared.get(&key)).copied()
    }

    fn owe_to_asset(
        &mut self,
        asset: AssetId,
        effect: EffectId,
        (plate, kind, role, lasts): (Spanned<PlateId>, PlateKind, &str, f64),
        at: usize,
    ) -> Option<PlateId> {
        if let Some(found) = self.existing(plate.value, kind) {
            return Some(found);
        }
        let named = &self.model.assets[asset].named;
        let number = if at == 0 { String::new() } else { format!("_{}", at + 1) };
        let label = self.out.plates[plate.value].named.label();
        let owed = Owed {
            effect,
            role,
            path: format!("{}.{role}{number}", named.path),
            title: format!("{} for {}: {label}", capital(kind.word()), named.label()),
            because: plate.span,
            lasts: Seconds(lasts),
            takes: 1,
        };
        let reference = self.beside(plate.value, kind, &owed, false);
        let reference = self.out.plates.push(reference);
        self.shared.extend(self.key(kind, plate.value).map(|key| (key, reference)));
        Some(reference)
    }

    fn ask_for_asset(&mut self, asset: AssetId, plate: PlateId, role: &str, span: Span) {
        let label = self.model.assets[asset].named.label();
        let (kind, text) = if role == "texture" {
            (
                DemandKind::Sharp,
                format!("sharp, square to the surface, from a support: it becomes the surface of {label}"),
            )
        } else {
            (DemandKind::LightHeld, format!("in the light of the plate: it lights {label}"))
        };
        self.out.demands.push(Demand {
            plate,
            kind,
            by: Owner::Asset(asset),
            role: role.to_owned(),
            text,
            span,
        });
    }
}

/// Adds lines that are not there yet.
fn add(lines: &mut Vec<String>, more: &[String]) {
    for line in more {
        if !lines.contains(line) {
            lines.push(line.clone());
        }
    }
}

/// With a capital first letter.
pub(super) fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}
