//! Plates that the writer binds to a serving role: a clean plate, hands before a
//! screen, another sky. They are not seen on their own.

use crate::model::{Model, PlateId, PlateKind};
use crate::recipe::library::Library;
use crate::recipe::schema::{Kind, Serves};
use std::collections::BTreeMap;

/// The written plates that only serve effects, each with what it is. A side of
/// a join is seen, and so is a plate whose line says that the picture `uses` it.
pub fn serving(model: &Model, library: &Library) -> BTreeMap<PlateId, PlateKind> {
    let mut serving = BTreeMap::new();
    for effect in model.effects.values() {
        let Some(recipe) = library.find_kind(&effect.recipe.value, Kind::Effect) else { continue };
        for role in &recipe.roles {
            let kind = role.derive.as_ref().map_or(PlateKind::Element, |derive| derive.kind);
            let seen = match (role.serves, &role.derive) {
                (Some(Serves::All), _) | (None, Some(_)) => 0,
                (Some(Serves::Rest), _) => 1,
                (None, None) => continue,
            };
            let bound = effect.bindings.iter().filter(|binding| binding.word.value == role.role);
            let plates = bound.flat_map(|binding| &binding.plates).skip(seen);
            serving.extend(plates.map(|plate| (plate.value, kind)));
        }
    }
    for join in model.joins.values() {
        serving.remove(&join.from);
        serving.remove(&join.to);
    }
    serving.retain(|&plate, _| model.plates[plate].uses.is_none_or(|uses| uses.value.0 <= 0.0));
    serving
}
