//! Set-ups: what is shot without refitting.
//!
//! In: model and breakdown. Out: every plate in exactly one set-up. A locked
//! group is one set-up in its own order; a locked plate outside any group is
//! alone in one; references join the set-up of a plate that they serve. A plate
//! that rolls with another is alone in one, which is worked with the other's.

use super::plan::{SetUp, SetUpId};
use crate::model::{Arena, EffectId, Hold, MarkId, ModeId, Origin, PlaceId, Plate, PlateId, RigId};
use crate::recipe::Breakdown;
use std::collections::BTreeMap;

/// Which set-up each plate is in.
#[derive(Debug, Clone)]
pub(crate) struct SetUps {
    /// The set-ups.
    pub(crate) all: Arena<SetUpId, SetUp>,
    /// By plate, in order of plates.
    pub(crate) of: BTreeMap<PlateId, SetUpId>,
}

/// Place, rig, mode, mark.
type Key = (PlaceId, RigId, ModeId, Option<MarkId>);

fn key(plate: &Plate) -> Key {
    (plate.place, plate.rig, plate.mode, plate.mark)
}

/// Puts every plate into a set-up.
pub(crate) fn group(breakdown: &Breakdown) -> SetUps {
    let mut setups = SetUps { all: Arena::default(), of: BTreeMap::new() };
    for group in breakdown.groups.values() {
        let plates: Vec<PlateId> =
            group.plates.iter().copied().filter(|plate| !setups.of.contains_key(plate)).collect();
        if !plates.is_empty() {
            setups.add(breakdown, plates, true);
        }
    }
    let mut free: BTreeMap<Key, SetUpId> = BTreeMap::new();
    let footage = |plate: &Plate| plate.kind.is_footage();
    for (id, plate) in breakdown.plates.iter().filter(|(_, plate)| footage(plate)) {
        if setups.of.contains_key(&id) {
            continue;
        }
        if plate.rolls_with.is_some() {
            // Set up with the plate that it rolls with, and with nothing else.
            setups.add(breakdown, vec![id], false);
        } else if plate.hold.value == Hold::Locked {
            setups.add(breakdown, vec![id], true);
        } else if let Some(&known) = free.get(&key(plate)) {
            setups.all[known].plates.push(id);
            setups.of.insert(id, known);
        } else {
            let new = setups.add(breakdown, vec![id], false);
            free.insert(key(plate), new);
        }
    }
    for (id, plate) in breakdown.plates.iter().filter(|(_, plate)| !footage(plate)) {
        if setups.of.contains_key(&id) {
            continue;
        }
        let found = setups.serving(breakdown, plate).or_else(|| free.get(&key(plate)).copied());
        match found {
            // A locked set-up is whole already: a reference is shot beside it on the same rig.
            Some(known) if !setups.all[known].locked => {
                setups.all[known].plates.push(id);
                setups.of.insert(id, known);
            }
            _ => {
                let new = setups.add(breakdown, vec![id], false);
                free.insert(key(plate), new);
            }
        }
    }
    setups
}

impl SetUps {
    fn add(&mut self, breakdown: &Breakdown, plates: Vec<PlateId>, locked: bool) -> SetUpId {
        let first = plates.first().copied().expect("a set-up is made for at least one plate");
        let plate = &breakdown.plates[first];
        let new = self.all.push(SetUp {
            place: plate.place,
            rig: plate.rig,
            mode: plate.mode,
            mark: plate.mark,
            locked,
            plates: plates.clone(),
        });
        self.of.extend(plates.into_iter().map(|plate| (plate, new)));
        new
    }

    /// The set-up of a plate of the same effect, at the same place on the same rig in the same mode.
    fn serving(&self, breakdown: &Breakdown, reference: &Plate) -> Option<SetUpId> {
        let effect = owed_to(reference)?;
        let fits = |setup: &SetUp| {
            (setup.place, setup.rig, setup.mode) == (reference.place, reference.rig, reference.mode)
        };
        breakdown
            .roles
            .iter()
            .filter(|role| role.effect == effect)
            .flat_map(|role| &role.plates)
            .filter(|plate| breakdown.plates[**plate].kind.is_footage())
            .filter_map(|plate| self.of.get(plate).copied())
            .find(|setup| fits(&self.all[*setup]))
    }
}

/// The effect that owes a plate, for those that the writer did not write.
pub(crate) fn owed_to(plate: &Plate) -> Option<EffectId> {
    match &plate.origin {
        Origin::Written => None,
        Origin::Owed { effect, .. } => Some(*effect),
    }
}

/// The plate that another serves: the first footage that the writer wrote for
/// the effect that owes it; itself where there is none.
pub(crate) fn served(breakdown: &Breakdown, plate: PlateId) -> PlateId {
    let Some(effect) = owed_to(&breakdown.plates[plate]) else { return plate };
    breakdown
        .roles
        .iter()
        .filter(|role| role.effect == effect)
        .flat_map(|role| role.plates.iter().copied())
        .find(|one| breakdown.plates[*one].origin == Origin::Written)
        .unwrap_or(plate)
}

/// Every plate's place in the story: that of its beat, then as written, what
/// recipes owe right behind the plate that it serves.
pub(crate) fn story_ranks(breakdown: &Breakdown) -> BTreeMap<PlateId, i64> {
    let mut order: Vec<PlateId> = breakdown.plates.ids().collect();
    let place = |id: PlateId| {
        let host = served(breakdown, id);
        (breakdown.plates[host].beat, host, id)
    };
    order.sort_by_cached_key(|&id| place(id));
    order.into_iter().zip(0..).collect()
}
